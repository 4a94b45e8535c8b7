//! The comparison on worked examples: every expected figure is worked out in the comment beside it.
#![allow(clippy::unwrap_used, clippy::expect_used)] // helpers of tests, outside the test functions

use answers::compare::{Comparison, Row, Scale, Window, compare};
use jiff::civil::{Date, date};
use jiff::tz::TimeZone;
use quantity::EstimateKind;
use trial::act::{Act, Algae, Fate, Harvest, Loss, Observation, Replant, Surfaces, Trim};
use trial::types::{Arm, Better, Factor, Level, Measure, Outcome};
use trial::{Bench, Entry, EntryId, Origin, Planting, PlantingId, Tank, TankId, Trial, TrialId};
use uuid::Uuid;

const PLANT: &str = "Bacopa caroliniana";

fn id(n: u128) -> Uuid {
    Uuid::from_u128(n)
}

/// Tanks 1.. with one planting each (100 + tank), in arms a and b by turns.
fn bench(tanks: u128) -> Bench {
    let mut trial = Trial::new(TrialId(id(1)), "Worked", "UTC");
    trial.start = Some(date(2026, 1, 1));
    trial.arms = ["a", "b"]
        .map(|k| Arm {
            key: k.into(),
            name: k.to_uppercase(),
            control: k == "a",
        })
        .to_vec();
    trial.differ = vec![Factor {
        name: "Light".into(),
        levels: vec![Level {
            arm: "a".into(),
            value: "7 h".into(),
        }],
    }];
    trial.primary = Some(Outcome {
        name: "Height".into(),
        measure: Measure::Height,
        plant: Some(PLANT.into()),
        better: Better::Less,
    });
    let mut bench = Bench::new(trial);
    for n in 0..tanks {
        let mut tank = Tank::new(
            TankId(id(10 + n)),
            TrialId(id(1)),
            format!("T{n}"),
            n as u32,
        );
        tank.arm = Some(if n % 2 == 0 { "a".into() } else { "b".into() });
        bench.tanks.push(tank);
        let mut planting = Planting::new(
            PlantingId(id(100 + n)),
            TrialId(id(1)),
            TankId(id(10 + n)),
            PLANT,
        );
        planting.planted = Some(date(2026, 1, 1));
        planting.fresh_g = Some(10.0);
        bench.plantings.push(planting);
    }
    bench
}

fn entry(n: u128, day: Date, tank: u128, act: Act) -> Entry {
    let at = day
        .at(12, 0, 0, 0)
        .to_zoned_datetime(TimeZone::UTC)
        .unwrap();
    Entry {
        id: EntryId(id(1000 + n)),
        trial: TrialId(id(1)),
        written: at.timestamp(),
        at,
        tanks: vec![TankId(id(10 + tank))],
        all_tanks: false,
        who: String::new(),
        minutes: None,
        note: String::new(),
        origin: Origin::Form,
        supersedes: None,
        act,
    }
}

fn height(n: u128, day: Date, tank: u128, cm: f64) -> Entry {
    let act = Act::Observation(Observation {
        plantings: vec![PlantingId(id(100 + tank))],
        height_cm: Some(cm),
        ..Observation::default()
    });
    entry(n, day, tank, act)
}

fn window() -> Window {
    Window {
        from: date(2026, 1, 1),
        to: date(2026, 3, 1),
    }
}

fn run(bench: &Bench, entries: &[Entry]) -> Comparison {
    compare(bench, entries, window(), String::new())
}

fn row(c: &Comparison, measure: Measure) -> &Row {
    c.rows
        .iter()
        .find(|r| r.measure == measure)
        .expect("the row is there")
}

#[test]
fn two_tanks_per_arm_give_the_pooled_t_interval() {
    let bench = bench(4);
    // Ends over starts: a: 2.0, 2.2; b: 3.0, 3.4.
    let ends = [20.0, 30.0, 22.0, 34.0];
    let entries: Vec<Entry> = (0..4)
        .flat_map(|t| {
            let n = 10 * t;
            [
                height(n, date(2026, 1, 2), t, 10.0),
                height(n + 1, date(2026, 2, 20), t, ends[t as usize]),
            ]
        })
        .collect();
    let c = run(&bench, &entries);
    let row = row(&c, Measure::Height);
    assert!(row.primary && row.scale == Scale::Factor);
    let d = &row.differences[0];
    assert_eq!((d.of.as_str(), d.against.as_str()), ("B", "A"));
    // By hand: mean ln b = (1.098612 + 1.223775)/2, mean ln a = (0.693147 + 0.788457)/2;
    // difference 0.4203915 -> ratio 1.522557.
    // Squares about the means: (0.125163/2)^2*2 + (0.095310/2)^2*2 = 0.0123749;
    // s = sqrt(0.0123749 / 2) = 0.0786603; se = s; t(2, 0.975) = 4.302653 (printed t tables: 4.303).
    let (d_ln, half) = (0.420_391_5_f64, 4.302_652_7 * 0.078_660_3);
    let close = |a: Option<f64>, b: f64| assert!((a.unwrap() - b).abs() < 1e-5 * b, "{a:?} {b}");
    close(d.estimate.value, d_ln.exp());
    close(d.estimate.low, (d_ln - half).exp());
    close(d.estimate.high, (d_ln + half).exp());
    assert_eq!(d.estimate.level, Some(0.95));
    // 2 v 2: six allocations, the two extreme ones are this one and its mirror (1/3).
    assert!((d.exact_p.unwrap() - 1.0 / 3.0).abs() < 1e-12);
    assert!((d.smallest_p.unwrap() - 1.0 / 3.0).abs() < 1e-12);
    let all = [c.can_say.clone(), c.cannot_say.clone()].concat().join(" ");
    assert!(all.contains("smallest possible p is 0.33"), "{all}");
}

#[test]
fn one_tank_per_arm_gives_no_interval_and_says_why() {
    let bench = bench(2);
    let entries = [
        height(0, date(2026, 1, 2), 0, 10.0),
        height(1, date(2026, 1, 2), 1, 10.0),
        height(2, date(2026, 2, 20), 0, 20.0),
        height(3, date(2026, 2, 20), 1, 30.0),
    ];
    let c = run(&bench, &entries);
    let d = &row(&c, Measure::Height).differences[0];
    assert!((d.seen.unwrap() - 1.5).abs() < 1e-12);
    assert!(
        matches!(&d.estimate.kind, EstimateKind::Refused { code, .. } if code == "one_tank_per_arm")
    );
    assert_eq!((d.estimate.value, d.estimate.low), (None, None));
    assert!(
        c.cannot_say
            .iter()
            .any(|s| s.contains("counting plants instead of tanks"))
    );
    let all = [c.can_say.clone(), c.cannot_say.clone()]
        .concat()
        .join(" ")
        .to_lowercase();
    for word in ["significant", "caused", "no effect", "proves"] {
        assert!(!all.contains(word), "{word} in {all}");
    }
}

#[test]
fn plants_of_one_tank_are_averaged_on_the_log_scale_first() {
    let mut bench = bench(2);
    let mut second = Planting::new(PlantingId(id(200)), TrialId(id(1)), TankId(id(10)), PLANT);
    second.label = "second".into();
    bench.plantings.push(second);
    let of_second = |n, day, cm| {
        let act = Act::Observation(Observation {
            plantings: vec![PlantingId(id(200))],
            height_cm: Some(cm),
            ..Observation::default()
        });
        entry(n, day, 0, act)
    };
    let entries = [
        height(0, date(2026, 1, 2), 0, 10.0),
        of_second(1, date(2026, 1, 2), 10.0),
        height(2, date(2026, 2, 20), 0, 20.0),
        of_second(3, date(2026, 2, 20), 80.0),
    ];
    let c = run(&bench, &entries);
    let tank = &row(&c, Measure::Height).tanks[0];
    // Geometric mean of 2 and 8 is 4 (the arithmetic mean would be 5).
    assert!((tank.change.value.unwrap() - 4.0).abs() < 1e-12);
    assert_eq!(tank.plantings, 2);
}

#[test]
fn growth_sums_undisturbed_stretches_around_a_weighed_trim() {
    let bench = bench(2);
    let p = PlantingId(id(100));
    let trim = Act::Trim(Trim {
        plantings: vec![p],
        kept_share: Some(0.5),
        out_fresh_g: Some(20.0),
        dried: None,
        left_out: vec![],
    });
    let replant = Act::Replant(Replant {
        from: p,
        into: p,
        count: Some(4),
        fresh_g: Some(5.0),
    });
    let harvest = Act::Harvest(Harvest {
        planting: p,
        fresh_g: Some(50.0),
        dry_g: None,
        fate: Fate::PlantedBack,
    });
    let entries = [
        entry(0, date(2026, 1, 31), 0, trim),
        entry(1, date(2026, 1, 31), 0, replant),
        entry(2, date(2026, 2, 20), 0, harvest),
    ];
    let c = run(&bench, &entries);
    let tank = &row(&c, Measure::Growth).tanks[0];
    // 10 g -> 40 g standing before the trim (20 / (1 - 0.5)) in 30 days; 20 g left + 5 g planted
    // back = 25 g -> 50 g in 20 days: (ln 4 + ln 2) / 50 = 0.0415888 per day.
    let expected = (4f64.ln() + 2f64.ln()) / 50.0;
    assert!(
        (tank.change.value.unwrap() - expected).abs() < 1e-12,
        "{:?}",
        tank.change
    );
    assert!(tank.change.low.unwrap() < expected && expected < tank.change.high.unwrap());
    assert_eq!(tank.change.level, None);
}

#[test]
fn a_trim_without_its_share_is_added_back_and_cuttings_count_once() {
    let mut bench = bench(2);
    // A daughter planting from the same line in the same tank.
    let mut child = Planting::new(PlantingId(id(200)), TrialId(id(1)), TankId(id(10)), PLANT);
    child.parent = Some(PlantingId(id(100)));
    child.planted = Some(date(2026, 1, 31));
    child.fresh_g = Some(5.0);
    bench.plantings.push(child);
    let p = PlantingId(id(100));
    let trim = Act::Trim(Trim {
        plantings: vec![p],
        kept_share: None,
        out_fresh_g: Some(20.0),
        dried: None,
        left_out: vec![],
    });
    let replant = Act::Replant(Replant {
        from: p,
        into: PlantingId(id(200)),
        count: Some(4),
        fresh_g: Some(5.0),
    });
    let harvest = |planting, grams| {
        Act::Harvest(Harvest {
            planting,
            fresh_g: Some(grams),
            dry_g: None,
            fate: Fate::PlantedBack,
        })
    };
    let entries = [
        entry(0, date(2026, 1, 31), 0, trim),
        entry(1, date(2026, 1, 31), 0, replant),
        entry(2, date(2026, 2, 20), 0, harvest(p, 30.0)),
        entry(3, date(2026, 2, 20), 0, harvest(PlantingId(id(200)), 10.0)),
    ];
    let c = run(&bench, &entries);
    let tank = &row(&c, Measure::Growth).tanks[0];
    // Line at the end 30 + 10 = 40 g; taken out 20 g of which 5 g stand in the 40 g:
    // ln((40 + 20 - 5) / 10) / 50 = 0.0340950 per day.
    let expected = 5.5f64.ln() / 50.0;
    assert!(
        (tank.change.value.unwrap() - expected).abs() < 1e-12,
        "{:?}",
        tank.change
    );
}

#[test]
fn scores_have_medians_and_no_interval_and_losses_are_named() {
    let bench = bench(4);
    let film = |n, day, tank, score| {
        let film = Surfaces {
            pane: Some(score),
            ..Surfaces::default()
        };
        entry(
            n,
            day,
            tank,
            Act::Algae(Algae {
                film,
                thread: Surfaces::default(),
                on_walk: None,
            }),
        )
    };
    let mut entries: Vec<Entry> = (0..4)
        .flat_map(|t| {
            [
                film(10 * t, date(2026, 1, 3), t, 0.0),
                film(
                    10 * t + 1,
                    date(2026, 2, 20),
                    t,
                    if t % 2 == 0 { 1.0 } else { 3.0 },
                ),
            ]
        })
        .collect();
    let loss = Loss {
        planting: PlantingId(id(101)),
        whole: true,
        stems: None,
    };
    entries.push(entry(90, date(2026, 2, 1), 1, Act::Loss(loss)));
    let c = run(&bench, &entries);
    let d = &row(&c, Measure::Film).differences[0];
    assert_eq!(d.seen, Some(2.0));
    assert!(
        matches!(&d.estimate.kind, EstimateKind::Refused { code, .. } if code == "scores_have_no_mean")
    );
    assert_eq!(row(&c, Measure::Growth).tanks[1].lost, 1);
}

#[test]
fn nothing_at_all_is_an_answer() {
    let c = run(&bench(4), &[]);
    assert!(c.rows.is_empty());
    assert!(
        c.cannot_say
            .iter()
            .any(|s| s.contains("not measured twice"))
    );
    let empty = Bench::new(Trial::new(TrialId(id(1)), "Empty", "UTC"));
    assert!(run(&empty, &[]).rows.is_empty());
}
