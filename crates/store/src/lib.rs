//! The notebook on disk: a folder with `notebook.sqlite` and `pictures/`. The only crate with SQL.
//!
//! Nothing is changed or deleted: set-up records get new revisions, entries are superseded by later
//! entries. Whatever a writing function returns `Ok` for is on disk.

mod backup;
mod check;
mod devices;
mod entries;
mod error;
pub mod export;
mod facts;
pub mod import;
mod latest;
mod migrate;
mod notebook;
mod pictures;
mod query;
mod raw;
mod read;
mod records;
pub mod restore;
mod search;
mod span;
#[cfg(feature = "testing")]
pub mod testing;
mod withdraw;
mod write;

pub use backup::BACKUPS;
pub use check::CheckReport;
pub use devices::Device;
pub use error::StoreError;
pub use latest::{LastDone, REPEATED};
pub use migrate::newest_schema;
pub use notebook::{DATABASE, Notebook, PICTURES};
pub use pictures::{MEDIA_TYPES, hash, media_type_of};
pub use query::EntryQuery;
pub use raw::{RECORD_VERSION, RawEntry, RawRevision};
pub use records::{Revision, TrialLine};
pub use search::{Found, Search, Version};
pub use span::KindCounts;
pub use withdraw::Uses;
pub use write::{Batch, Written};
