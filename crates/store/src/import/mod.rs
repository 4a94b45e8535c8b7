//! Tidy tables taken into a trial: all rows or none, and never twice.

mod identity;

use crate::{Batch, Notebook, StoreError};
use identity::Identities;
use jiff::Timestamp;
use job::{Cancelled, Progress};
use std::collections::HashSet;
use std::fmt;
use trial::tables::{ImportError, ReadRow, RowProblem, read_table};
use trial::{Bench, Entry, EntryId, Origin};

/// Why a table was not taken in. Nothing of it then is.
#[derive(Debug, thiserror::Error)]
pub enum ImportFailed {
    /// The table itself.
    #[error(transparent)]
    Table(#[from] ImportError),
    /// The notebook.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// It was stopped as asked.
    #[error(transparent)]
    Cancelled(#[from] Cancelled),
}

/// What an import did.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ImportReport {
    /// The new entries, in the order of the table.
    pub written: Vec<EntryId>,
    /// Lines whose entries were in the notebook before, from this table or its like.
    pub already: Vec<u64>,
    /// Rows that name another trial and were left out.
    pub other_trials: u64,
}

impl fmt::Display for ImportReport {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Imported: new entries {}.", self.written.len())?;
        if !self.already.is_empty() {
            let lines: Vec<String> = self.already.iter().map(u64::to_string).collect();
            let lines = lines.join(", ");
            write!(
                f,
                "\nIn the notebook before, and not written again: line {lines}."
            )?;
        }
        if self.other_trials > 0 {
            write!(
                f,
                "\nLeft out, because they name another trial: rows {}.",
                self.other_trials
            )?;
        }
        Ok(())
    }
}

/// A table that was read and found good, not yet taken in.
#[derive(Debug, Clone, Default)]
pub struct ImportPlan {
    /// The entries that are not in the notebook yet, in the order of the table.
    pub entries: Vec<Entry>,
    /// Lines whose entries are in the notebook, from this table or its like.
    pub already: Vec<u64>,
    /// Rows that name another trial and are left out.
    pub other_trials: u64,
}

impl ImportPlan {
    /// Writes the entries, all or none. Another writer may have been faster: what is there by now
    /// as it stands here is not written again.
    pub fn write(self, notebook: &Notebook) -> Result<ImportReport, StoreError> {
        let written = self.entries.iter().map(|e| e.id).collect();
        notebook.write_all(&Batch {
            entries: self.entries,
            ..Batch::default()
        })?;
        Ok(ImportReport {
            written,
            already: self.already,
            other_trials: self.other_trials,
        })
    }
}

/// Takes a table into the bench's trial: all its rows or none; [`plan_csv`] and
/// [`ImportPlan::write`] in one. Stopped by `progress` before anything is written.
pub fn import_csv(
    notebook: &Notebook,
    bench: &Bench,
    file: &str,
    bytes: &[u8],
    written: Timestamp,
    progress: &Progress,
) -> Result<ImportReport, ImportFailed> {
    let plan = plan_csv(notebook, bench, file, bytes, written, progress)?;
    Ok(plan.write(notebook)?)
}

/// Reads a table for the bench's trial and gives what it would add. Nothing is written. See
/// [`read_table`] for what is accepted.
///
/// The same row is never written twice: an entry's id is made from what the row says (trial, time,
/// tanks, who, minutes, note, act) and from how many equal rows stood before it, so that reading
/// the same file again, re-sorted, with rows added or under another name, finds what is there
/// already and says so. A row that gives an entry's id, as exported tables do, keeps it; when that
/// id is in the notebook with other content the row is refused, since entries are never changed.
pub fn plan_csv(
    notebook: &Notebook,
    bench: &Bench,
    file: &str,
    bytes: &[u8],
    written: Timestamp,
    progress: &Progress,
) -> Result<ImportPlan, ImportFailed> {
    progress.check()?;
    let read = read_table(bench, file, bytes)?;
    let mut plan = ImportPlan {
        other_trials: read.other_trials,
        ..ImportPlan::default()
    };
    let mut identities = Identities::new(bench.trial.id);
    let mut taken = HashSet::new();
    let mut problems = Vec::new();
    let count = read.rows.len() as u64;
    for (n, row) in read.rows.into_iter().enumerate() {
        progress.at(n as u64, count)?;
        let (line, id) = (row.line, identities.of(&row)?);
        if !taken.insert(id) {
            problems.push(twice(line, id));
            continue;
        }
        let given = row.entry.is_some();
        let entry = entry_of(row, id, bench, file, written);
        match notebook.entry(id)? {
            None => plan.entries.push(entry),
            Some(before) if says_the_same(&before, &entry) => plan.already.push(line),
            Some(_) if given => problems.push(other_content(line, id)),
            Some(_) => return Err(StoreError::Conflict { entry: id }.into()),
        }
    }
    if !problems.is_empty() {
        problems.truncate(trial::tables::MOST_PROBLEMS);
        return Err(ImportError::Rows {
            file: file.to_string(),
            problems,
        }
        .into());
    }
    progress.at(1, 1)?;
    Ok(plan)
}

fn entry_of(row: ReadRow, id: EntryId, bench: &Bench, file: &str, written: Timestamp) -> Entry {
    // Only the name: folders are the keeper's own business.
    let name = file.rsplit(['/', '\\']).next().unwrap_or(file);
    let origin = Origin::Import {
        file: name.to_string(),
        line: row.line,
    };
    row.draft
        .into_entry(id, bench.trial.id, written, origin, None)
}

/// Whether two entries say the same; when and how they were written down does not matter.
fn says_the_same(a: &Entry, b: &Entry) -> bool {
    let mut b = b.clone();
    b.written = a.written;
    b.origin = a.origin.clone();
    b.supersedes = a.supersedes;
    *a == b && a.at.to_string() == b.at.to_string()
}

fn other_content(line: u64, id: EntryId) -> RowProblem {
    RowProblem {
        line,
        column: "entry".to_string(),
        value: id.to_string(),
        says: "is in the notebook with other content; entries are never changed: correct it \
               there, or leave this cell empty to write a new one"
            .to_string(),
    }
}

fn twice(line: u64, id: EntryId) -> RowProblem {
    RowProblem {
        line,
        column: "entry".to_string(),
        value: id.to_string(),
        says: "is the id of another row's entry; accepted is each entry once".to_string(),
    }
}
