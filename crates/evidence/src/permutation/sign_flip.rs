//! Exact test of paired differences over all 2^k ways the pairs could have been allotted.

use super::{MOST_ALLOCATIONS, Permutation, Tally};
use crate::summary::{count, moments};
use crate::{NoAnswer, Refusal};

/// Mean of the differences against all changes of their signs. Case r025.
///
/// # Errors
/// Refused for no pairs or more than [`MOST_ALLOCATIONS`] sign patterns (24 pairs); unusable
/// for values that are no numbers.
pub fn sign_flip(differences: &[f64]) -> Result<Permutation, NoAnswer> {
    let m = moments("the pairs", differences)?;
    let needed = count(m.n).exp2();
    #[allow(clippy::cast_precision_loss)] // the cap is far below 2^53
    if needed > MOST_ALLOCATIONS as f64 {
        return Err(Refusal::TooManyAllocations {
            needed,
            cap: MOST_ALLOCATIONS,
        }
        .into());
    }
    let mut tally = Tally::new(m.mean, differences, 0.0);
    let n = count(m.n);
    walk(differences, 0.0, &mut |sum| tally.add(sum / n));
    Ok(tally.finish(2.0 / needed))
}

fn walk(left: &[f64], sum: f64, visit: &mut impl FnMut(f64)) {
    match left {
        [] => visit(sum),
        [first, rest @ ..] => {
            walk(rest, sum + first, visit);
            walk(rest, sum - first, visit);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_pair_decides_nothing_and_many_are_refused() -> Result<(), NoAnswer> {
        let one = sign_flip(&[0.4])?;
        assert_eq!((one.p_two, one.smallest_possible_two), (1.0, 1.0));
        assert!(matches!(
            sign_flip(&[1.0; 24]),
            Err(NoAnswer::Refused(Refusal::TooManyAllocations { .. }))
        ));
        Ok(())
    }
}
