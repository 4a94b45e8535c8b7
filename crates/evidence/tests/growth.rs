//! Growth with trims, by hand, and what is refused. Numbers of these clumps are invented.
#![allow(clippy::panic, clippy::unwrap_used, missing_docs)]

use evidence::growth::balance::{
    DatedMass, GrowthRecord, Mass, Measure, Stretch, added_back, over_stretches,
};
use evidence::growth::{between, doubling_days, of_means, plants, slope};
use evidence::{NoAnswer, Refusal};

fn dated(day: f64, value: f64) -> DatedMass {
    DatedMass {
        day,
        mass: Mass::exact(value),
    }
}

/// 10 g grew to 14 g in 20 days; 6 g were cut off on day 8, of which 2 g were planted again.
fn clump() -> GrowthRecord {
    GrowthRecord {
        measure: Measure::FreshMass,
        start: dated(0.0, 10.0),
        end: dated(20.0, 14.0),
        removed: vec![dated(8.0, 6.0)],
        replanted: vec![dated(8.0, 2.0)],
    }
}

fn refusal<T: std::fmt::Debug>(result: Result<T, NoAnswer>) -> Refusal {
    match result {
        Err(NoAnswer::Refused(refusal)) => refusal,
        other => panic!("{other:?}"),
    }
}

/// By hand: ln((14 + 6 - 2) / 10) / 20 = ln 1.8 / 20.
#[test]
fn trimmed_mass_is_added_back_and_replanted_mass_counted_once() {
    let rate = added_back(&clump()).unwrap();
    assert!((rate.rate - 0.587_786_664_902_119 / 20.0).abs() < 1e-15);
    assert!((rate.added_back - 4.0).abs() < 1e-15);
    assert!((rate.added_share - 4.0 / 18.0).abs() < 1e-15);
    assert!((rate.low - rate.rate).abs() < 1e-15 && (rate.high - rate.rate).abs() < 1e-15);
    let mut thrown_away = clump();
    thrown_away.replanted.clear();
    assert!(added_back(&thrown_away).unwrap().rate > rate.rate);
}

/// By hand: low ln((13 + 5.5 - 2.2) / 10.5) / 20, high ln((15 + 6.5 - 1.8) / 9.5) / 20.
#[test]
fn bounds_of_the_masses_become_bounds_of_the_rate() {
    let mut loose = clump();
    loose.start.mass = Mass::within(10.0, 0.5);
    loose.end.mass = Mass::within(14.0, 1.0);
    loose.removed[0].mass = Mass::within(6.0, 0.5);
    loose.replanted[0].mass = Mass::within(2.0, 0.2);
    let rate = added_back(&loose).unwrap();
    assert!((rate.low - (16.3_f64 / 10.5).ln() / 20.0).abs() < 1e-14);
    assert!((rate.high - (19.7_f64 / 9.5).ln() / 20.0).abs() < 1e-14);
}

/// By hand: (ln(16 / 10) + ln(14 / 12)) / 20 for 10 to 16 g, cut back to 12 g, then 14 g.
#[test]
fn stretches_between_trims_add_up() {
    let stretches = [
        Stretch {
            from: dated(0.0, 10.0),
            to: dated(8.0, 16.0),
        },
        Stretch {
            from: dated(8.0, 12.0),
            to: dated(20.0, 14.0),
        },
    ];
    let rate = over_stretches(Measure::FreshMass, &stretches).unwrap();
    assert!((rate.rate - (1.6_f64 * 14.0 / 12.0).ln() / 20.0).abs() < 1e-15);
    let [first, second] = stretches;
    let swapped = over_stretches(Measure::FreshMass, &[second, first]);
    assert_eq!(
        swapped.unwrap_err().to_string(),
        "first day of a stretch is 0; accepted is a day from 20, where the stretch before ends"
    );
    assert_eq!(
        refusal(over_stretches(Measure::DryMass, &[])).code(),
        "no_values"
    );
}

#[test]
fn records_without_a_rate_are_refused() {
    let changed = |change: fn(&mut GrowthRecord)| {
        let mut record = clump();
        change(&mut record);
        added_back(&record)
    };
    assert_eq!(
        refusal(changed(|r| r.start = dated(0.0, 0.0))).code(),
        "not_positive"
    );
    assert_eq!(
        refusal(changed(|r| r.start.mass = Mass::within(0.2, 0.5))).code(),
        "not_positive"
    );
    assert_eq!(
        refusal(changed(|r| r.end.day = 0.0)).code(),
        "no_time_between"
    );
    assert_eq!(
        refusal(changed(|r| r.replanted[0].mass = Mass::exact(7.0))).to_string(),
        "7 was replanted but only 6 was cut off; what came from elsewhere starts a record of its own."
    );
    // Everything was cut off: nothing stands, and what was cut off is still growth.
    assert!(changed(|r| r.end.mass = Mass::exact(0.0)).is_ok());
    for (result, text) in [
        (
            changed(|r| r.removed[0].day = 21.0),
            "day of removed is 21; accepted is a day from 0 to 20",
        ),
        (
            changed(|r| r.removed[0].mass = Mass::exact(-1.0)),
            "removed mass is -1 to -1 to -1; accepted is bounds from 0 with the value between them",
        ),
        (
            changed(|r| r.end.mass.value = f64::NAN),
            "end, value 3: NaN is not usable; a number between -1e100 and 1e100 is needed",
        ),
    ] {
        assert_eq!(result.unwrap_err().to_string(), text);
    }
}

#[test]
fn plain_rates() {
    // A mass that doubles in 7 days grows ln 2 / 7 a day, and back.
    let rate = between(3.0, 6.0, 7.0).unwrap();
    assert!((rate - std::f64::consts::LN_2 / 7.0).abs() < 1e-15);
    assert!((doubling_days(rate).unwrap() - 7.0).abs() < 1e-12);
    assert_eq!(doubling_days(-0.1), None);
    // On an exponential curve the slope is that rate, and needs no scatter.
    let line = slope(&[0.0, 7.0, 14.0], &[3.0, 6.0, 12.0]).unwrap();
    assert!((line.slope - rate).abs() < 1e-15 && (line.r2 - 1.0).abs() < 1e-12);
    assert!(
        slope(&[0.0, 7.0], &[3.0, 6.0])
            .unwrap()
            .errors
            .refused()
            .is_some()
    );
    assert_eq!(refusal(slope(&[1.0, 1.0], &[3.0, 6.0])).code(), "no_span");
    assert_eq!(refusal(between(0.0, 6.0, 7.0)).code(), "not_positive");
    assert_eq!(refusal(of_means(&[1.0], &[2.0], 7.0)).code(), "no_freedom");
    assert_eq!(
        refusal(plants(&[1.0], &[2.0], 7.0, 0.95)).code(),
        "no_freedom"
    );
    assert!(matches!(
        plants(&[1.0, 2.0], &[2.0], 7.0, 0.95),
        Err(NoAnswer::Unusable(_))
    ));
}
