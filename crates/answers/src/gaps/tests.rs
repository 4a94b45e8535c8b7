use super::*;
use crate::cost::sample::{START, bench, entry, eur, has, id, tank, thing};
use jiff::civil::date;
use quantity::{Analyte, Interval, Means};
use trial::act::{LivestockEvent, Reading, ReadingOf, Setting};
use trial::equipment::EquipmentKind;
use trial::plan::{Plan, PlanOutcome, Routine};
use trial::planting::{GrownIn, OriginForm, PlantOrigin};
use trial::supply::{SourceWater, WaterKind};
use trial::tank::{Lamp, Livestock, SubstrateLayer};
use trial::types::*;
use trial::{Card, CardId, PlanId, Planting, PlantingId, Seen, Trial, TrialId, WaterId};

const TODAY: Date = date(2024, 2, 1);

/// A bench with nothing missing.
#[allow(clippy::too_many_lines)] // one record after the other
fn complete() -> Bench {
    let mut b = bench();
    b.trial.question = "Does it grow?".into();
    b.trial.primary = Some(Outcome {
        name: "Cover".into(),
        measure: Measure::Cover,
        plant: Some("Eleocharis acicularis".into()),
        better: Better::More,
    });
    let level = |arm: &str| Level {
        arm: arm.into(),
        value: "so".into(),
    };
    b.trial.differ = vec![Factor {
        name: "Food".into(),
        levels: vec![level("sand"), level("water")],
    }];
    b.trial.equal = vec![EqualFactor {
        name: "Lamp".into(),
        value: String::new(),
    }];
    b.trial.lot = Some(trial::lot::record(7, &[], START));
    b.trial.stop_rule = Some("Animals gasp".into());
    let phase = |kind| Phase {
        kind,
        from: START,
        to: None,
        note: String::new(),
    };
    b.trial.phases = vec![phase(PhaseKind::Baseline), phase(PhaseKind::Treatment)];
    b.trial.kept_ranges = vec![KeptRange {
        analyte: Analyte::No3,
        low: 5.0,
        high: 20.0,
    }];
    for tank in &mut b.tanks {
        tank.water_volume_l = Some(50.0);
        tank.lamps = vec![Lamp {
            lumens: Some(3000.0),
            height_cm: Some(12.0),
            photoperiod_h: Some(7.0),
            ..Lamp::default()
        }];
        tank.substrate = vec![SubstrateLayer {
            material: "sand".into(),
            depth_cm: Some(4.0),
            mass_kg: None,
        }];
        tank.livestock = vec![Livestock {
            species: "snails".into(),
            count: 3,
        }];
    }
    b.plantings = (1..=4).map(planting).collect();
    b.cards = vec![Card {
        id: CardId(id(300)),
        name: "nitrate".into(),
        analyte: Analyte::No3,
        means: Means::Ion,
        steps: vec![0.0, 5.0],
        invented: true,
    }];
    b.waters = vec![SourceWater {
        id: WaterId(id(400)),
        name: "tap".into(),
        kind: WaterKind::Tap,
        parts: vec![],
        disinfectant: "none".into(),
        neutraliser: String::new(),
        note: String::new(),
    }];
    b.plans = vec![Plan {
        id: PlanId(id(500)),
        trial: TrialId(id(100)),
        what: "change".into(),
        tanks: vec![],
        from: START,
        expects: String::new(),
        routine: Some(Routine {
            act: "change".into(),
            every_days: 7,
            until: None,
        }),
        outcome: PlanOutcome::Open,
    }];
    b.equipment = vec![thing(10, EquipmentKind::Durable, &[], 10.0, 12.0)];
    b
}

/// A planting with nothing missing, in the tank of this number.
fn planting(n: u128) -> Planting {
    let name = "Eleocharis acicularis";
    let mut p = Planting::new(PlantingId(id(200 + n)), TrialId(id(100)), tank(n), name);
    p.fresh_g = Some(5.0);
    p.zone_cm = vec![[0.0, 4.0], [60.0, 4.0], [60.0, 9.0]];
    p.divided = "by lot".into();
    p.origin = PlantOrigin {
        form: Some(OriginForm::Culture),
        grown_in: Some(GrownIn::Air),
        ..PlantOrigin::default()
    };
    p
}

#[test]
fn a_complete_set_up_lacks_nothing() {
    let found = gaps(&complete(), &[], TODAY);
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn an_empty_trial_hears_the_weightiest_first() {
    let trial = Trial::new(TrialId(id(1)), "Empty", "UTC");
    let found = gaps(&Bench::new(trial), &[], TODAY);
    assert_eq!(found[0].code, "gap_question");
    assert_eq!(found[1].code, "gap_primary");
    assert!(found.windows(2).all(|w| w[0].severity >= w[1].severity));
    assert!(
        found
            .iter()
            .all(|f| !f.what.is_empty() && !f.remedy.is_empty())
    );
    let mut codes: Vec<&str> = found.iter().map(|f| f.code).collect();
    codes.sort();
    let unique = codes.len();
    codes.dedup();
    assert_eq!(codes.len(), unique, "each code once");
}

type Spoil = Box<dyn Fn(&mut Bench)>;

/// Takes one thing out of a complete bench and names the only finding that must follow.
#[test]
#[allow(clippy::too_many_lines)] // one table, a line per thing
fn each_missing_thing_is_found_alone() {
    let cases: Vec<(&str, Spoil)> = vec![
        ("gap_question", Box::new(|b| b.trial.question = " ".into())),
        ("gap_primary", Box::new(|b| b.trial.primary = None)),
        ("gap_arm_small", Box::new(|b| drop(b.tanks.remove(3)))),
        ("gap_control", Box::new(|b| b.trial.arms[0].control = false)),
        ("gap_differ", Box::new(|b| b.trial.differ.clear())),
        (
            "gap_levels",
            Box::new(|b| b.trial.differ[0].levels.truncate(1)),
        ),
        ("gap_equal", Box::new(|b| b.trial.equal.clear())),
        ("gap_lot", Box::new(|b| b.trial.lot = None)),
        (
            "gap_lot_after",
            Box::new(|b| b.trial.lot.as_mut().unwrap().drawn = TODAY),
        ),
        (
            "gap_stop_rule",
            Box::new(|b| b.trial.stop_rule = Some(String::new())),
        ),
        (
            "gap_start",
            Box::new(|b| {
                b.trial.start = None;
                b.plantings.iter_mut().for_each(|p| p.planted = Some(START));
            }),
        ),
        ("gap_phases", Box::new(|b| b.trial.phases.clear())),
        ("gap_baseline", Box::new(|b| drop(b.trial.phases.remove(0)))),
        ("gap_treatment", Box::new(|b| b.trial.phases.truncate(1))),
        (
            "gap_tank_size",
            Box::new(|b| b.tanks[0].water_volume_l = None),
        ),
        ("gap_lamp", Box::new(|b| b.tanks[0].lamps.clear())),
        (
            "gap_lamp_strength",
            Box::new(|b| b.tanks[0].lamps[0].lumens = None),
        ),
        (
            "gap_lamp_height",
            Box::new(|b| b.tanks[0].lamps[0].height_cm = None),
        ),
        (
            "gap_photoperiod",
            Box::new(|b| b.tanks[0].lamps[0].photoperiod_h = None),
        ),
        ("gap_substrate", Box::new(|b| b.tanks[0].substrate.clear())),
        (
            "gap_start_mass",
            Box::new(|b| b.plantings[0].fresh_g = None),
        ),
        ("gap_zone", Box::new(|b| b.plantings[0].zone_cm.clear())),
        (
            "gap_origin",
            Box::new(|b| b.plantings[0].origin.form = None),
        ),
        ("gap_divided", Box::new(|b| b.plantings[0].divided.clear())),
        ("gap_cards", Box::new(|b| b.cards.clear())),
        ("gap_waters", Box::new(|b| b.waters.clear())),
        (
            "gap_disinfectant",
            Box::new(|b| b.waters[0].disinfectant.clear()),
        ),
        (
            "gap_neutraliser",
            Box::new(|b| b.waters[0].disinfectant = "chloramine".into()),
        ),
        ("gap_mix", Box::new(|b| b.waters[0].kind = WaterKind::Mix)),
        ("gap_routines", Box::new(|b| b.plans.clear())),
        ("gap_ranges", Box::new(|b| b.trial.kept_ranges.clear())),
        ("gap_prices", Box::new(|b| b.equipment.clear())),
    ];
    for (code, spoil) in cases {
        let mut b = complete();
        spoil(&mut b);
        let found: Vec<&str> = gaps(&b, &[], TODAY).iter().map(|f| f.code).collect();
        assert_eq!(found, [code]);
    }
}

#[test]
fn a_plant_missing_from_one_tank_names_that_tank() {
    let mut b = complete();
    b.plantings.remove(2);
    let found = gaps(&b, &[], TODAY);
    let gap = found
        .iter()
        .find(|f| f.code == "gap_primary_plant")
        .unwrap();
    assert!(gap.what.contains("Fir") && !gap.what.contains("Ash"));
    assert_eq!(gap.record, Some(tank(3).to_string()));
    assert!(has(&found, "gap_plantings"));
}

#[test]
fn entries_show_that_something_is_there_after_all() {
    let mut b = complete();
    b.cards.clear();
    b.tanks[0].lamps[0].photoperiod_h = None;
    let metered = Reading {
        analyte: Analyte::Ph,
        seen: Seen::Meter {
            value: 6.8,
            error: None,
            decimals: 1,
        },
        card: None,
        means: Means::Ion,
        interval: Interval::closed(6.75, 6.85).unwrap(),
        water: None,
        dilution: None,
        of: ReadingOf::Sample,
        lot: String::new(),
        opened: None,
        expires: None,
        waited_min: None,
        viewing_light: String::new(),
    };
    let set = Setting {
        photoperiod_h: Some(7.0),
        ..Setting::default()
    };
    let entries = [
        entry(1, 1, &[tank(1)], Act::Reading(metered)),
        entry(2, 1, &[tank(1)], Act::Setting(set)),
    ];
    assert!(gaps(&b, &entries, TODAY).is_empty());
}

#[test]
fn animals_make_a_missing_stop_rule_serious() {
    let mut b = complete();
    b.trial.stop_rule = None;
    b.tanks.iter_mut().for_each(|t| t.livestock.clear());
    let severity = |b: &Bench, entries: &[Entry]| {
        let found = gaps(b, entries, TODAY);
        found
            .iter()
            .find(|f| f.code == "gap_stop_rule")
            .map(|f| f.severity)
    };
    assert_eq!(severity(&b, &[]), Some(Severity::Weakens));
    let arrival = LivestockEvent {
        event: LivestockHappening::Arrival,
        who: Livestock {
            species: "shrimp".into(),
            count: 5,
        },
    };
    let came = entry(1, 2, &[tank(2)], Act::Livestock(arrival));
    assert_eq!(severity(&b, &[came]), Some(Severity::Serious));
}

#[test]
fn money_as_an_outcome_makes_prices_weigh_more() {
    let mut b = complete();
    b.equipment[0].price = None;
    assert_eq!(gaps(&b, &[], TODAY)[0].severity, Severity::Note);
    b.trial.secondary = vec![Outcome {
        name: "Money".into(),
        measure: Measure::Money,
        plant: None,
        better: Better::Less,
    }];
    assert_eq!(gaps(&b, &[], TODAY)[0].severity, Severity::Weakens);
    b.equipment[0].price = Some(eur(1.0));
    assert!(gaps(&b, &[], TODAY).is_empty());
}

#[test]
fn every_code_of_these_answers_is_in_the_list_of_findings() {
    let listed = include_str!("../../../../docs/findings.md");
    let sources = [
        include_str!("../gaps.rs"),
        include_str!("things.rs"),
        include_str!("../cost.rs"),
        include_str!("../cost/items.rs"),
        include_str!("../cost/work.rs"),
        include_str!("../plans.rs"),
        include_str!("../plans/routine.rs"),
        include_str!("../plans/counts.rs"),
        include_str!("../history.rs"),
        include_str!("../cautions.rs"),
    ];
    let is_code = |s: &&str| {
        let start = ["gap_", "cost_", "plan_", "history_", "co2_"]
            .iter()
            .any(|p| s.starts_with(p));
        start
            && s.chars()
                .all(|c| c.is_ascii_lowercase() || c == '_' || c == '2')
    };
    let strings = sources.iter().flat_map(|s| s.split('"').skip(1).step_by(2));
    let codes: std::collections::BTreeSet<&str> = strings.filter(is_code).collect();
    assert!(codes.len() > 60, "{codes:?}");
    let missing: Vec<_> = codes
        .iter()
        .filter(|c| !listed.contains(&format!("`{c}`")))
        .collect();
    assert!(missing.is_empty(), "not in docs/findings.md: {missing:?}");
}
