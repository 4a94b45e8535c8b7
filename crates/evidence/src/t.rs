//! One-sample, paired, pooled and Welch t.
//!
//! The two-sample forms estimate mean(x) - mean(y). They take any arms that leave a degree of
//! freedom; the stricter rule that every arm needs two tanks is that of [`crate::compare`].
//! Checked against R's `t.test`, cases r001, r005 and r018.

use serde::Serialize;

use crate::summary::{check_lengths, check_share, count, moments, only_rounding};
use crate::{Interval, NoAnswer, Refusal, distributions};

/// Which t it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Method {
    /// Mean of one list against a fixed value.
    OneSample,
    /// Mean of the differences of pairs.
    Paired,
    /// Two lists, one common spread.
    Pooled,
    /// Two lists, each with its own spread (Welch 1947, Biometrika 34:28-35, from memory).
    Welch,
}

/// A difference with its standard error, two-sided p and interval. Unit: that of the values.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TTest {
    /// Which t it is.
    pub method: Method,
    /// Mean, or difference of means.
    pub estimate: f64,
    /// Standard error of the estimate.
    pub se: f64,
    /// Degrees of freedom.
    pub df: f64,
    /// (estimate - value tested) / se.
    pub t: f64,
    /// Two-sided p-value.
    pub p: f64,
    /// Interval of the estimate.
    pub interval: Interval,
}

/// Mean of `values` against `tested`, with n - 1 degrees of freedom.
///
/// # Errors
/// Refused for fewer than two values or no spread; unusable for values that are no numbers or a
/// level outside 0 to 1.
pub fn one_sample(values: &[f64], tested: f64, level: f64) -> Result<TTest, NoAnswer> {
    check_share("level", level)?;
    crate::summary::check("value tested", &[tested])?;
    single(
        Method::OneSample,
        "the values",
        values,
        &[values],
        tested,
        level,
    )
}

/// Mean of `x[i] - y[i]`, with one degree of freedom fewer than pairs.
///
/// # Errors
/// As [`one_sample`]; unusable also when the lengths differ.
pub fn paired(x: &[f64], y: &[f64], level: f64) -> Result<TTest, NoAnswer> {
    check_share("level", level)?;
    crate::summary::check("x", x)?;
    crate::summary::check("y", y)?;
    check_lengths("x", x.len(), "y", y.len())?;
    let differences: Vec<f64> = x.iter().zip(y).map(|(a, b)| a - b).collect();
    single(
        Method::Paired,
        "the pairs",
        &differences,
        &[x, y],
        0.0,
        level,
    )
}

/// mean(x) - mean(y) with one common spread and n1 + n2 - 2 degrees of freedom.
///
/// # Errors
/// Refused when an arm is empty, when no degree of freedom is left (one value per arm) or
/// when there is no spread; unusable as [`one_sample`].
pub fn pooled(x: &[f64], y: &[f64], level: f64) -> Result<TTest, NoAnswer> {
    check_share("level", level)?;
    let (a, b) = (moments("x", x)?, moments("y", y)?);
    if a.n + b.n < 3 {
        return Err(Refusal::NoFreedom {
            what: "the pair of arms".into(),
            values: a.n + b.n,
            needed: 3,
        }
        .into());
    }
    let df = count(a.n + b.n - 2);
    let variance = (a.sum_of_squares + b.sum_of_squares) / df;
    let se = (variance * (1.0 / count(a.n) + 1.0 / count(b.n))).sqrt();
    finish(Method::Pooled, a.mean - b.mean, 0.0, se, df, &[x, y], level)
}

/// mean(x) - mean(y) with a spread per arm and Welch's degrees of freedom.
///
/// # Errors
/// Refused when an arm has fewer than two values or when there is no spread; unusable as
/// [`one_sample`].
pub fn welch(x: &[f64], y: &[f64], level: f64) -> Result<TTest, NoAnswer> {
    check_share("level", level)?;
    let mut parts = [(0.0, 0.0, 0.0); 2];
    for (part, (name, values)) in parts.iter_mut().zip([("x", x), ("y", y)]) {
        let m = moments(name, values)?;
        let Some(variance) = m.variance() else {
            return Err(Refusal::NoFreedom {
                what: name.into(),
                values: m.n,
                needed: 2,
            }
            .into());
        };
        *part = (m.mean, variance / count(m.n), count(m.n - 1));
    }
    let [(mean_x, v_x, df_x), (mean_y, v_y, df_y)] = parts;
    let variance = v_x + v_y;
    // Shares, not squares of variances, so that tiny variances do not underflow.
    let (share_x, share_y) = (v_x / variance, v_y / variance);
    let df = 1.0 / (share_x * share_x / df_x + share_y * share_y / df_y);
    let se = variance.sqrt();
    finish(Method::Welch, mean_x - mean_y, 0.0, se, df, &[x, y], level)
}

fn single(
    method: Method,
    what: &str,
    values: &[f64],
    scale: &[&[f64]],
    tested: f64,
    level: f64,
) -> Result<TTest, NoAnswer> {
    let m = moments(what, values)?;
    let Some(variance) = m.variance() else {
        return Err(Refusal::NoFreedom {
            what: what.into(),
            values: m.n,
            needed: 2,
        }
        .into());
    };
    let se = (variance / count(m.n)).sqrt();
    finish(method, m.mean, tested, se, count(m.n - 1), scale, level)
}

fn finish(
    method: Method,
    estimate: f64,
    tested: f64,
    se: f64,
    df: f64,
    scale: &[&[f64]],
    level: f64,
) -> Result<TTest, NoAnswer> {
    if only_rounding(se, scale) {
        return Err(Refusal::ZeroSpread {
            what: match method {
                Method::OneSample => "the list",
                Method::Paired => "the differences",
                Method::Pooled | Method::Welch => "each arm",
            }
            .into(),
        }
        .into());
    }
    let t = (estimate - tested) / se;
    let half = distributions::t_two_sided_quantile(1.0 - level, df) * se;
    Ok(TTest {
        method,
        estimate,
        se,
        df,
        t,
        p: distributions::t_two_sided(t, df),
        interval: Interval {
            low: estimate - half,
            high: estimate + half,
            level,
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_tank_per_arm_is_refused_with_no_freedom() {
        let refused = pooled(&[1.9], &[1.1], 0.95);
        let Err(NoAnswer::Refused(refusal)) = refused else {
            panic!("{refused:?}");
        };
        assert_eq!(refusal.code(), "no_freedom");
        assert!(
            refusal
                .to_string()
                .starts_with("Not estimable (0 degrees of freedom)")
        );
    }

    #[test]
    fn equal_values_and_broken_input_are_told_apart() {
        let code = |r: Result<TTest, NoAnswer>| match r {
            Err(NoAnswer::Refused(refusal)) => refusal.code(),
            Err(NoAnswer::Unusable(_)) => "unusable",
            Ok(_) => "given",
        };
        assert_eq!(code(pooled(&[0.1; 3], &[0.1; 3], 0.95)), "zero_spread");
        // The differences are all 0.1 but for rounding.
        assert_eq!(
            code(paired(&[0.3, 0.4, 1.1], &[0.2, 0.3, 1.0], 0.95)),
            "zero_spread"
        );
        assert_eq!(code(welch(&[2.0, 2.0], &[1.0, 1.0], 0.95)), "zero_spread");
        assert_eq!(code(one_sample(&[], 0.0, 0.95)), "no_values");
        assert_eq!(code(one_sample(&[1.0, f64::NAN], 0.0, 0.95)), "unusable");
        assert_eq!(code(paired(&[1.0, 2.0], &[1.0], 0.95)), "unusable");
        assert_eq!(code(one_sample(&[1.0, 2.0], 0.0, 1.0)), "unusable");
    }

    /// With equal numbers the pooled and the Welch t are the same number (algebra), and for
    /// two values the t interval at 50 % is mean -+ se, since t(1) has its quartile at 1.
    #[test]
    fn closed_forms() -> Result<(), NoAnswer> {
        let (x, y) = ([1.0, 4.0, 2.5], [0.5, 0.7, 3.0]);
        let (a, b) = (pooled(&x, &y, 0.9)?, welch(&x, &y, 0.9)?);
        assert!((a.t - b.t).abs() < 1e-14);
        assert!(b.df < a.df);
        let two = one_sample(&[1.0, 3.0], 0.0, 0.5)?;
        assert!((two.interval.low - 1.0).abs() < 1e-12);
        Ok(())
    }
}
