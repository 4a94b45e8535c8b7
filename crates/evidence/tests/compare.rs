//! The comparison of arms: what is given, and what is refused.
#![allow(clippy::panic, clippy::unwrap_used, missing_docs)]

use evidence::compare::{Arm, Counting, Plan, Scale, compare, minimum_detectable};
use evidence::{NoAnswer, Outcome, Refusal};

fn arm(name: &str, tanks: &[f64]) -> Arm {
    Arm {
        name: name.into(),
        tanks: tanks.to_vec(),
    }
}

fn codes(refusals: &[Refusal]) -> Vec<&str> {
    refusals.iter().map(Refusal::code).collect()
}

/// The values and the expected t are those of case r005 (R `t.test`), the smallest p is 2 of 6.
#[test]
fn two_tanks_per_arm_get_an_interval_and_no_claim() {
    let arms = [arm("plain", &[0.71, 0.93]), arm("rich", &[1.13, 0.84])];
    let result = compare(&arms, Scale::Linear, 0.95).unwrap();
    let pair = &result.pairs[0];
    assert_eq!((pair.of.as_str(), pair.against.as_str()), ("rich", "plain"));
    let t = pair.t.estimated().unwrap();
    assert!((t.interval.low + 0.618_094_617_199_722).abs() < 1e-9);
    let exact = pair.permutation.estimated().unwrap();
    assert!((exact.smallest_possible_two - 1.0 / 3.0).abs() < 1e-15);
    assert_eq!(codes(&pair.refusals), ["cannot_reach"]);
    assert_eq!(pair.permutation_p_holm, None);
}

/// Case p014: one tank per arm has no interval, and its exact p is 1.
#[test]
fn one_tank_per_arm_is_refused_in_plain_words() {
    let arms = [arm("plain", &[1.1]), arm("rich", &[1.9])];
    let pair = compare(&arms, Scale::Log, 0.95).unwrap().pairs.remove(0);
    assert_eq!(codes(&pair.refusals), ["one_tank_per_arm", "cannot_reach"]);
    assert_eq!(
        pair.refusals[0].to_string(),
        "Not estimable (0 degrees of freedom): rich and plain each have one tank, so the treatment cannot be told from the tank. The two values can be shown, without an interval."
    );
    assert!((pair.permutation.estimated().unwrap().p_two - 1.0).abs() < 1e-15);
    let ratio = pair.ratio.unwrap();
    assert!((ratio.value - 1.9 / 1.1).abs() < 1e-12 && ratio.interval.is_none());
}

/// A single tank in either arm is refused, although the pooled t would leave 2 degrees of freedom.
#[test]
fn one_arm_with_a_single_tank_is_refused_too() {
    let arms = [arm("plain", &[1.0, 1.2, 1.1]), arm("rich", &[1.9])];
    let pair = compare(&arms, Scale::Linear, 0.95).unwrap().pairs.remove(0);
    assert!(matches!(
        &pair.t,
        Outcome::Refused(Refusal::OneTankPerArm { arms }) if *arms == ["rich"]
    ));
    assert!(pair.refusals[0].to_string().contains("rich has one tank"));
}

#[test]
fn scores_get_medians_and_an_exact_test_of_their_order() {
    let low = arm("plain", &[3.0, 4.0, 4.0, 5.0]);
    let high = arm("rich", &[6.0, 7.0, 8.0, 10.0]);
    let result = compare(&[low.clone(), high], Scale::Ordinal, 0.95).unwrap();
    let pair = &result.pairs[0];
    assert!((pair.difference - 3.5).abs() < 1e-15);
    assert_eq!(codes(&pair.refusals), ["scores_have_no_mean"]);
    // No overlap: 2 of 70 allocations (counting).
    assert!((pair.permutation.estimated().unwrap().p_two - 2.0 / 70.0).abs() < 1e-15);
    assert_eq!((result.arms[0].mean, result.arms[0].sd), (None, None));
    // Only the order counts: a top score far away changes nothing.
    let far = arm("rich", &[6.0, 7.0, 8.0, 1000.0]);
    let again = compare(&[low, far], Scale::Ordinal, 0.95).unwrap();
    assert_eq!(
        again.pairs[0].permutation.estimated().unwrap().p_two,
        2.0 / 70.0
    );
}

#[test]
fn three_arms_give_three_pairs_adjusted_together() {
    let arms = [
        arm("plain", &[1.0, 1.1, 0.9]),
        arm("rich", &[2.0, 2.2, 2.1]),
        arm("dim", &[0.6, 0.8, 1.05]),
    ];
    let result = compare(&arms, Scale::Log, 0.95).unwrap();
    let names: Vec<_> = result
        .pairs
        .iter()
        .map(|p| format!("{}/{}", p.of, p.against))
        .collect();
    assert_eq!(names, ["rich/plain", "dim/plain", "dim/rich"]);
    for pair in &result.pairs {
        let p = pair.permutation.estimated().unwrap().p_two;
        assert!(pair.permutation_p_holm.unwrap() >= p);
    }
    // Smallest p 0.1 each, times 3 by Holm.
    assert!((result.pairs[0].permutation_p_holm.unwrap() - 0.3).abs() < 1e-12);
}

#[test]
fn whole_comparisons_are_refused_or_unusable() {
    let two = |a: &[f64], b: &[f64], scale| compare(&[arm("a", a), arm("b", b)], scale, 0.95);
    let refused = |r| match r {
        Err(NoAnswer::Refused(refusal)) => refusal,
        other => panic!("{other:?}"),
    };
    assert_eq!(refused(two(&[1.0], &[], Scale::Linear)).code(), "no_values");
    assert_eq!(
        refused(two(&[1.0, 0.0], &[1.0], Scale::Log)).to_string(),
        "A value of a is 0; a growth rate or a ratio needs a value above zero."
    );
    assert_eq!(
        refused(compare(&[], Scale::Linear, 0.95)).code(),
        "no_values"
    );
    let error = two(&[1.0, f64::NAN], &[1.0], Scale::Linear).unwrap_err();
    assert_eq!(
        error.to_string(),
        "a, value 2: NaN is not usable; a number between -1e100 and 1e100 is needed"
    );
    let equal = two(&[1.0, 1.0], &[1.0, 1.0], Scale::Linear).unwrap();
    assert_eq!(equal.pairs[0].t.refused().unwrap().code(), "zero_spread");
}

/// Published rounding of this table: 80 % power, two-sided 5 %, in units of the sd between tanks
/// (R `power.t.test`, as in case r065).
#[test]
fn smallest_differences_that_few_tanks_can_find() {
    let found = |plan| minimum_detectable(plan, 1.0, 0.05, 0.8, Counting::RightDirection);
    for (n, d) in [
        (2, 5.65),
        (3, 3.07),
        (4, 2.38),
        (5, 2.02),
        (6, 1.80),
        (8, 1.51),
    ] {
        let plan = Plan::TwoArms { tanks_per_arm: n };
        let found = found(plan).unwrap();
        assert!((found - d).abs() < 0.0051, "{n}: {found}");
    }
    for (n, d) in [
        (2, 11.5),
        (3, 3.26),
        (4, 2.13),
        (5, 1.68),
        (6, 1.43),
        (8, 1.16),
    ] {
        let found = found(Plan::Pairs { pairs: n }).unwrap();
        assert!((found - d).abs() < 0.051, "{n} pairs: {found}");
    }
    let alone = found(Plan::TwoArms { tanks_per_arm: 1 });
    assert!(matches!(alone, Err(NoAnswer::Refused(_))));
    for (effect, tanks) in [(1.0, 17), (1.5, 9), (2.0, 6), (3.0, 4)] {
        let needed = evidence::power::tanks_needed(effect, 1.0, 0.05, 0.8).unwrap();
        assert_eq!(needed.tanks_per_arm, tanks, "effect {effect}");
    }
}
