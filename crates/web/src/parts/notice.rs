//! Boxes that say something beside the page: cautions, findings, what was just done.

use maud::{Markup, Render, html};

use super::icon::Icon;

/// How much a finding matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// Good to know.
    Note,
    /// Weakens an answer.
    Doubt,
    /// Forbids an answer, or may harm.
    Serious,
}

impl Weight {
    fn word(self) -> &'static str {
        match self {
            Self::Note => "Note",
            Self::Doubt => "In doubt",
            Self::Serious => "Serious",
        }
    }

    fn class(self) -> &'static str {
        match self {
            Self::Note => "notice notice-note",
            Self::Doubt => "notice notice-doubt",
            Self::Serious => "notice notice-serious",
        }
    }

    fn icon(self) -> Icon {
        if self == Self::Note {
            Icon::Note
        } else {
            Icon::Caution
        }
    }
}

/// A caution where people or animals can be hurt. `body` may hold several paragraphs.
pub fn caution(title: &str, body: &Markup) -> Markup {
    html! {
        div.notice.notice-caution role="note" {
            (Icon::Caution)
            div.notice-body { p.notice-title { "Caution: " (title) } (body) }
        }
    }
}

/// The band on every page of a notebook whose content is invented: one line, how it was made a tap
/// away.
pub fn invented(what: &str) -> Markup {
    html! {
        details.disclosure.invented { summary { strong { (text::t!("shell.invented")) } } p { (what) } }
    }
}

/// A doubt about a record or an answer: what was seen and what to do.
pub fn finding(weight: Weight, what: impl Render, remedy: Option<&str>) -> Markup {
    html! {
        div class=(weight.class()) {
            (weight.icon())
            div.notice-body {
                p { span.notice-word { (weight.word()) } " " (what) }
                @if let Some(remedy) = remedy { p.muted { (remedy) } }
            }
        }
    }
}

/// What was asked for and could not be done, read out by screen readers.
pub fn failed(what: &str) -> Markup {
    html! {
        div.notice.notice-error role="alert" tabindex="-1" {
            (Icon::Caution)
            div.notice-body { p.notice-title { (what) } }
        }
    }
}

/// What was just done, read out by screen readers; `link` leads to it or undoes it.
pub fn done(what: &str, link: Option<(&str, &str)>) -> Markup {
    html! {
        div.notice.notice-done role="status" {
            (Icon::Done)
            div.notice-body {
                p { (what) @if let Some((href, label)) = link { " " a href=(href) { (label) } } }
            }
        }
    }
}
