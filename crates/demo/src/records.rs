//! The whole demonstration as records.

use crate::DemoError;
use crate::entries::entries;
use crate::pictures::{PICTURES, Picture};
use crate::plans::plans;
use crate::setup::shelf;
use crate::table::FOLDERS;
use crate::trial_setup::bench;
use trial::{Bench, Entry, Record};

/// Everything the demonstration notebook holds.
#[derive(Debug, Clone)]
pub struct DemoNotebook {
    /// Set-up, parents before children: cards, products, waters, then each trial with its own.
    pub records: Vec<Record>,
    /// Entries of all trials, in the order in which they were written.
    pub entries: Vec<Entry>,
    /// The pictures that entries name by hash.
    pub pictures: &'static [Picture],
    /// Each trial's set-up read together, as answers take it.
    pub benches: Vec<Bench>,
}

/// Reads the tables. Pure: the same on every machine and every day; entries are taken to be written
/// when they happened unless the table says otherwise.
pub fn records() -> Result<DemoNotebook, DemoError> {
    let shelf = shelf()?;
    let mut demo = DemoNotebook {
        records: vec![],
        entries: vec![],
        pictures: PICTURES,
        benches: vec![],
    };
    demo.records
        .extend(shelf.cards.iter().cloned().map(Record::Card));
    demo.records
        .extend(shelf.products.iter().cloned().map(Record::Product));
    demo.records
        .extend(shelf.waters.iter().cloned().map(Record::Water));
    for folder in FOLDERS {
        let mut bench = bench(folder, &shelf)?;
        let (entries, keys) = entries(folder, &bench)?;
        bench.plans = plans(folder, &bench, &keys)?;
        demo.records.push(Record::Trial(bench.trial.clone()));
        demo.records
            .extend(bench.tanks.iter().cloned().map(Record::Tank));
        demo.records
            .extend(bench.plantings.iter().cloned().map(Record::Planting));
        demo.records
            .extend(bench.equipment.iter().cloned().map(Record::Equipment));
        demo.records
            .extend(bench.plans.iter().cloned().map(Record::Plan));
        demo.entries.extend(entries);
        demo.benches.push(bench);
    }
    demo.entries.sort_by_key(|e| (e.written, e.id));
    Ok(demo)
}
