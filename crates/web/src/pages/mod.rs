//! One file per word of the map in [`crate::router`].

pub mod entry;
pub mod home;
pub mod log;
pub mod pictures;
pub mod setup;
pub mod words;
