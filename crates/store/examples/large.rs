//! Makes a trial of 100,000 entries (or as many as the first argument says) and prints how long
//! each way of reading it takes.

use jiff::ToSpan;
use job::Progress;
use quantity::Analyte;
use std::time::Instant;
use store::testing::{large, large_entry, large_trial, numbered_id};
use store::{EntryQuery, Notebook};
use trial::{Entry, EntryId, PlantingId, TankId};

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
    let trial = large_trial();
    let batch = large(count)?;
    timed("write_all", || {
        notebook.write_all(&batch).map(|()| count as usize)
    })?;
    let end = batch
        .entries
        .last()
        .map_or(jiff::Timestamp::UNIX_EPOCH, |e| e.at.timestamp());
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
    let next = (count..count + 5).map(large_entry);
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
        notebook
            .check(&Progress::none())
            .map(|report| report.findings.len())
    })?;
    let out = notebook.folder().with_extension("backup");
    timed("backup", || {
        notebook.backup(&out, &Progress::none()).map(|()| 1)
    })?;
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
