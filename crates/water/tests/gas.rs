//! Exchange with the air and what a pH series tells of it.
#![allow(missing_docs, clippy::unwrap_used)]

use quantity::analyte::MEQ_L_PER_DKH;
use water::gas::course::{Exchange, course, half_life_h, to_hold_g};
use water::gas::kla::{PhReading, fit};
use water::gas::supply;
use water::{Closed, Given, Water, solve};

const AIR: f64 = 420e-6;

fn four_degrees() -> Water {
    Water {
        temperature_c: 25.0,
        alkalinity_meq_l: 4.0 * MEQ_L_PER_DKH,
        na_mg_l: 4.0 * MEQ_L_PER_DKH * 22.99,
        ..Water::default()
    }
}

fn off(kla_per_h: f64, source_mg_l_h: f64) -> Exchange {
    Exchange {
        kla_per_h,
        air_pco2_atm: AIR,
        source_mg_l_h,
    }
}

#[test]
fn exponential_at_low_ph_only() {
    // Below pH 7 dDIC/dCO2 is 1.00, so CO2 above the air's falls as exp(-kLa t): closed form.
    let start = Closed::new(four_degrees(), Given::Ph(6.4)).unwrap();
    let rest = solve(&four_degrees(), Given::Pco2Atm(AIR)).unwrap();
    let found = course(&start, &off(0.5, 0.0), 1.0, 10).unwrap();
    let (first, last) = (found.moments[0], found.moments[10]);
    let ratio = (last.co2_mg_l - rest.co2_mg_l) / (first.co2_mg_l - rest.co2_mg_l);
    assert!((ratio / (-0.5f64).exp() - 1.0).abs() < 2e-3, "{ratio}");
    // Near the end it is several times slower than that.
    let late = course(&start, &off(0.5, 0.0), 24.0, 48).unwrap();
    let end = late.moments[48];
    assert!((end.ph - rest.ph).abs() < 0.2 && end.ph < rest.ph);
    let naive = rest.co2_mg_l + (first.co2_mg_l - rest.co2_mg_l) * (-12.0f64).exp();
    assert!(end.co2_mg_l - rest.co2_mg_l > 3.0 * (naive - rest.co2_mg_l));
    assert!(late.gap_mmol_l.abs() < 1e-10, "{}", late.gap_mmol_l);
}

#[test]
fn a_source_settles_where_it_equals_the_loss() {
    let start = Closed::with_air(four_degrees(), AIR).unwrap();
    let rest = start.state().unwrap().co2_mg_l;
    let found = course(&start, &off(0.5, 10.0), 40.0, 40).unwrap();
    // 10 mg/L/h over 0.5/h is 20 mg/L above the air.
    assert!((found.moments[40].co2_mg_l - rest - 20.0).abs() < 0.02);
    assert!(found.moments.windows(2).all(|m| m[1].ph < m[0].ph));
    assert!(course(&start, &off(f64::NAN, 0.0), 1.0, 1).is_err());
}

#[test]
fn carbon_dioxide_to_hold_thirty() {
    // 30 mg/L in 100 L for 10 h: kLa 0.1 -> 2.9 g, 0.5 -> 14.7 g, 2 -> 59 g; half-lives 6.9, 1.39
    // and 0.35 h (computed independently).
    for (kla, grams, half) in [(0.1, 2.9, 6.9), (0.5, 14.7, 1.39), (2.0, 59.0, 0.35)] {
        let got = to_hold_g(kla, 30.0, 0.627, 100.0, 10.0, 0.0);
        assert!((got / grams - 1.0).abs() < 0.015, "{got}");
        assert!((half_life_h(kla) / half - 1.0).abs() < 0.015);
    }
}

fn series(kla: f64, hours: f64, n: usize, error: impl Fn(usize) -> f64) -> Vec<PhReading> {
    let start = Closed::new(four_degrees(), Given::Ph(6.6)).unwrap();
    course(&start, &off(kla, 0.0), hours, n)
        .unwrap()
        .moments
        .iter()
        .enumerate()
        .map(|(i, m)| PhReading {
            hours: 3.0 + m.hours,
            ph: m.ph + error(i),
        })
        .collect()
}

#[test]
fn the_fit_finds_what_the_course_was_made_with() {
    // Two routes: Runge-Kutta forward, separated integral backward.
    for kla in [0.05, 0.3, 1.2] {
        let readings = series(kla, 2.0 / kla, 12, |_| 0.0);
        let found = fit(&four_degrees(), AIR, &readings, 0.02).unwrap();
        let value = found.value.unwrap();
        assert!((value / kla - 1.0).abs() < 0.01, "{kla} {value}");
        let (low, high) = (found.low.unwrap(), found.high.unwrap());
        assert!(low < kla && kla < high && high / low < 1.3, "{low} {high}");
    }
}

#[test]
fn interval_covers_and_widens_with_error() {
    // Fixed errors of about 0.05 pH, mean zero; the standard deviation is told.
    let errors = [
        0.05, -0.06, 0.02, 0.07, -0.03, -0.05, 0.04, -0.02, 0.01, -0.03,
    ];
    let readings = series(0.4, 5.0, 9, |i| errors[i]);
    let found = fit(&four_degrees(), AIR, &readings, 0.05).unwrap();
    let (low, high) = (found.low.unwrap(), found.high.unwrap());
    assert!(low < 0.4 && 0.4 < high, "{low} {high}");
    let coarse = fit(&four_degrees(), AIR, &readings, 0.15).unwrap();
    let width = |e: &quantity::Estimate| (e.high.unwrap() / e.low.unwrap()).ln();
    assert!(width(&coarse) > 1.5 * width(&found));
    // Readings that scatter more than is claimed are not believed to the claim.
    let claimed = fit(&four_degrees(), AIR, &readings, 0.005).unwrap();
    assert!(width(&claimed) > 0.6 * width(&found));
}

#[test]
fn series_that_say_nothing_are_refused() {
    let flat: Vec<_> = (0..6)
        .map(|i| PhReading {
            hours: f64::from(i),
            ph: 8.4,
        })
        .collect();
    let found = fit(&four_degrees(), AIR, &flat, 0.05).unwrap();
    assert!(found.refusal().is_some());
    let few = fit(&four_degrees(), AIR, &flat[..2], 0.05).unwrap();
    assert!(few.refusal().unwrap().contains("three"));
    let wild = [PhReading {
        hours: f64::NAN,
        ph: 7.0,
    }; 3];
    assert!(fit(&four_degrees(), AIR, &wild, 0.05).is_err());
    // A pH that does not move bounds the rate from above only.
    let still: Vec<_> = (0..6)
        .map(|i| PhReading {
            hours: 0.2 * f64::from(i),
            ph: 6.6,
        })
        .collect();
    let found = fit(&four_degrees(), AIR, &still, 0.05).unwrap();
    assert!(
        found.low.is_none() && found.value.is_none() && found.high.unwrap() < 0.6,
        "{found:?}"
    );
}

#[test]
fn cylinders_and_their_caution() {
    assert_eq!(supply::cylinder_days(500.0, 5.0).unwrap(), 100.0);
    assert!(supply::cylinder_days(500.0, 0.0).is_err());
    assert!(supply::CYLINDER_CAUTION.contains("suffocates"));
}
