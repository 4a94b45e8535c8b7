//! The notebook on disk: a folder with `notebook.sqlite` and `pictures/`. The only crate with SQL.
//!
//! Nothing is changed or deleted: set-up records get new revisions, entries are superseded by later
//! entries. Whatever a writing function returns `Ok` for is on disk.

mod backup;
mod check;
mod entries;
mod error;
mod export;
mod import;
mod latest;
mod migrate;
mod notebook;
mod pictures;
mod query;
mod raw;
mod read;
mod records;
mod restore;
#[cfg(feature = "testing")]
pub mod testing;
mod write;

pub use check::CheckReport;
pub use error::StoreError;
pub use export::{ExportReport, PACKAGE_SCHEMA, PackageError, export};
pub use import::{ImportFailed, ImportReport, import_csv};
pub use latest::{LastDone, REPEATED};
pub use migrate::newest_schema;
pub use notebook::{DATABASE, Notebook, PICTURES};
pub use pictures::{MEDIA_TYPES, hash, media_type_of};
pub use query::EntryQuery;
pub use raw::{RECORD_VERSION, RawEntry, RawRevision};
pub use records::{Revision, TrialLine};
pub use restore::{Limits, RestoreReport, restore};
pub use write::{Batch, Written};
