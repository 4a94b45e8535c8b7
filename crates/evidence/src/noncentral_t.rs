//! The noncentral t distribution, by which power is computed.
//!
//! T = (Z + delta) / S with Z standard normal and S = sqrt(chi-square(df) / df). The upper tail
//! is the mean of P(Z > t S - delta) over S, or of P(S < (Z + delta) / t) over Z. Either mean is
//! taken by the trapezoid rule, which for such smooth, fast-falling functions reaches rounding
//! (Trefethen and Weideman 2014, SIAM Review 56:385-458, from memory). The usual series (Lenth
//! 1989, Applied Statistics 38:185-189, AS 243) underflows for large delta, which two or three
//! tanks per arm do need. Checked against R's `power.t.test` and an independent quadrature, see
//! the cases r064, r065 and p010.

use statrs::function::gamma;

use crate::distributions::normal_upper;

/// Where the weight of a point has fallen below rounding: exp(-42) is 6e-19.
const NEGLIGIBLE: f64 = 42.0;
/// Half-width of the normal density kept.
const NORMAL_REACH: f64 = 9.5;
/// Above this the mean is taken over Z, since the other integrand becomes a step.
const FAR: f64 = 10.0;

/// Mean of `g(S)` for S = sqrt(chi-square(df) / df).
///
/// `steepness` is the largest |d g / d ln s|; it sets the step. Weights are normalised by their
/// own sum, so their rounding cancels.
pub(crate) fn mean_over_spread(df: f64, steepness: f64, g: impl Fn(f64) -> f64) -> f64 {
    // ln density of u = ln s is df (u - (e^2u - 1) / 2) <= -df u^2 above 0 and, down to -1/2,
    // <= -(2/3) df u^2; further down it is <= df (u + 1/2).
    let high = (NEGLIGIBLE / df).sqrt();
    let near = (1.5 * NEGLIGIBLE / df).sqrt();
    let low = if near <= 0.5 {
        near
    } else {
        NEGLIGIBLE / df + 0.5
    };
    let step = 0.05_f64
        .min(0.5 / (2.0 * df).sqrt())
        .min(0.5 / steepness.max(1.0));
    let (mut total, mut weights) = (0.0, 0.0);
    let mut u = -low;
    while u <= high {
        let weight = (df * (u - (2.0 * u).exp_m1() / 2.0)).exp();
        total += weight * g(u.exp());
        weights += weight;
        u += step;
    }
    total / weights
}

/// Mean of `g(Z)` for a standard normal Z; `step` must be small against the width of g's changes.
pub(crate) fn mean_over_normal(step: f64, g: impl Fn(f64) -> f64) -> f64 {
    let (mut total, mut weights) = (0.0, 0.0);
    let mut z = -NORMAL_REACH;
    while z <= NORMAL_REACH {
        let weight = (-z * z / 2.0).exp();
        total += weight * g(z);
        weights += weight;
        z += step;
    }
    total / weights
}

/// P(T > t) for `t > 0`, `df >= 1` and any noncentrality `delta`; NaN outside that.
#[must_use]
pub fn upper(t: f64, df: f64, delta: f64) -> f64 {
    if !(t > 0.0 && (1.0..=1e6).contains(&df) && delta.is_finite()) {
        return f64::NAN;
    }
    if delta < -40.0 {
        // Below the smallest double whatever t is.
        0.0
    } else if delta > FAR {
        over_normal(t, df, delta)
    } else {
        over_spread(t, df, delta)
    }
}

/// P(T < -t) for `t > 0`: by symmetry the upper tail with the sign of delta changed.
#[must_use]
pub fn lower(t: f64, df: f64, delta: f64) -> f64 {
    upper(t, df, -delta)
}

fn over_spread(t: f64, df: f64, delta: f64) -> f64 {
    // P(Z > t s - delta) changes over ln s fastest near t s = delta, and there by about delta.
    mean_over_spread(df, delta.abs() + 2.0, |s| normal_upper(t * s - delta))
}

fn over_normal(t: f64, df: f64, delta: f64) -> f64 {
    let step = 0.1_f64.min(0.5 * t / (2.0 * df).sqrt());
    mean_over_normal(step, |z| {
        let s = (z + delta) / t;
        if s <= 0.0 {
            0.0
        } else {
            gamma::checked_gamma_lr(df / 2.0, df / 2.0 * s * s).unwrap_or(f64::NAN)
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::distributions::t_two_sided;

    #[test]
    fn both_routes_agree() {
        for (t, df, delta) in [
            (4.303, 2.0, 10.0),
            (12.706, 1.0, 14.0),
            (2.776, 4.0, 9.9),
            (2.0, 60.0, 11.0),
            (12.0, 8.0, 12.0),
        ] {
            let (a, b) = (over_spread(t, df, delta), over_normal(t, df, delta));
            assert!(
                (a - b).abs() < 1e-12,
                "t {t} df {df} delta {delta}: {a} {b}"
            );
        }
    }

    #[test]
    fn without_noncentrality_it_is_the_central_t() {
        for (t, df) in [(0.3, 1.0), (2.0, 3.0), (4.0, 10.0), (1.96, 20_000.0)] {
            let (a, b) = (upper(t, df, 0.0), t_two_sided(t, df) / 2.0);
            assert!((a / b - 1.0).abs() < 1e-10, "t {t} df {df}: {a} {b}");
        }
    }

    #[test]
    fn outside_its_range_it_is_not_a_number() {
        assert!(upper(-1.0, 3.0, 0.0).is_nan());
        assert!(upper(1.0, 0.0, 0.0).is_nan());
        assert!(upper(1.0, 3.0, f64::NAN).is_nan());
    }
}
