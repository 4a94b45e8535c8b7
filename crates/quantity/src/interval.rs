//! A closed, half-open or unbounded stretch of the real line.

use serde::{Deserialize, Serialize};
use std::fmt;

/// What a reading says: the true value lies from `low` to `high`; a missing end is open.
///
/// `low: None` means "at most `high`", `high: None` means "at least `low`", both missing means that
/// nothing is known. Ends are finite and `low <= high`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "RawInterval")]
pub struct Interval {
    low: Option<f64>,
    high: Option<f64>,
}

#[derive(Deserialize)]
struct RawInterval {
    low: Option<f64>,
    high: Option<f64>,
}

impl TryFrom<RawInterval> for Interval {
    type Error = IntervalError;
    fn try_from(raw: RawInterval) -> Result<Self, IntervalError> {
        Interval::new(raw.low, raw.high)
    }
}

/// Why two ends do not make an interval.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum IntervalError {
    /// An end is not a finite number.
    #[error("an interval's end must be a finite number, not {0}")]
    NotFinite(f64),
    /// The ends are the wrong way round.
    #[error("an interval goes from low to high: {low} is above {high}")]
    Reversed {
        /// The end given as low.
        low: f64,
        /// The end given as high.
        high: f64,
    },
}

impl Interval {
    /// Nothing known.
    pub const UNBOUNDED: Interval = Interval {
        low: None,
        high: None,
    };

    /// From `low` to `high`, either of which may be open.
    pub fn new(low: Option<f64>, high: Option<f64>) -> Result<Self, IntervalError> {
        for end in [low, high].into_iter().flatten() {
            if !end.is_finite() {
                return Err(IntervalError::NotFinite(end));
            }
        }
        match (low, high) {
            (Some(low), Some(high)) if low > high => Err(IntervalError::Reversed { low, high }),
            _ => Ok(Interval { low, high }),
        }
    }

    /// Both ends closed.
    pub fn closed(low: f64, high: f64) -> Result<Self, IntervalError> {
        Self::new(Some(low), Some(high))
    }

    /// "At least `low`".
    pub fn at_least(low: f64) -> Result<Self, IntervalError> {
        Self::new(Some(low), None)
    }

    /// "At most `high`".
    pub fn at_most(high: f64) -> Result<Self, IntervalError> {
        Self::new(None, Some(high))
    }

    /// A value known exactly (a count, a definition).
    pub fn point(value: f64) -> Result<Self, IntervalError> {
        Self::closed(value, value)
    }

    /// The lower end, `None` when open.
    pub fn low(&self) -> Option<f64> {
        self.low
    }

    /// The upper end, `None` when open.
    pub fn high(&self) -> Option<f64> {
        self.high
    }

    /// Whether both ends are closed.
    pub fn is_closed(&self) -> bool {
        self.low.is_some() && self.high.is_some()
    }

    /// Whether `value` can be true.
    pub fn contains(&self, value: f64) -> bool {
        self.low.is_none_or(|l| l <= value) && self.high.is_none_or(|h| value <= h)
    }

    /// Width of a closed interval.
    pub fn width(&self) -> Option<f64> {
        Some(self.high? - self.low?)
    }

    /// Middle of a closed interval: a place to draw a label, never a value to compute with alone.
    pub fn middle(&self) -> Option<f64> {
        Some(self.low? + (self.high? - self.low?) / 2.0)
    }

    /// What both statements allow; `None` when they contradict each other.
    pub fn intersect(&self, other: &Interval) -> Option<Interval> {
        let low = match (self.low, other.low) {
            (Some(a), Some(b)) => Some(a.max(b)),
            (a, b) => a.or(b),
        };
        let high = match (self.high, other.high) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b),
        };
        Interval::new(low, high).ok()
    }

    /// The image under an increasing function, which must give finite values.
    pub fn map_increasing(&self, f: impl Fn(f64) -> f64) -> Result<Interval, IntervalError> {
        Interval::new(self.low.map(&f), self.high.map(&f))
    }
}

impl fmt::Display for Interval {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.low, self.high) {
            (Some(l), Some(h)) if l == h => write!(f, "{l}"),
            (Some(l), Some(h)) => write!(f, "{l} to {h}"),
            (Some(l), None) => write!(f, "at least {l}"),
            (None, Some(h)) => write!(f, "at most {h}"),
            (None, None) => write!(f, "not known"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn refuses_reversed_and_non_finite_ends() {
        assert!(matches!(
            Interval::closed(2.0, 1.0),
            Err(IntervalError::Reversed { .. })
        ));
        assert!(matches!(
            Interval::at_least(f64::NAN),
            Err(IntervalError::NotFinite(_))
        ));
        assert!(serde_json::from_str::<Interval>(r#"{"low":2.0,"high":1.0}"#).is_err());
    }

    proptest! {
        #[test]
        fn intersection_holds_exactly_the_shared_values(
            a in -10.0..10.0f64, wa in 0.0..10.0f64, b in -10.0..10.0f64, wb in 0.0..10.0f64,
            x in -25.0..25.0f64, open in 0u8..16,
        ) {
            let i = Interval::new((open & 1 == 0).then_some(a), (open & 2 == 0).then_some(a + wa))?;
            let j = Interval::new((open & 4 == 0).then_some(b), (open & 8 == 0).then_some(b + wb))?;
            let both = i.contains(x) && j.contains(x);
            prop_assert_eq!(i.intersect(&j).is_some_and(|k| k.contains(x)), both);
        }
    }
}
