//! What must hold for any water: balance of charge, conservation, order, round trips, no panic.
#![allow(missing_docs, clippy::unwrap_used, clippy::panic)]

use proptest::prelude::*;
use water::gas::course::{Exchange, course};
use water::gas::kla;
use water::readings::implied::{Readings, implied};
use water::readings::plausible;
use water::salts::{limits, recipe};
use water::{Change, Closed, Given, Part, Unsolvable, Water, ammonia, solve};

/// Fresh waters of all kinds, charges balanced with sodium or chloride.
fn fresh() -> impl Strategy<Value = Water> {
    (
        (
            5.0..35.0f64,
            0.05..6.0f64,
            0.0..150.0f64,
            0.0..40.0f64,
            0.0..60.0f64,
            0.0..40.0f64,
        ),
        (
            0.0..60.0f64,
            0.0..120.0f64,
            0.0..60.0f64,
            0.0..6.0f64,
            0.0..40.0f64,
            0.0..3.0f64,
        ),
        0.0..2.0f64,
    )
        .prop_map(
            |((t, alk, ca, mg, na, k), (cl, so4, no3, po4, sio2, b), tan)| {
                let mut w = Water {
                    temperature_c: t,
                    alkalinity_meq_l: alk,
                    ca_mg_l: ca,
                    mg_mg_l: mg,
                    na_mg_l: na,
                    k_mg_l: k,
                    cl_mg_l: cl,
                    so4_mg_l: so4,
                    no3_mg_l: no3,
                    po4_mg_l: po4,
                    sio2_mg_l: sio2,
                    b_mg_l: b,
                    tan_mg_l: tan,
                };
                let gap = strong_ions(&w) - alk;
                if gap > 0.0 {
                    w.cl_mg_l += gap * 35.45
                } else {
                    w.na_mg_l -= gap * 22.989_769_28
                }
                w
            },
        )
}

/// Na + K + 2 Ca + 2 Mg + NH4 - Cl - 2 SO4 - NO3 - P, meq/L: what the alkalinity has to equal.
fn strong_ions(w: &Water) -> f64 {
    w.na_mg_l / 22.989_769_28
        + w.k_mg_l / 39.0983
        + 2.0 * w.ca_mg_l / 40.078
        + 2.0 * w.mg_mg_l / 24.305
        + w.tan_mg_l / 14.007
        - w.cl_mg_l / 35.45
        - 2.0 * w.so4_mg_l / 96.056
        - w.no3_mg_l / 62.004
        - w.po4_mg_l / 94.969_761_998
}

/// Found by `odd_waters_converge`: whole passes go to and fro between magnesium and carbonate.
#[test]
fn much_magnesium_at_ph_ten_converges() {
    let water = Water {
        temperature_c: 24.3,
        alkalinity_meq_l: 22.4,
        mg_mg_l: 50.3,
        k_mg_l: 119.5,
        cl_mg_l: 400.2,
        no3_mg_l: 337.5,
        po4_mg_l: 181.4,
        b_mg_l: 432.9,
        tan_mg_l: 446.8,
        ..Water::default()
    };
    match solve(&water, Given::Ph(10.2)) {
        Ok(s) => assert!(s.residual < 1e-6),
        Err(Unsolvable::NoCarbonateLeft { .. } | Unsolvable::TooSalty { .. }) => {}
        Err(other) => panic!("{other}"),
    }
}

fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(f64::NEG_INFINITY),
        Just(-0.0),
        Just(f64::MAX),
        Just(f64::MIN_POSITIVE),
        any::<f64>(),
        -10.0..1e6f64,
        0.0..40.0f64,
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(400) })]

    /// Alkalinity as titrated equals the strong ions, so a solved water is electrically neutral
    /// whatever its pH.
    #[test]
    fn charges_balance(w in fresh(), ph in 5.5..9.0f64) {
        match solve(&w, Given::Ph(ph)) {
            Ok(s) => {
                prop_assert!(s.species.charge().abs() < 1e-9, "{}", s.species.charge());
                prop_assert!(s.residual < 1e-7, "{}", s.residual);
                prop_assert!(s.iterations < 40);
            }
            Err(Unsolvable::NoCarbonateLeft { .. } | Unsolvable::TooSalty { .. }) => {}
            Err(other) => prop_assert!(false, "{other}"),
        }
    }

    /// pH -> carbon -> pH, and pH -> pCO2 -> pH, and pH -> free CO2 -> pH.
    #[test]
    fn round_trips(w in fresh(), ph in 5.5..9.0f64) {
        let Ok(s) = solve(&w, Given::Ph(ph)) else { return Ok(()) };
        prop_assume!(s.co2_mg_l > 1e-3 && s.dic_mmol_l > 0.01);
        for given in [
            Given::DicMmolL(s.dic_mmol_l),
            Given::Pco2Atm(s.pco2_atm),
            Given::Co2MgL(s.co2_mg_l),
        ] {
            let back = solve(&w, given).unwrap();
            prop_assert!((back.ph - ph).abs() < 1e-6, "{given:?} {} {ph}", back.ph);
            prop_assert!((back.co2_mg_l / s.co2_mg_l - 1.0).abs() < 1e-5);
        }
    }

    /// More CO2 added, lower pH; lower pH at the same alkalinity, more CO2.
    #[test]
    fn order_of_ph_and_gas(w in fresh(), added in 0.1..60.0f64, ph in 5.5..8.5f64) {
        let Ok(rest) = Closed::with_air(w, 420e-6) else { return Ok(()) };
        let Ok(before) = rest.state() else { return Ok(()) };
        let after = rest.with(&Change::co2(added)).unwrap().state().unwrap();
        prop_assert!(after.ph < before.ph);
        prop_assert!(after.co2_mg_l > before.co2_mg_l);
        prop_assert!(after.co2_mg_l - before.co2_mg_l <= added * (1.0 + 1e-6));
        if let (Ok(low), Ok(high)) = (solve(&w, Given::Ph(ph)), solve(&w, Given::Ph(ph + 0.05))) {
            prop_assert!(low.co2_mg_l > high.co2_mg_l);
        }
    }

    /// Nothing is made or lost in mixing, and the order does not matter.
    #[test]
    fn mixing_conserves(a in fresh(), b in fresh(), pa in 6.0..8.5f64, pb in 6.0..8.5f64, f in 0.01..0.99f64) {
        let (Ok(a), Ok(b)) = (Closed::new(a, Given::Ph(pa)), Closed::new(b, Given::Ph(pb)))
            else { return Ok(()) };
        let mixed = Closed::mix(&[Part { volume: f, of: a }, Part { volume: 1.0 - f, of: b }]).unwrap();
        let swapped =
            Closed::mix(&[Part { volume: 3.0 * (1.0 - f), of: b }, Part { volume: 3.0 * f, of: a }]).unwrap();
        let Ok(s) = mixed.state() else { return Ok(()) };
        let mean = |x: f64, y: f64| f * x + (1.0 - f) * y;
        prop_assert!((s.dic_mmol_l - mean(a.dic_mmol_l, b.dic_mmol_l)).abs() < 1e-8);
        let alkalinity = mean(a.water.alkalinity_meq_l, b.water.alkalinity_meq_l);
        prop_assert!((s.alkalinity_meq_l - alkalinity).abs() < 1e-8);
        for (i, (name, amount)) in mixed.water.amounts().into_iter().enumerate() {
            let expected = mean(a.water.amounts()[i].1, b.water.amounts()[i].1);
            prop_assert!((amount - expected).abs() < 1e-9 * expected.max(1.0), "{name}");
        }
        prop_assert!((swapped.state().unwrap().ph - s.ph).abs() < 1e-6);
        prop_assert!(s.species.charge().abs() < 1e-8);
    }

    /// Warming and cooling back is no change.
    #[test]
    fn temperature_round_trip(w in fresh(), ph in 6.0..8.5f64, to in 5.0..35.0f64) {
        let Ok(closed) = Closed::new(w, Given::Ph(ph)) else { return Ok(()) };
        let Ok(there) = closed.at_temperature(to) else { return Ok(()) };
        if there.state().is_err() { return Ok(()) }
        let back = there.at_temperature(w.temperature_c).unwrap().state().unwrap();
        prop_assert!((back.ph - ph).abs() < 1e-6);
    }

    /// The un-ionised share rises with pH and temperature and falls with salt.
    #[test]
    fn order_of_ammonia(t in 0.0..39.0f64, ph in 4.0..10.0f64, i in 0.0..0.02f64) {
        let f = |t, ph, i| ammonia::fraction(t, ph, i).unwrap();
        prop_assert!(f(t, ph + 0.1, i) > f(t, ph, i));
        prop_assert!(f(t + 1.0, ph, i) > f(t, ph, i));
        prop_assert!(f(t, ph, i + 0.001) < f(t, ph, i));
    }

    /// Any numbers at all: an answer that is finite, or a typed error; never a panic.
    #[test]
    fn no_panic(x in prop::array::uniform14(any_number()), which in 0u8..4) {
        let w = Water {
            temperature_c: x[0], alkalinity_meq_l: x[1], ca_mg_l: x[2], mg_mg_l: x[3],
            na_mg_l: x[4], k_mg_l: x[5], cl_mg_l: x[6], so4_mg_l: x[7], no3_mg_l: x[8],
            po4_mg_l: x[9], sio2_mg_l: x[10], b_mg_l: x[11], tan_mg_l: x[12],
        };
        let given = match which {
            0 => Given::Ph(x[13]),
            1 => Given::DicMmolL(x[13]),
            2 => Given::Pco2Atm(x[13]),
            _ => Given::Co2MgL(x[13]),
        };
        if let Ok(s) = solve(&w, given) {
            prop_assert!(s.ph.is_finite() && s.co2_mg_l.is_finite() && s.co2_mg_l >= 0.0);
            prop_assert!(s.conductivity_25_us_cm.is_finite());
        }
        let _ = ammonia::fraction(x[0], x[1], x[2]);
        let _ = water::gas::supply::ferment(x[0], x[1]);
    }

    /// The same for everything built upon the solver.
    #[test]
    fn no_panic_above(x in prop::array::uniform14(any_number()), open in any::<u16>()) {
        let interval = |i: usize, bit: u16| {
            let low = (open & bit == 0).then_some(x[i].min(x[i + 1]));
            quantity::Interval::new(low, Some(x[i].max(x[i + 1]))).ok()
        };
        if let (Some(temperature_c), Some(ph), Some(kh_dkh)) =
            (interval(0, 1), interval(2, 2), interval(4, 4))
        {
            let found = implied(&Readings {
                temperature_c, ph, kh_dkh, gh_dgh: interval(6, 8),
                conductivity_us_cm: interval(8, 16), po4_mg_l: interval(9, 32),
                tan_mg_l: interval(10, 64), doc_mg_l: interval(11, 128), active_substrate: false,
            });
            if let Ok(found) = found {
                prop_assert!(found.co2.low <= found.co2.high);
            }
        }
        let w = Water { temperature_c: x[0], alkalinity_meq_l: x[1], ca_mg_l: x[2], ..Water::default() };
        let _ = plausible::check(&plausible::Analysis { water: w, ph: x[3], conductivity_us_cm: Some(x[4]) });
        let readings = [0, 1, 2, 3].map(|i| kla::PhReading { hours: x[i], ph: x[i + 4] });
        let _ = kla::fit(&w, x[5], &readings, x[6]);
        let _ = limits::calcite(&w, Given::Pco2Atm(x[7]));
        let exchange = Exchange { kla_per_h: x[8] % 5.0, air_pco2_atm: x[9], source_mg_l_h: x[10] };
        if let Ok(start) = Closed::new(w, Given::DicMmolL(x[11])) {
            let _ = course(&start, &exchange, x[12] % 20.0, 4);
        }
        let some: Vec<_> = ["CaCl2", "NaHCO3", "KCl"].iter().filter_map(|f| quantity::salt::find(f)).collect();
        let target = recipe::Target { gh_dgh: x[0], kh_dkh: x[1], ca_to_mg: Some(x[2]), k_mg_l: Some(x[3]) };
        let _ = recipe::remineralise(&w, &some, &target);
        let _ = recipe::blend(&w, &Water::default(), x[4], x[5]);
        let _ = Closed::mix(&[Part { volume: x[6], of: Closed { water: w, dic_mmol_l: x[7] } }])
            .and_then(|c| c.state());
    }

    /// Waters inside the range but as odd as can be: no panic, no failure to converge.
    #[test]
    fn odd_waters_converge(
        t in 5.0..35.0f64, alk in -5.0..30.0f64,
        ions in prop::array::uniform11(prop_oneof![Just(0.0), 0.0..500.0f64]),
        ph in 3.0..11.0f64, dic in 0.0..40.0f64,
    ) {
        let w = Water {
            temperature_c: t, alkalinity_meq_l: alk, ca_mg_l: ions[0], mg_mg_l: ions[1],
            na_mg_l: ions[2], k_mg_l: ions[3], cl_mg_l: ions[4], so4_mg_l: ions[5],
            no3_mg_l: ions[6], po4_mg_l: ions[7], sio2_mg_l: ions[8], b_mg_l: ions[9],
            tan_mg_l: ions[10],
        };
        for given in [Given::Ph(ph), Given::DicMmolL(dic), Given::Pco2Atm(dic * 1e-3)] {
            match solve(&w, given) {
                Ok(s) => prop_assert!(s.residual < 1e-6, "{given:?} {}", s.residual),
                Err(Unsolvable::NotConverged { iterations, residual }) => {
                    prop_assert!(false, "{given:?}: {iterations} passes, {residual}");
                }
                Err(_) => {}
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(24) })]

    /// A true water read with errors stays inside what the readings imply.
    #[test]
    fn the_truth_is_inside(
        t in 18.0..30.0f64, ph in 6.2..7.8f64, kh in 1.5..10.0f64, more in 0.0..6.0f64,
        ratio in 1.7..9.0f64, off in prop::array::uniform4(-1.0..1.0f64),
    ) {
        let gh = kh + more;
        let mmol = gh * 10.0 / 56.077;
        let ca = mmol * (ratio / 40.078) / (ratio / 40.078 + 1.0 / 24.305);
        let alkalinity = kh * 20.0 / 56.077;
        let mut w = Water { temperature_c: t, alkalinity_meq_l: alkalinity, ca_mg_l: ca * 40.078,
            mg_mg_l: (mmol - ca) * 24.305, ..Water::default() };
        w.cl_mg_l = (2.0 * mmol - alkalinity) * 35.45;
        let truth = solve(&w, Given::Ph(ph)).unwrap();
        let about = |v: f64, half: f64, off: f64| {
            quantity::Interval::closed(v + half * (off - 1.0), v + half * (off + 1.0)).unwrap()
        };
        let found = implied(&Readings {
            temperature_c: about(t, 0.5, off[0]),
            ph: about(ph, 0.2, off[1]),
            kh_dkh: about(kh, 0.5, off[2]),
            gh_dgh: Some(about(gh, 0.5, off[3])),
            conductivity_us_cm: None, po4_mg_l: None, tan_mg_l: None, doc_mg_l: None,
            active_substrate: false,
        }).unwrap();
        let inside = |e: &quantity::Estimate, v: f64| e.low.unwrap() <= v && v <= e.high.unwrap();
        prop_assert!(inside(&found.co2, truth.co2_mg_l), "{:?} {}", found.co2, truth.co2_mg_l);
        prop_assert!(inside(&found.nh3_fraction, truth.nh3_fraction));
        prop_assert!(inside(&found.calcite_saturation_index, truth.calcite_saturation_index));
    }
}
