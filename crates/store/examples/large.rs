//! Makes a trial of 100,000 entries (or as many as the first argument says) and prints how long
//! each way of reading it takes.

use jiff::{Timestamp, ToSpan};
use quantity::{Amount, Analyte, Interval, Means, Unit};
use std::time::Instant;
use store::testing::numbered_id;
use store::{Batch, EntryQuery, Notebook};
use trial::act::*;
use trial::{
    Act, Entry, EntryId, Origin, Planting, PlantingId, Record, Seen, Tank, TankId, Trial, TrialId,
};

const TANKS: u32 = 8;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let count = std::env::args().nth(1).map_or(Ok(100_000), |n| n.parse())?;
    let folder = std::env::temp_dir().join(format!("large-notebook-{}", std::process::id()));
    let notebook = Notebook::create(&folder)?;
    let result = measure(&notebook, count);
    drop(notebook);
    std::fs::remove_dir_all(&folder)?;
    result
}

fn measure(notebook: &Notebook, count: u32) -> Result<(), Box<dyn std::error::Error>> {
    let trial = TrialId(numbered_id(1, 1));
    let start = Timestamp::from_second(1_700_000_000)?;
    let batch = Batch {
        records: records(trial)
            .into_iter()
            .map(|r| (r, String::new(), start))
            .collect(),
        entries: (0..count)
            .map(|n| entry(trial, start, n))
            .collect::<Result<_, _>>()?,
    };
    timed("write_all", || {
        notebook.write_all(&batch).map(|()| count as usize)
    })?;
    let end = batch.entries.last().map_or(start, |e| e.at.timestamp());
    let week = end.checked_sub((7 * 24).hours())?;
    let of = || EntryQuery::of(trial);
    let read = |query: EntryQuery| notebook.entries(&query).map(|found| found.len());
    for round in ["first", "again"] {
        println!("-- {round}");
        let whole = Instant::now();
        timed("trials", || notebook.trials().map(|t| t.len()))?;
        timed("bench", || notebook.bench(trial).map(|b| b.tanks.len()))?;
        timed("latest_readings", || {
            notebook.latest_readings(trial).map(|r| r.len())
        })?;
        timed("last_done", || notebook.last_done(trial).map(|d| d.len()))?;
        timed("last_act_variants", || {
            notebook.last_act_variants(trial, 12).map(|v| v.len())
        })?;
        timed("newest 50", || read(of().newest(50)))?;
        timed("one week", || read(of().from(week).to(end)))?;
        println!(
            "{:28} {:>9.2} ms",
            "= the bench view",
            whole.elapsed().as_secs_f64() * 1e3
        );
        timed("newest 50 of four kinds", || {
            read(
                of().kinds(&["dose", "change", "feed", "harvest"])
                    .newest(50),
            )
        })?;
        timed("newest 50 of a rare kind", || {
            read(of().kinds(&["harvest"]).newest(50))
        })?;
        timed("one tank, newest 50", || {
            read(of().tank(TankId(numbered_id(2, 3))).newest(50))
        })?;
        timed("one tank's nitrate, all", || {
            read(of().tank(TankId(numbered_id(2, 3))).analyte(Analyte::No3))
        })?;
        timed("one planting, all", || {
            read(of().planting(PlantingId(numbered_id(3, 16))))
        })?;
        timed("history", || {
            notebook
                .history(EntryId(numbered_id(9, 1)))
                .map(|h| h.len())
        })?;
    }
    println!("-- whole notebook");
    timed("all entries", || read(of()))?;
    let next = (count..count + 5).map(|n| entry(trial, start, n));
    whole(notebook, next.collect::<Result<_, _>>()?)
}

/// What reads or copies everything, and what single entries take to write.
fn whole(notebook: &Notebook, next: Vec<Entry>) -> Result<(), Box<dyn std::error::Error>> {
    timed("all entries as stored", || {
        let mut found = 0;
        notebook.for_each_entry(&mut |_| found += 1).map(|()| found)
    })?;
    for one in next {
        timed("write_entry", || notebook.write_entry(&one).map(|_| 1))?;
    }
    timed("check", || {
        notebook.check().map(|report| report.findings.len())
    })?;
    let out = notebook.folder().with_extension("backup");
    timed("backup", || notebook.backup(&out).map(|()| 1))?;
    let size = std::fs::metadata(out.join(store::DATABASE))?.len();
    println!("database {:.1} MB", size as f64 / 1e6);
    std::fs::remove_dir_all(&out)?;
    Ok(())
}

fn timed<E>(what: &str, work: impl FnOnce() -> Result<usize, E>) -> Result<(), E> {
    let start = Instant::now();
    let found = work()?;
    println!(
        "{what:28} {:>9.2} ms  ({found})",
        start.elapsed().as_secs_f64() * 1e3
    );
    Ok(())
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

/// Entries come 40 a day; every 97th corrects the one before it.
fn entry(trial: TrialId, start: Timestamp, n: u32) -> Result<Entry, jiff::Error> {
    let at = start.checked_add((i64::from(n) * 36).minutes())?;
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
