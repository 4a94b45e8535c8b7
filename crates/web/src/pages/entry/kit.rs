//! Drawing the fields of entry forms, with labels and hints from the texts.
//!
//! A field's label is `log.f_KIND_FIELD` or else `log.f_FIELD`, its hint `log.h_...` likewise, so a
//! field is drawn and its errors are named by its name alone.

use maud::{Markup, html};
use text::t;
use trial::Bench;

use crate::form_data::FormState;
use crate::parts::form::{Choice, Field};

/// Longest name of something, in characters.
pub(super) const NAME: usize = 120;
/// Longest note.
pub(super) const NOTE: usize = 4000;

/// The value sent and the label shown.
pub(super) type Pick = (String, String);

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

/// A number as it is typed: all its digits, a point.
pub(super) fn typed(value: f64) -> String {
    // Percent that were shares carry a rest of rounding in the last bits: 29 % is 0.29 and back.
    let rounded = (value * 1e9).round() / 1e9;
    rounded.to_string()
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

    fn done<'f>(&'f self, field: Field<'f>, hint: &'f str, optional: bool) -> Markup {
        let field = if hint.is_empty() {
            field
        } else {
            field.hint(hint)
        };
        let field = if optional { field.optional() } else { field };
        html! { (field.fill(self.state)) }
    }

    fn texts(&self, name: &str) -> (String, String) {
        (label(self.kind, name), text_of("h", self.kind, name))
    }

    /// A number that must be given.
    pub(super) fn number(&self, name: &str, unit: &str) -> Markup {
        let (label, hint) = self.texts(name);
        self.done(Field::number(name, &label).unit(unit), &hint, false)
    }

    /// A number that may be left out.
    pub(super) fn maybe(&self, name: &str, unit: &str) -> Markup {
        let (label, hint) = self.texts(name);
        self.done(Field::number(name, &label).unit(unit), &hint, true)
    }

    /// Words that must be given.
    pub(super) fn words(&self, name: &str) -> Markup {
        let (label, hint) = self.texts(name);
        self.done(Field::text(name, &label), &hint, false)
    }

    /// Words that may be left out.
    pub(super) fn maybe_words(&self, name: &str) -> Markup {
        let (label, hint) = self.texts(name);
        self.done(Field::text(name, &label), &hint, true)
    }

    /// A day that may be left out.
    pub(super) fn maybe_date(&self, name: &str) -> Markup {
        let (label, hint) = self.texts(name);
        self.done(Field::date(name, &label), &hint, true)
    }

    /// A day with a time of day.
    pub(super) fn moment(&self, name: &str, optional: bool) -> Markup {
        let (label, hint) = self.texts(name);
        self.done(Field::moment(name, &label), &hint, optional)
    }

    /// Several lines.
    pub(super) fn area(&self, name: &str, optional: bool) -> Markup {
        let (label, hint) = self.texts(name);
        self.done(Field::area(name, &label, 3), &hint, optional)
    }

    /// A file.
    pub(super) fn file(&self, name: &str, accept: &str) -> Markup {
        let (label, hint) = self.texts(name);
        self.done(Field::file(name, &label, accept), &hint, false)
    }

    /// One of a few, as buttons.
    pub(super) fn radio(&self, name: &str, options: &[Pick]) -> Markup {
        let (label, hint) = self.texts(name);
        let choices = choices(options);
        self.done(Field::radio(name, &label, &choices), &hint, false)
    }

    /// Any of a few, as buttons.
    pub(super) fn checks(&self, name: &str, options: &[Pick], optional: bool) -> Markup {
        let (label, hint) = self.texts(name);
        let choices = choices(options);
        self.done(Field::checks(name, &label, &choices), &hint, optional)
    }

    /// One of a few, in a list that opens; one is always set.
    pub(super) fn radio_list(&self, name: &str, options: &[Pick]) -> Markup {
        let (label, hint) = self.texts(name);
        let choices = choices(options);
        self.done(Field::select(name, &label, &choices), &hint, false)
    }

    /// One of many; the first line only says to choose.
    pub(super) fn select(&self, name: &str, options: &[Pick]) -> Markup {
        self.list(name, options, t!("log.choose"), false)
    }

    /// One of many, or none; nothing at all when there are none to choose from.
    pub(super) fn maybe_select(&self, name: &str, options: &[Pick]) -> Markup {
        if options.is_empty() && !self.touched(&[name]) {
            return html! {};
        }
        self.list(name, options, t!("log.none"), true)
    }

    fn list(&self, name: &str, options: &[Pick], empty: &str, optional: bool) -> Markup {
        let (label, hint) = self.texts(name);
        let mut all: Vec<Choice<'_>> = vec![("", empty)];
        all.extend(choices(options));
        self.done(Field::select(name, &label, &all), &hint, optional)
    }

    /// The tanks, "every tank" first.
    pub(super) fn tanks(&self) -> Markup {
        let (label, hint) = self.texts("tanks");
        let options = tank_options(self.bench);
        let choices = choices(&options);
        self.done(Field::tanks("tanks", &label, &choices), &hint, false)
    }

    /// One line of text with suggestions.
    pub(super) fn suggested(&self, name: &str, suggestions: &[Pick]) -> Markup {
        let (label, hint) = self.texts(name);
        let list = format!("{name}-list");
        html! {
            (self.done(Field::text(name, &label).suggest(&list), &hint, false))
            datalist id=(list) {
                @for (value, label) in suggestions { option value=(value) { (label) } }
            }
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

pub(super) fn choices(options: &[Pick]) -> Vec<Choice<'_>> {
    options
        .iter()
        .map(|(value, label)| (value.as_str(), label.as_str()))
        .collect()
}

/// Short fields two to a line, on a phone too.
pub(super) fn pairs(fields: &Markup) -> Markup {
    html! { div.field-row.number-row { (fields) } }
}

/// The tanks of a trial as choices.
pub(super) fn tank_options(bench: &Bench) -> Vec<Pick> {
    let tanks = bench.tanks.iter();
    tanks.map(|t| (t.id.to_string(), t.name.clone())).collect()
}

/// The plantings of a trial as choices, tank by tank.
pub(super) fn planting_options(bench: &Bench) -> Vec<Pick> {
    let mut options = Vec::new();
    for tank in &bench.tanks {
        for p in bench.plantings_in(tank.id) {
            let label = t!("log.planting_in", tank = tank.name, plant = p.title());
            options.push((p.id.to_string(), label));
        }
    }
    options
}

/// The source waters of a notebook as choices.
pub(super) fn water_options(bench: &Bench) -> Vec<Pick> {
    let waters = bench.waters.iter();
    waters.map(|w| (w.id.to_string(), w.name.clone())).collect()
}

/// Choices whose values are keys.
pub(super) fn keyed(options: &[(&str, &str)]) -> Vec<Pick> {
    let owned = |(key, label): &(&str, &str)| ((*key).to_owned(), (*label).to_owned());
    options.iter().map(owned).collect()
}
