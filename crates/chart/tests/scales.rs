//! Properties of scales and ticks for any input.

use chart::{Bands, Scale, Spacing, TimeTicks, labels, time};
use proptest::prelude::*;

fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => -1e6..1e6f64,
        2 => -1.0..1.0f64,
        1 => any::<f64>(),
        1 => prop::sample::select(vec![
            f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 0.0, -0.0, f64::MAX, f64::MIN,
            f64::MIN_POSITIVE, f64::EPSILON,
        ]),
    ]
}

fn spacing() -> impl Strategy<Value = Spacing> {
    prop::sample::select(vec![Spacing::Linear, Spacing::Log])
}

fn counting() -> impl Strategy<Value = TimeTicks> {
    prop::sample::select(vec![
        TimeTicks::Calendar,
        TimeTicks::Weeks { zero: 20_500.0 },
        TimeTicks::Days { zero: 20_500.0 },
        TimeTicks::Weeks { zero: f64::NAN },
    ])
}

proptest! {
    #[test]
    fn round_trip(
        spacing in spacing(), a in 1e-3..1e4f64, span in 1.001..1e4f64, share in 0.0..1.0f64,
        from in 0.0..900.0f64, width in 10.0..900.0f64, backwards in any::<bool>(),
    ) {
        let range = if backwards { (from + width, from) } else { (from, from + width) };
        let scale = Scale::new(spacing, (a, a * span), range);
        let (low, high) = scale.domain();
        let value = low + share * (high - low);
        let back = scale.back(scale.at(value));
        prop_assert!((back - value).abs() <= 1e-9 * high.abs(), "{value} came back as {back}");
        prop_assert!((scale.at(low) - range.0).abs() < 1e-9);
        prop_assert!((scale.at(high) - range.1).abs() < 1e-6);
    }

    #[test]
    fn nothing_panics_and_domains_are_usable(
        spacing in spacing(), a in any_number(), b in any_number(), v in any_number(),
        count in 0usize..400, r0 in any_number(), r1 in any_number(),
    ) {
        let scale = Scale::new(spacing, (a, b), (r0, r1));
        for s in [scale, scale.nice(count)] {
            let (low, high) = s.domain();
            prop_assert!(low.is_finite() && high.is_finite() && low < high, "{low} {high}");
            prop_assert!(s.spacing() == Spacing::Linear || low > 0.0);
            let _ = (s.at(v), s.back(v));
            let unit = Scale::new(spacing, (a, b), (0.0, 100.0));
            let clamped = unit.clamped(v);
            prop_assert!(clamped.is_nan() || (0.0..=100.0).contains(&clamped));
        }
    }

    #[test]
    fn nice_domains_hold_the_given_one(
        spacing in spacing(), a in 1e-4..1e6f64, span in 1.0001..1e6f64, count in 1usize..12,
    ) {
        let scale = Scale::new(spacing, (a, a * span), (0.0, 1.0));
        let (low, high) = scale.domain();
        let (nice_low, nice_high) = scale.nice(count).domain();
        prop_assert!(nice_low <= low * (1.0 + 1e-9) && nice_high >= high * (1.0 - 1e-9));
    }

    #[test]
    fn ticks_are_inside_in_order_and_not_too_many(
        spacing in spacing(), a in any_number(), b in any_number(), count in 1usize..20,
    ) {
        let scale = Scale::new(spacing, (a, b), (0.0, 100.0));
        let ticks = scale.ticks(count);
        let (low, high) = scale.domain();
        prop_assert!(ticks.iter().all(|t| t.value >= low && t.value <= high));
        prop_assert!(ticks.windows(2).all(|w| w[0].value < w[1].value), "{ticks:?}");
        prop_assert!(ticks.len() <= 3 * count + 3, "{} ticks for {count}", ticks.len());
    }

    #[test]
    fn time_ticks_are_inside_in_order_and_not_too_many(
        a in prop_oneof![5 => 15_000.0..25_000.0f64, 1 => any_number()],
        span in prop_oneof![3 => 0.05..2000.0f64, 1 => any_number()],
        count in 1usize..20, counting in counting(),
    ) {
        let ticks = time((a, a + span), count, counting);
        let (low, high) = (a.min(a + span), a.max(a + span));
        prop_assert!(ticks.iter().all(|t| t.value >= low && t.value <= high));
        prop_assert!(ticks.len() <= count + 2, "{} ticks for {count}", ticks.len());
    }

    #[test]
    fn bands_tile_their_range(count in 1usize..60, from in -100.0..100.0f64, width in 1.0..900.0f64) {
        let bands = Bands::new(count, (from, from + width), 0.2);
        for i in 0..count {
            let (start, length) = bands.span(i);
            prop_assert!(start >= from - 1e-9 && start + length <= from + width + 1e-6);
            prop_assert!((start + length / 2.0 - bands.middle(i)).abs() < 1e-6);
        }
    }

    #[test]
    fn spread_labels_keep_apart_and_inside(
        wanted in prop::collection::vec(-50.0..150.0f64, 0..12), gap in 0.0..30.0f64,
    ) {
        let placed = labels::spread(&wanted, gap, 0.0, 100.0);
        prop_assert_eq!(placed.len(), wanted.len());
        let mut sorted = placed.clone();
        sorted.sort_by(f64::total_cmp);
        let gap = gap.min(100.0 / (wanted.len().max(2) as f64 - 1.0));
        prop_assert!(sorted.windows(2).all(|w| w[1] - w[0] >= gap - 1e-6), "{placed:?}");
        prop_assert!(placed.iter().all(|p| *p >= -1e-6 && *p <= 100.0 + 1e-6));
    }
}
