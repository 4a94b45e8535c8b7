//! Exact permutation test of a difference of means over all allocations to two arms.

use super::{MOST_ALLOCATIONS, Permutation, Tally};
use crate::summary::{count, moments};
use crate::{NoAnswer, Refusal};

/// mean(x) - mean(y) against all ways to choose which tanks are x.
///
/// Fisher 1935, The Design of Experiments; Pitman 1937, Supplement to the Journal of the Royal
/// Statistical Society 4:119-130 (both from memory). Cases r021 and p014.
///
/// # Errors
/// Refused when an arm is empty or more than [`MOST_ALLOCATIONS`] would have to be walked
/// through; unusable for values that are no numbers.
pub fn mean_difference(x: &[f64], y: &[f64]) -> Result<Permutation, NoAnswer> {
    let (mx, my) = (moments("x", x)?, moments("y", y)?);
    let needed = allocations(x.len(), y.len());
    #[allow(clippy::cast_precision_loss)] // the cap is far below 2^53
    if needed > MOST_ALLOCATIONS as f64 {
        return Err(Refusal::TooManyAllocations {
            needed,
            cap: MOST_ALLOCATIONS,
        }
        .into());
    }
    // The smaller arm is the one drawn: shorter sums, and the other arm's mean follows.
    let (drawn, sign) = if x.len() <= y.len() {
        (x.len(), 1.0)
    } else {
        (y.len(), -1.0)
    };
    // Centring keeps the sums small and makes the other arm's sum the negative of this one's.
    let centre = (mx.mean * count(mx.n) + my.mean * count(my.n)) / count(mx.n + my.n);
    let all: Vec<f64> = x.iter().chain(y).map(|v| v - centre).collect();
    let total: f64 = all.iter().sum();
    let rest = count(all.len() - drawn);
    let scale = 1.0 / count(drawn) + 1.0 / rest;

    let mut tally = Tally::new(mx.mean - my.mean, &all, centre);
    walk(&all, drawn, 0.0, &mut |sum| {
        tally.add(sign * (sum * scale - total / rest));
    });
    Ok(tally.finish(smallest_two_sided(x.len(), y.len())))
}

/// Smallest two-sided p that arms of these sizes can give: one allocation of all, or two
/// when the arms are equal and every allocation has a mirror image. 1 for an empty arm.
#[must_use]
pub fn smallest_two_sided(n1: usize, n2: usize) -> f64 {
    if n1 == 0 || n2 == 0 {
        return 1.0;
    }
    let images = if n1 == n2 { 2.0 } else { 1.0 };
    images / allocations(n1, n2)
}

/// Number of ways to draw n1 of n1 + n2; a float, since it is compared with a cap.
fn allocations(n1: usize, n2: usize) -> f64 {
    let smaller = n1.min(n2);
    let larger = n1.max(n2);
    let mut ways = 1.0_f64;
    for i in 1..=smaller {
        // Exact as long as the product is below 2^53, far above the cap.
        ways = ways * count(larger + i) / count(i);
        if ways > 1e300 {
            return ways;
        }
    }
    ways.round()
}

/// Visits the sum of every choice of `left` values.
fn walk(values: &[f64], left: usize, sum: f64, visit: &mut impl FnMut(f64)) {
    match left {
        0 => visit(sum),
        1 => values.iter().for_each(|v| visit(sum + v)),
        _ => {
            for first in 0..=values.len() - left {
                walk(&values[first + 1..], left - 1, sum + values[first], visit);
            }
        }
    }
}

/// Ranks from 1, ties sharing the mean of their ranks. Values must be numbers.
#[must_use]
pub fn midranks(values: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    let mut ranks = vec![0.0; values.len()];
    let mut start = 0;
    while start < order.len() {
        let mut end = start + 1;
        #[allow(clippy::float_cmp)] // a tie is an equal value; -0 and 0 are a tie too
        while end < order.len() && values[order[end]] == values[order[start]] {
            end += 1;
        }
        let shared = f64::midpoint(count(start + 1), count(end));
        for place in &order[start..end] {
            ranks[*place] = shared;
        }
        start = end;
    }
    ranks
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Binomial coefficients, and the smallest p-values of 1 to 5 tanks per arm and of 4 against
    /// 3: arithmetic.
    #[test]
    fn smallest_p() {
        for (n1, n2, p) in [
            (1, 1, 1.0),
            (2, 2, 1.0 / 3.0),
            (3, 3, 0.1),
            (4, 4, 2.0 / 70.0),
            (5, 5, 2.0 / 252.0),
            (4, 3, 1.0 / 35.0),
            (0, 3, 1.0),
        ] {
            assert!(
                (smallest_two_sided(n1, n2) - p).abs() < 1e-15,
                "{n1} v {n2}"
            );
        }
        assert!((allocations(10, 10) - 184_756.0).abs() < 0.5);
        assert!(allocations(5000, 5000) > 1e300);
    }

    #[test]
    fn every_allocation_is_visited_once() {
        let mut sums = Vec::new();
        walk(&[1.0, 2.0, 4.0, 8.0, 16.0], 3, 0.0, &mut |s| sums.push(s));
        sums.sort_by(f64::total_cmp);
        assert_eq!(
            sums,
            [7.0, 11.0, 13.0, 14.0, 19.0, 21.0, 22.0, 25.0, 26.0, 28.0]
        );
    }

    #[test]
    fn too_many_is_refused() {
        let x: Vec<f64> = (0..13).map(f64::from).collect();
        assert!(matches!(
            mean_difference(&x, &x),
            Err(NoAnswer::Refused(Refusal::TooManyAllocations { .. }))
        ));
    }

    #[test]
    fn equal_values_cannot_differ() -> Result<(), NoAnswer> {
        let p = mean_difference(&[0.1; 3], &[0.1; 4])?;
        assert_eq!(
            (p.p_two, p.p_greater, p.p_less, p.n_perm),
            (1.0, 1.0, 1.0, 35)
        );
        Ok(())
    }

    #[test]
    fn ties_share_ranks() {
        assert_eq!(
            midranks(&[3.0, 1.0, 3.0, 2.0, 3.0]),
            [4.0, 1.0, 4.0, 2.0, 4.0]
        );
        assert_eq!(midranks(&[0.0, -0.0]), [1.5, 1.5]);
        assert!(midranks(&[]).is_empty());
    }
}
