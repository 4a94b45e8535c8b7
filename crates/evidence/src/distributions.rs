//! Tail areas and quantiles of the t, F and normal distributions.
//!
//! The incomplete beta function comes from `statrs` and erfc from `libm`, since that of `statrs`
//! is right to 1e-10 only. Tails are computed as tails, never as one minus the rest, so a
//! p-value of 1e-22 keeps its digits. Callers pass checked numbers; an argument outside its range
//! gives NaN, never a panic.

use statrs::function::beta;

use crate::root;

/// Degrees of freedom above which the incomplete beta function no longer converges fully.
const MANY: f64 = 1e6;

/// Regularised incomplete beta function, NaN outside its range.
fn incomplete_beta(a: f64, b: f64, x: f64) -> f64 {
    beta::checked_beta_reg(a, b, x).unwrap_or(f64::NAN)
}

/// Probability that a standard normal value is above `z`.
#[must_use]
pub fn normal_upper(z: f64) -> f64 {
    0.5 * libm::erfc(z / std::f64::consts::SQRT_2)
}

/// Point that a standard normal value exceeds in size with probability `alpha` (0 to 1).
#[must_use]
pub fn normal_two_sided_quantile(alpha: f64) -> f64 {
    if !(alpha > 0.0 && alpha < 1.0) {
        return f64::NAN;
    }
    root::increasing(1.0, 1e3, |z| alpha.ln() - (2.0 * normal_upper(z)).ln()).unwrap_or(f64::NAN)
}

/// Probability that a t value with `df` degrees of freedom is beyond `t` in size.
#[must_use]
pub fn t_two_sided(t: f64, df: f64) -> f64 {
    if df > MANY {
        // Abramowitz and Stegun 1964, 26.7.8 (from memory); its error falls as 1 / df^2.
        let z = t.abs() * (1.0 - 1.0 / (4.0 * df)) / (1.0 + t * t / (2.0 * df)).sqrt();
        return 2.0 * normal_upper(z);
    }
    incomplete_beta(df / 2.0, 0.5, df / (df + t * t))
}

/// Point that a t value with `df` degrees of freedom exceeds in size with probability `alpha`.
#[must_use]
pub fn t_two_sided_quantile(alpha: f64, df: f64) -> f64 {
    if !(alpha > 0.0 && alpha < 1.0 && df > 0.0) {
        return f64::NAN;
    }
    // Logarithms make the far tail nearly straight in ln t, so few steps are needed.
    root::increasing(2.0, 1e150, |t| alpha.ln() - t_two_sided(t, df).ln()).unwrap_or(f64::NAN)
}

/// Probability that an F value with `df1` and `df2` degrees of freedom is above `f`.
#[must_use]
pub fn f_upper(f: f64, df1: f64, df2: f64) -> f64 {
    incomplete_beta(df2 / 2.0, df1 / 2.0, df2 / (df2 + df1 * f))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(what: &str, value: f64, expected: f64, relative: f64) {
        assert!(
            (value - expected).abs() <= relative * expected.abs(),
            "{what}: {value:e} instead of {expected:e}"
        );
    }

    /// Expected: half of the C library's `erfc(z / sqrt 2)`, computed with Python's `math.erfc`.
    #[test]
    fn normal_tail() {
        for (z, expected) in [
            (-3.0, 0.9986501019683699),
            (0.0, 0.5),
            (0.1, 0.460172162722971),
            (0.5, 0.3085375387259869),
            (1.0, 0.15865525393145707),
            (1.959963984540054, 0.02500000000000002),
            (3.0, 0.0013498980316300957),
            (5.0, 2.866515718791946e-07),
            (8.0, 6.220960574271819e-16),
            (12.0, 1.776482112077702e-33),
            (20.0, 2.7536241186063314e-89),
            (37.0, 5.725571222525139e-300),
        ] {
            near(&format!("z {z}"), normal_upper(z), expected, 1e-12);
        }
        // The tabulated 97.5 % point.
        near(
            "quantile",
            normal_two_sided_quantile(0.05),
            1.959_963_984_540_054,
            1e-12,
        );
    }

    /// Closed forms: df 1 is the Cauchy distribution, df 2 has p = 1 - t / sqrt(2 + t^2).
    #[test]
    fn t_tails_and_quantiles() {
        for t in [0.01_f64, 0.5, 2.0, 12.0, 300.0, 1e6] {
            let cauchy = 2.0 / std::f64::consts::PI * (1.0 / t).atan();
            near(&format!("df 1, t {t}"), t_two_sided(t, 1.0), cauchy, 1e-12);
            near("df 1 back", t_two_sided_quantile(cauchy, 1.0), t, 1e-9);
            // 1 - t / sqrt(2 + t^2), written without the difference.
            let root = (2.0 + t * t).sqrt();
            let two = 2.0 / (root * (root + t));
            near(&format!("df 2, t {t}"), t_two_sided(t, 2.0), two, 1e-12);
            near("df 2 back", t_two_sided_quantile(two, 2.0), t, 1e-9);
        }
    }

    /// With so many degrees of freedom t is normal up to (z + z^3) / (4 df) (Cornish and Fisher,
    /// from memory).
    #[test]
    fn t_with_many_degrees_of_freedom() {
        let z = 1.959_963_984_540_054_f64;
        for df in [1e4, 1e5, 1e6, 1e8] {
            let expected = z + (z + z.powi(3)) / (4.0 * df);
            near(
                &format!("df {df}"),
                t_two_sided_quantile(0.05, df),
                expected,
                3.0 / (df * df) + 1e-10,
            );
        }
    }

    /// F with 1 and df is t squared; F with 2 and d2 has p = (1 + 2 f / d2)^(-d2 / 2).
    #[test]
    fn f_tail() {
        for f in [0.1_f64, 1.0, 7.0, 90.0] {
            near(
                "F 1, 5",
                f_upper(f, 1.0, 5.0),
                t_two_sided(f.sqrt(), 5.0),
                1e-12,
            );
            near(
                "F 2, 9",
                f_upper(f, 2.0, 9.0),
                (1.0 + 2.0 * f / 9.0).powf(-4.5),
                1e-12,
            );
        }
    }

    #[test]
    fn outside_their_range_they_are_not_numbers() {
        assert!(t_two_sided_quantile(0.0, 3.0).is_nan());
        assert!(t_two_sided_quantile(0.5, f64::NAN).is_nan());
        assert!(t_two_sided(f64::NAN, 3.0).is_nan());
        assert!(f_upper(-1.0, 3.0, 0.0).is_nan());
        assert!(normal_two_sided_quantile(1.0).is_nan());
    }
}
