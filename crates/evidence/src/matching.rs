//! How often hidden things are named rightly by chance alone.
//!
//! A round hides `n` things behind marks in an order drawn by lot, each order equally likely, and
//! somebody says of each mark what stands behind it. The number named rightly then has an exact
//! distribution, whatever was said: the hit numbers of rook theory (Riordan 1958, An Introduction
//! to Combinatorial Analysis, ch. 7; from memory). Things may be of the same kind, as tanks of one
//! arm are: naming the kind rightly then counts.

use serde::Serialize;

use crate::Unusable;
use crate::summary::count;

/// Most things hidden in one round: beyond it the orders no longer fit the whole numbers used.
pub const MOST_HIDDEN: usize = 20;

/// One kind of thing in a round.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Kind {
    /// How many of it are hidden.
    pub hidden: usize,
    /// How many marks were said to be of it.
    pub named: usize,
}

/// One round of naming.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Round {
    /// The kinds; together they hide what the round hides. Marks nobody could name are left out
    /// of `named`.
    pub kinds: Vec<Kind>,
    /// Marks named rightly.
    pub right: usize,
}

/// Several rounds together.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Named {
    /// Marks named rightly.
    pub right: usize,
    /// Marks named at all.
    pub named: usize,
    /// Rightly named on average by chance alone.
    pub expected: f64,
    /// Chance of naming at least as many rightly without knowing anything.
    pub at_least: f64,
    /// The smallest such chance any outcome of these rounds could have had.
    pub smallest: f64,
}

/// The chance of 0, 1, 2, ... marks named rightly in one round when nothing is known.
///
/// # Errors
/// Unusable when nothing is hidden, more than [`MOST_HIDDEN`] things are, or more marks were named
/// than there are.
pub fn by_chance(kinds: &[Kind]) -> Result<Vec<f64>, Unusable> {
    let hidden: usize = kinds.iter().map(|k| k.hidden).sum();
    let named: usize = kinds.iter().map(|k| k.named).sum();
    let refuse = |field: &str, value: usize, accepted: String| Unusable::OutOfRange {
        field: field.into(),
        value: value.to_string(),
        accepted,
    };
    if hidden == 0 || hidden > MOST_HIDDEN {
        let accepted = format!("a whole number from 1 to {MOST_HIDDEN}");
        return Err(refuse("things hidden", hidden, accepted));
    }
    if named > hidden {
        let accepted = format!("at most the {hidden} things hidden");
        return Err(refuse("marks named", named, accepted));
    }
    // Ways to put k of the marks rightly: within one kind of a hidden and b named things
    // C(a, k) C(b, k) k!, and the kinds do not disturb each other.
    let rooks = kinds.iter().fold(vec![1_i128], |all, kind| {
        let own: Vec<i128> = (0..=kind.hidden.min(kind.named))
            .map(|k| choose(kind.hidden, k) * choose(kind.named, k) * factorial(k))
            .collect();
        product(&all, &own, 0, |a, b| a * b)
    });
    let all = factorial(hidden);
    let orders = |right: usize| -> i128 {
        (right..rooks.len())
            .map(|k| {
                let term = choose(k, right) * rooks[k] * factorial(hidden - k);
                if (k - right).is_multiple_of(2) {
                    term
                } else {
                    -term
                }
            })
            .sum()
    };
    // Both are whole numbers below 2^63, so the quotient is right to the last digits of f64.
    #[allow(clippy::cast_precision_loss)]
    Ok((0..rooks.len())
        .map(|right| orders(right) as f64 / all as f64)
        .collect())
}

/// Several rounds together, each with its own lot.
///
/// # Errors
/// As [`by_chance`]; and when more marks are right than could be. No rounds are unusable too.
pub fn named(rounds: &[Round]) -> Result<Named, Unusable> {
    let mut chances = vec![1.0];
    for round in rounds {
        let own = by_chance(&round.kinds)?;
        if round.right >= own.len() {
            return Err(Unusable::OutOfRange {
                field: "marks named rightly".into(),
                value: round.right.to_string(),
                accepted: format!("at most {}", own.len() - 1),
            });
        }
        chances = product(&chances, &own, 0.0, |a, b| a * b);
    }
    if rounds.is_empty() {
        return Err(Unusable::OutOfRange {
            field: "rounds".into(),
            value: "0".into(),
            accepted: "at least one".into(),
        });
    }
    let right = rounds.iter().map(|r| r.right).sum();
    let from = |least: usize| chances[least..].iter().sum::<f64>().min(1.0);
    let possible = chances.iter().rposition(|p| *p > 0.0).unwrap_or(0);
    Ok(Named {
        right,
        named: rounds.iter().flat_map(|r| &r.kinds).map(|k| k.named).sum(),
        expected: chances.iter().enumerate().map(|(n, p)| count(n) * p).sum(),
        at_least: from(right),
        smallest: from(possible),
    })
}

/// The coefficients of the product of two polynomials.
fn product<T: Copy + std::ops::AddAssign>(
    a: &[T],
    b: &[T],
    zero: T,
    times: impl Fn(T, T) -> T,
) -> Vec<T> {
    let mut all = vec![zero; a.len() + b.len() - 1];
    for (i, x) in a.iter().enumerate() {
        for (j, y) in b.iter().enumerate() {
            all[i + j] += times(*x, *y);
        }
    }
    all
}

fn factorial(n: usize) -> i128 {
    (1..=n as i128).product()
}

fn choose(n: usize, k: usize) -> i128 {
    (0..k as i128).fold(1, |c, i| c * (n as i128 - i) / (i + 1))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn each_once(n: usize) -> Vec<Kind> {
        vec![
            Kind {
                hidden: 1,
                named: 1
            };
            n
        ]
    }

    fn near(found: &[f64], expected: &[f64]) {
        assert_eq!(found.len(), expected.len(), "{found:?}");
        for (f, e) in found.iter().zip(expected) {
            assert!((f - e).abs() < 1e-14, "{found:?} {expected:?}");
        }
    }

    #[test]
    fn each_named_once_has_the_rencontres_numbers() {
        // Rencontres numbers, OEIS A008290 (from memory): rows 2, 4 and 5.
        let row = |n: usize, counts: &[f64]| {
            let all: f64 = counts.iter().sum();
            let expected: Vec<f64> = counts.iter().map(|c| c / all).collect();
            near(&by_chance(&each_once(n)).unwrap(), &expected);
        };
        row(2, &[1.0, 0.0, 1.0]);
        row(4, &[9.0, 8.0, 6.0, 0.0, 1.0]);
        row(5, &[44.0, 45.0, 20.0, 10.0, 0.0, 1.0]);
    }

    #[test]
    fn eight_cups_of_tea() {
        // Fisher 1935, The Design of Experiments, ch. II (from memory): of 8 cups, 4 with the milk
        // first; 1, 16, 36, 16 and 1 of 70 choices have 4, 3, 2, 1 and 0 of these right.
        let four = Kind {
            hidden: 4,
            named: 4,
        };
        let chances = by_chance(&[four, four]).unwrap();
        let expected = [1.0, 0.0, 16.0, 0.0, 36.0, 0.0, 16.0, 0.0, 1.0];
        near(&chances, &expected.map(|c| c / 70.0));
        let kinds = vec![four, four];
        let all = named(&[Round { kinds, right: 8 }]).unwrap();
        assert!((all.at_least - 1.0 / 70.0).abs() < 1e-14 && all.expected == 4.0);
    }

    #[test]
    fn every_order_counted_gives_the_same() {
        // All 120 orders of 5 things in 3 kinds, one mark not named, walked through one by one.
        let hidden = [0, 0, 1, 1, 2];
        let said = [Some(0), Some(1), Some(1), None, Some(1)];
        let mut counts = [0.0_f64; 5];
        let mut order = [0usize, 1, 2, 3, 4];
        walk(&mut order, 0, &mut |order| {
            let right = (0..5)
                .filter(|i| said[*i] == Some(hidden[order[*i]]))
                .count();
            counts[right] += 1.0 / 120.0;
        });
        let kind = |hidden, named| Kind { hidden, named };
        let found = by_chance(&[kind(2, 1), kind(2, 3), kind(1, 0)]).unwrap();
        near(&found, &counts[..found.len()]);
        assert!(counts[found.len()..].iter().all(|c| *c == 0.0));
    }

    fn walk(order: &mut [usize; 5], from: usize, each: &mut impl FnMut(&[usize; 5])) {
        if from == order.len() {
            return each(order);
        }
        for with in from..order.len() {
            order.swap(from, with);
            walk(order, from + 1, each);
            order.swap(from, with);
        }
    }

    #[test]
    fn two_tanks_are_one_toss_of_a_coin_each_time() {
        let round = |right| Round {
            kinds: each_once(2),
            right,
        };
        let all = named(&[round(2), round(2), round(0)]).unwrap();
        // Three tosses of a coin, at least two heads: 4 of 8.
        assert!((all.at_least - 0.5).abs() < 1e-14, "{all:?}");
        assert_eq!((all.right, all.named, all.expected), (4, 6, 3.0));
        assert!((all.smallest - 0.125).abs() < 1e-14);
    }

    #[test]
    fn the_largest_round_still_sums_to_one() {
        for kinds in [
            each_once(MOST_HIDDEN),
            vec![
                Kind {
                    hidden: 10,
                    named: 10
                };
                2
            ],
        ] {
            let chances = by_chance(&kinds).unwrap();
            assert!(chances.iter().all(|p| (0.0..=1.0).contains(p)));
            assert!((chances.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn what_cannot_be_is_named() {
        assert!(by_chance(&[]).is_err());
        assert!(by_chance(&each_once(MOST_HIDDEN + 1)).is_err());
        let twice = Kind {
            hidden: 1,
            named: 2,
        };
        let said = by_chance(&[twice]).unwrap_err().to_string();
        assert!(said.contains("marks named"), "{said}");
        assert!(named(&[]).is_err());
        let kinds = each_once(2);
        assert!(named(&[Round { kinds, right: 3 }]).is_err());
    }
}
