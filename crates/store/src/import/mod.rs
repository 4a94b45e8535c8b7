//! Tidy tables taken into a trial: all rows or none, and never twice.

mod identity;

use crate::{Batch, Notebook, StoreError};
use identity::Identities;
use jiff::Timestamp;
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

/// Takes a table into the bench's trial: all its rows or none. See [`read_table`] for what is
/// accepted.
///
/// The same row is never written twice: an entry's id is made from what the row says (trial, time,
/// tanks, who, minutes, note, act) and from how many equal rows stood before it, so that reading
/// the same file again, re-sorted, with rows added or under another name, finds what is there
/// already and says so. A row that gives an entry's id, as exported tables do, keeps it; when that
/// id is in the notebook with other content the row is refused, since entries are never changed.
pub fn import_csv(
    notebook: &Notebook,
    bench: &Bench,
    file: &str,
    bytes: &[u8],
    written: Timestamp,
) -> Result<ImportReport, ImportFailed> {
    let read = read_table(bench, file, bytes)?;
    let mut report = ImportReport {
        other_trials: read.other_trials,
        ..ImportReport::default()
    };
    let mut identities = Identities::new(bench.trial.id);
    let mut taken = HashSet::new();
    let mut batch = Batch::default();
    let mut problems = Vec::new();
    for row in read.rows {
        let (line, id) = (row.line, identities.of(&row)?);
        if !taken.insert(id) {
            problems.push(twice(line, id));
            continue;
        }
        let given = row.entry.is_some();
        let entry = entry_of(row, id, bench, file, written);
        match notebook.entry(id)? {
            None => {
                report.written.push(id);
                batch.entries.push(entry);
            }
            Some(before) if says_the_same(&before, &entry) => report.already.push(line),
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
    notebook.write_all(&batch)?;
    Ok(report)
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
