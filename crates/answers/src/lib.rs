//! One function per question: ask in, plain serialisable answer out, with its basis and findings.
//! Pages, commands and the update draw what these return; nothing here knows HTML or SQL.

pub mod advance;
pub mod bench;
pub mod cautions;
pub mod compare;
pub mod cost;
pub mod days;
pub mod dose;
pub mod error;
pub mod gaps;
pub mod history;
pub mod home;
pub mod line;
pub mod load;
pub mod log;
pub mod pictures;
pub mod plans;
pub mod plants;
pub mod readings;
pub mod setup;
pub mod sheet;
pub mod timeline;
pub mod trust;
pub mod unequal;
pub mod update;
pub mod walk;

pub use error::AnswerError;
