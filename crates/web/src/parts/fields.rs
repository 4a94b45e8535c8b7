//! Fields that a form knows by their names, shared by all forms that write records: the field drawn
//! with its label, hint and what was typed; choices made of closed lists and of a trial's records;
//! and the fields and values that a recorded thing fills a form with.

use std::fmt::Display;

use maud::{Markup, html};
use text::t;
use trial::types::Money;
use trial::{Bench, Planting};

use super::form::{Choice, Field, row};
use crate::form_data::FormState;

/// The value sent and the label shown.
pub type Pick = (String, String);

/// Picks as the fields take them.
#[must_use]
pub fn borrowed(picks: &[Pick]) -> Vec<Choice<'_>> {
    picks
        .iter()
        .map(|(value, label)| (value.as_str(), label.as_str()))
        .collect()
}

/// Picks of fixed values.
#[must_use]
pub fn picks(list: &[Choice<'_>]) -> Vec<Pick> {
    let owned = |(value, label): &Choice<'_>| ((*value).to_owned(), (*label).to_owned());
    list.iter().map(owned).collect()
}

/// The tanks of a trial.
#[must_use]
pub fn tank_picks(bench: &Bench) -> Vec<Pick> {
    let tanks = bench.tanks.iter();
    tanks.map(|t| (t.id.to_string(), t.name.clone())).collect()
}

/// The plantings of a trial, tank by tank.
#[must_use]
pub fn planting_picks(bench: &Bench) -> Vec<Pick> {
    let of_tank = |tank: &trial::Tank| -> Vec<Pick> {
        let pick = |p: &Planting| {
            let label = t!("log.planting_in", tank = tank.name, plant = p.title());
            (p.id.to_string(), label)
        };
        bench.plantings_in(tank.id).map(pick).collect()
    };
    bench.tanks.iter().flat_map(of_tank).collect()
}

/// The source waters of a notebook.
#[must_use]
pub fn water_picks(bench: &Bench) -> Vec<Pick> {
    let waters = bench.waters.iter();
    waters.map(|w| (w.id.to_string(), w.name.clone())).collect()
}

/// The values of one closed list with their keys; the words of a value are the text `PREFIX_KEY`.
#[derive(Debug)]
pub struct Words<T: 'static>(pub &'static str, pub &'static [(T, &'static str)]);

impl<T: Copy + PartialEq> Words<T> {
    /// The key of a value; empty for one that is not in the list.
    #[must_use]
    pub fn key(&self, value: T) -> &'static str {
        let known = self.1.iter().find(|(v, _)| *v == value);
        known.map_or("", |(_, key)| key)
    }

    /// The value of a key.
    #[must_use]
    pub fn value(&self, key: &str) -> Option<T> {
        self.1.iter().find(|(_, k)| *k == key).map(|(v, _)| *v)
    }

    /// The words of a value.
    #[must_use]
    pub fn say(&self, value: T) -> String {
        text::raw(&format!("{}_{}", self.0, self.key(value))).to_owned()
    }

    /// Every value as a choice.
    #[must_use]
    pub fn picks(&self) -> Vec<Pick> {
        self.picks_named(|value| self.say(value))
    }

    /// Every value as a choice under other words.
    pub fn picks_named(&self, name: impl Fn(T) -> String) -> Vec<Pick> {
        let all = self.1.iter();
        all.map(|(value, key)| ((*key).to_owned(), name(*value)))
            .collect()
    }
}

/// A field with what its form knows of it by its name.
#[derive(Debug, Clone)]
pub struct Named<'a> {
    /// What was typed and what is wrong with it.
    pub state: &'a FormState,
    /// Its name in the form.
    pub name: &'a str,
    /// Its label.
    pub label: String,
    /// The line of help below the label.
    pub hint: Option<String>,
    /// Whether it may stay empty.
    pub optional: bool,
}

impl Named<'_> {
    fn drawn<'f>(&'f self, mut field: Field<'f>) -> Markup {
        if let Some(hint) = &self.hint {
            field = field.hint(hint);
        }
        if self.optional {
            field = field.optional();
        }
        html! { (field.fill(self.state)) }
    }

    /// One line of text.
    pub fn text(&self) -> Markup {
        self.drawn(Field::text(self.name, &self.label))
    }

    /// One line of text with names offered from the list with that id (see [`suggestions`]).
    pub fn suggested(&self, list: &str) -> Markup {
        self.drawn(Field::text(self.name, &self.label).suggest(list))
    }

    /// Several lines.
    pub fn area(&self, rows: u8) -> Markup {
        self.drawn(Field::area(self.name, &self.label, rows))
    }

    /// A number; `unit` may be empty.
    pub fn number(&self, unit: &str) -> Markup {
        self.drawn(Field::number(self.name, &self.label).unit(unit))
    }

    /// A day.
    pub fn date(&self) -> Markup {
        self.drawn(Field::date(self.name, &self.label))
    }

    /// A day with a time of day.
    pub fn moment(&self) -> Markup {
        self.drawn(Field::moment(self.name, &self.label))
    }

    /// A file of one of the kinds `accept`.
    pub fn file(&self, accept: &str) -> Markup {
        self.drawn(Field::file(self.name, &self.label, accept))
    }

    /// One of many, in a list that opens.
    pub fn select(&self, list: &[Pick]) -> Markup {
        self.drawn(Field::select(self.name, &self.label, &borrowed(list)))
    }

    /// One of a few, as large buttons.
    pub fn radio(&self, list: &[Pick]) -> Markup {
        self.drawn(Field::radio(self.name, &self.label, &borrowed(list)))
    }

    /// Any of a few, as large buttons.
    pub fn checks(&self, list: &[Pick]) -> Markup {
        self.drawn(Field::checks(self.name, &self.label, &borrowed(list)))
    }

    /// Every tank, or some.
    pub fn tanks(&self, bench: &Bench) -> Markup {
        let tanks = tank_picks(bench);
        self.drawn(Field::tanks(self.name, &self.label, &borrowed(&tanks)))
    }
}

/// The names a text field offers while typing, each with a word more; it takes any other text too.
pub fn suggestions<'a>(id: &str, names: impl Iterator<Item = (&'a str, &'a str)>) -> Markup {
    html! {
        datalist id=(id) { @for (name, more) in names { option value=(name) { (more) } } }
    }
}

/// Short fields beside each other, two of them even on a phone.
pub fn short_row(fields: &Markup) -> Markup {
    html! { div.short { (row(fields)) } }
}

/// A number as it is typed: all its digits, a point.
#[must_use]
pub fn typed(value: f64) -> String {
    // Percent that were shares carry a rest of rounding in the last bits: 29 % is 0.29 and back.
    let rounded = (value * 1e9).round() / 1e9;
    rounded.to_string()
}

/// Names and values of a form's fields, in order: what something recorded fills it with.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Pairs(pub Vec<(String, String)>);

impl Pairs {
    /// A value.
    pub fn put(&mut self, name: &str, value: impl Display) {
        self.0.push((name.to_owned(), value.to_string()));
    }

    /// A value, when there is one.
    pub fn maybe(&mut self, name: &str, value: Option<impl Display>) {
        if let Some(value) = value {
            self.put(name, value);
        }
    }

    /// A number, when there is one.
    pub fn number(&mut self, name: &str, value: Option<f64>) {
        self.maybe(name, value.map(typed));
    }

    /// A share of 1, in percent.
    pub fn share(&mut self, name: &str, value: Option<f64>) {
        self.number(name, value.map(|share| share * 100.0));
    }

    /// An amount of money in one field and its currency in another.
    pub fn money(&mut self, amount: &str, currency: &str, money: Option<&Money>) {
        self.number(amount, money.map(|m| m.amount));
        self.maybe(currency, money.map(|m| &m.currency));
    }

    /// These and then others.
    #[must_use]
    pub fn and(mut self, others: Self) -> Self {
        self.0.extend(others.0);
        self
    }

    /// Whether a field has a value.
    #[must_use]
    pub fn has(&self, name: &str) -> bool {
        self.0.iter().any(|(n, _)| n == name)
    }
}
