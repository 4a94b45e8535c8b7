//! The keeper's own colour card, and what seeing a step means.

use crate::ids::CardId;
use quantity::{Analyte, Interval, Means};
use serde::{Deserialize, Serialize};

/// A colour card as printed: the keeper enters its steps.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Card {
    /// Identity.
    pub id: CardId,
    /// What the keeper calls it.
    pub name: String,
    /// What it tests.
    pub analyte: Analyte,
    /// Whether its numbers mean the ion or the element.
    #[serde(default)]
    pub means: Means,
    /// The printed steps, rising.
    pub steps: Vec<f64>,
    /// True for the demonstration's cards.
    #[serde(default)]
    pub invented: bool,
}

/// What was seen, as it was seen.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(tag = "seen", rename_all = "snake_case")]
pub enum Seen {
    /// One printed step matched.
    Step {
        /// The step.
        step: f64,
    },
    /// Between two steps, or between any two values.
    Between {
        /// The lower one.
        low: f64,
        /// The upper one.
        high: f64,
    },
    /// At least this much.
    AtLeast {
        /// The value.
        value: f64,
    },
    /// At most this much.
    AtMost {
        /// The value.
        value: f64,
    },
    /// A meter's value.
    Meter {
        /// The value shown.
        value: f64,
        /// The stated error, plus or minus.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        error: Option<f64>,
        /// Digits shown behind the decimal sign; without a stated error the interval is what
        /// rounds to the value.
        #[serde(default)]
        decimals: u8,
    },
}

/// Why a card or a reading on it cannot stand.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CardError {
    /// A card needs at least two steps.
    #[error("card \"{0}\" needs at least two steps")]
    TooFewSteps(String),
    /// Steps must rise.
    #[error("card \"{card}\": steps must rise, but {after} follows {before}")]
    NotRising {
        /// The card's name.
        card: String,
        /// The step before.
        before: f64,
        /// The step after it.
        after: f64,
    },
    /// A step that is not printed on it.
    #[error("card \"{card}\" has no step {step}; it has {steps}")]
    NoSuchStep {
        /// The card's name.
        card: String,
        /// What was typed.
        step: f64,
        /// The printed steps.
        steps: String,
    },
    /// A value that cannot be.
    #[error("{0}")]
    Impossible(String),
}

impl Card {
    /// Checks that the card can be read from.
    pub fn check(&self) -> Result<(), CardError> {
        if self.steps.len() < 2 {
            return Err(CardError::TooFewSteps(self.name.clone()));
        }
        for pair in self.steps.windows(2) {
            if !(pair[0].is_finite() && pair[1].is_finite() && pair[0] < pair[1]) {
                return Err(CardError::NotRising {
                    card: self.name.clone(),
                    before: pair[0],
                    after: pair[1],
                });
            }
        }
        Ok(())
    }

    /// The steps as a list people can read.
    pub fn steps_text(&self) -> String {
        self.steps
            .iter()
            .map(f64::to_string)
            .collect::<Vec<_>>()
            .join(", ")
    }

    /// Whether `value` is printed on the card.
    pub fn has_step(&self, value: f64) -> bool {
        self.position(value).is_some()
    }

    fn position(&self, value: f64) -> Option<usize> {
        self.steps
            .iter()
            .position(|s| (s - value).abs() <= 1e-9 * s.abs().max(1.0))
    }

    /// What a reading on this card says, in the card's own numbers.
    ///
    /// One step seen: between the arithmetic midpoints to its neighbours; the first step is open
    /// below, the last open above. Between two steps: those two. See `docs/readings.md`.
    pub fn interval(&self, seen: Seen) -> Result<Interval, CardError> {
        self.check()?;
        match seen {
            Seen::Step { step } => {
                let i = self.position(step).ok_or_else(|| self.no_such(step))?;
                let midpoint = |a: f64, b: f64| a + (b - a) / 2.0;
                let low = (i > 0).then(|| midpoint(self.steps[i - 1], self.steps[i]));
                let high = self
                    .steps
                    .get(i + 1)
                    .map(|next| midpoint(self.steps[i], *next));
                Interval::new(low, high).map_err(|e| CardError::Impossible(e.to_string()))
            }
            Seen::Between { low, high } => {
                for end in [low, high] {
                    self.position(end).ok_or_else(|| self.no_such(end))?;
                }
                seen.interval()
            }
            other => other.interval(),
        }
    }

    fn no_such(&self, step: f64) -> CardError {
        CardError::NoSuchStep {
            card: self.name.clone(),
            step,
            steps: self.steps_text(),
        }
    }
}

impl Seen {
    /// What was seen without a card: a step alone means nothing, so it is refused.
    pub fn interval(self) -> Result<Interval, CardError> {
        let made = match self {
            Seen::Step { step } => {
                return Err(CardError::Impossible(format!(
                    "{step} as a step needs the card it was seen on"
                )));
            }
            Seen::Between { low, high } => Interval::closed(low, high),
            Seen::AtLeast { value } => Interval::at_least(value),
            Seen::AtMost { value } => Interval::at_most(value),
            Seen::Meter {
                value,
                error,
                decimals,
            } => {
                let half = error
                    .unwrap_or_else(|| 0.5 * 10f64.powi(-i32::from(decimals)))
                    .abs();
                Interval::closed(value - half, value + half)
            }
        };
        made.map_err(|e| CardError::Impossible(e.to_string()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn card(steps: &[f64]) -> Card {
        Card {
            id: CardId(uuid::Uuid::nil()),
            name: "nitrate".into(),
            analyte: Analyte::No3,
            means: Means::Ion,
            steps: steps.to_vec(),
            invented: true,
        }
    }

    #[test]
    fn one_step_reaches_to_the_midpoints() {
        let c = card(&[0.0, 3.0, 6.0, 12.0, 24.0, 48.0]);
        assert_eq!(
            c.interval(Seen::Step { step: 6.0 }),
            Ok(Interval::closed(4.5, 9.0).unwrap())
        );
        assert_eq!(
            c.interval(Seen::Step { step: 0.0 }),
            Ok(Interval::at_most(1.5).unwrap())
        );
        assert_eq!(
            c.interval(Seen::Step { step: 48.0 }),
            Ok(Interval::at_least(36.0).unwrap())
        );
        let between = Seen::Between {
            low: 6.0,
            high: 12.0,
        };
        assert_eq!(
            c.interval(between),
            Ok(Interval::closed(6.0, 12.0).unwrap())
        );
    }

    #[test]
    fn a_step_that_is_not_printed_is_refused_with_the_steps() {
        let error = card(&[0.0, 3.0, 6.0])
            .interval(Seen::Step { step: 5.0 })
            .unwrap_err();
        assert_eq!(
            error.to_string(),
            "card \"nitrate\" has no step 5; it has 0, 3, 6"
        );
        assert!(card(&[3.0, 3.0]).check().is_err());
    }

    #[test]
    fn a_meter_without_stated_error_is_what_rounds_to_it() {
        let seen = Seen::Meter {
            value: 6.8,
            error: None,
            decimals: 1,
        };
        let i = seen.interval().unwrap();
        assert!(
            (i.low().unwrap() - 6.75).abs() < 1e-12 && (i.high().unwrap() - 6.85).abs() < 1e-12
        );
    }

    proptest! {
        #[test]
        fn steps_tile_the_line(mut steps in proptest::collection::vec(0.0..100.0f64, 2..8)) {
            steps.sort_by(f64::total_cmp);
            steps.dedup();
            prop_assume!(steps.len() >= 2);
            let c = card(&steps);
            let all: Vec<_> =
                steps.iter().map(|s| c.interval(Seen::Step { step: *s }).unwrap()).collect();
            prop_assert_eq!(all[0].low(), None);
            prop_assert_eq!(all[all.len() - 1].high(), None);
            for pair in all.windows(2) {
                prop_assert_eq!(pair[0].high(), pair[1].low());
            }
        }
    }
}
