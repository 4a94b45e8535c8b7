//! Properties that hold for any input.
#![allow(clippy::unwrap_used, missing_docs)]

use evidence::compare::{Arm, Scale, compare};
use evidence::growth::balance::{
    DatedMass, GrowthRecord, Mass, Measure, Stretch, added_back, over_stretches,
};
use evidence::power::{Counting, Plan, minimum_detectable, power, tanks_needed};
use evidence::{NoAnswer, anova, growth, multiplicity, permutation, regression, response_ratio, t};
use proptest::collection::vec;
use proptest::prelude::*;

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * a.abs().max(b.abs()).max(1e-12)
}

/// Any double at all, broken ones often.
fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => any::<f64>(),
        4 => -5.0..5.0f64,
        1 => prop::sample::select(vec![
            0.0, -0.0, f64::NAN, f64::INFINITY, f64::NEG_INFINITY, f64::MAX, f64::MIN_POSITIVE,
            1e100, -1e100, 5e-324,
        ]),
    ]
}

fn dated(day: f64, value: f64) -> DatedMass {
    DatedMass {
        day,
        mass: Mass::exact(value),
    }
}

fn record(start: f64, end: f64, removed: &[f64], replanted: &[f64], days: f64) -> GrowthRecord {
    GrowthRecord {
        measure: Measure::FreshMass,
        start: dated(0.0, start),
        end: dated(days, end),
        removed: removed.iter().map(|m| dated(days / 2.0, *m)).collect(),
        replanted: replanted.iter().map(|m| dated(days / 2.0, *m)).collect(),
    }
}

proptest! {
    #[test]
    fn permutation_p_is_a_share_and_symmetric(
        x in vec(-10.0..10.0f64, 1..6), y in vec(-10.0..10.0f64, 1..6)
    ) {
        let a = permutation::mean_difference(&x, &y).unwrap();
        let b = permutation::mean_difference(&y, &x).unwrap();
        prop_assert!(a.p_two >= a.smallest_possible_two - 1e-15 && a.p_two <= 1.0);
        prop_assert!(close(a.p_two, b.p_two) && close(a.observed, -b.observed));
        prop_assert!(close(a.p_greater, b.p_less) && close(a.p_less, b.p_greater));
        // Every outcome is at most as large or at least as large, the observed one both.
        prop_assert!(a.p_greater + a.p_less > 1.0 - 1e-12);
    }

    /// Against the definition written out with bit masks, another route than the walk.
    #[test]
    fn permutation_agrees_with_its_definition(
        x in vec(-9i32..9, 1..5), y in vec(-9i32..9, 1..5)
    ) {
        let (x, y): (Vec<f64>, Vec<f64>) =
            (x.into_iter().map(f64::from).collect(), y.into_iter().map(f64::from).collect());
        let all: Vec<f64> = x.iter().chain(&y).copied().collect();
        let total: f64 = all.iter().sum();
        let (n1, n2) = (x.len() as f64, y.len() as f64);
        let observed = x.iter().sum::<f64>() / n1 - y.iter().sum::<f64>() / n2;
        let (mut far, mut count) = (0u32, 0u32);
        for mask in 0u32..1 << all.len() {
            if mask.count_ones() as usize == x.len() {
                let s: f64 = (0..all.len()).filter(|i| mask >> i & 1 == 1).map(|i| all[i]).sum();
                count += 1;
                far += u32::from((s / n1 - (total - s) / n2).abs() >= observed.abs() - 1e-9);
            }
        }
        let result = permutation::mean_difference(&x, &y).unwrap();
        prop_assert_eq!(result.n_perm, u64::from(count));
        prop_assert!(close(result.p_two, f64::from(far) / f64::from(count)));
    }

    #[test]
    fn sign_flip_p_is_a_share(d in vec(-10.0..10.0f64, 1..10)) {
        let p = permutation::sign_flip(&d).unwrap();
        prop_assert!(p.p_two >= p.smallest_possible_two - 1e-15 && p.p_two <= 1.0);
        let mirrored: Vec<f64> = d.iter().map(|v| -v).collect();
        prop_assert!(close(p.p_two, permutation::sign_flip(&mirrored).unwrap().p_two));
    }

    #[test]
    fn rank_sum_interval_holds_the_shift(
        x in vec(-10.0..10.0f64, 2..8), y in vec(-10.0..10.0f64, 2..8), level in 0.05..0.99f64
    ) {
        let r = permutation::rank_sum(&x, &y, level).unwrap();
        if let Some(i) = r.interval.estimated() {
            prop_assert!(i.low <= r.shift && r.shift <= i.high);
            prop_assert!(i.achieved >= level - 1e-12 && i.achieved <= 1.0);
        }
        let stretched: Vec<f64> = x.iter().map(|v| v.exp()).collect();
        let other: Vec<f64> = y.iter().map(|v| v.exp()).collect();
        prop_assert!(close(r.p, permutation::rank_sum(&stretched, &other, level).unwrap().p));
    }

    #[test]
    fn t_interval_holds_the_estimate_and_widens_with_the_level(
        x in vec(-10.0..10.0f64, 2..8), y in vec(-10.0..10.0f64, 2..8), level in 0.1..0.99f64
    ) {
        for test in [t::pooled, t::welch] {
            let (a, b) = (test(&x, &y, level).unwrap(), test(&x, &y, level + 0.005).unwrap());
            prop_assert!(a.interval.low < a.estimate && a.estimate < a.interval.high);
            prop_assert!(b.interval.low < a.interval.low && b.interval.high > a.interval.high);
            // Zero is in the interval exactly when p is above 1 - level.
            let holds_zero = a.interval.low <= 0.0 && a.interval.high >= 0.0;
            if (a.p - (1.0 - level)).abs() > 1e-9 {
                prop_assert_eq!(holds_zero, a.p > 1.0 - level);
            }
        }
    }

    #[test]
    fn growth_rate_does_not_depend_on_the_unit(
        start in 0.01..100.0f64, end in 0.01..100.0f64, cut in vec(0.0..20.0f64, 0..4),
        days in 1.0..100.0f64, unit in 1e-3..1e3f64
    ) {
        let scaled: Vec<f64> = cut.iter().map(|m| m * unit).collect();
        let a = added_back(&record(start, end, &cut, &[], days)).unwrap();
        let b = added_back(&record(start * unit, end * unit, &scaled, &[], days)).unwrap();
        prop_assert!((a.rate - b.rate).abs() < 1e-12);
        let weeks = added_back(&record(start, end, &cut, &[], days * 7.0)).unwrap();
        prop_assert!((weeks.rate * 7.0 - a.rate).abs() < 1e-12);
        let plain = growth::between(start, end, days).unwrap();
        prop_assert!(a.rate >= plain - 1e-12);
    }

    #[test]
    fn more_added_back_is_a_higher_rate_and_replanting_undoes_it(
        start in 0.01..100.0f64, end in 0.01..100.0f64, cut in 0.1..20.0f64, more in 0.1..20.0f64
    ) {
        let rate = |removed: &[f64], replanted: &[f64]| {
            added_back(&record(start, end, removed, replanted, 30.0)).unwrap().rate
        };
        prop_assert!(rate(&[cut, more], &[]) > rate(&[cut], &[]));
        prop_assert!((rate(&[cut, more], &[more]) - rate(&[cut], &[])).abs() < 1e-12);
    }

    #[test]
    fn bounds_hold_every_rate_the_masses_allow(
        start in 1.0..50.0f64, end in 1.0..50.0f64, cut in 0.0..20.0f64, share in 0.0..1.0f64,
        error in 0.0..0.5f64, pick in vec(-1.0..1.0f64, 4)
    ) {
        let loose = |day: f64, value: f64| DatedMass { day, mass: Mass::within(value, error) };
        let mut r = record(start, end, &[], &[], 20.0);
        r.start = loose(0.0, start);
        r.end = loose(20.0, end);
        r.removed = vec![loose(9.0, cut)];
        r.replanted = vec![loose(9.0, cut * share)];
        let bounded = added_back(&r).unwrap();
        let at = |m: Mass, p: f64| if p < 0.0 { m.value + p * (m.value - m.low) }
            else { m.value + p * (m.high - m.value) };
        let (w0, w1) = (at(r.start.mass, pick[0]), at(r.end.mass, pick[1]));
        let (out, back) = (at(r.removed[0].mass, pick[2]), at(r.replanted[0].mass, pick[3]));
        prop_assume!(back <= out);
        let rate = ((w1 + out - back) / w0).ln() / 20.0;
        prop_assert!(bounded.low <= rate + 1e-12 && rate <= bounded.high + 1e-12);
        prop_assert!(bounded.low <= bounded.rate && bounded.rate <= bounded.high);
    }

    /// A clump that grows at one rate throughout and is cut once: the stretches give the rate
    /// back exactly and adding back is below it (the closed form of exponential growth).
    #[test]
    fn adding_back_is_low_and_stretches_are_right(
        rate in 0.005..0.1f64, share in 0.1..0.8f64, day in 2.0..28.0f64
    ) {
        let before = (rate * day).exp();
        let left = before * (1.0 - share);
        let end = left * (rate * (30.0 - day)).exp();
        let mut r = record(1.0, end, &[before * share], &[], 30.0);
        r.removed[0].day = day;
        let stretches = [
            Stretch { from: dated(0.0, 1.0), to: dated(day, before) },
            Stretch { from: dated(day, left), to: dated(30.0, end) },
        ];
        let exact = over_stretches(Measure::FreshMass, &stretches).unwrap();
        prop_assert!((exact.rate - rate).abs() < 1e-12);
        prop_assert!(added_back(&r).unwrap().rate < rate);
    }

    #[test]
    fn a_pair_swapped_is_the_same_with_the_sign_changed(
        x in vec(0.1..10.0f64, 2..5), y in vec(0.1..10.0f64, 2..5)
    ) {
        let arm = |name: &str, tanks: &[f64]| Arm { name: name.into(), tanks: tanks.to_vec() };
        for scale in [Scale::Log, Scale::Linear, Scale::Ordinal] {
            let a = compare(&[arm("a", &x), arm("b", &y)], scale, 0.95).unwrap();
            let b = compare(&[arm("b", &y), arm("a", &x)], scale, 0.95).unwrap();
            prop_assert!((a.pairs[0].difference + b.pairs[0].difference).abs() < 1e-12);
            let p = |c: &evidence::compare::Comparison| {
                c.pairs[0].permutation.estimated().unwrap().p_two
            };
            prop_assert!(close(p(&a), p(&b)));
        }
    }

    #[test]
    fn adjusted_p_values_are_ordered(p in vec(0.0..=1.0f64, 0..8)) {
        let holm = multiplicity::holm(&p).unwrap();
        let bonferroni = multiplicity::bonferroni(&p).unwrap();
        let bh = multiplicity::benjamini_hochberg(&p).unwrap();
        for i in 0..p.len() {
            prop_assert!(p[i] <= bh[i] && bh[i] <= holm[i] + 1e-15);
            prop_assert!(holm[i] <= bonferroni[i] + 1e-15 && bonferroni[i] <= 1.0);
        }
    }

    #[test]
    fn nothing_panics(
        x in vec(any_number(), 0..6), y in vec(any_number(), 0..6), a in any_number(),
        b in any_number(), level in any_number(), n in 0usize..40
    ) {
        let _ = t::one_sample(&x, a, level);
        for test in [t::paired, t::pooled, t::welch] {
            let _ = (test(&x, &y, level), test(&x, &y, 0.95));
        }
        let _ = permutation::mean_difference(&x, &y);
        let _ = permutation::sign_flip(&x);
        let _ = (permutation::rank_sum(&x, &y, level), permutation::rank_sum(&x, &y, 0.95));
        let _ = growth::between(a, b, level);
        let _ = (growth::plants(&x, &y, a, 0.95), growth::of_means(&x, &y, a), growth::slope(&x, &y));
        let _ = added_back(&record(a, b, &x, &y, level));
        let stretch = Stretch { from: dated(a, b), to: dated(b, level) };
        let _ = over_stretches(Measure::DryMass, &[stretch, stretch]);
        let _ = regression::line(&x, &y).and_then(|l| l.slope_interval(level));
        let groups = [("x".to_string(), x.clone()), ("y".to_string(), y.clone())];
        let _ = anova::one_way(&groups);
        let arm = |sd, n| response_ratio::ArmMoments { mean: a, sd, n };
        let _ = response_ratio::lnrr(arm(b, n), arm(level, 2));
        let _ = multiplicity::holm(&x);
        let _ = evidence::pseudoreplication::pseudoreplication_rate(n, a, level);
        for scale in [Scale::Log, Scale::Linear, Scale::Ordinal] {
            let arms = [
                Arm { name: "x".into(), tanks: x.clone() },
                Arm { name: "y".into(), tanks: y.clone() },
                Arm { name: "z".into(), tanks: vec![a] },
            ];
            let _ = compare(&arms, scale, 0.9);
        }
    }

    /// What is given is a number: a refusal or an error stands in for everything else.
    #[test]
    fn what_is_given_is_finite(x in vec(any_number(), 2..6), y in vec(any_number(), 2..6)) {
        for test in [t::paired, t::pooled, t::welch] {
            if let Ok(r) = test(&x, &y, 0.95) {
                let parts = [r.estimate, r.se, r.df, r.t, r.p, r.interval.low, r.interval.high];
                prop_assert!(parts.iter().all(|v| v.is_finite()), "{:?}", r);
            }
        }
        let mut given = Vec::new();
        given.extend(growth::between(x[0], x[1], y[0]));
        let trimmed = added_back(&record(x[0], x[1], &y, &[], y[1]));
        given.extend(trimmed.into_iter().flat_map(|r| [r.rate, r.low, r.high]));
        let arm = |mean, sd| response_ratio::ArmMoments { mean, sd, n: 3 };
        let ratio = response_ratio::lnrr(arm(x[0], x[1]), arm(y[0], y[1]));
        given.extend(ratio.into_iter().flat_map(|r| [r.corrected_ln_ratio, r.corrected_variance]));
        let plan = Plan::TwoArms { tanks_per_arm: 3 };
        given.extend(power(plan, x[0], x[1], 0.05, Counting::BothDirections));
        prop_assert!(given.iter().all(|v| v.is_finite()), "{:?}", given);
    }
}

proptest! {
    #[test]
    fn power_and_its_inverses_close_the_loop(
        n in 2usize..30, alpha in 0.001..0.2f64, wanted in 0.55..0.99f64, sd in 0.01..10.0f64
    ) {
        for plan in [Plan::TwoArms { tanks_per_arm: n }, Plan::Pairs { pairs: n }] {
            for counting in [Counting::RightDirection, Counting::BothDirections] {
                let effect = minimum_detectable(plan, sd, alpha, wanted, counting).unwrap();
                let reached = power(plan, effect, sd, alpha, counting).unwrap();
                prop_assert!((reached - wanted).abs() < 1e-9, "{} {}", reached, wanted);
            }
        }
        let plan = Plan::TwoArms { tanks_per_arm: n };
        let effect =
            minimum_detectable(plan, sd, alpha, wanted, Counting::RightDirection).unwrap();
        let needed = tanks_needed(effect, sd, alpha, wanted).unwrap();
        prop_assert!((needed.before_rounding - n as f64).abs() < 1e-5, "{:?} for {}", needed, n);
    }

    #[test]
    fn power_never_panics(
        n in 0usize..60, effect in any_number(), sd in any_number(), alpha in any_number(),
        wanted in any_number(), easy in 0.0..1.0f64
    ) {
        let plan = Plan::TwoArms { tanks_per_arm: n };
        let both = Counting::BothDirections;
        let _ = (power(plan, effect, sd, alpha, both), power(plan, effect, 1.0, easy, both));
        let _ = minimum_detectable(plan, sd, alpha, wanted, both);
        let _ = minimum_detectable(plan, 1.0, easy, 0.9, both);
        let _: Result<_, NoAnswer> = tanks_needed(effect, sd, 0.05, wanted);
    }
}
