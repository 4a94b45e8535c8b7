//! A small notebook to test with.
#![allow(dead_code, unreachable_pub)] // every test file uses its own part
#![allow(clippy::unwrap_used)] // test code outside test functions

use jiff::{Timestamp, ZonedDateTime};
use quantity::{Amount, Analyte, Interval, Means, Unit};
use store::testing::numbered_id;
use store::{Batch, Notebook};
use tempfile::TempDir;
use trial::act::*;
use trial::{
    Act, Entry, EntryId, Origin, Planting, PlantingId, Record, Seen, Tank, TankId, Trial, TrialId,
};

pub const START: i64 = 1_800_000_000;

pub fn at(seconds: i64) -> Timestamp {
    Timestamp::from_second(START + seconds).unwrap()
}

pub fn zoned(seconds: i64) -> ZonedDateTime {
    at(seconds).in_tz("Europe/Berlin").unwrap()
}

pub fn trial_id(n: u32) -> TrialId {
    TrialId(numbered_id(1, n))
}

pub fn tank_id(n: u32) -> TankId {
    TankId(numbered_id(2, n))
}

pub fn planting_id(n: u32) -> PlantingId {
    PlantingId(numbered_id(3, n))
}

pub fn entry_id(n: u32) -> EntryId {
    EntryId(numbered_id(9, n))
}

/// Trial 1 with tanks 1 to 4 and plantings 1 to 4, one in each; trial 2 with tank 5.
pub fn records() -> Vec<Record> {
    let mut records = vec![
        Record::Trial(Trial::new(trial_id(1), "First", "Europe/Berlin")),
        Record::Trial(Trial::new(trial_id(2), "Second", "Europe/Berlin")),
    ];
    for (n, name) in [(1, "ash"), (2, "elm"), (3, "fir"), (4, "oak")] {
        // Places run against the ids, so that the order from the left can be told from that of ids.
        records.push(Record::Tank(Tank::new(
            tank_id(n),
            trial_id(1),
            name,
            4 - n,
        )));
        let (id, tank) = (planting_id(n), tank_id(n));
        let plant = "Bacopa caroliniana";
        records.push(Record::Planting(Planting::new(
            id,
            trial_id(1),
            tank,
            plant,
        )));
    }
    records.push(Record::Tank(Tank::new(tank_id(5), trial_id(2), "yew", 0)));
    records
}

pub fn batch(entries: Vec<Entry>) -> Batch {
    let records = records().into_iter();
    Batch {
        records: records.map(|r| (r, "keeper".to_string(), at(0))).collect(),
        entries,
    }
}

pub fn notebook(entries: Vec<Entry>) -> (TempDir, Notebook) {
    let folder = tempfile::tempdir().unwrap();
    let notebook = Notebook::create(&folder.path().join("book")).unwrap();
    notebook.write_all(&batch(entries)).unwrap();
    (folder, notebook)
}

/// An entry of trial 1.
pub fn entry(n: u32, seconds: i64, tanks: &[u32], act: Act) -> Entry {
    Entry {
        id: entry_id(n),
        trial: trial_id(1),
        at: zoned(seconds),
        written: at(seconds + 60),
        tanks: tanks.iter().map(|t| tank_id(*t)).collect(),
        all_tanks: false,
        who: "keeper".to_string(),
        minutes: None,
        note: String::new(),
        origin: Origin::Form,
        supersedes: None,
        act,
    }
}

pub fn superseding(n: u32, seconds: i64, target: u32, act: Act) -> Entry {
    let mut new = entry(n, seconds, &[1], act);
    new.supersedes = Some(entry_id(target));
    new
}

pub fn dose(amount_g: f64) -> Act {
    Act::Dose(Dose {
        of: DoseOf::Salt {
            formula: "KNO3".to_string(),
        },
        amount: Amount::new(amount_g, Unit::Gram),
        into: Into::Water,
    })
}

pub fn change(share: f64) -> Act {
    Act::Change(Change {
        amount: WaterAmount::Share { share },
        source: None,
    })
}

pub fn reading(analyte: Analyte, low: f64, high: f64, of: ReadingOf) -> Act {
    Act::Reading(Reading {
        analyte,
        seen: Seen::Between { low, high },
        card: None,
        means: Means::Ion,
        interval: Interval::closed(low, high).unwrap(),
        water: None,
        dilution: None,
        of,
        lot: String::new(),
        opened: None,
        expires: None,
        waited_min: None,
        viewing_light: String::new(),
    })
}

pub fn observation(planting: u32, vigour: f64) -> Act {
    Act::Observation(Observation {
        plantings: vec![planting_id(planting)],
        vigour: Some(vigour),
        ..Observation::default()
    })
}

/// The smallest bytes that begin as a JPEG does, told apart by `n`.
pub fn picture_bytes(n: u32) -> Vec<u8> {
    let mut bytes = vec![0xff, 0xd8, 0xff, 0xe0];
    bytes.extend(n.to_be_bytes());
    bytes.extend([0xff, 0xd9]);
    bytes
}

pub fn picture(sha256: &str) -> Act {
    Act::Picture(Picture {
        sha256: sha256.to_string(),
        media_type: "image/jpeg".to_string(),
        width_px: 1,
        height_px: 1,
        view: View::Front,
        planting: None,
    })
}

pub fn ids(entries: &[Entry]) -> Vec<EntryId> {
    entries.iter().map(|e| e.id).collect()
}

/// The database behind the notebook, for tests that damage it as a disk or a stranger would.
pub fn raw_database(notebook: &Notebook) -> rusqlite::Connection {
    rusqlite::Connection::open(notebook.folder().join(store::DATABASE)).unwrap()
}
