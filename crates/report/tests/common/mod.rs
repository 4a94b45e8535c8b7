//! Small invented answers, written by hand: a bench with gaps, readings with open ends, a
//! comparison with and without intervals, an account with a price missing.
#![allow(dead_code, unreachable_pub, clippy::unwrap_used)] // each test file uses its own part

pub mod html;
pub mod timeline;

use answers::bench::{BenchView, LatestReading, TankView};
use answers::compare::{Comparison, Difference, Row, Scale, TankChange, Window};
use answers::cost::{CurrencyCost, Figures, TankCost};
use answers::plans::PlansAnswer;
use answers::readings::{AnalyteReadings, Mark, ReadingPoint, Readings, TankReadings};
use answers::unequal::Treatment;
use jiff::civil::{Date, date};
use quantity::{Analyte, Basis, Estimate, Interval};
use trial::types::{Arm, KeptRange, Measure, Phase, PhaseKind};
use trial::{Bench, EntryId, Planting, PlantingId, Tank, TankId, Trial, TrialId};
use uuid::Uuid;

pub const START: Date = date(2026, 3, 2);
pub const END: Date = date(2026, 4, 27);

pub fn tank_id(i: u128) -> TankId {
    TankId(Uuid::from_u128(i + 1))
}

/// Two tanks: Ash with everything entered, Elm with its name, length and one plant only.
pub fn bench() -> Bench {
    let id = TrialId(Uuid::from_u128(100));
    let mut trial = Trial::new(id, "A small trial", "Europe/Berlin");
    trial.start = Some(START);
    trial.arms = [("lean", "Lean", true), ("rich", "Rich", false)]
        .map(|(key, name, control)| Arm {
            key: key.into(),
            name: name.into(),
            control,
        })
        .to_vec();
    trial.phases = [
        (PhaseKind::Baseline, START, Some(date(2026, 3, 16))),
        (PhaseKind::Treatment, date(2026, 3, 16), None),
    ]
    .map(|(kind, from, to)| Phase {
        kind,
        from,
        to,
        note: String::new(),
    })
    .to_vec();
    trial.kept_ranges = vec![KeptRange {
        analyte: Analyte::No3,
        low: 5.0,
        high: 15.0,
    }];
    let mut ash = Tank::new(tank_id(0), id, "Ash", 0);
    ash.arm = Some("lean".into());
    (ash.length_cm, ash.width_cm, ash.height_cm) = (Some(60.0), Some(30.0), Some(36.0));
    ash.water_depth_cm = Some(33.0);
    ash.substrate = vec![trial::tank::SubstrateLayer {
        material: "sand".into(),
        depth_cm: Some(5.0),
        mass_kg: None,
    }];
    ash.lamps = vec![trial::tank::Lamp {
        name: "bar".into(),
        height_cm: Some(12.0),
        length_cm: Some(50.0),
        ..Default::default()
    }];
    let mut elm = Tank::new(tank_id(1), id, "Elm", 1);
    elm.arm = Some("rich".into());
    elm.length_cm = Some(40.0);
    elm.lamps = vec![trial::tank::Lamp::default()];
    let mut bench = Bench::new(trial);
    bench.plantings = plantings();
    bench.tanks = vec![ash, elm];
    bench
}

fn plantings() -> Vec<Planting> {
    let mut all = vec![
        planting(
            1,
            0,
            "Rotala rotundifolia",
            &[[8.0, 5.0], [24.0, 5.0], [24.0, 28.0], [8.0, 28.0]],
        ),
        planting(
            2,
            0,
            "Eleocharis acicularis",
            &[[6.0, 4.0], [54.0, 4.0], [54.0, 8.0], [6.0, 8.0]],
        ),
        planting(
            3,
            0,
            "Cryptocoryne wendtii",
            &[[36.0, 5.0], [50.0, 5.0], [50.0, 16.0], [36.0, 16.0]],
        ),
        planting(4, 1, "Rotala rotundifolia", &[]),
    ];
    let mut floating = planting(5, 0, "Salvinia natans", &[]);
    floating.floating = true;
    all.push(floating);
    all
}

fn planting(id: u128, tank: u128, name: &str, zone: &[[f64; 2]]) -> Planting {
    let trial = TrialId(Uuid::from_u128(100));
    let id = PlantingId(Uuid::from_u128(200 + id));
    let mut planting = Planting::new(id, trial, tank_id(tank), name);
    planting.zone_cm = zone.to_vec();
    planting
}

pub fn view() -> BenchView {
    let bench = bench();
    let newest = |low, high, days_ago| LatestReading {
        entry: EntryId(Uuid::nil()),
        analyte: Analyte::No3,
        day: END,
        days_ago,
        interval: Interval::new(low, high).unwrap(),
        meter: None,
        kept: bench.trial.kept_ranges.first().cloned(),
    };
    let readings = [
        vec![newest(Some(6.0), Some(12.0), 2)],
        vec![newest(None, Some(3.0), 9)],
    ];
    let tanks = bench
        .tanks
        .iter()
        .zip(readings)
        .map(|(tank, readings)| TankView {
            tank: tank.clone(),
            arm: tank
                .arm
                .as_deref()
                .and_then(|k| bench.trial.arm(k))
                .map(|a| a.name.clone()),
            water_l: tank.water_l(),
            plantings: bench.plantings_in(tank.id).cloned().collect(),
            readings,
            picture: None,
        });
    BenchView {
        tanks: tanks.collect(),
        as_of: END,
        closed: false,
        phase: Some(PhaseKind::Treatment),
        day: Some(56),
        lately: vec![],
        plans: PlansAnswer {
            absences: vec![],
            today: END,
            changes: vec![],
            routines: vec![],
            due: vec![],
            basis: Basis::default(),
            findings: vec![],
        },
        findings: vec![],
        treatment: Treatment {
            from: START,
            to: END,
            rows: vec![],
        },
        bench,
    }
}

/// Nitrate in both tanks with a reading open above, one in doubt, a setting, and nine doses.
pub fn readings() -> Readings {
    let point = |week: i64, low: Option<f64>, high: Option<f64>, doubt: Option<&str>| {
        let day = START.checked_add(jiff::Span::new().days(week * 7)).unwrap();
        ReadingPoint {
            entry: EntryId(Uuid::nil()),
            at: jiff::Timestamp::UNIX_EPOCH,
            day,
            interval: Interval::new(low, high).unwrap(),
            meter: None,
            seen: "read nitrate".into(),
            note: String::new(),
            doubt: doubt.map(str::to_string),
        }
    };
    let ash = (0..8)
        .map(|w| point(w, Some(6.0), Some(12.0), None))
        .collect();
    let elm = vec![
        point(0, Some(6.0), Some(12.0), None),
        point(2, Some(24.0), None, None),
        point(4, Some(12.0), Some(24.0), Some("The reagent had expired.")),
        point(6, None, Some(3.0), None),
    ];
    let series = |i: u128, name: &str, points| TankReadings {
        tank: tank_id(i),
        name: name.into(),
        points,
    };
    let mark = |kind, day, what: &str| Mark {
        at: jiff::Timestamp::UNIX_EPOCH,
        day,
        kind,
        tanks: "every tank".into(),
        what: what.into(),
    };
    let mut marks = vec![mark("setting", date(2026, 3, 30), "set light to 7 h")];
    marks.extend((0..9).map(|_| mark("dose", START, "dosed")));
    Readings {
        from: START,
        to: END,
        analytes: vec![AnalyteReadings {
            analyte: Analyte::No3,
            unit: "mg/L",
            kept: bench().trial.kept_ranges.first().cloned(),
            tanks: vec![series(0, "Ash", ash), series(1, "Elm", elm)],
            waters: vec![],
        }],
        marks,
    }
}

/// Two plants measured as sizes, one with an interval between the arms, one without; one score.
pub fn comparison() -> Comparison {
    Comparison {
        window: Window {
            from: START,
            to: END,
        },
        why_window: String::new(),
        scored: answers::walk::Scored::default(),
        arms: vec![],
        rows: vec![
            row(
                "Rotala rotundifolia",
                Measure::Height,
                Scale::Factor,
                [1.5, 1.8],
                Some((0.9, 1.6)),
            ),
            row(
                "Salvinia natans",
                Measure::Vigour,
                Scale::Score,
                [-1.0, 2.0],
                None,
            ),
            row(
                "Cryptocoryne wendtii",
                Measure::Height,
                Scale::Factor,
                [1.1, 1.6],
                None,
            ),
        ],
        can_say: vec![],
        cannot_say: vec![],
        findings: vec![],
    }
}

fn row(
    plant: &str,
    measure: Measure,
    scale: Scale,
    values: [f64; 2],
    ends: Option<(f64, f64)>,
) -> Row {
    let seen = match scale {
        Scale::Factor => values[1] / values[0],
        _ => values[1] - values[0],
    };
    let tank = |i: u128, name: &str, arm: &str| TankChange {
        tank: tank_id(i),
        name: name.into(),
        arm: Some(arm.into()),
        start: None,
        end: None,
        change: Estimate::error_not_stated(values[i as usize], Basis::default()),
        plantings: 1,
        lost: 0,
    };
    Row {
        plant: Some(plant.into()),
        common_name: None,
        measure,
        scale,
        primary: plant.starts_with("Rotala"),
        better: None,
        tanks: vec![tank(0, "Ash", "lean"), tank(1, "Elm", "rich")],
        differences: vec![Difference {
            of: "Rich".into(),
            against: "Lean".into(),
            estimate: match ends {
                Some((low, high)) => Estimate::confidence(seen, low, high, 0.95, Basis::default()),
                None => Estimate::refused("one_tank", "one tank", Basis::default()),
            },
            seen: Some(seen),
            exact_p: None,
            smallest_p: None,
            sentence: format!("{plant}: seen."),
        }],
    }
}

/// An account in which Elm's set-up has a price missing and nothing is known of electricity.
pub fn account() -> CurrencyCost {
    let b = Basis::default;
    let none = || Estimate::refused("cost_none_recorded", "nothing recorded", b());
    let figures = |set_up| Figures {
        set_up,
        swaps: Estimate::exact(0.0, b()),
        cash_month: none(),
        consumables_month: Estimate::error_not_stated(1.5, b()),
        electricity_month: none(),
        wear_month: Estimate::error_not_stated(2.25, b()),
    };
    let open = Estimate::bounds(None, Interval::at_least(80.0).unwrap(), b());
    let tank = |i: u128, name: &str, set_up| TankCost {
        tank: tank_id(i),
        name: name.into(),
        figures: figures(set_up),
    };
    CurrencyCost {
        currency: "EUR".into(),
        whole: figures(none()),
        tanks: vec![
            tank(0, "Ash", Estimate::exact(120.0, b())),
            tank(1, "Elm", open),
        ],
        arms: vec![],
        lines: vec![],
    }
}
