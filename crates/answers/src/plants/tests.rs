//! A small bench worked by hand: one bush with cuttings of its own, one carpet that is lost.
#![allow(clippy::unwrap_used)] // helpers of tests, outside the test functions

use super::*;
use crate::compare::compare;
use jiff::civil::date;
use jiff::tz::TimeZone;
use trial::act::{Fate, Harvest, Loss, Move, Replant, Trim};
use trial::{Origin, Record, Tank, Trial, TrialId, Withdrawn, WithdrawnRecord};
use uuid::Uuid;

const BUSH: &str = "Bacopa caroliniana";

fn id(n: u128) -> Uuid {
    Uuid::from_u128(n)
}

fn planting(n: u128, tank: u128, name: &str) -> Planting {
    let mut p = Planting::new(PlantingId(id(n)), TrialId(id(1)), TankId(id(tank)), name);
    p.planted = Some(date(2025, 12, 22));
    p
}

/// Tanks Ash (10) and Elm (11). In Elm a bush (20) of 8.2 g with cuttings of its own (21), of which
/// again some went to Ash (22); in Ash a plant that no catalogue has (30).
fn bench() -> Bench {
    let mut trial = Trial::new(TrialId(id(1)), "Worked", "UTC");
    trial.start = Some(date(2025, 12, 22));
    let mut bench = Bench::new(trial);
    bench.tanks = [(10, "Ash"), (11, "Elm")]
        .map(|(n, name)| Tank::new(TankId(id(n)), TrialId(id(1)), name, n as u32 - 10))
        .to_vec();
    let mut bush = planting(20, 11, BUSH);
    bush.fresh_g = Some(8.2);
    let mut second = planting(21, 11, BUSH);
    second.planted = Some(date(2026, 3, 30));
    second.parent = Some(bush.id);
    second.fresh_g = Some(4.6);
    let mut given = planting(22, 10, BUSH);
    given.planted = Some(date(2026, 5, 1));
    given.parent = Some(second.id);
    let moss = planting(30, 10, "Moss from the pond");
    bench.plantings = vec![bush, second, given, moss];
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
        tanks: vec![TankId(id(tank))],
        all_tanks: false,
        who: String::new(),
        minutes: None,
        note: String::new(),
        origin: Origin::Form,
        supersedes: None,
        act,
    }
}

fn harvest(n: u128, of: u128, fresh_g: f64, fate: Fate) -> Entry {
    let act = Act::Harvest(Harvest {
        planting: PlantingId(id(of)),
        fresh_g: Some(fresh_g),
        dry_g: None,
        fate,
    });
    entry(n, date(2026, 5, 25), 11, act)
}

fn trim(n: u128, out_fresh_g: Option<f64>) -> Entry {
    let act = Act::Trim(Trim {
        plantings: vec![PlantingId(id(20))],
        kept_share: Some(0.5),
        out_fresh_g,
        dried: None,
        left_out: vec![],
    });
    entry(n, date(2026, 3, 30), 11, act)
}

fn cuttings() -> Entry {
    let act = Act::Replant(Replant {
        from: PlantingId(id(20)),
        into: PlantingId(id(21)),
        count: Some(3),
        fresh_g: Some(4.6),
    });
    entry(2, date(2026, 3, 30), 11, act)
}

fn entries() -> Vec<Entry> {
    vec![
        trim(1, Some(32.1)),
        cuttings(),
        harvest(3, 20, 77.2, Fate::PlantedBack),
        harvest(4, 21, 13.3, Fate::Rehomed),
    ]
}

fn window() -> Window {
    Window {
        from: date(2025, 12, 22),
        to: date(2026, 5, 26),
    }
}

const TODAY: Date = date(2026, 5, 25);

fn of(entries: &[Entry], n: u128) -> Life {
    life(&bench(), entries, &[], window(), TODAY, PlantingId(id(n))).unwrap()
}

/// Made: 77.2 + 13.3 standing at the end, + 32.1 cut, - 4.6 of it planted back, - 8.2 planted
/// = 109.8 g. Rate: 8.2 to 32.1 / 0.5 = 64.2 g in 98 days, then 64.2 - 32.1 + 4.6 = 36.7 to 90.5 g in
/// 56 days: (ln(64.2 / 8.2) + ln(90.5 / 36.7)) / 154 = (2.05787 + 0.90257) / 154 = 0.019224 per day
/// (Hunt 1982, stretches summed).
#[test]
fn masses_count_what_was_replanted_once() {
    let life = of(&entries(), 20);
    let masses = life.masses.unwrap();
    assert!((masses.made.value.unwrap() - 109.8).abs() < 1e-9);
    assert_eq!((masses.out, masses.back), (32.1, 4.6));
    assert!((masses.growth.value.unwrap() - 0.019_224).abs() < 5e-7);
    assert_eq!(masses.start.unwrap().value, 8.2);
    assert!((masses.end.unwrap().value - 90.5).abs() < 1e-9);
    // At their worst together: 5 % of each fresh mass.
    let spread = 0.05 * (90.5 + 32.1 + 4.6 + 8.2);
    assert!((masses.made.low.unwrap() - (109.8 - spread)).abs() < 1e-9);
    assert!((masses.made.high.unwrap() - (109.8 + spread)).abs() < 1e-9);
    let cut = masses.standing.iter().find(|s| s.from_cut).unwrap();
    assert!((cut.before.value.unwrap() - 64.2).abs() < 1e-9);
    assert!((cut.after.value.unwrap() - 36.7).abs() < 1e-9);
}

#[test]
fn growth_is_the_one_of_the_comparison() {
    let compared = compare(&bench(), &entries(), window(), String::new());
    let row = compared.rows.iter().find(|r| r.measure == Measure::Growth);
    let elm = row.unwrap().tanks.iter().find(|t| t.name == "Elm").unwrap();
    let view = plants(&bench(), &entries(), &[], window(), TODAY);
    let bush = view.species[0].plantings.iter();
    let mut bush = bush.filter(|r| r.planting.id == PlantingId(id(20)));
    let line = bush.next_back().unwrap().line.clone().unwrap();
    assert_eq!(line.growth, elm.change);
    assert_eq!((line.start, line.end), (elm.start, elm.end));
}

#[test]
fn without_masses_growth_is_refused_and_cuts_without_one_are_named() {
    let life = of(&[trim(1, None)], 20);
    let masses = life.masses.unwrap();
    assert!(masses.growth.refusal().is_some() && masses.made.refusal().is_some());
    assert_eq!(masses.unweighed.len(), 1);
    assert!(life.findings.iter().any(|f| f.code == "cuts_not_weighed"));
}

#[test]
fn a_line_of_descent_is_whole_from_any_of_its_plantings() {
    for n in [20, 21, 22] {
        let descent = of(&entries(), n).descent;
        assert_eq!(descent.planting.id, PlantingId(id(20)));
        assert_eq!(descent.size(), 3);
        let second = &descent.children[0];
        assert_eq!(
            (second.cuts[0].count, second.cuts[0].fresh_g),
            (Some(3), Some(4.6))
        );
        assert_eq!(second.children[0].tank, TankId(id(10)));
    }
    // Masses are reckoned in one tank: what went to Ash begins a line of its own there.
    let bench = bench();
    let here = |n| tree::founder_here(&bench, PlantingId(id(n)));
    assert_eq!(here(21), PlantingId(id(20)));
    assert_eq!(here(22), PlantingId(id(22)));
}

#[test]
fn a_circle_in_damaged_records_comes_to_an_end() {
    let mut bench = bench();
    bench.plantings[0].parent = Some(PlantingId(id(22)));
    let found = life(&bench, &entries(), &[], window(), TODAY, PlantingId(id(20)));
    assert_eq!(found.unwrap().descent.size(), 3);
}

#[test]
fn what_became_of_a_planting_and_its_age() {
    let mut all = entries();
    let loss = |n, whole| {
        let loss = Loss {
            planting: PlantingId(id(30)),
            whole,
            stems: None,
        };
        entry(n, date(2026, 1, 1), 10, Act::Loss(loss))
    };
    all.insert(0, loss(10, false));
    let lost_in_part = of(&all, 30);
    assert!(lost_in_part.state.stands());
    // 22 December to 25 May: 9 + 31 + 28 + 31 + 30 + 25 days.
    assert_eq!(lost_in_part.age_days, Some(154));
    all[0] = loss(10, true);
    let lost = of(&all, 30);
    assert_eq!(lost.state.ended(), Some(date(2026, 1, 1)));
    assert_eq!(lost.age_days, Some(10));
    assert!(of(&all, 20).state.stands(), "harvested and planted back");
    let given = of(&all, 21).state;
    assert!(matches!(
        given,
        State::Harvested {
            fate: Fate::Rehomed,
            ..
        }
    ));
    let view = plants(&bench(), &all, &[], window(), TODAY);
    assert_eq!((view.all, view.standing), (4, 2));
}

#[test]
fn a_planting_moved_whole_stands_in_its_new_tank() {
    let moved = |share, fresh_g, to: Option<u128>| {
        let act = Act::Move(Move {
            planting: PlantingId(id(30)),
            to: to.map(|n| TankId(id(n))),
            share,
            fresh_g,
        });
        of(&[entry(1, date(2026, 2, 1), 10, act)], 30)
    };
    assert_eq!(moved(None, None, Some(11)).tank, TankId(id(11)));
    assert_eq!(moved(Some(1.0), None, Some(11)).tank, TankId(id(11)));
    for part in [
        moved(Some(0.5), None, Some(11)),
        moved(None, Some(3.0), None),
    ] {
        assert_eq!(part.tank, TankId(id(10)));
        assert!(part.state.stands());
    }
    let out = moved(None, None, None);
    assert!(matches!(out.state, State::MovedOut { .. }));
}

#[test]
fn looks_and_entries_after_the_end_are_told_apart() {
    let seen = |n, day, height| {
        let act = Act::Observation(Observation {
            plantings: vec![PlantingId(id(21))],
            height_cm: Some(height),
            vigour: Some(7.0),
            ..Observation::default()
        });
        entry(n, day, 11, act)
    };
    let mut all = entries();
    all.push(seen(5, date(2026, 6, 1), 9.0));
    let life = of(&all, 21);
    assert_eq!(life.measures(), [Measure::Height, Measure::Vigour]);
    assert_eq!(life.looks[0].values[0], (Measure::Vigour, 7.0));
    assert_eq!(life.events.len(), 2, "the cuttings and the harvest");
    assert_eq!(life.events[0].others, [PlantingId(id(20))]);
    assert!(life.findings.iter().any(|f| f.code == "planting_after_end"));
    assert_eq!(life.span(), (date(2026, 3, 30), date(2026, 6, 1)));
}

#[test]
fn what_was_taken_back_shows_only_by_itself() {
    let mut bench = bench();
    let gone = bench.plantings.remove(3);
    bench.withdrawn.push(WithdrawnRecord {
        record: Record::Planting(gone),
        withdrawn: Withdrawn {
            at: jiff::Timestamp::UNIX_EPOCH,
            why: "typed twice".into(),
        },
    });
    let view = plants(&bench, &[], &[], window(), TODAY);
    assert_eq!(view.species.len(), 1);
    let life = life(&bench, &[], &[], window(), TODAY, PlantingId(id(30))).unwrap();
    assert_eq!(life.withdrawn.unwrap().why, "typed twice");
}

#[test]
fn the_catalogue_is_searched_by_every_word_and_names_what_it_lacks() {
    let bench = bench();
    let names = |asked, show| -> Vec<String> {
        let view = catalogue(&bench, asked, show);
        view.plants.into_iter().map(|p| p.scientific_name).collect()
    };
    assert_eq!(names("", Show::All).len(), 79);
    assert_eq!(names("SALVINIA  giant", Show::All), ["Salvinia molesta"]);
    // By a name it is sold under.
    assert_eq!(
        names("hemianthus", Show::All),
        ["Micranthemum callitrichoides"]
    );
    assert_eq!(names("", Show::Here), [BUSH]);
    assert!(names("bacopa", Show::Listed).is_empty());
    assert!(names("", Show::Listed).contains(&"Cabomba caroliniana".to_string()));
    let view = catalogue(&bench, "bacopa car", Show::All);
    assert_eq!(view.plants[0].tanks, [TankId(id(10)), TankId(id(11))]);
    assert_eq!(view.unchecked[0].name, "Moss from the pond");
    assert_eq!(view.unchecked[0].tanks, [TankId(id(10))]);
}
