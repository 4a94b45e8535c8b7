//! Tables of what was set up: the newest revision of every record, those taken back marked.

mod belongings;
mod benches;
mod supplies;

use super::column::{Column, ColumnKind, RowCells, in_order, number};
use crate::Bench;
use crate::types::Money;

/// A table of set-up records.
pub struct SetupTable {
    /// Its name, which is its file's name without `.csv`.
    pub name: &'static str,
    /// What it holds, in one sentence.
    pub about: &'static str,
    /// Whether its records belong to a trial; the others belong to the notebook, and are the same
    /// on every bench.
    pub of_trial: bool,
    columns: &'static [Column],
    rows: fn(&Bench) -> Vec<RowCells>,
}

/// Every table of set-up records, by name.
pub const SETUP_TABLES: &[SetupTable] = &[
    supplies::CARDS,
    belongings::EQUIPMENT,
    benches::LAMPS,
    benches::PHASES,
    belongings::PLANS,
    belongings::PLANTINGS,
    supplies::PRODUCTS,
    benches::TANKS,
    benches::TRIALS,
    supplies::WATERS,
];

impl SetupTable {
    /// Its columns.
    pub fn columns(&self) -> Vec<Column> {
        let marks = WITHDRAWN.into_iter().filter(|_| self.withdraws());
        self.columns.iter().copied().chain(marks).collect()
    }

    /// Whether its rows can be taken back: those with an id, but for the trials.
    fn withdraws(&self) -> bool {
        self.name != "trials" && self.columns.iter().any(|c| c.name == ID.name)
    }

    /// The rows of one bench, in the order of its columns.
    pub fn rows(&self, bench: &Bench) -> Vec<Vec<String>> {
        let columns = self.columns();
        // A table without ids could not say which of its rows were taken back.
        let all = match self.withdraws() {
            true => (self.rows)(&bench.with_withdrawn()),
            false => (self.rows)(bench),
        };
        all.into_iter()
            .map(|row| in_order(&columns, marked(bench, row)))
            .collect()
    }
}

/// The row of a record that was taken back, with when and why.
fn marked(bench: &Bench, mut row: RowCells) -> RowCells {
    let id = row.iter().find(|(name, _)| *name == ID.name);
    let gone = id.and_then(|(_, id)| {
        let mut all = bench.withdrawn.iter();
        all.find(|w| w.record.id().to_string() == *id)
    });
    if let Some(gone) = gone {
        row.push(("withdrawn", gone.withdrawn.at.to_string()));
        row.push(("withdrawn_why", gone.withdrawn.why.clone()));
    }
    row
}

const WITHDRAWN: [Column; 2] = [
    Column::new(
        "withdrawn",
        ColumnKind::DateTime,
        "When it was taken back as never meant; empty while it stands",
    ),
    Column::new("withdrawn_why", ColumnKind::Text, "Why it was taken back"),
];

const ID: Column = Column::new("id", ColumnKind::Word, "Id of the record");
const NOTE: Column = Column::new("note", ColumnKind::Text, "Anything to add");
const TRIAL: Column = Column::new("trial", ColumnKind::Text, "Title of the trial");
const PRICE: Column = Column::new("price", ColumnKind::Number, "Price");
const CURRENCY: Column = Column::new("currency", ColumnKind::Word, "Its currency (ISO 4217)");

/// The two cells of a price.
fn money(price: &Option<Money>) -> RowCells {
    match price {
        None => vec![],
        Some(m) => vec![
            ("price", number(m.amount)),
            ("currency", m.currency.clone()),
        ],
    }
}

/// Several things in one cell.
fn joined(parts: impl IntoIterator<Item = String>) -> String {
    parts.into_iter().collect::<Vec<_>>().join("; ")
}
