//! The tables of what stands now.

use super::descriptor::Resource;
use super::zip_out::ZipOut;
use super::{PackageError, Steps};
use crate::entries::matching;
use crate::read::entry_of_seq;
use crate::{EntryQuery, Notebook, StoreError};
use rusqlite::Transaction;
use std::io::{Seek, Write};
use trial::tables::setup::{SETUP_TABLES, SetupTable};
use trial::tables::{ENTRY_TABLES, EntryTable};
use trial::{Bench, Trial, TrialId, WithdrawnRecord};
use uuid::Uuid;

/// The names of the tables.
pub(super) fn names() -> impl Iterator<Item = &'static str> {
    ENTRY_TABLES
        .iter()
        .map(|t| t.name)
        .chain(SETUP_TABLES.iter().map(|t| t.name))
}

/// Writes the table of this name, which is one of [`names`].
pub(super) fn write<W: Write + Seek>(
    notebook: &Notebook,
    db: &Transaction<'_>,
    name: &str,
    zip: &mut ZipOut<W>,
    steps: &mut Steps<'_>,
) -> Result<Resource, PackageError> {
    let trials = trials(db)?;
    match SETUP_TABLES.iter().find(|t| t.name == name) {
        Some(table) => write_setup(notebook, &trials, table, zip),
        None => {
            let table = ENTRY_TABLES.iter().find(|t| t.name == name);
            let table = table.ok_or(PackageError::Missing("table of this name"))?;
            write_entries(notebook, db, &trials, table, zip, steps)
        }
    }
}

/// The trials of this state of the notebook, oldest first.
fn trials(db: &Transaction<'_>) -> Result<Vec<TrialId>, StoreError> {
    let mut found = db.prepare_cached("SELECT id FROM record WHERE kind = 'trial' ORDER BY id")?;
    let mut rows = found.query([])?;
    let mut trials = Vec::new();
    while let Some(row) = rows.next()? {
        trials.push(TrialId(crate::read::id(&row.get::<_, String>(0)?)?));
    }
    Ok(trials)
}

fn write_setup<W: Write + Seek>(
    notebook: &Notebook,
    trials: &[TrialId],
    table: &SetupTable,
    zip: &mut ZipOut<W>,
) -> Result<Resource, PackageError> {
    let columns = table.columns();
    let mut file = zip.table(table.name, &columns)?;
    let benches: Vec<Bench> = match table.of_trial {
        true => trials
            .iter()
            .map(|t| notebook.bench(*t))
            .collect::<Result<_, _>>()?,
        false => vec![shelf(notebook)?],
    };
    for row in benches.iter().flat_map(|bench| table.rows(bench)) {
        file.row(&row)?;
    }
    let done = file.finish()?;
    Ok(Resource::table(table.name, table.about, &columns, done))
}

/// The notebook's cards, products and waters, which stand on no bench of their own.
fn shelf(notebook: &Notebook) -> Result<Bench, StoreError> {
    let mut shelf = Bench::new(Trial::new(TrialId(Uuid::nil()), "", "UTC"));
    for (record, withdrawn) in notebook.all_records()? {
        if record.trial().is_some() {
            continue;
        }
        match withdrawn {
            None => shelf.put(record),
            Some(withdrawn) => shelf.withdrawn.push(WithdrawnRecord { record, withdrawn }),
        }
    }
    Ok(shelf)
}

fn write_entries<W: Write + Seek>(
    notebook: &Notebook,
    db: &Transaction<'_>,
    trials: &[TrialId],
    table: &EntryTable,
    zip: &mut ZipOut<W>,
    steps: &mut Steps<'_>,
) -> Result<Resource, PackageError> {
    let columns = table.columns();
    let mut file = zip.table(table.name, &columns)?;
    for trial in trials {
        // Read after the state this export is of: it knows at least every tank that state names.
        let bench = notebook.bench(*trial)?;
        for seq in matching(db, &EntryQuery::of(*trial).kinds(table.kinds))? {
            let entry = entry_of_seq(db, seq)?.read()?;
            for row in table.rows(&bench, &entry) {
                file.row(&row)?;
            }
            steps.step()?;
        }
    }
    let done = file.finish()?;
    Ok(Resource::table(table.name, table.about, &columns, done))
}
