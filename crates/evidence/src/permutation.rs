//! Exact tests: the share of all outcomes the lot could have given that are at least as far out.
//!
//! Ties are counted as "as far out" within 1e-9 of the largest deviation in the data. The
//! allocation that really happened is counted. Nothing is stored per allocation.

mod allocations;
mod rank_sum;
mod sign_flip;

use serde::Serialize;

pub use allocations::{mean_difference, midranks, smallest_two_sided};
pub use rank_sum::{RankSum, ShiftInterval, rank_sum};
pub use sign_flip::sign_flip;

/// Most allocations that are walked through.
pub const MOST_ALLOCATIONS: u64 = 10_000_000;

/// Tolerance for ties, as a share of the largest deviation.
const TIE: f64 = 1e-9;

/// Result of an exact test.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Permutation {
    /// Statistic of the data as they are, in the unit of the values.
    pub observed: f64,
    /// Number of allocations that could have been drawn.
    pub n_perm: u64,
    /// Share with a statistic at least as large in size.
    pub p_two: f64,
    /// Share with a statistic at least as large.
    pub p_greater: f64,
    /// Share with a statistic at most as large.
    pub p_less: f64,
    /// Smallest two-sided p this design can give whatever the values.
    pub smallest_possible_two: f64,
}

/// Counts outcomes as far out as the observed one.
struct Tally {
    observed: f64,
    tolerance: f64,
    two: u64,
    greater: u64,
    less: u64,
    all: u64,
}

impl Tally {
    /// `deviations` are the values about `centre`; where they are only the rounding of values
    /// that are all the same, every outcome is a tie.
    fn new(observed: f64, deviations: &[f64], centre: f64) -> Self {
        let largest = deviations.iter().fold(0.0_f64, |m, v| m.max(v.abs()));
        let rounding = 16.0 * f64::EPSILON * (largest + centre.abs());
        Self {
            observed,
            tolerance: (TIE * largest).max(rounding),
            two: 0,
            greater: 0,
            less: 0,
            all: 0,
        }
    }

    fn add(&mut self, statistic: f64) {
        self.all += 1;
        self.two += u64::from(statistic.abs() >= self.observed.abs() - self.tolerance);
        self.greater += u64::from(statistic >= self.observed - self.tolerance);
        self.less += u64::from(statistic <= self.observed + self.tolerance);
    }

    #[allow(clippy::cast_precision_loss)] // counts stay below MOST_ALLOCATIONS
    fn finish(&self, smallest_possible_two: f64) -> Permutation {
        let share = |n: u64| n as f64 / self.all as f64;
        Permutation {
            observed: self.observed,
            n_perm: self.all,
            p_two: share(self.two),
            p_greater: share(self.greater),
            p_less: share(self.less),
            smallest_possible_two,
        }
    }
}
