//! The traps that keepers' water arithmetic falls into, each with its worked number.
//!
//! Unless a line says otherwise the numbers were computed with a general-purpose geochemical
//! solver (library 3.7.3-15968, phreeqc.dat), independently of this crate. Traps 8 to 11 also stand
//! beside their relations (`ammonia`, `emerson_1975`, `epa_2013`).
#![allow(missing_docs, clippy::unwrap_used)]

use quantity::analyte::MEQ_L_PER_DKH;
use quantity::salt::find;
use water::gas::air::{Humidity, pco2_atm};
use water::readings::implied::{Readings, implied, rule_of_thumb_mg_l};
use water::relations::ciaaw_2021 as mass;
use water::salts::dose::effect;
use water::salts::limits::calcite;
use water::{Change, Closed, Given, Part, State, Water, solve};

/// Calcium, sodium and chloride around an alkalinity, charges balanced.
fn tap(celsius: f64, dkh: f64, dgh: f64) -> Water {
    let alkalinity = dkh * MEQ_L_PER_DKH;
    let ca = dgh * MEQ_L_PER_DKH / 2.0;
    let gap = alkalinity - 2.0 * ca;
    Water {
        temperature_c: celsius,
        alkalinity_meq_l: alkalinity,
        ca_mg_l: ca * mass::CA,
        na_mg_l: gap.max(0.0) * mass::NA,
        cl_mg_l: (-gap).max(0.0) * mass::CL,
        ..Water::default()
    }
}

/// `tap` with as much sodium chloride as brings the ionic strength to `strength`.
fn salted(celsius: f64, dkh: f64, strength: f64) -> Water {
    let mut water = tap(celsius, dkh, dkh);
    let more = strength - solve(&water, Given::Ph(7.0)).unwrap().ionic_strength_mol_kg;
    assert!(more > 0.0);
    water.na_mg_l += 1000.0 * more * mass::NA;
    water.cl_mg_l += 1000.0 * more * mass::CL;
    water
}

fn in_air(water: Water, ppm: f64) -> (Closed, State) {
    let pco2 = pco2_atm(ppm, 1.0, Humidity::Dry, water.temperature_c).unwrap();
    let closed = Closed::with_air(water, pco2).unwrap();
    (closed, closed.state().unwrap())
}

fn near(got: f64, wanted: f64, allowed: f64) {
    assert!(
        (got - wanted).abs() <= allowed,
        "{got} instead of {wanted} (+- {allowed})"
    );
}

#[test]
fn trap_1_averaging_ph_when_mixing() {
    // 0.75 L hard tap (pH 8.08, 3.04 meq/L) + 0.25 L dosed soft water (pH 5.96, 1.61 meq/L): linear
    // pH 7.55, true 6.77, CO2 42 mg/L. The other ions are not printed with it; these are chosen
    // like, so the figures agree to 0.03 pH.
    let part = |volume, water, ph| Part {
        volume,
        of: Closed::new(water, Given::Ph(ph)).unwrap(),
    };
    let hard = tap(25.0, 3.04 / MEQ_L_PER_DKH, 9.0);
    let soft = tap(25.0, 1.61 / MEQ_L_PER_DKH, 5.0);
    let mixed = Closed::mix(&[part(0.75, hard, 8.08), part(0.25, soft, 5.96)]).unwrap();
    let s = mixed.state().unwrap();
    near(s.ph, 6.77, 0.03);
    near(s.co2_mg_l, 42.0, 2.0);
    near(0.75 * 8.08 + 0.25 * 5.96, 7.55, 0.01);
}

#[test]
fn trap_2_the_rule_of_three_is_no_constant() {
    // The factor in front of dKH 10^(7-pH): 3.62 at 18 degC and I 0.005, 3.27 at 25, 3.04 at 32;
    // at I 0.015 3.46, 3.12, 2.90.
    for (celsius, strength, factor) in [
        (18.0, 0.005, 3.62),
        (25.0, 0.005, 3.27),
        (32.0, 0.005, 3.04),
        (18.0, 0.015, 3.46),
        (25.0, 0.015, 3.12),
        (32.0, 0.015, 2.90),
    ] {
        let water = salted(celsius, 2.0, strength);
        let s = solve(&water, Given::Ph(7.0)).unwrap();
        // The factor is meant for free HCO3-, so pairs are taken out of the alkalinity.
        let dkh = s.hco3_mg_l / mass::HCO3 / MEQ_L_PER_DKH;
        near(s.co2_mg_l / dkh, factor, 0.015);
    }
}

#[test]
fn trap_3_kh_kit_read_as_bicarbonate() {
    // 52 mg/L PO4 at pH 7.68, 2.61 dKH titrated: rule 1.64, true 0.865 mg/L CO2 (+89 %) in a water
    // whose other ions are not printed with it. In ours of the same pH, dKH and PO4 the reference
    // solver has 0.937: the rule is 75 % too high.
    near(rule_of_thumb_mg_l(2.61, 7.68), 1.64, 0.006);
    let (water, of) = worked("phosphate_2_61_dkh");
    let s = solve(&water, Given::Ph(7.68)).unwrap();
    near(s.co2_mg_l, of("co2_mgL"), 0.005 * of("co2_mgL"));
    near(s.co2_mg_l / 0.865, 1.0, 0.1);
    assert!(rule_of_thumb_mg_l(2.61, 7.68) / s.co2_mg_l > 1.7);
    // Borate (up to 5 mg/L B) hides at most 2.6 % and silica (up to 40 mg/L) 1 % of CO2 at pH 8.0
    // and 3 dKH, where they do most; phosphate far more.
    let plain = worked("plain_3_dkh");
    for id in ["borate", "silica"] {
        let (water, of) = worked(id);
        let got = solve(&plain.0, Given::Ph(8.0)).unwrap().co2_mg_l
            / solve(&water, Given::Ph(8.0)).unwrap().co2_mg_l;
        near(got, plain.1("co2_mgL") / of("co2_mgL"), 5e-4);
        assert!(got > 1.0 && got < 1.03, "{id} {got}");
    }
    // Near pH 6.6 phosphate matters less: 4 dKH, 50 mg/L PO4: 29.7 instead of 33.2 mg/L.
    let with = solve(&worked("phosphate_4_dkh").0, Given::Ph(6.6))
        .unwrap()
        .co2_mg_l;
    let without = solve(&worked("plain_4_dkh").0, Given::Ph(6.6))
        .unwrap()
        .co2_mg_l;
    near(with / without, 29.7 / 33.2, 0.005);
    near(with / 29.7, 1.0, 0.015);
    near(without / 33.2, 1.0, 0.01);
}

#[test]
fn trap_4_humic_water() {
    // 15 mg/L DOC adds about 0.126 dKH to the titration (model of Oliver et al. 1983, from memory):
    // at 0.6 dKH measured CO2 is 27 % too high.
    let meq = water::relations::oliver_1983::titrated_meq_l(15.0, 6.5, 4.5);
    let titrated = 0.6 * MEQ_L_PER_DKH;
    near(titrated / (titrated - meq), 1.27, 0.01);
    let point = |v| quantity::Interval::point(v).unwrap();
    let found = implied(&Readings {
        temperature_c: point(25.0),
        ph: point(6.5),
        kh_dkh: point(0.6),
        gh_dgh: Some(point(2.0)),
        conductivity_us_cm: None,
        po4_mg_l: None,
        tan_mg_l: None,
        doc_mg_l: Some(point(15.0)),
        active_substrate: false,
    })
    .unwrap();
    let humic = found
        .breaks
        .iter()
        .find(|b| b.code == "humic_in_kh")
        .unwrap();
    near(humic.ratio.unwrap().high().unwrap(), 1.27, 0.01);
}

/// The row of a table of `checks/water` that starts with `id`: its water and its numbers.
fn row(table: &str, id: &str) -> (Water, impl Fn(&str) -> f64 + use<>) {
    let mut lines = table.lines().filter(|l| !l.starts_with('#'));
    let names: Vec<String> = lines.next().unwrap().split(',').map(String::from).collect();
    let line = lines.find(|l| l.split(',').next() == Some(id)).unwrap();
    let cells: Vec<String> = line.split(',').map(String::from).collect();
    let of = move |name: &str| -> f64 {
        let at = names.iter().position(|n| n == name);
        at.map_or(0.0, |at| cells[at].parse().unwrap())
    };
    let water = Water {
        temperature_c: of("T_C"),
        alkalinity_meq_l: of("alk_meqL"),
        ca_mg_l: of("Ca_mgL"),
        mg_mg_l: of("Mg_mgL"),
        na_mg_l: of("Na_mgL"),
        k_mg_l: of("K_mgL"),
        cl_mg_l: of("Cl_mgL"),
        so4_mg_l: of("SO4_mgL"),
        no3_mg_l: of("NO3_mgL"),
        po4_mg_l: of("PO4_mgL"),
        sio2_mg_l: of("SiO2_mgL"),
        b_mg_l: of("B_mgL"),
        ..Water::default()
    };
    (water, of)
}

/// A water composed for these tests and solved with the reference solver.
fn worked(id: &str) -> (Water, impl Fn(&str) -> f64 + use<>) {
    row(include_str!("../../../checks/water/worked.csv"), id)
}

/// C138 of the public table: 16.1 dKH, 22.6 dGH, pH 8.28.
fn c138() -> (Water, f64, f64, f64) {
    let (water, of) = row(include_str!("../../../checks/water/cases.csv"), "C138");
    (water, of("pH"), of("co2_mgL"), of("si_calcite"))
}

#[test]
fn worked_waters_against_the_reference_solver() {
    for id in [
        "indicator_vessel",
        "sealed",
        "phosphate_2_61_dkh",
        "phosphate_4_dkh",
        "plain_4_dkh",
        "plain_3_dkh",
        "borate",
        "silica",
        "slope_6.6",
        "slope_8.6",
    ] {
        let (water, of) = worked(id);
        let s = solve(&water, Given::Ph(of("pH"))).unwrap();
        near(
            s.co2_mg_l / of("co2_mgL"),
            1.0,
            if water.po4_mg_l > 0.0 { 5e-3 } else { 1e-3 },
        );
        near(s.dic_mmol_l / of("dic_mmolL"), 1.0, 2e-3);
        let closed = Closed {
            water,
            dic_mmol_l: s.dic_mmol_l,
        };
        near(
            closed.at_temperature(32.0).unwrap().state().unwrap().ph,
            of("pH_at_32C"),
            2e-3,
        );
    }
}

#[test]
fn trap_5_ion_pairs_matter_in_hard_water() {
    // Without pairs CO2 of C138 comes out 9.8 % too high, the worst of 280 rows.
    let (water, ph, co2, _) = c138();
    let s = solve(&water, Given::Ph(ph)).unwrap();
    assert!((s.co2_mg_l / co2 - 1.0).abs() < 4e-4);
    // All alkalinity as free HCO3- and CO3--, same activities: what a model without pairs does.
    let g = &s.species.gammas;
    let a_h = 10f64.powf(-ph);
    let k = water::constants::Constants::at(water.temperature_c);
    let co3_per_hco3 = k.k2 * g.hco3 / (a_h * g.co3);
    let alkalinity = s.species.alkalinity - s.species.oh + s.species.h;
    let hco3 = alkalinity / (1.0 + 2.0 * co3_per_hco3);
    let unpaired = hco3 * g.hco3 * a_h / (k.k1 * g.neutral) * s.water_kg_l * 1e3 * mass::CO2;
    near(unpaired / co2 - 1.0, 0.098, 0.012);
}

#[test]
fn trap_6_concentrations_instead_of_activities() {
    // CO2 median +8.5 %, up to +25 %; SI wrong by up to 0.33.
    let (water, ph, co2, si) = c138();
    let s = solve(&water, Given::Ph(ph)).unwrap();
    let k = water::constants::Constants::at(water.temperature_c);
    let ideal_co2 = s.species.hco3 * 10f64.powf(-ph) / k.k1 * s.water_kg_l * 1e3 * mass::CO2;
    let ideal_si = (s.species.ca * s.species.co3).log10() - k.log_ksp_calcite;
    assert!(
        ideal_co2 / co2 > 1.08 && ideal_co2 / co2 < 1.25,
        "{}",
        ideal_co2 / co2
    );
    assert!(
        ideal_si - si > 0.178 && ideal_si - si < 0.8,
        "{}",
        ideal_si - si
    );
    assert!((s.calcite_saturation_index - si).abs() < 2e-3);
}

#[test]
fn trap_7_ion_or_element() {
    // 20 mg/L NO3 = 4.52 mg/L N (factor 4.43); PO4 over P 3.066; P2O5 to P 0.4364; K2O to K 0.8302.
    near(20.0 * mass::N / mass::NO3, 4.52, 0.005);
    near(mass::NO3 / mass::N, 4.43, 0.005);
    near(mass::PO4 / mass::P, 3.066, 0.001);
    near(
        2.0 * mass::P / (2.0 * mass::P + 5.0 * mass::O),
        0.4364,
        1e-4,
    );
    near(2.0 * mass::K / (2.0 * mass::K + mass::O), 0.8302, 1e-4);
}

#[test]
fn trap_8_total_ammonia_is_not_ammonia() {
    let a = water::ammonia::ammonia(28.0, 8.4, 0.0, 0.5).unwrap();
    near(a.nh3_n_mg_l, 0.0747, 6e-5);
    near(a.nh3_mg_l, 0.0909, 6e-5);
}

#[test]
fn trap_9_ammonia_without_ionic_strength() {
    let over = |ph| {
        water::ammonia::fraction(25.0, ph, 0.0).unwrap()
            / water::ammonia::fraction(25.0, ph, 0.02).unwrap()
            - 1.0
    };
    assert!(over(5.5) > 0.10 && over(5.5) < 0.17 && over(8.8) > 0.10);
}

#[test]
fn trap_10_brackets_of_the_criterion() {
    near(
        water::ammonia::criteria(25.0, 8.5).unwrap().acute_mg_n_l,
        0.983,
        0.001,
    );
}

#[test]
fn trap_11_the_misprinted_constant() {
    // 2727.92 instead of 2729.92 makes ammonia 1.5 % too high.
    let right = water::ammonia::fraction(25.0, 7.0, 0.0).unwrap();
    let misprinted = 1.0 / (1.0 + 10f64.powf(0.090_18 + 2727.92 / 298.15 - 7.0));
    near(misprinted / right, 1.0155, 0.001);
    near(right, 0.00564, 5e-6);
}

#[test]
fn trap_12_gas_does_not_use_up_kh() {
    // 4 dKH, air-equilibrated pH 8.31 -> pH 7.31 multiplies CO2 by 10.3 (0.63 -> 6.48 mg/L), KH 4.
    let (closed, rest) = in_air(tap(25.0, 4.0, 4.0), 420.0);
    near(rest.ph, 8.31, 0.02);
    near(rest.co2_mg_l, 0.63, 0.005);
    let after = solve(&closed.water, Given::Ph(rest.ph - 1.0)).unwrap();
    near(after.co2_mg_l, 6.48, 0.1);
    near(after.co2_mg_l / rest.co2_mg_l, 10.3, 0.1);
    let dosed = closed.with(&Change::co2(20.0)).unwrap();
    assert_eq!(dosed.water.alkalinity_meq_l, closed.water.alkalinity_meq_l);
    near(
        dosed.state().unwrap().alkalinity_meq_l,
        4.0 * MEQ_L_PER_DKH,
        1e-9,
    );
}

#[test]
fn trap_13_one_ph_down_is_not_thirty() {
    // From 420 ppm air 6.5 mg/L, from 1200 ppm indoor air 18.1 mg/L (25 degC, 4 dKH).
    for (ppm, co2) in [(420.0, 6.5), (1200.0, 18.1)] {
        let (closed, rest) = in_air(tap(25.0, 4.0, 4.0), ppm);
        let after = solve(&closed.water, Given::Ph(rest.ph - 1.0)).unwrap();
        near(after.co2_mg_l, co2, 0.02 * co2);
    }
}

#[test]
fn trap_14_the_room_counts() {
    // Same water at 24 degC: pH 8.30 at 420 ppm, 7.86 at 1200 ppm; 1.84 mg/L at 1200 ppm.
    let (_, outdoors) = in_air(tap(24.0, 4.0, 4.0), 420.0);
    let (_, indoors) = in_air(tap(24.0, 4.0, 4.0), 1200.0);
    near(outdoors.ph, 8.30, 0.02);
    near(indoors.ph, 7.86, 0.02);
    near(outdoors.ph - indoors.ph, 0.45, 0.015);
    near(indoors.co2_mg_l, 1.84, 0.01);
}

#[test]
fn trap_15_the_form_of_nitrogen_moves_kh() {
    // 1 mg/L NH4-N nitrified: -0.14279 meq/L = -0.400 dKH. 10 mg/L NO3 taken up: +0.1613 meq/L =
    // +0.452 dKH. Urea: +2 eq/mol on hydrolysis, net -2 after nitrification.
    let nitrified = Change::nitrification(1.0).alkalinity_meq_l;
    near(nitrified, -0.14279, 1e-5);
    near(nitrified / MEQ_L_PER_DKH, -0.400, 5e-4);
    let taken = Change::nitrate_uptake(10.0).alkalinity_meq_l;
    near(taken, 0.1613, 5e-5);
    near(taken / MEQ_L_PER_DKH, 0.452, 5e-4);
    let urea = Change::urea_hydrolysis(60.056);
    near(urea.alkalinity_meq_l, 2.0, 1e-3);
    let after = Change::nitrification(urea.tan_mg_l);
    near(urea.alkalinity_meq_l + after.alkalinity_meq_l, -2.0, 2e-3);
    // A kit for total ammonia sees none of it before.
    let dosed = effect(find("urea").unwrap(), 10.0);
    assert_eq!(dosed.brings.tan_mg_l, 0.0);
    near(dosed.urea_n_mg_l, 4.66465, 1e-4);
}

#[test]
fn trap_16_hydrates() {
    // 10 mg/L "CaCl2" is 0.505 dGH anhydrous, 0.381 dihydrate, 0.256 hexahydrate.
    for (formula, dgh) in [
        ("CaCl2", 0.505),
        ("CaCl2.2H2O", 0.381),
        ("CaCl2.6H2O", 0.256),
    ] {
        near(
            effect(find(formula).unwrap(), 10.0).brings.gh_dgh(),
            dgh,
            6e-4,
        );
    }
}

#[test]
fn trap_17_carbonate_that_never_dissolved() {
    // Nominal 100 mg/L CaCO3 = 5.60 dGH and dKH, but at 420 ppm and 25 degC calcite stops at 3.04
    // dKH (pH 8.20); at 30 mg/L CO2 it goes on to 11.9 dKH (pH 7.10).
    let nominal = effect(find("CaCO3").unwrap(), 100.0).brings;
    near(nominal.gh_dgh(), 5.60, 0.005);
    near(nominal.kh_dkh(), 5.60, 0.005);
    for (held, dkh, ph) in [
        (Given::Pco2Atm(420e-6), 3.04, 8.20),
        (Given::Co2MgL(30.0), 11.9, 7.10),
    ] {
        let s = calcite(&Water::default(), held).unwrap().state;
        near(s.alkalinity_meq_l / MEQ_L_PER_DKH, dkh, 0.004 * dkh);
        near(s.ph, ph, 0.006);
    }
}

#[test]
fn trap_18_temperature_in_a_closed_vessel() {
    // Sealed 4 dKH water, pH 6.80 at 20 degC: 22.4 mg/L CO2 whatever T, but pH 6.737 at 32 degC; a
    // tool with 20 degC constants would read that as 26 mg/L.
    // (22.63 in our 4 dKH water, whose hardness is all bicarbonate.)
    let (water, of) = worked("sealed");
    let closed = Closed::new(water, Given::Ph(6.80)).unwrap();
    let cold = closed.state().unwrap().co2_mg_l;
    near(cold, of("co2_mgL"), 1e-3 * cold);
    near(cold / 22.4, 1.0, 0.012);
    let warm = closed.at_temperature(32.0).unwrap().state().unwrap();
    near(warm.ph, 6.737, 0.002);
    near(warm.ph, of("pH_at_32C"), 1e-3);
    near(warm.co2_mg_l / cold, 1.0, 0.005);
    let misread = solve(&closed.water, Given::Ph(warm.ph)).unwrap().co2_mg_l;
    near(misread, 26.0, 0.3);
}

#[test]
fn trap_19_off_gassing_is_no_exponential() {
    // d DIC / d CO2 at 4 dKH, 25 degC: 1.00 (pH 6.6), 1.005 (7.0), 1.045 (7.5), 1.44 (8.0), 2.68
    // (8.3), 7.2 (8.6).
    for (ph, slower) in [
        (6.6, 1.00),
        (7.0, 1.005),
        (7.5, 1.045),
        (8.0, 1.44),
        (8.3, 2.68),
        (8.6, 7.2),
    ] {
        // Our water has more pairs than the one those were worked in; the reference solver has its
        // own slope for it, to half a percent.
        let (water, of) = worked(&format!("slope_{ph:.1}"));
        let s = solve(&water, Given::Ph(ph)).unwrap();
        near(s.dic_per_co2() / slower, 1.0, 0.08);
        near(s.dic_per_co2() / of("dic_per_co2"), 1.0, 0.02);
        // The second route: a small step of carbon.
        let step = 1e-5;
        let more = solve(&water, Given::DicMmolL(s.dic_mmol_l + step)).unwrap();
        let numeric = step / ((more.co2_mg_l - s.co2_mg_l) / mass::CO2);
        near(numeric / of("dic_per_co2"), 1.0, 0.005);
    }
}

#[test]
fn trap_20_conductivity_from_tds_or_at_tank_temperature() {
    // 0.01 mol/L KCl is 1412 uS/cm at 25 degC (handbook, from memory); the same at any temperature,
    // since it is told at 25 degC. A plain sum of limiting conductivities overshoots.
    let kcl = |celsius| Water {
        temperature_c: celsius,
        k_mg_l: 10.0 * mass::K,
        cl_mg_l: 10.0 * mass::CL,
        alkalinity_meq_l: 1e-3,
        ..Water::default()
    };
    let at = |celsius| {
        solve(&kcl(celsius), Given::Ph(7.0))
            .unwrap()
            .conductivity_25_us_cm
    };
    near(at(25.0) / 1412.0, 1.0, 0.005);
    near(at(15.0) / at(25.0), 1.0, 0.003);
    assert!(10.0 * (73.6 + 76.2) / at(25.0) > 1.05);
}

#[test]
fn trap_21_the_resolution_of_a_kit() {
    // pH +-0.2 alone is CO2 times or over 1.58; KH 2 +- 0.5 dKH is +-25 %: "30 mg/L" is 18 to 50.
    near(10f64.powf(0.2), 1.58, 0.006);
    let interval = |low, high| quantity::Interval::closed(low, high).unwrap();
    let point = |v| quantity::Interval::point(v).unwrap();
    let kh = 4.0;
    let mut readings = Readings {
        temperature_c: point(25.0),
        ph: point(6.63),
        kh_dkh: point(kh),
        gh_dgh: Some(point(4.0)),
        conductivity_us_cm: None,
        po4_mg_l: None,
        tan_mg_l: None,
        doc_mg_l: None,
        active_substrate: false,
    };
    let exact = implied(&readings).unwrap().co2;
    near(exact.value.unwrap(), 31.0, 1.5);
    readings.ph = interval(6.43, 6.83);
    let wide = implied(&readings).unwrap().co2;
    let (low, high) = (wide.low.unwrap(), wide.high.unwrap());
    near(high / low, 10f64.powf(0.4), 0.02);
    assert!(low < 21.0 && high > 47.0, "{low} {high}");
    readings.ph = point(6.63);
    readings.kh_dkh = interval(0.75 * kh, 1.25 * kh);
    let kh_only = implied(&readings).unwrap().co2;
    near(
        kh_only.high.unwrap() / kh_only.low.unwrap(),
        5.0 / 3.0,
        0.03,
    );
}

#[test]
fn indicator_vessel() {
    // pH 6.6 at 25 degC over a 4 dKH standard means 33.2 mg/L, not 30.1; 34.0 where the standard is
    // pure sodium bicarbonate (reference solver).
    let (water, of) = worked("indicator_vessel");
    let s = solve(&water, Given::Ph(6.6)).unwrap();
    near(s.co2_mg_l, of("co2_mgL"), 1e-3 * s.co2_mg_l);
    near(s.co2_mg_l / 33.2, 1.0, 0.025);
    near(rule_of_thumb_mg_l(4.0, 6.6), 30.1, 0.05);
}

#[test]
fn air_equilibrium_as_worked_out_by_hand() {
    // 420 ppm dry at 1 atm: 0.768 / 0.723 / 0.627 / 0.550 / 0.523 mg/L at 18/20/25/30/32 degC;
    // 2.0 to 4.7 % less with saturated vapour.
    for (celsius, co2) in [
        (18.0, 0.768),
        (20.0, 0.723),
        (25.0, 0.627),
        (30.0, 0.550),
        (32.0, 0.523),
    ] {
        let (_, dry) = in_air(tap(celsius, 1.0, 1.0), 420.0);
        near(dry.co2_mg_l, co2, 0.0025);
        let moist = pco2_atm(420.0, 1.0, Humidity::Moist, celsius).unwrap();
        let less = 1.0 - moist / pco2_atm(420.0, 1.0, Humidity::Dry, celsius).unwrap();
        assert!((0.0195..0.0475).contains(&less), "{less}");
    }
}
