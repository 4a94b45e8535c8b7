//! Windows, histories and the newest of everything.

#![allow(clippy::unwrap_used, clippy::expect_used)] // test code outside test functions

mod common;
use common::*;
use quantity::Analyte;
use store::{EntryQuery, StoreError};
use trial::act::ReadingOf;
use trial::{Act, Entry};

fn no3(n: u32, seconds: i64, tank: u32, low: f64) -> Entry {
    entry(
        n,
        seconds,
        &[tank],
        reading(Analyte::No3, low, low + 5.0, ReadingOf::Sample),
    )
}

#[test]
fn a_history_is_whole_from_any_member() {
    let (_folder, notebook) = notebook(vec![
        entry(1, 0, &[1], dose(1.0)),
        superseding(2, 10, 1, dose(2.0)),
        superseding(3, 20, 2, dose(3.0)),
        superseding(4, 30, 3, Act::Undo),
        entry(5, 5, &[1], dose(9.0)),
    ]);
    let whole: Vec<_> = (1..=4).map(entry_id).collect();
    for n in 1..=4 {
        assert_eq!(ids(&notebook.history(entry_id(n)).unwrap()), whole);
    }
    assert_eq!(
        ids(&notebook.history(entry_id(5)).unwrap()),
        vec![entry_id(5)]
    );
    assert_eq!(
        notebook.superseded_by(entry_id(2)).unwrap(),
        Some(entry_id(3))
    );
    assert_eq!(notebook.superseded_by(entry_id(4)).unwrap(), None);
    let unknown = notebook.history(entry_id(99)).unwrap_err();
    assert!(matches!(unknown, StoreError::NoSuchEntry(_)));
    // Only what stands is in a window, and an undo stands for nothing.
    let standing = notebook.entries(&EntryQuery::of(trial_id(1))).unwrap();
    assert_eq!(ids(&standing), vec![entry_id(5)]);
    let all = notebook
        .entries(&EntryQuery::of(trial_id(1)).with_superseded())
        .unwrap();
    assert_eq!(all.len(), 5);
}

#[test]
fn the_latest_readings_are_standing_samples() {
    let mut of_tap = no3(8, 900, 1, 60.0);
    if let Act::Reading(reading) = &mut of_tap.act {
        reading.water = Some(trial::WaterId(store::testing::numbered_id(8, 1)));
    }
    let mut corrected = superseding(
        4,
        150,
        3,
        reading(Analyte::No3, 25.0, 30.0, ReadingOf::Sample),
    );
    corrected.at = zoned(150);
    let (_folder, notebook) = notebook(vec![
        no3(1, 100, 1, 5.0),
        no3(2, 50, 1, 10.0), // written later, but of an earlier time
        no3(3, 200, 1, 20.0),
        corrected, // newest written, its time before that of what it corrects
        entry(
            5,
            300,
            &[1],
            reading(Analyte::No3, 0.0, 1.0, ReadingOf::Blank),
        ),
        entry(
            6,
            400,
            &[1],
            reading(Analyte::No3, 9.0, 11.0, ReadingOf::Standard { value: 10.0 }),
        ),
        entry(
            7,
            20,
            &[1],
            reading(Analyte::Po4, 0.5, 1.0, ReadingOf::Sample),
        ),
        of_tap,
        no3(9, 10, 2, 40.0),
    ]);
    let latest = notebook.latest_readings(trial_id(1)).unwrap();
    let found: Vec<_> = latest.iter().map(|(tank, e)| (*tank, e.id)).collect();
    assert_eq!(
        found,
        vec![
            (tank_id(1), entry_id(4)),
            (tank_id(1), entry_id(7)),
            (tank_id(2), entry_id(9)),
        ]
    );
    // Blanks and standards are readings of the analyte all the same.
    let query = EntryQuery::of(trial_id(1))
        .analyte(Analyte::No3)
        .tank(tank_id(1));
    let all = notebook.entries(&query).unwrap();
    assert_eq!(ids(&all), [2, 1, 4, 5, 6, 8].map(entry_id).to_vec());
}

#[test]
fn last_done_per_tank_and_kind() {
    let (_folder, notebook) = notebook(vec![
        entry(1, 100, &[1, 2], change(0.4)),
        entry(2, 200, &[2], change(0.3)),
        entry(3, 300, &[1], dose(1.0)),
        superseding(4, 400, 3, Act::Undo),
        entry(5, 50, &[1], dose(2.0)),
    ]);
    let done = notebook.last_done(trial_id(1)).unwrap();
    let found: Vec<_> = done
        .iter()
        .map(|d| (d.tank, d.kind, d.at, d.entry))
        .collect();
    assert_eq!(
        found,
        vec![
            (tank_id(1), "dose", at(50), entry_id(5)),
            (tank_id(1), "change", at(100), entry_id(1)),
            (tank_id(2), "change", at(200), entry_id(2)),
        ]
    );
}

#[test]
fn last_used_are_different_acts_newest_first() {
    let (_folder, notebook) = notebook(vec![
        entry(1, 100, &[1], dose(1.0)),
        entry(2, 200, &[1], change(0.4)),
        entry(3, 300, &[2], dose(1.0)),
        no3(4, 350, 1, 5.0),
        entry(5, 400, &[2], dose(2.0)),
    ]);
    let variants = notebook.last_act_variants(trial_id(1), 10).unwrap();
    assert_eq!(ids(&variants), [5, 3, 2].map(entry_id).to_vec());
    let two = notebook.last_act_variants(trial_id(1), 2).unwrap();
    assert_eq!(ids(&two), [5, 3].map(entry_id).to_vec());
}

#[test]
fn the_bench_and_the_list_of_trials() {
    let (_folder, notebook) = notebook(vec![entry(1, 0, &[1], dose(1.0))]);
    notebook
        .write_entry(&superseding(2, 1, 1, dose(2.0)))
        .unwrap();
    let lines = notebook.trials().unwrap();
    assert_eq!(lines.len(), 2);
    assert_eq!((lines[0].trial.id, lines[0].entries), (trial_id(1), 2));
    assert_eq!((lines[1].trial.id, lines[1].entries), (trial_id(2), 0));
    let names = |tanks: &[trial::Tank]| tanks.iter().map(|t| t.name.clone()).collect::<Vec<_>>();
    assert_eq!(names(&lines[0].tanks), ["oak", "fir", "elm", "ash"]);
    assert_eq!(names(&lines[1].tanks), ["yew"]);
    let bench = notebook.bench(trial_id(1)).unwrap();
    assert_eq!(names(&bench.tanks), ["oak", "fir", "elm", "ash"]);
    assert_eq!(bench.plantings.len(), 4);
    assert!(matches!(
        notebook.bench(trial_id(9)),
        Err(StoreError::NoSuchTrial(_))
    ));
    let foreign = EntryQuery::of(trial_id(1)).tank(tank_id(5));
    let refused = notebook.entries(&foreign).unwrap_err();
    assert!(matches!(
        refused,
        StoreError::OtherTrial { what: "tank", .. }
    ));
    assert_eq!(notebook.span(trial_id(1)).unwrap(), Some((at(1), at(1))));
    assert_eq!(notebook.span(trial_id(2)).unwrap(), None);
}
