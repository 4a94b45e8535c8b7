//! The demonstration notebook: all invented, made from the plain tables and rendered pictures under
//! `demo/`, which are built into the program. The same bytes and ids on every machine.
//!
//! ```text
//! demo/notebook/*.csv       cards, products, source waters
//! demo/TRIAL/*.csv          set-up of a trial, and its entries: log.csv holds jots, the other
//!                           tables what takes more than a line
//! demo/pictures/*.jpg       the pictures, with marks.json
//! ```

mod acts;
mod bench_setup;
mod entries;
mod ids;
mod log;
mod make;
mod pictures;
mod plans;
mod records;
mod setup;
mod table;
mod trial_setup;

pub use make::{Made, make};
pub use pictures::{MARKS, PICTURES, Picture};
pub use records::{DemoNotebook, records};

/// Why the demonstration cannot be made: a table was edited into something that does not hold.
#[derive(Debug, thiserror::Error)]
pub enum DemoError {
    /// A table cannot be read as one.
    #[error("demo/{table}: {source}")]
    Csv {
        /// The table.
        table: String,
        /// What the reader says; it names the line and the field.
        source: csv::Error,
    },
    /// A cell that means nothing here.
    #[error("demo/{table}, line {line}: {says}")]
    Cell {
        /// The table.
        table: String,
        /// The line, counted from 1.
        line: u64,
        /// Field, value and what is accepted.
        says: String,
    },
    /// The notebook does not take it.
    #[error(transparent)]
    Store(#[from] store::StoreError),
}
