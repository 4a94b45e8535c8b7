//! A computed figure that never travels without its uncertainty and its working.

use crate::Interval;
use serde::{Deserialize, Serialize};

/// A figure with its interval, level, kind and basis; used by every answer.
///
/// A refused estimate has no `value` and no ends; its reason is in `kind`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Estimate {
    /// The best single figure, where one can stand at all.
    pub value: Option<f64>,
    /// Lower end; `None` when open or refused.
    pub low: Option<f64>,
    /// Upper end; `None` when open or refused.
    pub high: Option<f64>,
    /// Coverage of the interval (0.95 and the like); `None` for bounds and refusals.
    pub level: Option<f64>,
    /// What the interval means.
    pub kind: EstimateKind,
    /// Records, formulas and sources behind it.
    pub basis: Basis,
}

/// What the ends of an [`Estimate`] mean.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum EstimateKind {
    /// Known without error: a count, a definition.
    Exact,
    /// Hard ends: the value lies between them if the records are right.
    Bounds,
    /// A confidence interval at `level`.
    Confidence,
    /// A credible interval at `level`.
    Credible,
    /// A single figure whose error nobody stated: shown with those words, never compared.
    ErrorNotStated,
    /// No figure can be given.
    Refused {
        /// Stable code, listed in `docs/findings.md`.
        code: String,
        /// One sentence a keeper can act on.
        reason: String,
    },
}

/// Where a figure comes from.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Basis {
    /// Ids of the records used.
    pub records: Vec<String>,
    /// The formulas, in words or symbols.
    pub formulas: Vec<String>,
    /// Published sources, or `common practice, no source`.
    pub sources: Vec<String>,
}

impl Basis {
    /// A basis of one formula from one source.
    pub fn of(formula: impl Into<String>, source: impl Into<String>) -> Self {
        Basis {
            records: vec![],
            formulas: vec![formula.into()],
            sources: vec![source.into()],
        }
    }

    /// The same basis with these records.
    pub fn with_records(mut self, records: impl IntoIterator<Item = String>) -> Self {
        self.records.extend(records);
        self
    }
}

impl Estimate {
    /// A figure known without error.
    pub fn exact(value: f64, basis: Basis) -> Self {
        let v = Some(value);
        Estimate {
            value: v,
            low: v,
            high: v,
            level: None,
            kind: EstimateKind::Exact,
            basis,
        }
    }

    /// Hard ends, possibly open, with a best figure where one makes sense.
    pub fn bounds(value: Option<f64>, within: Interval, basis: Basis) -> Self {
        Estimate {
            value,
            low: within.low(),
            high: within.high(),
            level: None,
            kind: EstimateKind::Bounds,
            basis,
        }
    }

    /// A confidence interval.
    pub fn confidence(value: f64, low: f64, high: f64, level: f64, basis: Basis) -> Self {
        Estimate {
            value: Some(value),
            low: Some(low),
            high: Some(high),
            level: Some(level),
            kind: EstimateKind::Confidence,
            basis,
        }
    }

    /// A figure whose error nobody stated.
    pub fn error_not_stated(value: f64, basis: Basis) -> Self {
        Estimate {
            value: Some(value),
            low: None,
            high: None,
            level: None,
            kind: EstimateKind::ErrorNotStated,
            basis,
        }
    }

    /// No figure, and why.
    pub fn refused(code: impl Into<String>, reason: impl Into<String>, basis: Basis) -> Self {
        Estimate {
            value: None,
            low: None,
            high: None,
            level: None,
            kind: EstimateKind::Refused {
                code: code.into(),
                reason: reason.into(),
            },
            basis,
        }
    }

    /// The reason when refused.
    pub fn refusal(&self) -> Option<&str> {
        match &self.kind {
            EstimateKind::Refused { reason, .. } => Some(reason),
            _ => None,
        }
    }

    /// The ends as an interval; `None` when refused or with no stated error.
    pub fn interval(&self) -> Option<Interval> {
        match self.kind {
            EstimateKind::Refused { .. } | EstimateKind::ErrorNotStated => None,
            _ => Interval::new(self.low, self.high).ok(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_refusal_carries_no_number() {
        let e = Estimate::refused("one_tank_per_arm", "one tank per arm", Basis::default());
        assert_eq!((e.value, e.low, e.high, e.level), (None, None, None, None));
        assert!(e.interval().is_none());
        assert_eq!(e.refusal(), Some("one tank per arm"));
    }
}
