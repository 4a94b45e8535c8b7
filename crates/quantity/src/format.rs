//! Every number a person reads goes through here.

use crate::{Amount, Estimate, EstimateKind, Interval};

/// How numbers are written: the decimal sign of the keeper's place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Format {
    /// `.` or `,`.
    pub decimal_sign: char,
}

impl Default for Format {
    fn default() -> Self {
        Format { decimal_sign: '.' }
    }
}

/// True minus, so that negative numbers align and wrap well.
const MINUS: char = '\u{2212}';

impl Format {
    /// `value` with at most `significant` significant digits and no trailing zeros after the sign.
    pub fn significant(&self, value: f64, significant: usize) -> String {
        if !value.is_finite() {
            return "not a number".to_string();
        }
        if value == 0.0 {
            return "0".to_string();
        }
        let magnitude = value.abs().log10().floor() as i32;
        let decimals = (significant as i32 - 1 - magnitude).clamp(0, 12) as usize;
        let scale = 10f64.powi(magnitude - significant as i32 + 1).max(1.0);
        let rounded = (value / scale).round() * scale;
        let value = if decimals == 0 { rounded } else { value };
        self.trim(&format!("{value:.decimals$}"))
    }

    /// `value` with exactly `decimals` digits after the sign.
    pub fn fixed(&self, value: f64, decimals: usize) -> String {
        let text = format!("{value:.decimals$}");
        let negative_zero = text
            .trim_start_matches('-')
            .chars()
            .all(|c| c == '0' || c == '.');
        self.sign(if negative_zero {
            text.trim_start_matches('-')
        } else {
            &text
        })
    }

    /// A number as the record holds it: the shortest text that reads back to the same value.
    pub fn plain(&self, value: f64) -> String {
        self.sign(&format!("{value}"))
    }

    /// A number with its unit, as written.
    pub fn amount(&self, amount: Amount) -> String {
        let number = self.significant(amount.value, 6);
        let unit = match amount.unit {
            crate::Unit::Litre => "L",
            crate::Unit::Millilitre => "mL",
            crate::Unit::Celsius => "\u{b0}C",
            crate::Unit::Fahrenheit => "\u{b0}F",
            other => other.symbol(),
        };
        format!("{number}\u{a0}{unit}")
    }

    /// A share as a percentage.
    pub fn percent(&self, share: f64) -> String {
        format!("{}\u{a0}%", self.significant(share * 100.0, 3))
    }

    /// An interval in words: `6 to 12`, `at least 3`.
    pub fn interval(&self, interval: &Interval, significant: usize) -> String {
        let n = |v| self.significant(v, significant);
        match (interval.low(), interval.high()) {
            (Some(l), Some(h)) if l == h => n(l),
            (Some(l), Some(h)) => format!("{} to {}", n(l), n(h)),
            (Some(l), None) => format!("at least {}", n(l)),
            (None, Some(h)) => format!("at most {}", n(h)),
            (None, None) => "not known".to_string(),
        }
    }

    /// An estimate in words; a refusal gives its reason.
    pub fn estimate(&self, estimate: &Estimate, significant: usize) -> String {
        let n = |v| self.significant(v, significant);
        match (&estimate.kind, estimate.value, estimate.interval()) {
            (EstimateKind::Refused { reason, .. }, ..) => reason.clone(),
            (EstimateKind::ErrorNotStated, Some(v), _) => format!("{} (error not stated)", n(v)),
            (EstimateKind::Exact, Some(v), _) => n(v),
            (EstimateKind::Confidence | EstimateKind::Credible, Some(v), Some(i)) => {
                let level = estimate.level.unwrap_or(f64::NAN);
                format!(
                    "{} ({} to {}, {})",
                    n(v),
                    self.end(i.low(), significant),
                    self.end(i.high(), significant),
                    self.percent(level)
                )
            }
            (_, _, Some(i)) => self.interval(&i, significant),
            (_, Some(v), None) => n(v),
            _ => "not known".to_string(),
        }
    }

    fn end(&self, end: Option<f64>, significant: usize) -> String {
        end.map_or_else(|| "open".to_string(), |v| self.significant(v, significant))
    }

    fn trim(&self, text: &str) -> String {
        let text = if text.contains('.') {
            text.trim_end_matches('0').trim_end_matches('.')
        } else {
            text
        };
        self.sign(text)
    }

    fn sign(&self, text: &str) -> String {
        text.chars()
            .map(|c| match c {
                '.' => self.decimal_sign,
                '-' => MINUS,
                other => other,
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Basis, Unit};

    #[test]
    fn digits_follow_the_size() {
        let f = Format::default();
        assert_eq!(f.significant(0.061_34, 2), "0.061");
        assert_eq!(f.significant(1234.5, 3), "1230");
        assert_eq!(f.significant(12.0, 3), "12");
        assert_eq!(f.significant(-0.5, 2), "\u{2212}0.5");
        assert_eq!(f.fixed(-0.001, 1), "0.0");
        assert_eq!(f.amount(Amount::new(5.0, Unit::Millilitre)), "5\u{a0}mL");
    }

    #[test]
    fn a_comma_where_the_keeper_wants_one() {
        let f = Format { decimal_sign: ',' };
        assert_eq!(f.significant(0.5, 2), "0,5");
    }

    #[test]
    fn intervals_and_estimates_read_as_sentences() {
        let f = Format::default();
        let i = Interval::at_least(3.0).unwrap();
        assert_eq!(f.interval(&i, 3), "at least 3");
        let e = Estimate::confidence(1.2, 0.9, 1.6, 0.95, Basis::default());
        assert_eq!(f.estimate(&e, 2), "1.2 (0.9 to 1.6, 95\u{a0}%)");
    }
}
