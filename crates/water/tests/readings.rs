//! Intervals in, intervals out; and the odd reading of an analysis.
#![allow(missing_docs, clippy::unwrap_used)]

use quantity::Interval;
use water::readings::implied::{Readings, implied};
use water::readings::plausible::{Analysis, check};
use water::{Given, Water, solve};

fn closed(low: f64, high: f64) -> Interval {
    Interval::closed(low, high).unwrap()
}

fn kit() -> Readings {
    Readings {
        temperature_c: closed(24.5, 25.5),
        ph: closed(6.6, 7.0),
        kh_dkh: closed(3.5, 4.5),
        gh_dgh: Some(closed(5.5, 6.5)),
        conductivity_us_cm: None,
        po4_mg_l: None,
        tan_mg_l: None,
        doc_mg_l: None,
        active_substrate: false,
    }
}

#[test]
fn a_kit_gives_a_wide_interval() {
    let found = implied(&kit()).unwrap();
    let (low, high) = (found.co2.low.unwrap(), found.co2.high.unwrap());
    // pH +-0.2 and KH +-12 %: a factor of about 3.3 from end to end.
    assert!(
        (high / low / (10f64.powf(0.4) * 4.5 / 3.5) - 1.0).abs() < 0.08,
        "{low} {high}"
    );
    assert!(found.nh3_n.is_none() && found.breaks.is_empty());
    assert_eq!(found.impossible.0, 0);
    let value = found.co2.value.unwrap();
    assert!(low < value && value < high);
    assert!(found.rule.low().unwrap() < found.rule.high().unwrap());
}

#[test]
fn conductivity_brings_in_salt_and_lowers_co2() {
    let plain = implied(&kit()).unwrap();
    let salty = implied(&Readings {
        conductivity_us_cm: Some(closed(780.0, 820.0)),
        ..kit()
    })
    .unwrap();
    assert!(salty.co2.high < plain.co2.high);
    let c = salty.conductivity;
    assert!(c.low.unwrap() > 760.0 && c.high.unwrap() < 840.0, "{c:?}");
    assert!(salty.nh3_fraction.high < plain.nh3_fraction.high);
}

#[test]
fn phosphate_breaks_the_estimate_and_is_sized() {
    let found = implied(&Readings {
        po4_mg_l: Some(closed(40.0, 60.0)),
        ..kit()
    })
    .unwrap();
    let broken = &found.breaks[0];
    assert_eq!(broken.code, "phosphate_in_kh");
    // At pH 7 a third of the phosphate (0.5 mmol/L) is titrated: 0.2 of 1.43 meq/L.
    let ratio = broken.ratio.unwrap();
    assert!(
        ratio.high().unwrap() > 1.1 && ratio.high().unwrap() < 1.4,
        "{ratio}"
    );
    assert!(broken.text.contains('%'));
}

#[test]
fn active_substrate_and_little_kh_are_said() {
    let found = implied(&Readings {
        active_substrate: true,
        kh_dkh: Interval::at_most(1.0).unwrap(),
        ..kit()
    })
    .unwrap();
    let codes: Vec<_> = found.breaks.iter().map(|b| b.code).collect();
    assert_eq!(codes, ["active_substrate", "little_kh"]);
    // KH of 0 at pH 6.6 holds no bicarbonate but that of the acid itself: nearly no gas.
    assert!(found.co2.low.unwrap() < 0.1);
}

#[test]
fn an_open_upper_end_cannot_be_worked_with() {
    let open = Readings {
        kh_dkh: Interval::at_least(10.0).unwrap(),
        ..kit()
    };
    assert!(implied(&open).unwrap_err().to_string().contains("dilute"));
    let hot = Readings {
        temperature_c: closed(20.0, 50.0),
        ..kit()
    };
    assert!(
        implied(&hot)
            .unwrap_err()
            .to_string()
            .contains("temperature_c 50")
    );
}

/// A complete analysis: C106-like hard tap, balanced by chloride.
fn analysis() -> Analysis {
    let mut water = Water {
        temperature_c: 22.0,
        alkalinity_meq_l: 3.2,
        ca_mg_l: 70.0,
        mg_mg_l: 12.0,
        na_mg_l: 25.0,
        k_mg_l: 4.0,
        so4_mg_l: 55.0,
        no3_mg_l: 20.0,
        ..Water::default()
    };
    let gap = solve(&water, Given::Ph(7.4)).unwrap();
    water.cl_mg_l = gap.species.charge() * gap.water_kg_l * 1e3 * 35.45;
    let conductivity = solve(&water, Given::Ph(7.4)).unwrap().conductivity_25_us_cm;
    Analysis {
        water,
        ph: 7.4,
        conductivity_us_cm: Some(conductivity),
    }
}

#[test]
fn a_true_analysis_is_plausible() {
    let found = check(&analysis()).unwrap();
    assert!(found.plausible && found.odd.is_none());
    assert!(found.charge_error_percent.abs() < 0.1);
}

#[test]
fn the_odd_reading_is_found() {
    // Sulfate read ten times too high; chloride and sodium forgotten.
    let wrong = |change: fn(&mut Water)| {
        let mut a = analysis();
        change(&mut a.water);
        check(&a).unwrap()
    };
    let sulfate = wrong(|w| w.so4_mg_l *= 6.0);
    assert!(!sulfate.plausible);
    let odd = sulfate.odd.unwrap();
    assert_eq!(odd.field, "so4_mg_l");
    assert!((odd.would_fit / 55.0 - 1.0).abs() < 0.05, "{odd:?}");
    let alkalinity = wrong(|w| w.alkalinity_meq_l = 0.4).odd.unwrap();
    assert_eq!(alkalinity.field, "alkalinity_meq_l");
    assert!((alkalinity.would_fit / 3.2 - 1.0).abs() < 0.05);
}

#[test]
fn without_conductivity_nothing_is_named() {
    let mut a = analysis();
    a.water.ca_mg_l *= 3.0;
    a.conductivity_us_cm = None;
    let found = check(&a).unwrap();
    assert!(!found.plausible && found.odd.is_none());
    assert!(
        check(&Analysis {
            conductivity_us_cm: Some(f64::NAN),
            ..analysis()
        })
        .is_err()
    );
}
