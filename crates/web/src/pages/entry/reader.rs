//! Reading the fields of entry forms: every error is noted at its field, none stops the rest.

use jiff::civil::Date;
use text::t;
use trial::Bench;
use trial::rules::Problem;

use super::kinds;
use super::kit::label;
use crate::form_data::{FieldError, FieldErrors, FormData};
use crate::parts::fields::{Pick, borrowed};

/// Reads the fields of one form and gathers what is wrong.
pub(super) struct Reader<'a> {
    pub(super) kind: &'a str,
    pub(super) bench: &'a Bench,
    pub(super) data: &'a FormData,
    pub(super) errors: FieldErrors,
}

impl<'a> Reader<'a> {
    pub(super) fn new(kind: &'a str, bench: &'a Bench, data: &'a FormData) -> Self {
        Self {
            kind,
            bench,
            data,
            errors: FieldErrors::default(),
        }
    }

    /// A field as typed, ends trimmed.
    pub(super) fn typed(&self, name: &str) -> &'a str {
        self.data.one(name).unwrap_or_default().trim()
    }

    /// Notes an error at a field.
    pub(super) fn refuse(&mut self, name: &str, accepted: impl Into<String>) {
        self.refuse_value(name, self.typed(name), accepted);
    }

    /// Notes an error at a field whose value is not in the form, such as a file's name.
    pub(super) fn refuse_value(&mut self, name: &str, value: &str, accepted: impl Into<String>) {
        let label = label(self.kind, name);
        self.errors
            .add(FieldError::new(name, &label, value, accepted));
    }

    /// A number that must be given; which numbers make sense is for the rules to say.
    pub(super) fn number(&mut self, name: &str) -> Option<f64> {
        match quantity::parse::parse_number(&self.typed(name).replace('\u{2212}', "-")) {
            Ok(number) => Some(number),
            Err(_) => {
                self.refuse(name, t!("log.accept_number"));
                None
            }
        }
    }

    /// A number that may be left out.
    pub(super) fn maybe(&mut self, name: &str) -> Option<f64> {
        match self.typed(name) {
            "" => None,
            _ => self.number(name),
        }
    }

    /// Percent above 0 and up to 100, as a share; may be left out.
    pub(super) fn maybe_share(&mut self, name: &str) -> Option<f64> {
        let percent = self.maybe(name)?;
        if percent > 0.0 && percent <= 100.0 {
            return Some(percent / 100.0);
        }
        self.refuse(name, t!("log.accept_percent"));
        None
    }

    /// A whole number of at least 1; may be left out.
    pub(super) fn maybe_count(&mut self, name: &str) -> Option<u32> {
        match self.typed(name) {
            "" => None,
            _ => self.count(name, 1),
        }
    }

    /// A whole number that must be given.
    pub(super) fn count(&mut self, name: &str, least: u32) -> Option<u32> {
        let label = label(self.kind, name);
        let read = self.data.whole(name, &label, least..=1_000_000);
        self.errors.take(read)
    }

    /// Words that must be given.
    pub(super) fn words(&mut self, name: &str, longest: usize) -> Option<String> {
        let label = label(self.kind, name);
        self.errors.take(self.data.text(name, &label, longest))
    }

    /// Words that may be left out: empty then.
    pub(super) fn maybe_words(&mut self, name: &str, longest: usize) -> String {
        let label = label(self.kind, name);
        let read = self.data.text_or_empty(name, &label, longest);
        self.errors.take(read).unwrap_or_default()
    }

    /// A day that may be left out.
    pub(super) fn maybe_date(&mut self, name: &str) -> Option<Date> {
        if self.typed(name).is_empty() {
            return None;
        }
        let label = label(self.kind, name);
        self.errors.take(self.data.date(name, &label))
    }

    /// One of the values offered.
    pub(super) fn choice(&mut self, name: &str, options: &[Pick]) -> Option<String> {
        let label = label(self.kind, name);
        let chosen = self.data.choice(name, &label, &borrowed(options));
        self.errors.take(chosen).map(ToOwned::to_owned)
    }

    /// One of the values offered, or none.
    pub(super) fn maybe_choice(&mut self, name: &str, options: &[Pick]) -> Option<String> {
        match self.typed(name) {
            "" => None,
            _ => self.choice(name, options),
        }
    }

    /// One of the records offered.
    pub(super) fn id<I: std::str::FromStr>(&mut self, name: &str, options: &[Pick]) -> Option<I> {
        self.choice(name, options)?.parse().ok()
    }

    /// One of the records offered, or none.
    pub(super) fn maybe_id<I: std::str::FromStr>(
        &mut self,
        name: &str,
        options: &[Pick],
    ) -> Option<I> {
        self.maybe_choice(name, options)?.parse().ok()
    }

    /// Puts what the rules refused beside the fields of the form.
    pub(super) fn add_problems(&mut self, problems: &[Problem]) {
        for problem in problems {
            let field = form_field(self.kind, problem.field);
            // The tank follows from the planting: without one, only the planting is asked for.
            let follows = field == "tanks"
                && problems.len() > 1
                && kinds::tanks(self.kind) == kinds::Tanks::OfPlanting;
            if follows || self.errors.of(field).is_some() {
                continue;
            }
            let label = label(self.kind, field);
            let label = if label.is_empty() { field } else { &label };
            let value = match self.data.one(field) {
                Some(typed) if !typed.trim().is_empty() && !is_id(typed) => typed.trim(),
                _ => &problem.value,
            };
            let accepted = t!("log.accept_rule", what = problem.accepted);
            self.errors
                .add(FieldError::new(field, label, value, accepted));
        }
    }
}

fn is_id(typed: &str) -> bool {
    typed == FormData::EVERY || uuid::Uuid::try_parse(typed.trim()).is_ok()
}

/// The form's field that stands for a field of the rules.
fn form_field<'f>(kind: &str, rule: &'f str) -> &'f str {
    match (kind, rule) {
        ("change", "share" | "litres") => "amount",
        ("dose", "salt" | "product") => "of",
        ("swap", "price") => "price",
        ("trim" | "thin", "plantings") => "plants",
        ("setting", "setting") => "photoperiod_h",
        ("observation", "observation") => "vigour",
        ("algae", "algae" | "film") => "film_pane",
        ("algae", "thread") => "thread_pane",
        ("reading", "interval" | "card") => "value",
        _ => rule,
    }
}
