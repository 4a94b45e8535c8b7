//! An interval in words. Numbers come in already printed with the digits they deserve.

use maud::{Markup, html};

/// What is known of a quantity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Known<'a> {
    /// Between two ends, ends included.
    Between(&'a str, &'a str),
    /// A best value within two ends.
    About(&'a str, &'a str, &'a str),
    /// One end only: beyond the last step of a card, a one-sided bound.
    AtLeast(&'a str),
    /// One end only.
    AtMost(&'a str),
    /// Nothing, and why.
    Not(&'a str),
}

/// An interval with its unit and, where it has one, its level ("95 %").
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct IntervalText<'a> {
    /// The ends.
    pub known: Known<'a>,
    /// Unit, or empty for a plain number.
    pub unit: &'a str,
    /// Level such as "90 %"; `None` for a reading, whose ends are the card's steps.
    pub level: Option<&'a str>,
}

impl IntervalText<'_> {
    /// The words alone: "6 to 12 mg/L", "at least 3 mg/L", "about 8 (6 to 12) mg/L, 90 % interval".
    #[must_use]
    pub fn words(&self) -> String {
        let core = match self.known {
            Known::Between(low, high) => format!("{low} to {high}"),
            Known::About(value, low, high) => format!("about {value} ({low} to {high})"),
            Known::AtLeast(low) => format!("at least {low}"),
            Known::AtMost(high) => format!("at most {high}"),
            Known::Not(why) => return format!("not known: {why}"),
        };
        let unit = if self.unit.is_empty() {
            String::new()
        } else {
            format!("\u{a0}{}", self.unit)
        };
        let kind = match self.known {
            Known::AtLeast(_) | Known::AtMost(_) => "bound",
            _ => "interval",
        };
        let level = self
            .level
            .map_or_else(String::new, |level| format!(", {level} {kind}"));
        format!("{core}{unit}{level}")
    }
}

/// An interval inside a sentence or a table cell.
pub fn interval(text: &IntervalText<'_>) -> Markup {
    html! { span.interval { (text.words()) } }
}

#[cfg(test)]
mod tests {
    use super::{IntervalText, Known};

    fn words(known: Known<'_>, unit: &str, level: Option<&str>) -> String {
        IntervalText { known, unit, level }
            .words()
            .replace('\u{a0}', " ")
    }

    #[test]
    fn an_interval_never_travels_without_its_level() {
        assert_eq!(
            words(Known::Between("6", "12"), "mg/L", None),
            "6 to 12 mg/L"
        );
        assert_eq!(words(Known::AtLeast("3"), "mg/L", None), "at least 3 mg/L");
        assert_eq!(
            words(Known::AtMost("0.4"), "", Some("95 %")),
            "at most 0.4, 95 % bound"
        );
        assert_eq!(
            words(Known::About("8", "6", "12"), "mg/L", Some("90 %")),
            "about 8 (6 to 12) mg/L, 90 % interval"
        );
        assert_eq!(
            words(Known::Not("no reading"), "mg/L", Some("90 %")),
            "not known: no reading"
        );
    }
}
