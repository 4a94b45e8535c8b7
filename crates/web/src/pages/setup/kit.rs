//! What every set-up form is made of. A field is known by one name: its label, unit, hint and
//! choices follow from it, so that the form, its errors and the list of earlier versions agree.
//!
//! Fields of a repeated row carry the row's number behind their name: `lumens-2`.

use maud::{Markup, html};
use text::t;
use trial::Bench;

use super::choices::choices;
use crate::form_data::FormState;
use crate::parts::button::Button;
use crate::parts::fields::Named;

/// Empty rows offered beyond those in use.
const SPARE_ROWS: usize = 1;
/// The most rows of one kind; more belong into another record.
pub(super) const MOST_ROWS: usize = 40;
/// The button that brings the form back without saving: more rows, the zone drawn.
pub(super) const AGAIN: &str = "again";

/// A field's name without its row, and the row.
pub(super) fn split(name: &str) -> (&str, Option<usize>) {
    match name.rsplit_once('-') {
        Some((base, row)) => match row.parse() {
            Ok(row) => (base, Some(row)),
            Err(_) => (name, None),
        },
        None => (name, None),
    }
}

/// The name of a field in a row, counted from 1.
pub(super) fn nth(base: &str, row: usize) -> String {
    format!("{base}-{row}")
}

/// The label of a field, without its row.
pub(super) fn label(name: &str) -> String {
    let base = split(name).0;
    match base
        .strip_prefix("level")
        .and_then(|arm| arm.parse::<usize>().ok())
    {
        Some(arm) => t!("setup.f_level", arm = arm),
        None => text::raw(&format!("setup.f_{base}")).to_owned(),
    }
}

/// The label in sentences: with its row when it has one.
pub(super) fn full_label(name: &str) -> String {
    match split(name).1 {
        Some(row) => t!("setup.in_row", label = label(name), row = row),
        None => label(name),
    }
}

fn hint(name: &str) -> Option<String> {
    let key = format!("setup.h_{}", split(name).0);
    text::has(&key).then(|| text::raw(&key).to_owned())
}

/// The unit behind a number field; names end in it.
pub(super) fn unit(name: &str) -> &'static str {
    match split(name).0 {
        "lumens" => "lm",
        "watts" | "heater_watts" | "power_w" => "W",
        "ppf_umol_s" => "\u{b5}mol/s",
        "flow_l_h" => "L/h",
        "hours_per_day" => "h",
        "life_months" => t!("setup.unit_months"),
        "every_days" => t!("setup.unit_days"),
        "grams" => "g",
        base => match base.rsplit_once('_').map(|(_, end)| end) {
            Some("cm") => "cm",
            Some("l") => "L",
            Some("kg") => "kg",
            Some("g") => "g",
            Some("mg") => "mg",
            Some("ml") => "mL",
            Some("pct") => "%",
            Some("h") => "h",
            Some("c") => "\u{b0}C",
            _ => "",
        },
    }
}

/// Fields that may not stay empty.
fn needed(name: &str) -> bool {
    matches!(
        split(name),
        (
            "title"
                | "zone"
                | "name"
                | "scientific_name"
                | "steps"
                | "what"
                | "from"
                | "analyte"
                | "new_question"
                | "new_factor"
                | "new_zone"
                | "given",
            None
        )
    )
}

/// Draws the fields of one form.
#[derive(Clone, Copy)]
pub(super) struct Ink<'a> {
    pub(super) state: &'a FormState,
    pub(super) bench: &'a Bench,
}

impl Ink<'_> {
    /// The field of that name.
    pub(super) fn field<'f>(&'f self, name: &'f str) -> Named<'f> {
        Named {
            state: self.state,
            name,
            label: label(name),
            hint: hint(name),
            optional: !needed(name),
        }
    }

    /// The field of that name, which may not stay empty.
    pub(super) fn required<'f>(&'f self, name: &'f str) -> Named<'f> {
        Named {
            optional: false,
            ..self.field(name)
        }
    }

    /// The field of that name, under a label of the page's own.
    pub(super) fn field_named<'f>(&'f self, name: &'f str, label: &str) -> Named<'f> {
        Named {
            label: label.to_owned(),
            hint: None,
            ..self.field(name)
        }
    }

    pub(super) fn text(&self, name: &str) -> Markup {
        self.field(name).text()
    }

    /// A text whose label carries its row.
    pub(super) fn text_numbered(&self, name: &str, row: usize) -> Markup {
        let field = self.field(name);
        let label = format!("{} {row}", field.label);
        Named { label, ..field }.text()
    }

    pub(super) fn number(&self, name: &str) -> Markup {
        self.field(name).number(unit(name))
    }

    /// One of the choices that go with the field's name.
    pub(super) fn select(&self, name: &str) -> Markup {
        self.field(name).select(&choices(split(name).0, self.bench))
    }

    /// One of a few choices that go with the field's name.
    pub(super) fn radio(&self, name: &str) -> Markup {
        self.field(name).radio(&choices(split(name).0, self.bench))
    }

    /// Any of the choices that go with the field's name.
    pub(super) fn checks(&self, name: &str) -> Markup {
        self.field(name).checks(&choices(split(name).0, self.bench))
    }

    /// Every tank, or some.
    pub(super) fn tanks(&self, name: &str) -> Markup {
        Named {
            optional: false,
            ..self.field(name)
        }
        .tanks(self.bench)
    }

    /// The number of rows to show: those in use, and a spare one.
    pub(super) fn rows(&self, bases: &[&str]) -> usize {
        (rows_used(self.state.data.iter(), bases) + SPARE_ROWS).min(MOST_ROWS)
    }

    /// Repeated rows, each a group headed by `title` and its number, and the button for more.
    pub(super) fn repeated(
        &self,
        title: &str,
        bases: &[&str],
        draw: impl Fn(usize) -> Markup,
    ) -> Markup {
        html! {
            @for n in 1..=self.rows(bases) {
                fieldset.setup-row {
                    legend { (title) " " (n) }
                    (draw(n))
                }
            }
            div.actions { (Button::new(t!("setup.more_rows")).quiet().sends(AGAIN, "1")) }
        }
    }
}

/// The highest row with something in it, by the fields `bases`.
pub(super) fn rows_used<'a>(
    pairs: impl Iterator<Item = (&'a str, &'a str)>,
    bases: &[&str],
) -> usize {
    pairs
        .filter(|(_, value)| !value.trim().is_empty())
        .filter_map(|(name, _)| match split(name) {
            (base, Some(row)) if bases.contains(&base) => Some(row),
            _ => None,
        })
        .max()
        .unwrap_or(0)
        .min(MOST_ROWS)
}

/// A part of a form under its heading.
pub(super) fn part(title: &str, body: &Markup) -> Markup {
    html! { section.setup-part { h2 { (title) } (body) } }
}
