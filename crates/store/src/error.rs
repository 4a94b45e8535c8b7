//! What can go wrong with a notebook, each with what it is about and what to do.

use job::Cancelled;
use rusqlite::ErrorCode;
use std::path::{Path, PathBuf};
use trial::entry::PayloadError;
use trial::{EntryId, TrialId};
use uuid::Uuid;

/// Why the notebook could not do what was asked.
#[derive(Debug, thiserror::Error)]
#[allow(missing_docs)] // each message names its fields
pub enum StoreError {
    #[error("{} is not a notebook: {why}", folder.display())]
    NotANotebook { folder: PathBuf, why: String },
    #[error("{} already holds a notebook; open it, or choose another folder", folder.display())]
    AlreadyANotebook { folder: PathBuf },
    #[error(
        "the notebook in {} has schema version {found}; this Fairtank knows up to {known}: use a newer Fairtank",
        folder.display()
    )]
    NewerSchema {
        folder: PathBuf,
        found: i64,
        known: i64,
    },
    #[error(
        "the folder's file system cannot hold a notebook (journal mode is \"{found}\" instead of \"wal\"); \
         network shares often cannot: move the notebook to a local disk"
    )]
    NotALocalDisk { found: String },
    #[error(
        "another program has kept the notebook locked; close it (a backup or sync tool, another Fairtank) and try again"
    )]
    Busy,
    #[error("the disk is full, so nothing was written; make room and try again")]
    DiskFull,
    #[error("the notebook cannot be written to; check the folder's permissions")]
    ReadOnly,
    #[error(
        "the notebook's database is damaged ({what}); run `fairtank check`, or restore a backup"
    )]
    Damaged { what: String },
    #[error(
        "the notebook's files cannot be reached ({what}); check the disk, and that the folder is not on a network share"
    )]
    Disk { what: String },
    #[error("the notebook's database refused: {0}")]
    Sql(rusqlite::Error),
    #[error("could not {doing} {}: {source}", path.display())]
    File {
        doing: &'static str,
        path: PathBuf,
        source: std::io::Error,
    },
    #[error("there is no trial {0} in this notebook")]
    NoSuchTrial(TrialId),
    #[error("there is no entry {0} in this notebook")]
    NoSuchEntry(EntryId),
    #[error("there is no record {0} in this notebook")]
    NoSuchRecord(Uuid),
    #[error("trial {id} cannot be withdrawn; close it with a phase that ends it instead")]
    TrialStays { id: Uuid },
    #[error(
        "{what} {id} cannot be withdrawn: {entries} entries and {records} set-up records name it; \
         correct or undo those first"
    )]
    StillNamed {
        what: &'static str,
        id: Uuid,
        entries: usize,
        records: usize,
    },
    #[error("{what} \"{name}\" ({id}) was withdrawn; restore it first, or name another")]
    NamesWithdrawn {
        what: &'static str,
        name: String,
        id: Uuid,
    },
    #[error(
        "there is no {what} {id} in this notebook; write its record before anything that names it"
    )]
    UnknownRecord { what: &'static str, id: Uuid },
    #[error("{what} {id} does not belong to trial {trial}; name one of that trial's")]
    OtherTrial {
        what: &'static str,
        id: Uuid,
        trial: TrialId,
    },
    #[error("entry {entry} names tank {tank} twice; name each tank once")]
    TankTwice { entry: EntryId, tank: Uuid },
    #[error("entry {entry} supersedes {target}, which is not in this notebook")]
    SupersedesUnknown { entry: EntryId, target: EntryId },
    #[error("entry {entry} supersedes {target}, which belongs to another trial")]
    SupersedesOtherTrial { entry: EntryId, target: EntryId },
    #[error("entry {entry} supersedes {target}, but {by} already does; supersede {by} instead")]
    AlreadySuperseded {
        entry: EntryId,
        target: EntryId,
        by: EntryId,
    },
    #[error("entry {entry} takes something back but does not say which entry it supersedes")]
    UndoOfNothing { entry: EntryId },
    #[error(
        "entry {entry} is already in the notebook with other content; entries are never changed: write a new one that supersedes it"
    )]
    Conflict { entry: EntryId },
    #[error("{what} {id} would not read back as it was given ({why}); numbers must be finite")]
    NotKept {
        what: &'static str,
        id: Uuid,
        why: String,
    },
    #[error("record {id} was written as a {was} and cannot become a {now}, nor change its trial")]
    RecordMoved {
        id: Uuid,
        was: String,
        now: &'static str,
    },
    #[error("{what} {id} cannot be read: {why}")]
    Unreadable {
        what: &'static str,
        id: String,
        why: String,
    },
    #[error("{0}")]
    Payload(#[from] PayloadError),
    #[error("\"{0}\" is not a picture's hash; accepted are 64 lower-case hexadecimal digits")]
    BadHash(String),
    #[error("the notebook has no picture {0}; restore it from a backup")]
    PictureMissing(String),
    #[error("picture {sha256} is damaged: its bytes hash to {found}; restore it from a backup")]
    PictureDamaged { sha256: String, found: String },
    #[error("\"{0}\" cannot be kept; accepted are image/jpeg, image/png and image/webp")]
    PictureType(String),
    #[error("the picture is given as {0}, but its bytes are not")]
    PictureContent(String),
    #[error("{} already exists; choose a new name", .0.display())]
    Exists(PathBuf),
    #[error(
        "{} lies inside the notebook; choose a place outside it, or in its folder \"{}\"",
        .0.display(), crate::BACKUPS
    )]
    InsideNotebook(PathBuf),
    #[error(transparent)]
    Cancelled(#[from] Cancelled),
}

impl StoreError {
    /// Whether what was given cannot be used, rather than the machine failing: edges turn the one
    /// into a refusal with its sentence and the other into an alarm.
    pub fn is_input(&self) -> bool {
        use StoreError::*;
        !matches!(
            self,
            NotALocalDisk { .. }
                | Busy
                | DiskFull
                | ReadOnly
                | Damaged { .. }
                | Disk { .. }
                | Sql(_)
                | File { .. }
                | Unreadable { .. }
                | Payload(_)
                | PictureMissing(_)
                | PictureDamaged { .. }
                | Cancelled(_)
        )
    }

    /// An error of the file system.
    pub(crate) fn file(doing: &'static str, path: &Path) -> impl FnOnce(std::io::Error) -> Self {
        move |source| match source.kind() {
            std::io::ErrorKind::StorageFull => StoreError::DiskFull,
            _ => StoreError::File {
                doing,
                path: path.to_path_buf(),
                source,
            },
        }
    }
}

impl From<rusqlite::Error> for StoreError {
    fn from(error: rusqlite::Error) -> Self {
        let what = error.to_string();
        match error.sqlite_error_code() {
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => StoreError::Busy,
            Some(ErrorCode::FileLockingProtocolFailed) => StoreError::Disk { what },
            Some(ErrorCode::DiskFull) => StoreError::DiskFull,
            Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied) => StoreError::ReadOnly,
            Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => {
                StoreError::Damaged { what }
            }
            Some(ErrorCode::SystemIoFailure | ErrorCode::CannotOpen) => StoreError::Disk { what },
            _ => StoreError::Sql(error),
        }
    }
}
