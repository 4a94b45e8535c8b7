//! Counting entries in stretches says what reading them says.

#![allow(clippy::unwrap_used, clippy::expect_used)] // test code outside test functions

mod common;
use common::*;
use jiff::{Timestamp, ToSpan};
use std::collections::BTreeMap;
use store::testing::{large, large_trial};
use store::{EntryQuery, KindCounts, Notebook};
use trial::{Act, Entry, TankId, TrialId};

/// The same counts from the entries themselves.
fn counted(
    notebook: &Notebook,
    trial: TrialId,
    bounds: &[Timestamp],
) -> BTreeMap<(Option<TankId>, String), Vec<u32>> {
    let mut all = BTreeMap::new();
    for (at, ends) in bounds.windows(2).enumerate() {
        let query = EntryQuery::of(trial).from(ends[0]).to(ends[1]);
        for entry in notebook.entries(&query).unwrap() {
            let kind = entry.act.kind().to_string();
            let lanes: Vec<Option<TankId>> = match entry.tanks.as_slice() {
                [] => vec![None],
                tanks => tanks.iter().copied().map(Some).collect(),
            };
            for lane in lanes {
                let empty = || vec![0; bounds.len() - 1];
                all.entry((lane, kind.clone())).or_insert_with(empty)[at] += 1;
            }
        }
    }
    all
}

fn by_key(counts: Vec<KindCounts>) -> BTreeMap<(Option<TankId>, String), Vec<u32>> {
    let key = |c: KindCounts| ((c.tank, c.kind.to_string()), c.counts);
    counts.into_iter().map(key).collect()
}

#[test]
fn a_large_trial_counts_as_it_reads() {
    let folder = tempfile::tempdir().unwrap();
    let notebook = Notebook::create(folder.path()).unwrap();
    let batch = large(3_000).unwrap();
    notebook.write_all(&batch).unwrap();
    let trial = large_trial();
    let (first, last) = notebook.span(trial).unwrap().unwrap();
    // Uneven stretches that leave out both ends.
    let mut bounds = vec![first.checked_add(5.hours()).unwrap()];
    while *bounds.last().unwrap() < last.checked_sub(200.hours()).unwrap() {
        let length = 31 * bounds.len() as i64;
        bounds.push(bounds.last().unwrap().checked_add(length.hours()).unwrap());
    }
    let counts = notebook.counts_between(trial, &bounds).unwrap();
    assert!(counts.len() > 20);
    assert_eq!(by_key(counts), counted(&notebook, trial, &bounds));
    let (from, to) = (bounds[0], *bounds.last().unwrap());
    let read = notebook.entries(&EntryQuery::of(trial).from(from).to(to));
    assert_eq!(
        notebook.count(trial, from, to).unwrap(),
        read.unwrap().len() as u64
    );
}

#[test]
fn corrections_undos_and_the_whole_trial_are_counted_where_they_stand() {
    let whole = |n, seconds| Entry {
        tanks: vec![],
        all_tanks: false,
        ..entry(n, seconds, &[1], Act::Note)
    };
    let (_folder, notebook) = notebook(vec![
        entry(1, 0, &[1, 2], dose(1.0)),
        // Corrected to one tank and a later stretch.
        Entry {
            tanks: vec![tank_id(2)],
            ..superseding(2, 150, 1, dose(2.0))
        },
        entry(3, 50, &[1], change(0.5)),
        superseding(4, 60, 3, Act::Undo),
        whole(5, 99),
        whole(6, 100),
        entry(7, 250, &[1], Act::Note),
    ]);
    let bounds = [at(0), at(100), at(200)];
    let counts = notebook.counts_between(trial_id(1), &bounds).unwrap();
    let told: Vec<_> = counts
        .into_iter()
        .map(|c| (c.tank, c.kind, c.counts))
        .collect();
    let want = vec![
        (Some(tank_id(2)), "dose", vec![0, 1]),
        (None, "note", vec![1, 1]),
    ];
    assert_eq!(told, want);
    assert_eq!(notebook.count(trial_id(1), at(0), at(200)).unwrap(), 3);
    assert!(
        notebook
            .counts_between(trial_id(1), &[])
            .unwrap()
            .is_empty()
    );
}
