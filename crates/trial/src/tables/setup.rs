//! Tables of what was set up: the newest revision of every record.

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
    pub fn columns(&self) -> &'static [Column] {
        self.columns
    }

    /// The rows of one bench, in the order of its columns.
    pub fn rows(&self, bench: &Bench) -> Vec<Vec<String>> {
        (self.rows)(bench)
            .into_iter()
            .map(|row| in_order(self.columns, row))
            .collect()
    }
}

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
