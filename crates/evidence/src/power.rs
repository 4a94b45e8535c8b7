//! What a plan could detect, before it starts.
//!
//! Power of the two-sided t test by the noncentral t distribution (Cohen 1988, Statistical Power
//! Analysis for the Behavioral Sciences, from memory). Cases r064, r065 and p010. Power worked
//! out after the trial from the difference it found says nothing new and is not offered.

use serde::Serialize;

use crate::summary::{check, check_above_zero, check_share, count};
use crate::{NoAnswer, Refusal, Unusable, distributions, noncentral_t, root};

/// Most tanks per arm a plan may have.
const MOST_TANKS: usize = 10_000;
/// Largest difference looked for, in standard errors.
const LARGEST_EFFECT: f64 = 1e9;

/// A plan that compares two treatments.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Plan {
    /// Two arms of separate tanks.
    TwoArms {
        /// Tanks in each arm.
        tanks_per_arm: usize,
    },
    /// Pairs of tanks, one of each treated.
    Pairs {
        /// Number of pairs.
        pairs: usize,
    },
}

/// Which findings count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Counting {
    /// Only those in the direction of the true difference (R's default). Differs from the other
    /// by less than alpha / 2, and by next to nothing above 80 % power.
    RightDirection,
    /// Both, so that power at no difference is alpha (R: `strict = TRUE`).
    BothDirections,
}

impl Counting {
    fn found(self, t: f64, df: f64, delta: f64) -> f64 {
        let right = noncentral_t::upper(t, df, delta);
        match self {
            Self::RightDirection => right,
            Self::BothDirections => right + noncentral_t::lower(t, df, delta),
        }
    }
}

impl Plan {
    /// Degrees of freedom and the variance of the estimate in units of the squared sd.
    fn shape(self) -> Result<(f64, f64), NoAnswer> {
        let (what, n) = match self {
            Self::TwoArms { tanks_per_arm } => ("each arm", tanks_per_arm),
            Self::Pairs { pairs } => ("the list of pairs", pairs),
        };
        if n < 2 {
            return Err(Refusal::NoFreedom {
                what: what.into(),
                values: n,
                needed: 2,
            }
            .into());
        }
        if n > MOST_TANKS {
            return Err(Unusable::OutOfRange {
                field: format!("number in {what}"),
                value: n.to_string(),
                accepted: format!("at most {MOST_TANKS}"),
            }
            .into());
        }
        Ok(match self {
            Self::TwoArms { .. } => (count(2 * n - 2), 2.0 / count(n)),
            Self::Pairs { .. } => (count(n - 1), 1.0 / count(n)),
        })
    }
}

/// Chance that a two-sided test at `alpha` finds a true `effect`.
///
/// `sd` is that between tanks of an arm, or of the differences of pairs, in the unit of the
/// effect.
///
/// # Errors
/// Refused for fewer than two tanks per arm or two pairs; unusable for values that are no
/// numbers, an sd of zero or less, or an alpha outside 0 to 1.
pub fn power(
    plan: Plan,
    effect: f64,
    sd: f64,
    alpha: f64,
    counting: Counting,
) -> Result<f64, NoAnswer> {
    let (df, variance) = plan.shape()?;
    check("effect", &[effect])?;
    check_above_zero("sd", sd)?;
    check_share("alpha", alpha)?;
    let t = distributions::t_two_sided_quantile(alpha, df);
    let delta = (effect.abs() / sd / variance.sqrt()).min(LARGEST_EFFECT);
    Ok(counting.found(t, df, delta))
}

/// Smallest true difference that the plan finds with chance `power`, in the unit of `sd`.
///
/// # Errors
/// As [`power`]; unusable also for a power that is not above `alpha`, which no difference is
/// needed for, or one so close to 1 that no difference below a billion standard errors gives it.
pub fn minimum_detectable(
    plan: Plan,
    sd: f64,
    alpha: f64,
    power: f64,
    counting: Counting,
) -> Result<f64, NoAnswer> {
    let (df, variance) = plan.shape()?;
    check_above_zero("sd", sd)?;
    check_power(alpha, power)?;
    let t = distributions::t_two_sided_quantile(alpha, df);
    let delta = root::increasing(t + 1.0, LARGEST_EFFECT, |delta| {
        counting.found(t, df, delta) - power
    })
    .ok_or_else(|| Unusable::OutOfRange {
        field: "power".into(),
        value: power.to_string(),
        accepted: "a power that some difference reaches".into(),
    })?;
    Ok(delta * sd * variance.sqrt())
}

/// Number of tanks per arm, as the smallest whole number and as the fraction it was rounded
/// up from.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TanksNeeded {
    /// Tanks per arm.
    pub tanks_per_arm: usize,
    /// The same before rounding up.
    pub before_rounding: f64,
}

/// Tanks per arm at which two arms find a true `effect` with chance `power`, in its direction.
///
/// # Errors
/// As [`minimum_detectable`]; unusable also for an effect of zero, or when more than 10,000
/// tanks per arm would be needed.
pub fn tanks_needed(effect: f64, sd: f64, alpha: f64, power: f64) -> Result<TanksNeeded, NoAnswer> {
    check("effect", &[effect])?;
    check_above_zero("size of the effect", effect.abs())?;
    check_above_zero("sd", sd)?;
    check_power(alpha, power)?;
    let found = |n: f64| {
        let df = 2.0 * n - 2.0;
        let t = distributions::t_two_sided_quantile(alpha, df);
        Counting::RightDirection.found(t, df, effect.abs() / sd * (n / 2.0).sqrt())
    };
    let beyond_two = root::increasing(1.0, count(MOST_TANKS), |more| found(2.0 + more) - power);
    match beyond_two {
        Some(more) => Ok(TanksNeeded {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            // between 2 and MOST_TANKS
            tanks_per_arm: (2.0 + more - 1e-9).ceil() as usize,
            before_rounding: 2.0 + more,
        }),
        None => Err(Unusable::OutOfRange {
            field: "effect".into(),
            value: effect.to_string(),
            accepted: format!("an effect that {MOST_TANKS} tanks per arm can find"),
        }
        .into()),
    }
}

/// Standard deviation of a tank's mean over `plants_per_tank` plants, in the unit of both sds:
/// sqrt(sd_tank^2 + sd_plant^2 / m). More plants help only until the tanks' own spread is left.
///
/// # Errors
/// Unusable for a negative sd, both zero, or no plants.
pub fn sd_of_tank_means(
    sd_tank: f64,
    sd_plant: f64,
    plants_per_tank: usize,
) -> Result<f64, Unusable> {
    for (field, sd) in [
        ("sd between tanks", sd_tank),
        ("sd between plants", sd_plant),
    ] {
        if sd != 0.0 {
            check_above_zero(field, sd)?;
        }
    }
    check_above_zero("plants per tank", count(plants_per_tank))?;
    let sd = (sd_tank * sd_tank + sd_plant * sd_plant / count(plants_per_tank)).sqrt();
    check_above_zero("sd of tank means", sd)?;
    Ok(sd)
}

fn check_power(alpha: f64, power: f64) -> Result<(), Unusable> {
    check_share("alpha", alpha)?;
    check_share("power", power)?;
    if power <= alpha {
        return Err(Unusable::OutOfRange {
            field: "power".into(),
            value: power.to_string(),
            accepted: format!("a number above alpha ({alpha})"),
        });
    }
    Ok(())
}
