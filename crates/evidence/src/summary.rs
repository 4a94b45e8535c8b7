//! Means, spreads and medians with little rounding, and the checks every list goes through.

use serde::Serialize;

use crate::{NoAnswer, Refusal, Unusable};

/// Largest magnitude accepted, so that sums of squares stay finite.
const LARGEST: f64 = 1e100;

/// An interval with its level; the unit is that of the estimate it belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Interval {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Level, between 0 and 1, such as 0.95.
    pub level: f64,
}

/// Number, mean and centred sum of squares of a list.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Moments {
    /// Number of values.
    pub n: usize,
    /// Mean.
    pub mean: f64,
    /// Sum of squared deviations from the mean.
    pub sum_of_squares: f64,
}

impl Moments {
    /// Variance with n - 1 below, or nothing for a single value.
    #[must_use]
    pub fn variance(&self) -> Option<f64> {
        (self.n >= 2).then(|| self.sum_of_squares / count(self.n - 1))
    }
}

/// A count as a number; exact below 2^53, which no list reaches.
#[must_use]
#[allow(clippy::cast_precision_loss)] // counts of tanks and allocations are far below 2^53
pub fn count(n: usize) -> f64 {
    n as f64
}

/// Sum with the rounding error carried along.
///
/// Source: Neumaier 1974, Zeitschrift fuer angewandte Mathematik und Mechanik 54:39-51 (from
/// memory).
#[must_use]
pub fn sum(values: impl IntoIterator<Item = f64>) -> f64 {
    let mut total = 0.0_f64;
    let mut lost = 0.0_f64;
    for value in values {
        let next = total + value;
        lost += if total.abs() >= value.abs() {
            (total - next) + value
        } else {
            (value - next) + total
        };
        total = next;
    }
    total + lost
}

/// Mean and centred sum of squares in two passes.
///
/// # Errors
/// [`Refusal::NoValues`] for an empty list, [`Unusable::NotANumber`] for values that are no
/// numbers; `what` names the list.
pub fn moments(what: &str, values: &[f64]) -> Result<Moments, NoAnswer> {
    check(what, values)?;
    if values.is_empty() {
        return Err(Refusal::NoValues { what: what.into() }.into());
    }
    let n = count(values.len());
    let mean = sum(values.iter().copied()) / n;
    let drift = sum(values.iter().map(|v| v - mean));
    let squares = sum(values.iter().map(|v| (v - mean) * (v - mean)));
    Ok(Moments {
        n: values.len(),
        mean,
        sum_of_squares: (squares - drift * drift / n).max(0.0),
    })
}

/// Median; the mean of the middle two for an even number.
///
/// # Errors
/// As [`moments`].
pub fn median(what: &str, values: &[f64]) -> Result<f64, NoAnswer> {
    check(what, values)?;
    if values.is_empty() {
        return Err(Refusal::NoValues { what: what.into() }.into());
    }
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    Ok(median_of_sorted(&sorted))
}

pub(crate) fn median_of_sorted(sorted: &[f64]) -> f64 {
    let half = sorted.len() / 2;
    if sorted.len() % 2 == 1 {
        sorted[half]
    } else {
        f64::midpoint(sorted[half - 1], sorted[half])
    }
}

/// Passes when every value is a number of usable size.
pub(crate) fn check(field: &str, values: &[f64]) -> Result<(), Unusable> {
    match values
        .iter()
        .position(|v| !v.is_finite() || v.abs() > LARGEST)
    {
        None => Ok(()),
        Some(at) => Err(Unusable::NotANumber {
            field: field.into(),
            position: at + 1,
            value: values[at].to_string(),
        }),
    }
}

/// Nearest a level, an alpha or a power may come to 0 or 1; beyond it quantiles overflow.
const EDGE: f64 = 1e-9;

/// Passes when the value lies between 0 and 1 and not within a billionth of either.
pub(crate) fn check_share(field: &str, value: f64) -> Result<(), Unusable> {
    if (EDGE..=1.0 - EDGE).contains(&value) {
        Ok(())
    } else {
        Err(Unusable::OutOfRange {
            field: field.into(),
            value: value.to_string(),
            accepted: "a number above 0 and below 1, at least 1e-9 from both".into(),
        })
    }
}

/// Passes when the value is a usable number above zero.
pub(crate) fn check_above_zero(field: &str, value: f64) -> Result<(), Unusable> {
    if value > 0.0 && value <= LARGEST {
        Ok(())
    } else {
        Err(Unusable::OutOfRange {
            field: field.into(),
            value: value.to_string(),
            accepted: "a number above 0".into(),
        })
    }
}

/// Passes when two lists have the same length.
pub(crate) fn check_lengths(
    first: &str,
    first_len: usize,
    second: &str,
    second_len: usize,
) -> Result<(), Unusable> {
    if first_len == second_len {
        Ok(())
    } else {
        Err(Unusable::LengthsDiffer {
            first: first.into(),
            first_len,
            second: second.into(),
            second_len,
        })
    }
}

/// Whether a spread is only rounding: a standard error under ten units in the last place of the
/// largest value, the rule R's `t.test` uses to call data essentially constant.
pub(crate) fn only_rounding(se: f64, values: &[&[f64]]) -> bool {
    let largest = values
        .iter()
        .flat_map(|list| list.iter())
        .fold(0.0_f64, |m, v| m.max(v.abs()));
    se <= 10.0 * f64::EPSILON * largest
}
