//! One file per word of the map in [`crate::router`].

pub mod bench;
pub mod cautions;
pub mod compare;
mod compare_rows;
pub mod costs;
pub mod entry;
pub mod files;
pub mod history;
pub mod home;
pub mod jobs;
pub mod log;
pub mod pair;
pub mod pictures;
pub mod plans;
pub mod plants;
pub mod readings;
pub mod setup;
pub mod share;
pub mod sheet;
pub mod timeline;
pub mod treatment;
pub mod trust;
pub mod update;
pub mod walk;
pub mod words;
