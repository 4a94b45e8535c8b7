//! Reading a set-up form: every field by its name, every error kept, one pass.

use jiff::civil::{Date, Time};
use trial::Bench;
use trial::rules::Problem;
use uuid::Uuid;

use super::choices::choices;
use super::kit::{full_label, nth, rows_used, split};
use crate::form_data::{Chosen, FieldError, FieldErrors, FormData};
use crate::parts::fields::borrowed;

/// The longest text of one line, and of several lines.
const LINE: usize = 300;
const PAGE: usize = 5000;
/// Numbers beyond this are slips of the hand in every field there is.
const FAR: f64 = 1e6;

/// Reads one form.
pub(super) struct Reader<'a> {
    pub(super) form: &'a FormData,
    pub(super) bench: &'a Bench,
    pub(super) today: Date,
    pub(super) errors: FieldErrors,
}

impl<'a> Reader<'a> {
    pub(super) fn new(form: &'a FormData, bench: &'a Bench, today: Date) -> Self {
        Self {
            form,
            bench,
            today,
            errors: FieldErrors::default(),
        }
    }

    /// What was typed, ends trimmed.
    pub(super) fn typed(&self, name: &str) -> &'a str {
        self.form.one(name).unwrap_or_default().trim()
    }

    /// Notes that what was typed in `name` is not accepted; the first note on a field stands.
    pub(super) fn refuse(&mut self, name: &str, accepted: impl Into<String>) {
        if self.errors.of(name).is_some() {
            return;
        }
        let error = FieldError::new(name, &full_label(name), self.typed(name), accepted);
        self.errors.add(error);
    }

    /// One line, empty when nothing was typed.
    pub(super) fn text(&mut self, name: &str) -> String {
        let read = self.form.text_or_empty(name, &full_label(name), LINE);
        self.errors.take(read).unwrap_or_default()
    }

    /// Several lines.
    pub(super) fn page(&mut self, name: &str) -> String {
        let read = self.form.text_or_empty(name, &full_label(name), PAGE);
        self.errors.take(read).unwrap_or_default()
    }

    /// A text that is there or not.
    pub(super) fn text_if_any(&mut self, name: &str) -> Option<String> {
        Some(self.page(name)).filter(|text| !text.is_empty())
    }

    pub(super) fn number(&mut self, name: &str) -> Option<f64> {
        self.number_from(name, 0.0)
    }

    /// A number that may be below zero.
    pub(super) fn signed(&mut self, name: &str) -> Option<f64> {
        self.number_from(name, -FAR)
    }

    fn number_from(&mut self, name: &str, low: f64) -> Option<f64> {
        let read = self.form.number_if_any(name, &full_label(name), low..=FAR);
        self.errors.take(read).flatten()
    }

    pub(super) fn whole(&mut self, name: &str, most: u32) -> Option<u32> {
        if self.typed(name).is_empty() {
            return None;
        }
        let read = self.form.whole(name, &full_label(name), 0..=most);
        self.errors.take(read)
    }

    pub(super) fn date(&mut self, name: &str) -> Option<Date> {
        if self.typed(name).is_empty() {
            return None;
        }
        let read = self.form.date(name, &full_label(name));
        self.errors.take(read)
    }

    /// A time of day like `11:00`.
    pub(super) fn time(&mut self, name: &str) -> Option<Time> {
        let typed = self.typed(name);
        if typed.is_empty() {
            return None;
        }
        let read = typed.parse().ok();
        if read.is_none() {
            self.refuse(name, text::t!("setup.accept_time"));
        }
        read
    }

    /// One of the choices that go with the name; `None` when none or the empty one is chosen.
    pub(super) fn choice(&mut self, name: &str) -> Option<String> {
        if self.typed(name).is_empty() {
            return None;
        }
        let owned = choices(split(name).0, self.bench);
        let read = self
            .form
            .choice(name, &full_label(name), &borrowed(&owned))
            .map(str::to_owned);
        self.errors.take(read)
    }

    /// A choice whose values are ids.
    pub(super) fn id(&mut self, name: &str) -> Option<Uuid> {
        self.choice(name).and_then(|id| Uuid::parse_str(&id).ok())
    }

    /// The tanks ticked; `None` for every tank.
    pub(super) fn tanks(&mut self, name: &str) -> Option<Vec<Uuid>> {
        let owned = choices("tanks", self.bench);
        let read = self.form.tanks(name, &full_label(name), &borrowed(&owned));
        match self.errors.take(read)? {
            Chosen::Every => None,
            Chosen::Only(ids) => Some(
                ids.iter()
                    .filter_map(|id| Uuid::parse_str(id).ok())
                    .collect(),
            ),
        }
    }

    /// The seed of a lot: as typed, or drawn now by the operating system when nothing was. A drawn
    /// one has 32 bits, so that it is easily written down.
    pub(super) fn seed(&mut self, name: &str) -> Option<u64> {
        let typed = self.typed(name);
        let seed = if typed.is_empty() {
            getrandom::u32().ok().map(u64::from)
        } else {
            let digits = typed.bytes().all(|b| b.is_ascii_digit());
            typed.parse().ok().filter(|_| digits)
        };
        if seed.is_none() {
            self.refuse(name, text::t!("setup.accept_seed"));
        }
        seed
    }

    /// Whether a box was ticked.
    pub(super) fn ticked(&self, name: &str, value: &str) -> bool {
        self.form.all(name).any(|v| v == value)
    }

    /// The rows with something in them, by the fields `bases`.
    pub(super) fn rows(&self, bases: &[&str]) -> Vec<usize> {
        let filled = |row: &usize| {
            bases
                .iter()
                .any(|base| !self.typed(&nth(base, *row)).is_empty())
        };
        (1..=rows_used(self.form.iter(), bases))
            .filter(filled)
            .collect()
    }

    /// Notes what the rules found wrong, each at its field. `known` are problems the record had
    /// before: they belong to another form.
    pub(super) fn add_problems(&mut self, problems: &[Problem], known: &[Problem]) {
        for problem in problems.iter().filter(|p| !known.contains(p)) {
            let name = self.place_of(problem);
            if self.errors.of(&name).is_none() {
                let accepted = text::t!("setup.accept", what = problem.accepted);
                let error = FieldError::new(&name, &full_label(&name), &problem.value, accepted);
                self.errors.add(error);
            }
        }
    }

    /// Everything that is wrong, in the order of the form.
    pub(super) fn into_errors(self) -> FieldErrors {
        let place = |error: &&FieldError| {
            let at = self.form.iter().position(|(name, _)| name == error.field);
            at.unwrap_or(usize::MAX)
        };
        let mut list: Vec<&FieldError> = self.errors.iter().collect();
        list.sort_by_key(place);
        let mut ordered = FieldErrors::default();
        list.into_iter()
            .cloned()
            .for_each(|error| ordered.add(error));
        ordered
    }

    /// The field a problem is about: in rows the one with that value, else the first of its name.
    fn place_of(&self, problem: &Problem) -> String {
        let base = match problem.field {
            "share" | "parts" => "share_pct",
            other => other,
        };
        let same = |typed: &str| {
            let number = typed.replace(',', ".").parse::<f64>().ok();
            typed.trim() == problem.value
                || number.is_some() && number == problem.value.parse::<f64>().ok()
        };
        let fields: Vec<(&str, &str)> = self
            .form
            .iter()
            .filter(|(name, _)| split(name).0 == base)
            .collect();
        let fitting = fields.iter().find(|(_, typed)| same(typed));
        fitting
            .or(fields.first())
            .map_or(base, |(name, _)| *name)
            .to_owned()
    }
}
