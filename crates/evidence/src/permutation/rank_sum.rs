//! Exact rank-sum test with the Hodges-Lehmann shift and its interval.

use serde::Serialize;

use super::midranks;
use crate::summary::{check_share, count, median_of_sorted, moments};
use crate::{NoAnswer, Outcome, Refusal};

/// Most values in both arms together; the exact distribution takes n^4 steps.
const MOST_VALUES: usize = 100;

/// Exact rank-sum test of x against y.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RankSum {
    /// Number of pairs with x above y, ties counting half.
    pub w: f64,
    /// Two-sided p: twice the smaller tail, ties taken as they are.
    pub p: f64,
    /// Hodges-Lehmann estimate of the shift of x over y: median of all differences.
    pub shift: f64,
    /// Interval of the shift.
    pub interval: Outcome<ShiftInterval>,
}

/// Interval of a shift; the counting allows only certain levels.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ShiftInterval {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Level asked for.
    pub level: f64,
    /// Level reached, at least the one asked for.
    pub achieved: f64,
}

/// Rank-sum test (Wilcoxon 1945, Mann and Whitney 1947) with the shift and interval of Hodges
/// and Lehmann 1963, Annals of Mathematical Statistics 34:598-611 (all from memory), as in R's
/// `wilcox.test(exact = TRUE, conf.int = TRUE)`, case r026. With ties the p-value is exact for
/// the midranks and the interval, which uses the distribution without ties, is on the safe side.
///
/// # Errors
/// Refused when an arm is empty or both hold more than 100 values; unusable for values that are
/// no numbers or a level outside 0 to 1.
pub fn rank_sum(x: &[f64], y: &[f64], level: f64) -> Result<RankSum, NoAnswer> {
    check_share("level", level)?;
    moments("x", x)?;
    moments("y", y)?;
    let (n, m) = (x.len(), y.len());
    if n + m > MOST_VALUES {
        return Err(Refusal::TooManyValues {
            values: n + m,
            cap: MOST_VALUES,
        }
        .into());
    }
    let all: Vec<f64> = x.iter().chain(y).copied().collect();
    // Doubled, so that midranks are whole numbers.
    let ranks: Vec<usize> = midranks(&all).iter().map(|r| whole(2.0 * r)).collect();
    let sum: usize = ranks[..n].iter().sum();
    let tied = SumOfDrawn::new(&ranks, n);
    let p = (2.0 * tied.at_most(sum).min(tied.at_least(sum))).min(1.0);

    let mut differences: Vec<f64> = x
        .iter()
        .flat_map(|a| y.iter().map(move |b| a - b))
        .collect();
    differences.sort_by(f64::total_cmp);
    Ok(RankSum {
        w: count(sum) / 2.0 - count(n * (n + 1)) / 2.0,
        p,
        shift: median_of_sorted(&differences),
        interval: interval(&differences, n, m, level),
    })
}

fn interval(sorted: &[f64], n: usize, m: usize, level: f64) -> Outcome<ShiftInterval> {
    let untied: Vec<usize> = (1..=n + m).map(|r| 2 * r).collect();
    let distribution = SumOfDrawn::new(&untied, n);
    let lowest = n * (n + 1);
    // P(W < cut), with W the count of pairs.
    let below = |cut: usize| {
        if cut == 0 {
            0.0
        } else {
            distribution.at_most(lowest + 2 * (cut - 1))
        }
    };
    let half = (1.0 - level) / 2.0;
    // The largest cut whose lower tail is within half of what may be missed.
    let cut = (1..=sorted.len() / 2 + 1)
        .take_while(|cut| below(*cut) <= half * (1.0 + 1e-12))
        .last();
    match cut {
        Some(cut) if cut <= sorted.len() / 2 => Outcome::Estimated(ShiftInterval {
            low: sorted[cut - 1],
            high: sorted[sorted.len() - cut],
            level,
            achieved: 1.0 - 2.0 * below(cut),
        }),
        _ => Outcome::Refused(Refusal::LevelOutOfReach {
            level,
            highest: 1.0 - 2.0 * below(1),
        }),
    }
}

/// Doubled midranks are whole and at most twice the number of values.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
fn whole(doubled_rank: f64) -> usize {
    doubled_rank.round() as usize
}

/// Distribution of the sum of `drawn` of the given whole numbers, all draws being equally likely.
struct SumOfDrawn {
    probability: Vec<f64>,
}

impl SumOfDrawn {
    fn new(ranks: &[usize], drawn: usize) -> Self {
        let largest: usize = ranks.iter().sum();
        // ways[k][s]: number of ways to draw k of the ranks so far with sum s.
        let mut ways = vec![vec![0.0_f64; largest + 1]; drawn + 1];
        ways[0][0] = 1.0;
        for (seen, rank) in ranks.iter().enumerate() {
            for k in (1..=drawn.min(seen + 1)).rev() {
                let (fewer, these) = ways.split_at_mut(k);
                let (from, to) = (&fewer[k - 1], &mut these[0]);
                for s in *rank..=largest {
                    to[s] += from[s - rank];
                }
            }
        }
        let mut probability = ways.pop().unwrap_or_default();
        let total: f64 = probability.iter().sum();
        probability.iter_mut().for_each(|p| *p /= total);
        Self { probability }
    }

    fn at_most(&self, sum: usize) -> f64 {
        self.probability.iter().take(sum + 1).sum()
    }

    fn at_least(&self, sum: usize) -> f64 {
        self.probability.iter().skip(sum).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 3 against 3 without overlap: 1 of 20 draws in each tail (counting), so p = 0.1 and no
    /// interval at 95 %, the highest level being 90 %.
    #[test]
    fn three_tanks_per_arm() -> Result<(), NoAnswer> {
        let r = rank_sum(&[4.0, 5.0, 6.0], &[1.0, 2.0, 3.0], 0.95)?;
        assert!((r.p - 0.1).abs() < 1e-15 && (r.w - 9.0).abs() < 1e-15);
        assert!((r.shift - 3.0).abs() < 1e-15);
        let Outcome::Refused(Refusal::LevelOutOfReach { highest, .. }) = r.interval else {
            panic!("{r:?}");
        };
        assert!((highest - 0.9).abs() < 1e-12);
        let r = rank_sum(&[4.0, 5.0, 6.0], &[1.0, 2.0, 3.0], 0.9)?;
        let Outcome::Estimated(i) = r.interval else {
            panic!("{r:?}");
        };
        assert_eq!((i.low, i.high), (1.0, 5.0));
        Ok(())
    }

    #[test]
    fn ties_and_single_tanks() -> Result<(), NoAnswer> {
        let tied = rank_sum(&[2.0, 2.0], &[2.0, 2.0, 2.0], 0.95)?;
        assert_eq!((tied.p, tied.w, tied.shift), (1.0, 3.0, 0.0));
        let single = rank_sum(&[2.0], &[1.0], 0.95)?;
        assert_eq!(single.p, 1.0);
        assert!(single.interval.refused().is_some());
        Ok(())
    }
}
