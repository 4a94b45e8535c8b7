//! What is written is there, exactly; what must not be written is not.

#![allow(clippy::unwrap_used, clippy::expect_used)] // test code outside test functions

mod common;
use common::*;
use job::Progress;
use proptest::prelude::*;
use store::testing::arb_notebook;
use store::{Batch, EntryQuery, Notebook, RawEntry, StoreError, Written};
use trial::{Act, Entry, EntryId, Record};

/// Equal as records and equal as texts: two times can be one instant in two zones.
fn same(a: &Entry, b: &Entry) -> bool {
    a == b && a.at.to_string() == b.at.to_string() && a.at.time_zone() == b.at.time_zone()
}

fn filled(records: &[Record], entries: &[Entry]) -> (tempfile::TempDir, Notebook) {
    let folder = tempfile::tempdir().unwrap();
    let notebook = Notebook::create(folder.path()).unwrap();
    let batch = Batch {
        records: records
            .iter()
            .map(|r| (r.clone(), "k".to_string(), at(0)))
            .collect(),
        entries: entries.to_vec(),
    };
    notebook.write_all(&batch).unwrap();
    (folder, notebook)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn what_is_written_reads_back((records, entries) in arb_notebook()) {
        let (_folder, notebook) = filled(&records, &entries);
        let mut stored = Vec::new();
        notebook.for_each_entry(&mut |raw| stored.push(raw)).unwrap();
        prop_assert_eq!(stored.len(), entries.len());
        for (raw, entry) in stored.iter().zip(&entries) {
            prop_assert!(same(&raw.read().unwrap(), entry), "{:?}\n{:?}", raw, entry);
            prop_assert!(same(&notebook.entry(entry.id).unwrap().unwrap(), entry));
        }
        for record in &records {
            let newest = records.iter().rfind(|r| r.id() == record.id()).unwrap();
            let stored = notebook.record(record.id()).unwrap();
            prop_assert_eq!(stored.as_ref(), Some(newest));
        }
        prop_assert!(notebook.check(&Progress::none()).unwrap().findings.iter().all(|f| f.code == "picture_missing"));
    }

    #[test]
    fn stored_texts_written_again_are_the_same((records, entries) in arb_notebook()) {
        let (_folder, first) = filled(&records, &entries);
        let mut texts = Vec::new();
        first.for_each_entry(&mut |raw| texts.push(raw)).unwrap();
        let revisions = first.all_revisions().unwrap();
        let other = tempfile::tempdir().unwrap();
        let second = Notebook::create(other.path()).unwrap();
        second.write_raw(&revisions, &texts).unwrap();
        let mut again = Vec::new();
        second.for_each_entry(&mut |raw| again.push(raw)).unwrap();
        prop_assert_eq!(texts, again);
        prop_assert_eq!(revisions, second.all_revisions().unwrap());
    }

    /// The window read through indexes is the window picked from all entries by hand.
    #[test]
    fn windows_are_what_a_filter_over_everything_gives(
        (records, entries) in arb_notebook(),
        (pick, kind, newest_first, all) in (any::<u8>(), 0usize..21, any::<bool>(), any::<bool>()),
        limit in proptest::option::of(0u32..6),
    ) {
        let (_folder, notebook) = filled(&records, &entries);
        let Some(middle) = entries.get(usize::from(pick) % entries.len().max(1)) else {
            return Ok(());
        };
        let mut query = EntryQuery::of(middle.trial);
        query.newest_first = newest_first;
        query.superseded = all;
        query.limit = limit;
        if pick & 1 > 0 { query.tank = middle.tanks.first().copied(); }
        if pick & 2 > 0 { query.from = Some(middle.at.timestamp()); }
        if pick & 4 > 0 { query.to = Some(middle.at.timestamp()); query.from = None; }
        if pick & 8 > 0 { query.kinds = vec![middle.act.kind(), Act::KINDS[kind], "reading"]; }
        if pick & 16 > 0 { query.planting = middle.act.plantings().first().copied(); }
        if pick & 32 > 0 && let Act::Reading(r) = &middle.act { query.analyte = Some(r.analyte); }
        let found = notebook.entries(&query).unwrap();
        prop_assert_eq!(ids(&found), by_hand(&entries, &query), "{:?}", query);
    }
}

/// Milliseconds since 1970, rounded down.
fn ms(at: jiff::Timestamp) -> i128 {
    at.as_nanosecond().div_euclid(1_000_000)
}

fn by_hand(entries: &[Entry], q: &EntryQuery) -> Vec<EntryId> {
    let superseded: Vec<EntryId> = entries.iter().filter_map(|e| e.supersedes).collect();
    let mut found: Vec<(usize, &Entry)> = entries
        .iter()
        .enumerate()
        .filter(|(_, e)| e.trial == q.trial)
        .filter(|(_, e)| q.tank.is_none_or(|t| e.tanks.contains(&t)))
        .filter(|(_, e)| q.planting.is_none_or(|p| e.act.plantings().contains(&p)))
        .filter(|(_, e)| q.kinds.is_empty() || q.kinds.contains(&e.act.kind()))
        .filter(|(_, e)| match (&e.act, q.analyte) {
            (_, None) => true,
            (Act::Reading(r), Some(analyte)) => r.analyte == analyte,
            _ => false,
        })
        .filter(|(_, e)| q.from.is_none_or(|from| ms(e.at.timestamp()) >= ms(from)))
        .filter(|(_, e)| q.to.is_none_or(|to| ms(e.at.timestamp()) < ms(to)))
        .filter(|(_, e)| q.superseded || !(superseded.contains(&e.id) || e.act == Act::Undo))
        .collect();
    found.sort_by_key(|(i, e)| (ms(e.at.timestamp()), *i));
    if q.newest_first {
        found.reverse();
    }
    let limit = q.limit.map_or(usize::MAX, |l| l as usize);
    found.into_iter().take(limit).map(|(_, e)| e.id).collect()
}

#[test]
fn the_same_entry_twice_is_one_and_other_content_is_a_conflict() {
    let (_folder, notebook) = notebook(vec![]);
    let first = entry(1, 0, &[1, 2], dose(1.2));
    assert_eq!(notebook.write_entry(&first).unwrap(), Written::New);
    assert_eq!(notebook.write_entry(&first).unwrap(), Written::Already);
    let mut other = first.clone();
    other.act = dose(1.3);
    let refused = notebook.write_entry(&other).unwrap_err();
    assert!(matches!(refused, StoreError::Conflict { entry } if entry == first.id));
    // The same instant told in another zone is other content.
    let mut elsewhere = first.clone();
    elsewhere.at = first.at.in_tz("UTC").unwrap();
    assert_eq!(elsewhere, first, "one instant");
    assert!(notebook.write_entry(&elsewhere).is_err());
    assert_eq!(notebook.count_entries().unwrap(), 1);
}

#[test]
fn supersede_rules() {
    let (_folder, notebook) = notebook(vec![entry(1, 0, &[1], dose(1.0))]);
    let unknown = notebook
        .write_entry(&superseding(2, 1, 99, dose(2.0)))
        .unwrap_err();
    assert!(unknown.to_string().contains(&entry_id(99).to_string()));
    assert!(matches!(unknown, StoreError::SupersedesUnknown { .. }));

    let mut other_trial = superseding(3, 1, 1, dose(2.0));
    other_trial.trial = trial_id(2);
    other_trial.tanks = vec![tank_id(5)];
    let refused = notebook.write_entry(&other_trial).unwrap_err();
    assert!(matches!(refused, StoreError::SupersedesOtherTrial { .. }));

    notebook
        .write_entry(&superseding(4, 1, 1, dose(2.0)))
        .unwrap();
    let again = notebook
        .write_entry(&superseding(5, 2, 1, dose(3.0)))
        .unwrap_err();
    assert!(matches!(again, StoreError::AlreadySuperseded { by, .. } if by == entry_id(4)));
    assert!(again.to_string().contains(&entry_id(4).to_string()));

    let nothing = notebook
        .write_entry(&entry(6, 3, &[1], Act::Undo))
        .unwrap_err();
    assert!(matches!(nothing, StoreError::UndoOfNothing { .. }));
    assert_eq!(notebook.count_entries().unwrap(), 2);
}

#[test]
fn entries_name_only_what_their_trial_has() {
    let (_folder, notebook) = notebook(vec![]);
    let mut elsewhere = entry(1, 0, &[5], dose(1.0));
    let refused = notebook.write_entry(&elsewhere).unwrap_err();
    assert!(matches!(
        refused,
        StoreError::OtherTrial { what: "tank", .. }
    ));
    elsewhere.tanks = vec![tank_id(77)];
    let refused = notebook.write_entry(&elsewhere).unwrap_err();
    assert!(matches!(
        refused,
        StoreError::UnknownRecord { what: "tank", .. }
    ));
    let refused = notebook
        .write_entry(&entry(1, 0, &[1], observation(77, 5.0)))
        .unwrap_err();
    assert!(matches!(
        refused,
        StoreError::UnknownRecord {
            what: "planting",
            ..
        }
    ));
    let refused = notebook
        .write_entry(&entry(1, 0, &[1, 1], dose(1.0)))
        .unwrap_err();
    assert!(matches!(refused, StoreError::TankTwice { .. }));
    assert_eq!(notebook.count_entries().unwrap(), 0);
}

#[test]
fn numbers_that_would_not_read_back_are_refused() {
    let (_folder, notebook) = notebook(vec![]);
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        let refused = notebook
            .write_entry(&entry(1, 0, &[1], dose(bad)))
            .unwrap_err();
        assert!(matches!(refused, StoreError::NotKept { .. }), "{refused}");
        let mut minutes = entry(2, 0, &[1], dose(1.0));
        minutes.minutes = Some(bad);
        assert!(matches!(
            notebook.write_entry(&minutes),
            Err(StoreError::NotKept { .. })
        ));
    }
}

#[test]
fn a_bad_entry_in_the_middle_leaves_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let notebook = Notebook::create(folder.path()).unwrap();
    let mut entries: Vec<Entry> = (1..=100)
        .map(|n| entry(n, n.into(), &[1], dose(1.0)))
        .collect();
    entries[50].tanks = vec![tank_id(77)];
    let refused = notebook.write_all(&batch(entries.clone())).unwrap_err();
    assert!(refused.to_string().contains(&tank_id(77).to_string()));
    assert_eq!(notebook.trials().unwrap(), vec![]);
    assert_eq!(notebook.count_entries().unwrap(), 0);
    assert_eq!(notebook.all_revisions().unwrap(), vec![]);
    entries[50].tanks = vec![tank_id(2)];
    notebook.write_all(&batch(entries)).unwrap();
    assert_eq!(notebook.count_entries().unwrap(), 100);
}

#[test]
fn records_are_kept_as_revisions() {
    let (_folder, notebook) = notebook(vec![]);
    let Record::Tank(mut tank) = records()[2].clone() else {
        panic!("a tank")
    };
    let record = |tank: &trial::Tank| Record::Tank(tank.clone());
    // The same again adds none.
    notebook
        .write_record(&record(&tank), "other", at(5))
        .unwrap();
    assert_eq!(notebook.revisions(tank.id.0).unwrap().len(), 1);
    tank.water_volume_l = Some(54.0);
    notebook
        .write_record(&record(&tank), "other", at(10))
        .unwrap();
    tank.water_volume_l = None;
    notebook
        .write_record(&record(&tank), "keeper", at(20))
        .unwrap();
    let revisions = notebook.revisions(tank.id.0).unwrap();
    assert_eq!(revisions.len(), 3);
    assert_eq!(revisions[1].written, at(10));
    assert_eq!(revisions[1].who, "other");
    assert_eq!(revisions[2].record, record(&tank));
    assert_eq!(
        notebook.bench(trial_id(1)).unwrap().tank(tank.id),
        Some(&tank)
    );
    // A record stays what it is and where it is.
    tank.trial = trial_id(2);
    let refused = notebook
        .write_record(&record(&tank), "keeper", at(30))
        .unwrap_err();
    assert!(matches!(refused, StoreError::RecordMoved { .. }));
    tank.trial = trial_id(9);
    let refused = notebook
        .write_record(&record(&tank), "keeper", at(30))
        .unwrap_err();
    assert!(matches!(
        refused,
        StoreError::UnknownRecord { what: "trial", .. }
    ));
}

#[test]
fn the_database_itself_refuses_changes_and_deletions() {
    let (_folder, notebook) = notebook(vec![
        entry(
            1,
            0,
            &[1],
            reading(quantity::Analyte::No3, 5.0, 10.0, Default::default()),
        ),
        entry(2, 0, &[1], observation(1, 5.0)),
    ]);
    let db = raw_database(&notebook);
    for table in [
        "entry",
        "revision",
        "record",
        "entry_tank",
        "tank_reading",
        "entry_planting",
    ] {
        let rows = |db: &rusqlite::Connection| -> i64 {
            db.query_row(&format!("SELECT count(*) FROM {table}"), [], |row| {
                row.get(0)
            })
            .unwrap()
        };
        let before = rows(&db);
        assert!(before > 0, "{table}");
        let column = if table.starts_with("entry_") || table == "tank_reading" {
            "at_ms"
        } else {
            "rowid"
        };
        let changed = db
            .execute(&format!("UPDATE {table} SET {column} = 7"), [])
            .unwrap_err();
        assert!(
            changed.to_string().contains("never changed"),
            "{table}: {changed}"
        );
        let deleted = db.execute(&format!("DELETE FROM {table}"), []).unwrap_err();
        assert!(
            deleted.to_string().contains("never deleted"),
            "{table}: {deleted}"
        );
        assert_eq!(rows(&db), before);
    }
}

#[test]
fn a_past_instant_outlives_a_change_of_its_zones_rules() {
    // As if Berlin had later given up summer time for 2027: the stored offset is then not the
    // zone's any more, and the instant must still be the one that was written.
    let raw = RawEntry {
        at: "2027-01-15T09:00:00+02:00[Europe/Berlin]".to_string(),
        ..RawEntry::of(&entry(1, 0, &[1], dose(1.0))).unwrap()
    };
    let read = raw.read().unwrap();
    assert_eq!(read.at.timestamp().to_string(), "2027-01-15T07:00:00Z");
}
