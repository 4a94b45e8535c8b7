//! The studentized range distribution, for all pairwise differences at once.
//!
//! Q is the range of k normal means over an independent estimate of their spread:
//! P(Q > q) is the mean over S of 1 - k * mean over Z of [Phi(Z) - Phi(Z - q S)]^(k - 1)
//! (Tukey 1953; the integrals as in Copenhaver and Holland 1988, Journal of Statistical
//! Computation and Simulation 30:1-15, from memory). Checked against R's `TukeyHSD`, case r008.

use crate::distributions::normal_upper;
use crate::noncentral_t::{mean_over_normal, mean_over_spread};
use crate::root;

/// Step of the inner mean; the integrand is as smooth as the normal density.
const STEP: f64 = 0.1;

/// P(Q > q) for `k` means and `df` degrees of freedom; NaN for k below 2 or df below 1.
#[must_use]
pub fn upper(q: f64, k: usize, df: f64) -> f64 {
    if k < 2 || !(1.0..=1e6).contains(&df) || !q.is_finite() {
        return f64::NAN;
    }
    if q <= 0.0 {
        return 1.0;
    }
    let means = crate::summary::count(k);
    let power = i32::try_from(k - 1).unwrap_or(i32::MAX);
    let within = mean_over_spread(df, q.min(12.0), |s| {
        let width = q * s;
        means
            * mean_over_normal(STEP, |z| {
                (normal_upper(z - width) - normal_upper(z)).powi(power)
            })
    });
    (1.0 - within).clamp(0.0, 1.0)
}

/// The q that is exceeded with probability `alpha`; NaN outside the range of [`upper`].
#[must_use]
pub fn quantile(alpha: f64, k: usize, df: f64) -> f64 {
    if upper(1.0, k, df).is_nan() || !(alpha > 0.0 && alpha < 1.0) {
        return f64::NAN;
    }
    root::increasing(4.0, 1e6, |q| alpha - upper(q, k, df)).unwrap_or(f64::NAN)
}
