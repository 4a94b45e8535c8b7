//! Chemistry of many rows: comma-separated tables in, the same tables with results out.
//!
//! Columns stand in any order; unknown ones pass through unchanged; results are appended, and a
//! last column `problem` says why a row has none. Rows stream: memory does not grow with the file.
//! Nothing here opens files.

mod ammonia;
mod gas;
mod mix;
mod states;
mod table;
mod write;

use std::io::{Read, Write};

use crate::gas::air::Humidity;

pub use table::{BatchError, BatchReport, Progress};

/// Choices that hold for a whole table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Options {
    /// How the share of CO2 in the air is meant (only `gas`).
    pub humidity: Humidity,
    /// Air pressure, atm (only `gas`).
    pub pressure_atm: f64,
}

impl Default for Options {
    fn default() -> Self {
        Options {
            humidity: Humidity::Dry,
            pressure_atm: 1.0,
        }
    }
}

/// Reports progress every so many rows; returning `false` stops the run.
pub type OnProgress<'a> = &'a mut dyn FnMut(Progress) -> bool;

/// pH and alkalinity to the whole state of each water.
///
/// Needs `temperature_c, ph, alkalinity_meq_l`; takes the ions `ca_mg_l` to `b_mg_l`.
pub fn states(
    reader: impl Read,
    writer: impl Write,
    _options: &Options,
    progress: OnProgress,
) -> Result<BatchReport, BatchError> {
    table::run(reader, writer, progress, states::States::new)
}

/// Each water in equilibrium with air, then with CO2 added in a closed vessel.
///
/// Needs `temperature_c, alkalinity_meq_l, added_co2_mg_l`; `air_co2_ppm` is 420 where missing.
pub fn gas(
    reader: impl Read,
    writer: impl Write,
    options: &Options,
    progress: OnProgress,
) -> Result<BatchReport, BatchError> {
    let options = *options;
    table::run(reader, writer, progress, move |columns| {
        gas::Gas::new(columns, options)
    })
}

/// Two waters mixed by volume: every input column twice, prefixed `a_` and `b_`, and `share_a`.
pub fn mix(
    reader: impl Read,
    writer: impl Write,
    _options: &Options,
    progress: OnProgress,
) -> Result<BatchReport, BatchError> {
    table::run(reader, writer, progress, mix::Mix::new)
}

/// Un-ionised ammonia of each row.
///
/// Needs `temperature_c, ph, tan_mg_l`; `ionic_strength_mol_kg` is 0 where missing.
pub fn ammonia(
    reader: impl Read,
    writer: impl Write,
    _options: &Options,
    progress: OnProgress,
) -> Result<BatchReport, BatchError> {
    table::run(reader, writer, progress, ammonia::Ammonia::new)
}
