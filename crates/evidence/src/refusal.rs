//! The two ways of not answering: a refusal is a result, an unusable input is an error.

use std::fmt;

use serde::Serialize;

/// An honest "this cannot be said", with the numbers that make it so.
///
/// The variants' codes ([`Refusal::code`]) are stable; the sentences ([`fmt::Display`]) are for
/// the keeper of the tanks and may be reworded.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "code", rename_all = "snake_case")]
pub enum Refusal {
    /// There is nothing to average.
    NoValues {
        /// Which list is empty.
        what: String,
    },
    /// Degrees of freedom are 0: no value is left over to show how much such values vary.
    NoFreedom {
        /// What was compared.
        what: String,
        /// Number of values it had.
        values: usize,
        /// Fewest values that would do.
        needed: usize,
    },
    /// An arm has a single tank, so its tanks' spread is unknown.
    OneTankPerArm {
        /// Arms with a single tank.
        arms: Vec<String>,
    },
    /// All values are the same, so their spread says nothing about chance.
    ZeroSpread {
        /// What was the same.
        what: String,
    },
    /// A logarithm was needed of a value that is zero or less.
    NotPositive {
        /// What the value is.
        what: String,
        /// The value.
        value: f64,
    },
    /// Two times that must be apart are not.
    NoTimeBetween {
        /// First time, days.
        start: f64,
        /// Last time, days.
        end: f64,
    },
    /// A slope was asked for over a single position.
    NoSpan {
        /// What does not vary.
        what: String,
    },
    /// More mass was replanted than had been cut off.
    ReplantedMoreThanRemoved {
        /// Mass cut off.
        removed: f64,
        /// Mass replanted.
        replanted: f64,
    },
    /// Even the clearest outcome could not have reached the p-value asked for.
    CannotReach {
        /// Smallest p-value this number of tanks can give.
        smallest: f64,
        /// The limit asked for (1 - level).
        alpha: f64,
    },
    /// An exact test would have to walk through too many allocations.
    TooManyAllocations {
        /// Number of allocations.
        needed: f64,
        /// Largest number walked through.
        cap: u64,
    },
    /// An exact distribution would take too long to count.
    TooManyValues {
        /// Number of values.
        values: usize,
        /// Largest number counted.
        cap: usize,
    },
    /// The level asked for is higher than this many values can give.
    LevelOutOfReach {
        /// Level asked for.
        level: f64,
        /// Highest level that can be given.
        highest: f64,
    },
    /// Scores have an order but no distances, so they are not averaged.
    ScoresHaveNoMean,
    /// A variance cannot be known from one value; the result can be listed but not weighed.
    VarianceUnknown {
        /// Which arm.
        what: String,
    },
}

impl Refusal {
    /// The stable code, the same text as `code` in the serialised form.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::NoValues { .. } => "no_values",
            Self::NoFreedom { .. } => "no_freedom",
            Self::OneTankPerArm { .. } => "one_tank_per_arm",
            Self::ZeroSpread { .. } => "zero_spread",
            Self::NotPositive { .. } => "not_positive",
            Self::NoTimeBetween { .. } => "no_time_between",
            Self::NoSpan { .. } => "no_span",
            Self::ReplantedMoreThanRemoved { .. } => "replanted_more_than_removed",
            Self::CannotReach { .. } => "cannot_reach",
            Self::TooManyAllocations { .. } => "too_many_allocations",
            Self::TooManyValues { .. } => "too_many_values",
            Self::LevelOutOfReach { .. } => "level_out_of_reach",
            Self::ScoresHaveNoMean => "scores_have_no_mean",
            Self::VarianceUnknown { .. } => "variance_unknown",
        }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoValues { what } => write!(f, "There is no value for {what}."),
            Self::NoFreedom {
                what,
                values,
                needed,
            } => write!(
                f,
                "Not estimable (0 degrees of freedom): {what} has {values}, and at least {needed} are needed to see how much such values vary by themselves."
            ),
            Self::OneTankPerArm { arms } => write!(
                f,
                "Not estimable (0 degrees of freedom): {} one tank, so the treatment cannot be told from the tank. The two values can be shown, without an interval.",
                match arms.as_slice() {
                    [single] => format!("{single} has"),
                    several => format!("{} each have", several.join(" and ")),
                }
            ),
            Self::ZeroSpread { what } => write!(
                f,
                "All values of {what} are the same, so their spread cannot be used to judge the difference."
            ),
            Self::NotPositive { what, value } => write!(
                f,
                "{what} is {value}; a growth rate or a ratio needs a value above zero."
            ),
            Self::NoTimeBetween { start, end } => write!(
                f,
                "The last day ({end}) is not after the first day ({start}), so there is no rate."
            ),
            Self::NoSpan { what } => {
                write!(f, "{what} does not vary, so there is no slope over it.")
            }
            Self::ReplantedMoreThanRemoved { removed, replanted } => write!(
                f,
                "{replanted} was replanted but only {removed} was cut off; what came from elsewhere starts a record of its own."
            ),
            Self::CannotReach { smallest, alpha } => write!(
                f,
                "With this many tanks the smallest possible p is {smallest:.3}, so {alpha:.3} cannot be reached whatever the outcome."
            ),
            Self::TooManyAllocations { needed, cap } => write!(
                f,
                "The exact test would need {needed:.0} allocations, and at most {cap} are walked through; use the interval."
            ),
            Self::TooManyValues { values, cap } => write!(
                f,
                "The exact distribution is counted for at most {cap} values, and there are {values}; use the interval."
            ),
            Self::LevelOutOfReach { level, highest } => write!(
                f,
                "An interval at level {level} needs more values; the highest level these can give is {highest:.4}."
            ),
            Self::ScoresHaveNoMean => write!(
                f,
                "Scores have an order but no distances: medians are compared, and no interval is given."
            ),
            Self::VarianceUnknown { what } => write!(
                f,
                "{what} is a single tank, so the variance is unknown: list the result without a weight."
            ),
        }
    }
}

/// Input that no answer can be made from. Each text names the field, the value and what is
/// accepted.
#[derive(Debug, Clone, PartialEq, Serialize, thiserror::Error)]
#[serde(tag = "error", rename_all = "snake_case")]
pub enum Unusable {
    /// A value is not a number or too large to square.
    #[error(
        "{field}, value {position}: {value} is not usable; a number between -1e100 and 1e100 is needed"
    )]
    NotANumber {
        /// Name of the list.
        field: String,
        /// Place in the list, counted from 1.
        position: usize,
        /// The value as text, since it may be no number at all.
        value: String,
    },
    /// A setting is outside what it can be.
    #[error("{field} is {value}; accepted is {accepted}")]
    OutOfRange {
        /// Name of the setting.
        field: String,
        /// The value as text.
        value: String,
        /// What is accepted.
        accepted: String,
    },
    /// Two lists that belong together have different lengths.
    #[error(
        "{first} has {first_len} values and {second} has {second_len}; they must have the same number"
    )]
    LengthsDiffer {
        /// First list.
        first: String,
        /// Its length.
        first_len: usize,
        /// Second list.
        second: String,
        /// Its length.
        second_len: usize,
    },
    /// A reference case lacks a key or has it in another form.
    #[error("key `{key}` of the case: {accepted} is needed")]
    Key {
        /// The key.
        key: String,
        /// What is accepted.
        accepted: String,
    },
    /// A reference case belongs to no group known here.
    #[error("group `{group}` is not answered here; accepted are {accepted}")]
    Group {
        /// The group.
        group: String,
        /// The groups known.
        accepted: String,
    },
}

/// Why a function gave no answer.
#[derive(Debug, Clone, PartialEq, Serialize, thiserror::Error)]
#[serde(rename_all = "snake_case")]
pub enum NoAnswer {
    /// The honest answer is that it cannot be said.
    #[error("{0}")]
    Refused(Refusal),
    /// The input is broken.
    #[error("{0}")]
    Unusable(Unusable),
}

impl From<Refusal> for NoAnswer {
    fn from(refusal: Refusal) -> Self {
        Self::Refused(refusal)
    }
}

impl From<Unusable> for NoAnswer {
    fn from(unusable: Unusable) -> Self {
        Self::Unusable(unusable)
    }
}

/// An estimate, or the reason why there is none, as part of a larger answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Outcome<T> {
    /// It could be estimated.
    Estimated(T),
    /// It could not, and this is why.
    Refused(Refusal),
}

impl<T> Outcome<T> {
    /// Splits refusals, which are kept, from unusable input, which is passed on.
    ///
    /// # Errors
    /// [`Unusable`] when the input was broken.
    pub fn from_result(result: Result<T, NoAnswer>) -> Result<Self, Unusable> {
        match result {
            Ok(value) => Ok(Self::Estimated(value)),
            Err(NoAnswer::Refused(refusal)) => Ok(Self::Refused(refusal)),
            Err(NoAnswer::Unusable(unusable)) => Err(unusable),
        }
    }

    /// The estimate, if there is one.
    pub fn estimated(&self) -> Option<&T> {
        match self {
            Self::Estimated(value) => Some(value),
            Self::Refused(_) => None,
        }
    }

    /// The refusal, if there is one.
    pub fn refused(&self) -> Option<&Refusal> {
        match self {
            Self::Estimated(_) => None,
            Self::Refused(refusal) => Some(refusal),
        }
    }
}
