//! Straight line through points, by centred sums.
//!
//! Checked against the certified values of NIST StRD `Norris`, case p006.

use serde::Serialize;

use crate::summary::{check_lengths, check_share, count, moments, sum};
use crate::{Interval, NoAnswer, Outcome, Refusal, distributions};

/// Least-squares line y = intercept + slope x.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Line {
    /// y at x = 0.
    pub intercept: f64,
    /// Rise of y per unit of x.
    pub slope: f64,
    /// Share of the squares of y that the line accounts for; 1 when y does not vary.
    pub r2: f64,
    /// Degrees of freedom, points less two.
    pub df: usize,
    /// Standard errors; refused for two points.
    pub errors: Outcome<LineErrors>,
}

/// Standard errors of a line, assuming independent scatter of one size.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LineErrors {
    /// Standard error of the intercept.
    pub se_intercept: f64,
    /// Standard error of the slope.
    pub se_slope: f64,
    /// Standard deviation of the scatter about the line.
    pub residual_sd: f64,
}

impl Line {
    /// t interval of the slope.
    ///
    /// # Errors
    /// Refused without a degree of freedom; unusable for a level outside 0 to 1.
    pub fn slope_interval(&self, level: f64) -> Result<Interval, NoAnswer> {
        check_share("level", level)?;
        match &self.errors {
            Outcome::Refused(refusal) => Err(refusal.clone().into()),
            Outcome::Estimated(errors) => {
                let t = distributions::t_two_sided_quantile(1.0 - level, count(self.df));
                let half = t * errors.se_slope;
                Ok(Interval {
                    low: self.slope - half,
                    high: self.slope + half,
                    level,
                })
            }
        }
    }
}

/// Fits a line.
///
/// # Errors
/// Refused for no points or when x does not vary; unusable for lists of different lengths or
/// values that are no numbers.
pub fn line(x: &[f64], y: &[f64]) -> Result<Line, NoAnswer> {
    check_lengths("x", x.len(), "y", y.len())?;
    let (mx, my) = (moments("x", x)?, moments("y", y)?);
    if mx.sum_of_squares <= 0.0 {
        return Err(Refusal::NoSpan { what: "x".into() }.into());
    }
    let points = || x.iter().zip(y);
    let cross = sum(points().map(|(a, b)| (a - mx.mean) * (b - my.mean)));
    let slope = cross / mx.sum_of_squares;
    let intercept = my.mean - slope * mx.mean;
    let residual = sum(points().map(|(a, b)| {
        let r = (b - my.mean) - slope * (a - mx.mean);
        r * r
    }));
    let n = count(mx.n);
    let errors = if mx.n > 2 {
        let variance = residual / (n - 2.0);
        Outcome::Estimated(LineErrors {
            se_intercept: (variance * (1.0 / n + mx.mean * mx.mean / mx.sum_of_squares)).sqrt(),
            se_slope: (variance / mx.sum_of_squares).sqrt(),
            residual_sd: variance.sqrt(),
        })
    } else {
        Outcome::Refused(Refusal::NoFreedom {
            what: "the line".into(),
            values: mx.n,
            needed: 3,
        })
    };
    Ok(Line {
        intercept,
        slope,
        r2: if my.sum_of_squares > 0.0 {
            (1.0 - residual / my.sum_of_squares).max(0.0)
        } else {
            1.0
        },
        df: mx.n - 2,
        errors,
    })
}
