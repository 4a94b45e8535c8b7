//! Tidy tables: what the records say, as rows and columns that any program can read, and the way
//! back from such rows to drafts. No I/O; `docs/tables.md` lists every column.
//!
//! [`ENTRY_TABLES`] hold what was done and seen, one table for each kind of act, one row for each
//! tank it went to; [`setup`] holds what was set up. The same columns are read by [`read_table`],
//! so that what an export says can be taken in again.

mod algae;
mod changes;
mod column;
mod doses;
mod feeds;
mod head;
mod line;
mod livestock;
mod notes;
mod pictures;
mod plants;
mod read;
mod readings;
mod scores;
mod seen;
mod settings;
pub mod setup;
mod trims;
mod upkeep;
mod walks;

#[cfg(test)]
mod tests;

pub use column::{Column, ColumnKind, RowCells, guard, in_order, unguard};
pub use line::RowProblem;
pub use pictures::picture_path;
pub use read::{ImportError, MOST_PROBLEMS, ReadRow, TableRead, read_table};

use crate::{Act, Bench, Entry};
use head::{HEAD, Own, TAIL, with_head};
use line::Line;

/// The rows of an entry, without the cells every table of entries shares.
type RowsOf = fn(&Bench, &Entry) -> Vec<Own>;
/// The act a row says, in the tanks it names.
type ActOf = fn(&Line<'_>, &[crate::TankId]) -> Result<Act, RowProblem>;

/// A table that holds one kind of act, or several that are alike.
pub struct EntryTable {
    /// Its name, which is its file's name without `.csv`.
    pub name: &'static str,
    /// What it holds, in one sentence.
    pub about: &'static str,
    /// The kinds of act in it, as in [`Act::kind`].
    pub kinds: &'static [&'static str],
    own: &'static [Column],
    /// Columns that are read but never written: other ways to say the same.
    also_read: &'static [Column],
    /// Columns that tell this table from the others.
    marks: &'static [&'static str],
    rows: RowsOf,
    act: Option<ActOf>,
}

/// Every table of entries, by name.
pub const ENTRY_TABLES: &[EntryTable] = &[
    algae::TABLE,
    changes::TABLE,
    upkeep::CLEANINGS,
    doses::TABLE,
    feeds::TABLE,
    livestock::TABLE,
    notes::TABLE,
    pictures::TABLE,
    plants::TABLE,
    readings::TABLE,
    scores::TABLE,
    settings::TABLE,
    upkeep::SWAPS,
    changes::TOP_UPS,
    trims::TABLE,
    walks::TABLE,
];

impl EntryTable {
    /// Its columns as written.
    pub fn columns(&self) -> Vec<Column> {
        [HEAD, self.own, TAIL].concat()
    }

    /// Whether [`read_table`] reads it.
    pub fn is_read(&self) -> bool {
        self.act.is_some()
    }

    /// The rows of one entry, in the order of [`EntryTable::columns`]; none when it belongs to
    /// another table. A record the bench does not know is given by its id.
    pub fn rows(&self, bench: &Bench, entry: &Entry) -> Vec<Vec<String>> {
        if !self.kinds.contains(&entry.act.kind()) {
            return vec![];
        }
        let columns = self.columns();
        with_head(bench, entry, (self.rows)(bench, entry))
            .into_iter()
            .map(|row| in_order(&columns, row))
            .collect()
    }
}
