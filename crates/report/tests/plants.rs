//! The life line of one planting, from a few invented entries: what it shows, and its SVG text
//! compared exactly with the files in `tests/golden`.
//!
//! After a wanted change: `UPDATE_GOLDEN=1 cargo test -p report --test plants`, then look at them.

#![allow(clippy::unwrap_used)] // helpers of tests, outside the test functions

use std::path::Path;

use answers::compare::Window;
use answers::plants::{Life, life};
use chart::SvgOptions;
use jiff::civil::{Date, date};
use jiff::tz::TimeZone;
use trial::act::{Fate, Harvest, Observation, Trim};
use trial::{
    Act, Bench, Entry, EntryId, Origin, Planting, PlantingId, Tank, TankId, Trial, TrialId,
};
use uuid::Uuid;

const PLANT: PlantingId = PlantingId(Uuid::from_u128(20));
const END: Date = date(2026, 5, 4);

fn bench() -> Bench {
    let id = TrialId(Uuid::from_u128(1));
    let mut trial = Trial::new(id, "A small trial", "UTC");
    trial.start = Some(date(2026, 1, 5));
    let mut bench = Bench::new(trial);
    let ash = Tank::new(TankId(Uuid::from_u128(10)), id, "Ash", 0);
    let mut planting = Planting::new(PLANT, id, ash.id, "Bacopa caroliniana");
    planting.planted = Some(date(2026, 1, 5));
    planting.fresh_g = Some(8.0);
    bench.tanks = vec![ash];
    bench.plantings = vec![planting];
    bench
}

fn entry(n: u128, day: Date, act: Act) -> Entry {
    let at = day
        .at(12, 0, 0, 0)
        .to_zoned_datetime(TimeZone::UTC)
        .unwrap();
    Entry {
        id: EntryId(Uuid::from_u128(100 + n)),
        trial: TrialId(Uuid::from_u128(1)),
        written: at.timestamp(),
        at,
        tanks: vec![TankId(Uuid::from_u128(10))],
        all_tanks: false,
        who: String::new(),
        minutes: None,
        note: String::new(),
        origin: Origin::Form,
        supersedes: None,
        act,
    }
}

fn seen(n: u128, day: Date, vigour: f64, height_cm: f64) -> Entry {
    let look = Observation {
        plantings: vec![PLANT],
        vigour: Some(vigour),
        height_cm: Some(height_cm),
        ..Observation::default()
    };
    entry(n, day, Act::Observation(look))
}

fn entries() -> Vec<Entry> {
    let trim = Trim {
        plantings: vec![PLANT],
        kept_share: Some(0.5),
        out_fresh_g: Some(20.0),
        dried: None,
        left_out: vec![],
    };
    let harvest = Harvest {
        planting: PLANT,
        fresh_g: Some(36.0),
        dry_g: None,
        fate: Fate::PlantedBack,
    };
    vec![
        seen(1, date(2026, 1, 19), 6.0, 9.0),
        seen(2, date(2026, 3, 2), 8.0, 24.0),
        entry(3, date(2026, 3, 2), Act::Trim(trim)),
        seen(4, date(2026, 4, 6), 7.0, 18.0),
        entry(5, END, Act::Harvest(harvest)),
    ]
}

fn of(entries: &[Entry]) -> Life {
    let window = Window {
        from: date(2026, 1, 5),
        to: date(2026, 5, 5),
    };
    life(&bench(), entries, &[], window, END, PLANT).unwrap()
}

#[test]
fn the_life_line_is_as_kept() {
    for width in [358.0, 960.0] {
        let scene = report::figures::plants::life(&of(&entries()), &bench(), width).unwrap();
        let name = format!("life-{width}");
        let text = scene.to_svg(&SvgOptions::page(&name));
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/golden/{name}.svg"));
        if std::env::var_os("UPDATE_GOLDEN").is_some() {
            std::fs::write(&path, &text).unwrap();
        }
        let kept = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(kept == text, "{name} differs from the golden file");
    }
}

#[test]
fn what_is_drawn_is_also_said() {
    let scene = report::figures::plants::life(&of(&entries()), &bench(), 358.0).unwrap();
    assert_eq!(scene.title, "The life of Bacopa caroliniana in Ash");
    let said = scene.description.replace('\u{a0}', " ");
    for words in [
        "From 2026-01-05 to 2026-05-04.",
        "2026-03-02 trim, 20 g out; 2026-05-04 harvest, 36 g",
        "Height from 9 cm on 2026-01-19 to 18 cm on 2026-04-06.",
        "Vigour from 6 on 2026-01-19 to 7 on 2026-04-06.",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
}

#[test]
fn nothing_logged_is_no_figure() {
    let mut bare = of(&[]);
    bare.masses = None;
    assert!(report::figures::plants::life(&bare, &bench(), 358.0).is_none());
}
