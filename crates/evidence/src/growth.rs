//! Relative growth rate: how fast ln(mass) rises, per day.
//!
//! RGR = (ln W2 - ln W1) / (t2 - t1) (Hunt 1982, Plant Growth Curves, from memory). Rates of
//! several plants are averaged as rates, that is as the mean of ln W; the ln of the mean mass is
//! biased when the spread of ln W changes (Hoffmann and Poorter 2002, Annals of Botany
//! 90:37-42). RGR falls as plants get larger (Paine et al. 2012, Methods in Ecology and
//! Evolution 3:245-256): compare plants of like size, or report the sizes at the start.
//!
//! * [`between`]: one plant, two masses;
//! * [`plants`]: many plants, two masses each, with a t interval;
//! * [`of_means`]: untagged plants, both estimators of Hoffmann and Poorter;
//! * [`slope`]: one plant, several days;
//! * [`balance`]: a clump that was trimmed and replanted meanwhile, with intervals.

pub mod balance;

use serde::Serialize;

use crate::summary::{check_above_zero, check_lengths, count, moments};
use crate::t::TTest;
use crate::{NoAnswer, Refusal, regression, t};

/// Fewest days that count as time between two weighings, about a tenth of a second.
const SHORTEST: f64 = 1e-6;

/// RGR per day from the masses `start` and `end` (any one unit), `days` apart.
///
/// # Errors
/// Refused for a mass of zero or less and for no time between; unusable for values that are no
/// numbers.
pub fn between(start: f64, end: f64, days: f64) -> Result<f64, NoAnswer> {
    crate::summary::check("masses and days", &[start, end, days])?;
    positive("the mass at the start", &[start])?;
    positive("the mass at the end", &[end])?;
    if days < SHORTEST {
        return Err(Refusal::NoTimeBetween {
            start: 0.0,
            end: days,
        }
        .into());
    }
    Ok((end.ln() - start.ln()) / days)
}

/// Mean RGR per day of plants weighed twice, `start[i]` and `end[i]` being the same plant, with
/// its t interval. Case r018.
///
/// The plants are subsamples: the interval is about the plants of one tank, never about a
/// treatment given to the whole tank.
///
/// # Errors
/// Refused as [`between`] and [`t::one_sample`]; unusable for lists of different lengths, values
/// that are no numbers or a level outside 0 to 1.
pub fn plants(start: &[f64], end: &[f64], days: f64, level: f64) -> Result<TTest, NoAnswer> {
    check_lengths("start", start.len(), "end", end.len())?;
    let rates: Vec<f64> = start
        .iter()
        .zip(end)
        .map(|(w1, w2)| between(*w1, *w2, days))
        .collect::<Result<_, _>>()?;
    t::one_sample(&rates, 0.0, level)
}

/// Both estimators of Hoffmann and Poorter 2002 for two harvests of plants that are not matched.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct HarvestRate {
    /// Difference of the mean ln masses per day: the one to use.
    pub mean_of_ln: f64,
    /// Difference of the ln mean masses per day: biased, given to show by how much.
    pub ln_of_mean: f64,
    /// Standard error of `mean_of_ln` from the variances of ln mass at both harvests.
    pub se: f64,
}

/// RGR per day between two harvests, `days` apart, of plants that need not be the same.
/// Case r017.
///
/// # Errors
/// Refused for a mass of zero or less, fewer than two plants at a harvest, or no time between;
/// unusable for values that are no numbers.
pub fn of_means(start: &[f64], end: &[f64], days: f64) -> Result<HarvestRate, NoAnswer> {
    crate::summary::check("days", &[days])?;
    if days < SHORTEST {
        return Err(Refusal::NoTimeBetween {
            start: 0.0,
            end: days,
        }
        .into());
    }
    let harvest = |what: &str, masses: &[f64]| -> Result<(f64, f64, f64), NoAnswer> {
        let plain = moments(what, masses)?;
        positive(what, masses)?;
        let logs: Vec<f64> = masses.iter().map(|w| w.ln()).collect();
        let ln = moments(what, &logs)?;
        let variance = ln.variance().ok_or_else(|| Refusal::NoFreedom {
            what: what.into(),
            values: ln.n,
            needed: 2,
        })?;
        Ok((ln.mean, plain.mean.ln(), variance / count(ln.n)))
    };
    let (ln1, mean1, v1) = harvest("the masses at the start", start)?;
    let (ln2, mean2, v2) = harvest("the masses at the end", end)?;
    Ok(HarvestRate {
        mean_of_ln: (ln2 - ln1) / days,
        ln_of_mean: (mean2 - mean1) / days,
        se: (v1 + v2).sqrt() / days,
    })
}

/// RGR per day as the slope of ln mass over several days. Case r016.
///
/// # Errors
/// Refused for a mass of zero or less, or when all days are the same; unusable for lists of
/// different lengths or values that are no numbers.
pub fn slope(days: &[f64], masses: &[f64]) -> Result<regression::Line, NoAnswer> {
    check_lengths("days", days.len(), "masses", masses.len())?;
    crate::summary::check("masses", masses)?;
    positive("a mass", masses)?;
    let logs: Vec<f64> = masses.iter().map(|w| w.ln()).collect();
    regression::line(days, &logs)
}

/// Days in which a mass growing at `rate` per day doubles; nothing unless it grows.
#[must_use]
pub fn doubling_days(rate: f64) -> Option<f64> {
    check_above_zero("rate", rate)
        .is_ok()
        .then(|| std::f64::consts::LN_2 / rate)
}

pub(crate) fn positive(what: &str, masses: &[f64]) -> Result<(), Refusal> {
    match masses.iter().find(|w| **w <= 0.0) {
        None => Ok(()),
        Some(w) => Err(Refusal::NotPositive {
            what: what.into(),
            value: *w,
        }),
    }
}
