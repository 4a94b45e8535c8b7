//! Drawing the fields of entry forms, with labels and hints from the texts.
//!
//! A field's label is `log.f_KIND_FIELD` or else `log.f_FIELD`, its hint `log.h_...` likewise, so a
//! field is drawn and its errors are named by its name alone.

use maud::{Markup, html};
use text::t;
use trial::Bench;

use crate::form_data::FormState;
use crate::parts::fields::{Named, Pick, borrowed, suggestions};

/// Longest name of something, in characters.
pub(super) const NAME: usize = 120;
/// Longest note.
pub(super) const NOTE: usize = 4000;

/// The text of a field, by kind first; empty when there is none.
fn text_of(prefix: &str, kind: &str, field: &str) -> String {
    [
        format!("log.{prefix}_{kind}_{field}"),
        format!("log.{prefix}_{field}"),
    ]
    .into_iter()
    .find(|key| text::has(key))
    .map(|key| text::raw(&key).to_owned())
    .unwrap_or_default()
}

/// The label of a field.
pub(super) fn label(kind: &str, field: &str) -> String {
    text_of("f", kind, field)
}

/// Draws the fields of one form.
#[derive(Clone, Copy)]
pub(super) struct Kit<'a> {
    pub(super) kind: &'a str,
    pub(super) bench: &'a Bench,
    pub(super) state: &'a FormState,
}

impl Kit<'_> {
    /// Whether one of these fields has content or an error, so that what hides it must be open.
    pub(super) fn touched(&self, fields: &[&str]) -> bool {
        fields.iter().any(|field| {
            let typed = self.state.data.one(field).is_some_and(|v| !v.is_empty());
            typed || self.state.errors.of(field).is_some()
        })
    }

    fn field<'f>(&'f self, name: &'f str, optional: bool) -> Named<'f> {
        Named {
            state: self.state,
            name,
            label: label(self.kind, name),
            hint: Some(text_of("h", self.kind, name)).filter(|hint| !hint.is_empty()),
            optional,
        }
    }

    /// A field that must be given.
    pub(super) fn must<'f>(&'f self, name: &'f str) -> Named<'f> {
        self.field(name, false)
    }

    /// A field that may be left out.
    pub(super) fn may<'f>(&'f self, name: &'f str) -> Named<'f> {
        self.field(name, true)
    }

    /// One of many; the first line only says to choose.
    pub(super) fn select(&self, name: &str, options: &[Pick]) -> Markup {
        self.must(name).select(&headed(t!("log.choose"), options))
    }

    /// One of many, or none; nothing at all when there are none to choose from.
    pub(super) fn maybe_select(&self, name: &str, options: &[Pick]) -> Markup {
        if options.is_empty() && !self.touched(&[name]) {
            return html! {};
        }
        self.may(name).select(&headed(t!("log.none"), options))
    }

    /// One line of text with suggestions.
    pub(super) fn suggested(&self, name: &str, names: &[Pick]) -> Markup {
        let list = format!("{name}-list");
        html! {
            (self.must(name).suggested(&list))
            (suggestions(&list, borrowed(names).into_iter()))
        }
    }

    /// Fields that are rarely used, closed until one of them is.
    pub(super) fn more(&self, summary: &str, fields: &[&str], body: &Markup) -> Markup {
        html! {
            details.disclosure open[self.touched(fields)] {
                summary { (summary) }
                div.disclosure-body.disclosure-fields { (body) }
            }
        }
    }
}

/// The options below a line that stands for none of them.
fn headed(none: &str, options: &[Pick]) -> Vec<Pick> {
    let mut all = vec![(String::new(), none.to_owned())];
    all.extend_from_slice(options);
    all
}
