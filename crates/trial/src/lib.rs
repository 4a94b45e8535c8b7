//! The vocabulary of the records: trials, tanks, plantings, entries, cards, plans; the jot grammar;
//! sentences that describe an entry. No I/O, no clock.
//!
//! Start reading at [`types`], which opens with a picture of the records.

pub mod act;
pub mod bench;
pub mod card;
pub mod catalogue;
pub mod describe;
pub mod draft;
pub mod entry;
pub mod equipment;
pub mod finding;
pub mod ids;
pub mod jot;
pub mod lot;
pub mod nutrients;
pub mod plan;
pub mod planting;
pub mod rules;
pub mod setup;
pub mod supply;
pub mod tables;
pub mod tank;
pub mod types;

pub use act::Act;
pub use bench::Bench;
pub use card::{Card, Seen};
pub use draft::Draft;
pub use entry::{Entry, Origin};
pub use equipment::Equipment;
pub use finding::{Finding, Severity, Subject};
pub use ids::*;
pub use plan::Plan;
pub use planting::Planting;
pub use setup::{Record, RecordKind, Withdrawn, WithdrawnRecord};
pub use supply::{Product, SourceWater};
pub use tank::Tank;
pub use types::Trial;
