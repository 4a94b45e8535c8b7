//! What may be written: the same rules for jots, forms and imports.
//!
//! [`check_draft`] looks at one entry against the bench it is for, [`check_record`] at one set-up
//! record by itself. Both return every problem found, none when the record can stand.

mod acts;
mod entry;
mod reading;
mod record;
mod setup;
mod walk;

pub use entry::check_draft;
pub use record::check_record;
pub use walk::WALKED;

use std::fmt;
use text::t;

/// One field that cannot stand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// The field, as forms and files name it.
    pub field: &'static str,
    /// What was given; empty when nothing was.
    pub value: String,
    /// What is accepted.
    pub accepted: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let said = if self.value.trim().is_empty() {
            t!(
                "act.rule_missing",
                field = self.field,
                accepted = self.accepted
            )
        } else {
            t!(
                "act.rule_refused",
                field = self.field,
                value = self.value,
                accepted = self.accepted
            )
        };
        f.write_str(&said)
    }
}

impl std::error::Error for Problem {}

/// Gathers problems.
#[derive(Default)]
struct Found(Vec<Problem>);

impl Found {
    fn add(&mut self, field: &'static str, value: impl fmt::Display, accepted: impl fmt::Display) {
        self.0.push(Problem {
            field,
            value: value.to_string(),
            accepted: accepted.to_string(),
        });
    }

    fn require(
        &mut self,
        ok: bool,
        field: &'static str,
        value: impl fmt::Display,
        accepted: impl fmt::Display,
    ) {
        if !ok {
            self.add(field, value, accepted);
        }
    }

    /// A number from `low` to `high`, both included.
    fn within(&mut self, field: &'static str, value: Option<f64>, low: f64, high: f64, unit: &str) {
        let Some(v) = value else { return };
        if !(v.is_finite() && low <= v && v <= high) {
            let unit = spaced(unit);
            let accepted = t!("act.rule_within", low = low, high = high, unit = unit);
            self.add(field, v, accepted);
        }
    }

    /// A finite number above zero.
    fn positive(&mut self, field: &'static str, value: Option<f64>, unit: &str) {
        let Some(v) = value else { return };
        if !(v.is_finite() && v > 0.0) {
            self.add(field, v, t!("act.rule_positive", unit = spaced(unit)));
        }
    }

    /// A finite number of at least zero.
    fn not_negative(&mut self, field: &'static str, value: Option<f64>, unit: &str) {
        let Some(v) = value else { return };
        if !(v.is_finite() && v >= 0.0) {
            self.add(field, v, t!("act.rule_not_negative", unit = spaced(unit)));
        }
    }

    /// A share above 0 and up to 1.
    fn share(&mut self, field: &'static str, value: Option<f64>) {
        let Some(v) = value else { return };
        if !(v.is_finite() && v > 0.0 && v <= 1.0) {
            self.add(field, v, t!("act.rule_share"));
        }
    }

    /// At least one thing counted.
    fn counted(&mut self, field: &'static str, value: Option<u32>) {
        if value == Some(0) {
            self.add(field, 0, t!("act.rule_count"));
        }
    }

    /// Words that say something.
    fn words(&mut self, field: &'static str, value: &str) {
        if value.trim().is_empty() {
            self.add(field, "", t!("act.rule_words"));
        }
    }

    /// An ISO 4217 price.
    fn price(&mut self, field: &'static str, value: Option<&crate::types::Money>) {
        let Some(money) = value else { return };
        self.not_negative(field, Some(money.amount), "");
        let three =
            money.currency.len() == 3 && money.currency.chars().all(|c| c.is_ascii_uppercase());
        self.require(three, field, &money.currency, t!("act.rule_currency"));
    }
}

fn spaced(unit: &str) -> String {
    if unit.is_empty() {
        String::new()
    } else {
        format!(" {unit}")
    }
}
