//! Typed quantities, intervals and estimates; parsing what people type, printing with the right
//! digits. Knows no tank.
//!
//! Units live in types here and in field-name suffixes at the edges (`_mg_l`, `_cm`).

pub mod analyte;
pub mod estimate;
pub mod format;
pub mod interval;
pub mod parse;
pub mod salt;
pub mod unit;

pub use analyte::{Analyte, Means};
pub use estimate::{Basis, Estimate, EstimateKind};
pub use format::Format;
pub use interval::{Interval, IntervalError};
pub use parse::{ParseError, parse_amount, parse_number};
pub use unit::{Amount, Dimension, Unit, UnitError};
