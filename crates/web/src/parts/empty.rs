//! The place of something that is not there yet.

use maud::{Markup, html};

/// `what` says what would be here, `how` how to get it; `action` is usually a link drawn as a
/// button, or empty markup.
pub fn empty(what: &str, how: &str, action: &Markup) -> Markup {
    html! {
        div.empty {
            p.empty-what { (what) }
            p.muted { (how) }
            @if !action.0.is_empty() { div.actions { (action) } }
        }
    }
}
