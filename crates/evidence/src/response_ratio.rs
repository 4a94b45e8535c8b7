//! Log response ratio: ln of the ratio of two arm means.
//!
//! Hedges, Gurevitch and Curtis 1999, Ecology 80:1150-1156; the small-sample correction of
//! Lajeunesse 2015 (from memory). n counts tanks. Cases r053 (102 published rows) and r062.

use serde::Serialize;

use crate::growth::positive;
use crate::summary::{check, check_share, count};
use crate::{Interval, NoAnswer, Refusal, Unusable, distributions};

/// Mean, standard deviation and number of tanks of an arm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ArmMoments {
    /// Mean over tanks, above zero.
    pub mean: f64,
    /// Standard deviation between tanks.
    pub sd: f64,
    /// Number of tanks.
    pub n: usize,
}

/// A log response ratio and its large-sample variance.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LogResponseRatio {
    /// ln(mean of the first arm / mean of the second).
    pub ln_ratio: f64,
    /// Its variance.
    pub variance: f64,
    /// The same corrected for small samples.
    pub corrected_ln_ratio: f64,
    /// Variance of the corrected one.
    pub corrected_variance: f64,
}

impl LogResponseRatio {
    /// Normal interval of the uncorrected ln ratio. With a few tanks it is too narrow; the
    /// interval of [`crate::compare`] is the one to show for a trial by itself.
    ///
    /// # Errors
    /// Unusable for a level outside 0 to 1.
    pub fn interval(&self, level: f64) -> Result<Interval, Unusable> {
        check_share("level", level)?;
        let half = distributions::normal_two_sided_quantile(1.0 - level) * self.variance.sqrt();
        Ok(Interval {
            low: self.ln_ratio - half,
            high: self.ln_ratio + half,
            level,
        })
    }
}

/// ln(first / second) with variance sd1^2 / (n1 m1^2) + sd2^2 / (n2 m2^2).
///
/// # Errors
/// Refused for a mean of zero or less, and for an arm of one tank, whose variance is unknown;
/// unusable for values that are no numbers or a negative standard deviation.
pub fn lnrr(first: ArmMoments, second: ArmMoments) -> Result<LogResponseRatio, NoAnswer> {
    let mut shares = [0.0; 2];
    for (share, (name, arm)) in shares
        .iter_mut()
        .zip([("the first arm", first), ("the second arm", second)])
    {
        check(name, &[arm.mean, arm.sd])?;
        if arm.sd < 0.0 {
            return Err(Unusable::OutOfRange {
                field: format!("standard deviation of {name}"),
                value: arm.sd.to_string(),
                accepted: "a number from 0".into(),
            }
            .into());
        }
        positive(&format!("The mean of {name}"), &[arm.mean])?;
        if arm.n < 2 {
            return Err(Refusal::VarianceUnknown { what: name.into() }.into());
        }
        let relative = arm.sd / arm.mean;
        // Squared twice below, where 1e100 would overflow.
        check(&format!("(sd / mean)^2 of {name}"), &[relative * relative])?;
        *share = relative * relative / count(arm.n);
    }
    let [a, b] = shares;
    let (ln_ratio, variance) = (first.mean.ln() - second.mean.ln(), a + b);
    Ok(LogResponseRatio {
        ln_ratio,
        variance,
        corrected_ln_ratio: ln_ratio + (a - b) / 2.0,
        corrected_variance: variance + (a * a + b * b) / 2.0,
    })
}
