//! A large trial for benchmarks: plain, dull and quickly made.

use super::numbered_id;
use crate::Batch;
use jiff::{Timestamp, ToSpan};
use quantity::{Amount, Analyte, Interval, Means, Unit};
use trial::act::*;
use trial::{
    Act, Entry, EntryId, Origin, Planting, PlantingId, Record, Seen, Tank, TankId, Trial, TrialId,
};

const TANKS: u32 = 8;
const START: Timestamp = Timestamp::constant(1_700_000_000, 0);

/// The large trial's id.
pub fn large_trial() -> TrialId {
    TrialId(numbered_id(1, 1))
}

/// A trial of eight tanks, forty plantings and `count` entries.
pub fn large(count: u32) -> Result<Batch, jiff::Error> {
    Ok(Batch {
        records: records(large_trial())
            .into_iter()
            .map(|r| (r, String::new(), START))
            .collect(),
        entries: (0..count).map(large_entry).collect::<Result<_, _>>()?,
    })
}

fn records(trial: TrialId) -> Vec<Record> {
    let mut records = vec![Record::Trial(Trial::new(trial, "Large", "Europe/Berlin"))];
    for n in 0..TANKS {
        let tank = TankId(numbered_id(2, n));
        records.push(Record::Tank(Tank::new(tank, trial, format!("tank{n}"), n)));
        for p in 0..5 {
            let id = PlantingId(numbered_id(3, n + TANKS * p));
            records.push(Record::Planting(Planting::new(
                id,
                trial,
                tank,
                format!("plant {p}"),
            )));
        }
    }
    records
}

/// The `n`th entry of the large trial: they come 40 a day; every 97th corrects the one before it.
pub fn large_entry(n: u32) -> Result<Entry, jiff::Error> {
    let trial = large_trial();
    let at = START.checked_add((i64::from(n) * 36).minutes())?;
    let act = act(n);
    let tanks = match act.goes_to_all() {
        true => (0..TANKS).collect(),
        false => vec![n % TANKS],
    };
    Ok(Entry {
        id: EntryId(numbered_id(9, n)),
        trial,
        at: at.in_tz("Europe/Berlin")?,
        written: at,
        all_tanks: tanks.len() > 1,
        tanks: tanks
            .into_iter()
            .map(|t| TankId(numbered_id(2, t)))
            .collect(),
        who: "keeper".to_string(),
        minutes: Some(f64::from(n % 15)),
        note: String::new(),
        origin: Origin::Jot {
            line: format!("line number {n}"),
        },
        supersedes: (n % 97 == 1).then(|| EntryId(numbered_id(9, n - 1))),
        act,
    })
}

fn act(n: u32) -> Act {
    let share = f64::from(n % 7) / 10.0;
    let planting = PlantingId(numbered_id(3, n % (TANKS * 5)));
    match n % 20 {
        _ if n % 5_000 == 4_999 => Act::Harvest(Harvest {
            planting,
            fresh_g: Some(12.5),
            dry_g: None,
            fate: Fate::Disposed,
        }),
        0..=3 => Act::Dose(Dose {
            of: DoseOf::Salt {
                formula: "KNO3".to_string(),
            },
            amount: Amount::new(share, Unit::Gram),
            into: Into::Water,
        }),
        4 => Act::Change(Change {
            amount: WaterAmount::Share { share },
            source: None,
        }),
        5..=7 => Act::Feed(Feed {
            food: "flakes".to_string(),
            product: None,
            grams: Some(share),
        }),
        8..=15 => reading(n),
        16..=18 => Act::Observation(Observation {
            plantings: vec![planting],
            vigour: Some(f64::from(n % 11)),
            ..Observation::default()
        }),
        _ => Act::Note,
    }
}

fn reading(n: u32) -> Act {
    let analytes = [
        Analyte::No3,
        Analyte::Po4,
        Analyte::Kh,
        Analyte::Ph,
        Analyte::Fe,
    ];
    let low = f64::from(n % 30);
    Act::Reading(Reading {
        // Steps of 7 through the five, so that every tank gets every analyte.
        analyte: analytes[(n / 7) as usize % analytes.len()],
        seen: Seen::Between {
            low,
            high: low + 5.0,
        },
        card: None,
        means: Means::Ion,
        interval: Interval::closed(low, low + 5.0).unwrap_or(Interval::UNBOUNDED),
        water: None,
        dilution: None,
        of: ReadingOf::Sample,
        lot: String::new(),
        opened: None,
        expires: None,
        waited_min: None,
        viewing_light: String::new(),
    })
}
