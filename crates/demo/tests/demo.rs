//! What the demonstration must hold, and that its tables are whole.
#![allow(clippy::unwrap_used, clippy::panic)] // a test may stop where it finds nothing

use demo::{DemoNotebook, MARKS, PICTURES, records};
use quantity::Analyte;
use std::collections::{BTreeMap, BTreeSet};
use trial::nutrients::nutrients_mg;
use trial::types::PhaseKind;
use trial::{Act, Bench, Draft, Entry, Record, lot};

fn made() -> DemoNotebook {
    records().unwrap_or_else(|e| panic!("{e}"))
}

fn bench<'a>(demo: &'a DemoNotebook, title: &str) -> &'a Bench {
    demo.benches
        .iter()
        .find(|b| b.trial.title == title)
        .unwrap()
}

fn of<'a>(demo: &'a DemoNotebook, bench: &'a Bench) -> impl Iterator<Item = &'a Entry> {
    demo.entries.iter().filter(|e| e.trial == bench.trial.id)
}

const SAND_OR_WATER: &str = "In the sand or in the water?";

#[test]
fn the_story_is_all_there() {
    let demo = made();
    let big = bench(&demo, SAND_OR_WATER);
    // Counts of the invented story: 4 tanks, 5 plants in each and 2 lots of cuttings; 2 tanks and
    // 5 plants in each.
    assert_eq!((big.tanks.len(), big.plantings.len()), (4, 22));
    let pair = bench(&demo, "Pots or cuttings?");
    assert_eq!((pair.tanks.len(), pair.plantings.len()), (2, 10));
    let mut kinds: BTreeMap<&str, usize> = BTreeMap::new();
    for entry in &demo.entries {
        *kinds.entry(entry.act.kind()).or_default() += 1;
    }
    // 6 weeks of 4 tanks and 3 weeks of 2.
    assert_eq!(kinds["picture"], 30);
    // 5 plants and the second lots.
    assert_eq!(kinds["harvest"], 22);
    // Every kind of act is shown but a move, which would unsettle a running trial, and a walk-round:
    // the story was written in single looks.
    let missing: Vec<&str> = Act::KINDS
        .into_iter()
        .filter(|k| !kinds.contains_key(k))
        .collect();
    assert_eq!(missing, ["move", "walk"]);
    assert!(demo.entries.len() > 700, "{}", demo.entries.len());
    assert!(
        demo.benches
            .iter()
            .all(|b| b.trial.invented && b.trial.made_by.is_some())
    );
}

#[test]
fn everything_passes_the_rules() {
    let demo = made();
    for record in &demo.records {
        let problems = trial::rules::check_record(record);
        assert!(problems.is_empty(), "{record:?}: {problems:?}");
    }
    for bench in &demo.benches {
        for e in of(&demo, bench) {
            let draft = Draft {
                at: e.at.clone(),
                tanks: e.tanks.clone(),
                all_tanks: e.all_tanks,
                who: e.who.clone(),
                minutes: e.minutes,
                note: e.note.clone(),
                act: e.act.clone(),
            };
            let problems = trial::rules::check_draft(&draft, bench);
            assert!(problems.is_empty(), "{e:?}: {problems:?}");
        }
    }
}

#[test]
fn references_lead_somewhere() {
    let demo = made();
    let mut ids = BTreeSet::new();
    for record in &demo.records {
        assert!(ids.insert(record.id()), "{record:?} shares its id");
        if let Record::Planting(p) = record {
            assert!(ids.contains(&p.tank.0), "{} has no tank", p.title());
            assert!(p.parent.is_none_or(|parent| ids.contains(&parent.0)));
        }
    }
    let mut before = BTreeSet::new();
    for entry in &demo.entries {
        assert!(entry.tanks.iter().all(|t| ids.contains(&t.0)));
        assert!(entry.act.plantings().iter().all(|p| ids.contains(&p.0)));
        assert!(entry.supersedes.is_none_or(|s| before.contains(&s)));
        assert!(before.insert(entry.id), "an id twice");
    }
    let superseding = demo.entries.iter().filter(|e| e.supersedes.is_some());
    // One correction, one undo.
    assert_eq!(superseding.count(), 2);
}

#[test]
fn entries_are_in_the_order_they_were_written() {
    let demo = made();
    for bench in &demo.benches {
        let ids: Vec<_> = of(&demo, bench).map(|e| e.id).collect();
        assert!(ids.is_sorted());
    }
    assert!(demo.entries.is_sorted_by_key(|e| e.written));
}

#[test]
fn the_arms_come_out_of_the_recorded_lot() {
    let demo = made();
    let bench = bench(&demo, SAND_OR_WATER);
    let names: Vec<&str> = bench.tanks.iter().map(|t| t.name.as_str()).collect();
    let arms: Vec<&str> = bench.trial.arms.iter().map(|a| a.name.as_str()).collect();
    let drawn = bench.trial.lot.as_ref().unwrap();
    let seed = drawn.seed.unwrap();
    assert_eq!(*drawn, lot::record(seed, &arms, drawn.drawn));
    let dealt = lot::dealt(seed, &names, arms.len());
    assert_eq!(dealt.len(), 4);
    for (name, arm) in &dealt {
        let recorded = bench.tank_named(name).unwrap().arm.as_ref();
        assert_eq!(recorded, Some(&bench.trial.arms[*arm].key), "{name}");
    }
    let earlier = (1..seed).map(|seed| lot::dealt(seed, &names, arms.len()));
    let arms_of = |mut dealt: Vec<(&str, usize)>| {
        dealt.sort_unstable();
        format!("{dealt:?}")
    };
    let recorded = arms_of(dealt);
    assert!(
        earlier.into_iter().all(|d| arms_of(d) != recorded),
        "an earlier seed does"
    );
}

/// Milligrams dosed to each tank by fortnight of the treatment.
fn by_fortnight(demo: &DemoNotebook, analyte: Analyte) -> BTreeMap<(i32, String), f64> {
    let bench = bench(demo, SAND_OR_WATER);
    let treatment = bench.trial.treatment().unwrap();
    let mut mg = BTreeMap::new();
    for entry in of(demo, bench) {
        let Act::Dose(dose) = &entry.act else {
            continue;
        };
        if bench.trial.phase_on(entry.at.date()).map(|p| p.kind) != Some(PhaseKind::Treatment) {
            continue;
        }
        let days = (entry.at.date() - treatment.from).get_days();
        let brought: f64 = nutrients_mg(dose, bench)
            .iter()
            .filter(|(a, _)| *a == analyte)
            .map(|(_, mg)| mg)
            .sum();
        for tank in &entry.tanks {
            let name = bench.tank(*tank).unwrap().name.clone();
            *mg.entry((days / 14, name)).or_default() += brought;
        }
    }
    mg
}

#[test]
fn both_arms_get_the_same_but_for_the_written_mess() {
    let demo = made();
    // By hand: four measures a fortnight, each 0.24 g KNO3 (61.328 % NO3) and 0.024 g KH2PO4
    // (69.788 % PO4); percentages from IUPAC 2021 atomic weights.
    for (analyte, measure) in [(Analyte::No3, 147.187), (Analyte::Po4, 16.749)] {
        let mg = by_fortnight(&demo, analyte);
        assert_eq!(mg.len(), 6 * 4, "six fortnights of four tanks");
        for ((fortnight, tank), got) in mg {
            let measures = match (fortnight, tank.as_str()) {
                // Half-term: the week's two doses of mix were not given; tablets lay in the sand.
                (1, "Elm" | "Fir") => 2.0,
                // Dosed twice one evening.
                (2, "Fir") => 5.0,
                _ => 4.0,
            };
            let want = measures * measure;
            assert!(
                (got - want).abs() < 0.01,
                "{analyte:?} {tank} {fortnight}: {got} not {want}"
            );
        }
    }
}

#[test]
fn fish_came_after_ammonium_and_nitrite_read_zero() {
    let demo = made();
    let bench = bench(&demo, SAND_OR_WATER);
    for tank in bench.tank_ids() {
        let here: Vec<&Entry> = of(&demo, bench).filter(|e| e.tanks == [tank]).collect();
        let arrived = here.iter().find(|e| match &e.act {
            Act::Livestock(l) => l.who.species.contains("fish"),
            _ => false,
        });
        let arrived = arrived.unwrap();
        for analyte in [Analyte::Nh4, Analyte::No2] {
            let last = here.iter().rfind(|e| {
                e.at < arrived.at && matches!(&e.act, Act::Reading(r) if r.analyte == analyte)
            });
            let Act::Reading(reading) = &last.unwrap().act else {
                unreachable!()
            };
            assert_eq!(
                reading.interval.low(),
                None,
                "{analyte:?} was above the lowest step"
            );
        }
    }
}

#[test]
fn pictures_are_what_the_tables_say() {
    let demo = made();
    let mut used = BTreeSet::new();
    for entry in &demo.entries {
        let Act::Picture(p) = &entry.act else {
            continue;
        };
        used.insert(p.sha256.clone());
    }
    assert_eq!(used.len(), PICTURES.len());
    for picture in PICTURES {
        let image = image::ImageReader::new(std::io::Cursor::new(picture.bytes));
        let size = image
            .with_guessed_format()
            .unwrap()
            .into_dimensions()
            .unwrap();
        assert_eq!(size, (1200, 800), "{}", picture.file);
        assert!(
            MARKS.contains(&format!("\"{}\"", picture.file)),
            "{} has no marks",
            picture.file
        );
    }
}

#[test]
fn the_same_each_time() {
    let (a, b) = (made(), made());
    assert_eq!(a.records, b.records);
    assert_eq!(a.entries, b.entries);
}

#[test]
fn words_are_plain() {
    let demo = made();
    let text = format!("{:?} {:?}", demo.records, demo.entries);
    for sign in ['\u{2014}', '!'] {
        assert!(!text.contains(sign), "{sign:?} in the demonstration");
    }
}
