//! Views of one page beside each other; each is an address of its own, so they need no scripts.

use maud::{Markup, html};

/// One view.
#[derive(Debug, Clone, Copy)]
pub struct Tab<'a> {
    /// What it shows.
    pub label: &'a str,
    /// Its address.
    pub href: &'a str,
    /// Whether it is the one shown.
    pub current: bool,
}

/// A row of views; `label` says what they are views of.
pub fn tabs(label: &str, tabs: &[Tab<'_>]) -> Markup {
    html! {
        nav.tabs aria-label=(label) {
            ul {
                @for tab in tabs {
                    li { a href=(tab.href) aria-current=[tab.current.then_some("page")] { (tab.label) } }
                }
            }
        }
    }
}
