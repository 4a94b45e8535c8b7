//! Records taken back as never meant, and brought back.
#![allow(clippy::unwrap_used, clippy::panic)] // test code

mod common;
use common::*;
use store::testing::numbered_id;
use store::{Notebook, StoreError};
use trial::supply::{MixPart, WaterKind};
use trial::{Act, Record, SourceWater, WaterId};
use uuid::Uuid;

fn names(notebook: &Notebook) -> Vec<String> {
    let bench = notebook.bench(trial_id(1)).unwrap();
    bench.tanks.iter().map(|t| t.name.clone()).collect()
}

fn withdraw(notebook: &Notebook, id: Uuid) -> Result<(), StoreError> {
    notebook.withdraw(id, "typed twice", "keeper", at(50))
}

fn water(n: u32, name: &str, parts: &[u32]) -> Record {
    Record::Water(SourceWater {
        id: WaterId(numbered_id(8, n)),
        name: name.to_string(),
        kind: if parts.is_empty() {
            WaterKind::Tap
        } else {
            WaterKind::Mix
        },
        parts: parts
            .iter()
            .map(|p| MixPart {
                water: WaterId(numbered_id(8, *p)),
                share: 0.5,
            })
            .collect(),
        disinfectant: String::new(),
        neutraliser: String::new(),
        note: String::new(),
    })
}

#[test]
fn a_record_goes_and_comes_back_and_its_history_stays() {
    let (_folder, notebook) = notebook(vec![]);
    let plant = planting_id(4).0;
    withdraw(&notebook, plant).unwrap();
    withdraw(&notebook, tank_id(4).0).unwrap();
    // Once more adds nothing.
    withdraw(&notebook, plant).unwrap();
    assert_eq!(names(&notebook), ["fir", "elm", "ash"]);
    assert_eq!(notebook.trials().unwrap()[0].tanks.len(), 3);
    assert_eq!(notebook.record(plant).unwrap(), None);
    let bench = notebook.bench(trial_id(1)).unwrap();
    assert_eq!(bench.plantings.len(), 3);
    assert_eq!(bench.withdrawn.len(), 2);
    assert_eq!(bench.withdrawn[0].withdrawn.why, "typed twice");
    assert_eq!(bench.with_withdrawn().tanks.len(), 4);
    let history = notebook.revisions(plant).unwrap();
    assert_eq!(history.len(), 2);
    assert_eq!(history[0].record, history[1].record);
    assert_eq!(
        (&history[0].withdrawn, history[1].withdrawn.is_some()),
        (&None, true)
    );
    // The planting stands in a tank that is gone: the tank first.
    let refused = notebook.reinstate(plant, "keeper", at(60)).unwrap_err();
    assert!(refused.to_string().contains("tank \"oak\""), "{refused}");
    notebook.reinstate(tank_id(4).0, "keeper", at(60)).unwrap();
    notebook.reinstate(plant, "keeper", at(61)).unwrap();
    assert_eq!(names(&notebook), ["oak", "fir", "elm", "ash"]);
    assert_eq!(notebook.revisions(plant).unwrap().len(), 3);
    assert_eq!(
        notebook.check(&job::Progress::none()).unwrap().findings,
        vec![]
    );
}

#[test]
fn what_is_named_stays_until_the_entries_are_undone() {
    let (_folder, notebook) = notebook(vec![
        entry(1, 0, &[1], dose(1.0)),
        entry(2, 10, &[1, 2], dose(2.0)),
        entry(3, 20, &[3], observation(3, 6.0)),
    ]);
    let uses = notebook.uses(tank_id(1).0).unwrap();
    assert_eq!(
        (uses.count, ids(&uses.entries)),
        (2, [2, 1].map(entry_id).to_vec())
    );
    assert_eq!(uses.records.len(), 1, "its planting");
    let refused = withdraw(&notebook, tank_id(1).0).unwrap_err();
    assert!(matches!(
        refused,
        StoreError::StillNamed {
            entries: 2,
            records: 1,
            ..
        }
    ));
    assert!(withdraw(&notebook, planting_id(3).0).is_err());
    assert!(matches!(
        withdraw(&notebook, trial_id(1).0),
        Err(StoreError::TrialStays { .. })
    ));
    // Taken back, the observation names it no longer; nor does a correction that leaves the tank.
    let mut undo = superseding(4, 20, 3, Act::Undo);
    undo.tanks = vec![tank_id(3)];
    notebook.write_entry(&undo).unwrap();
    withdraw(&notebook, planting_id(3).0).unwrap();
    let mut corrected = superseding(5, 10, 2, dose(2.0));
    corrected.tanks = vec![tank_id(2)];
    notebook.write_entry(&corrected).unwrap();
    assert_eq!(notebook.uses(tank_id(1).0).unwrap().count, 1);
    // Nothing new may name it.
    let late = notebook.write_entry(&entry(6, 30, &[3], observation(3, 5.0)));
    assert!(matches!(late, Err(StoreError::NamesWithdrawn { .. })));
    assert_eq!(notebook.count_entries().unwrap(), 5);
    // The same entry as before is still the same.
    notebook
        .write_entry(&entry(3, 20, &[3], observation(3, 6.0)))
        .unwrap();
    assert_eq!(
        notebook.check(&job::Progress::none()).unwrap().findings,
        vec![]
    );
}

#[test]
fn supplies_are_looked_for_in_acts_and_mixes() {
    let (_folder, notebook) = notebook(vec![]);
    for water in [
        water(1, "tap", &[]),
        water(2, "rain", &[]),
        water(3, "half", &[1, 2]),
    ] {
        notebook.write_record(&water, "keeper", at(0)).unwrap();
    }
    let mut filled = entry(1, 0, &[1], change(0.3));
    if let Act::Change(change) = &mut filled.act {
        change.source = Some(WaterId(numbered_id(8, 3)));
    }
    notebook.write_entry(&filled).unwrap();
    assert_eq!(notebook.uses(numbered_id(8, 3)).unwrap().count, 1);
    assert_eq!(notebook.uses(numbered_id(8, 1)).unwrap().records.len(), 1);
    assert!(withdraw(&notebook, numbered_id(8, 3)).is_err());
    let mut undo = superseding(2, 0, 1, Act::Undo);
    undo.tanks = vec![tank_id(1)];
    notebook.write_entry(&undo).unwrap();
    withdraw(&notebook, numbered_id(8, 3)).unwrap();
    withdraw(&notebook, numbered_id(8, 1)).unwrap();
    // The mix cannot come back without its part, nor be written anew with it.
    assert!(
        notebook
            .reinstate(numbered_id(8, 3), "keeper", at(9))
            .is_err()
    );
    assert!(
        notebook
            .write_record(&water(4, "other", &[1, 2]), "keeper", at(9))
            .is_err()
    );
    let gone = notebook.bench(trial_id(2)).unwrap().withdrawn;
    assert_eq!(gone.len(), 2, "shared records are the same on every bench");
}

#[test]
fn unknown_records_are_refused() {
    let (_folder, notebook) = notebook(vec![]);
    assert!(matches!(
        withdraw(&notebook, Uuid::nil()),
        Err(StoreError::NoSuchRecord(_))
    ));
}
