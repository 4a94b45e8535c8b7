//! Why a package cannot be written or restored.

use crate::StoreError;
use job::Cancelled;
use std::path::PathBuf;
use zip::result::ZipError;

/// Why a package cannot be written or restored. After a failed restore no folder is left behind.
#[derive(Debug, thiserror::Error)]
#[allow(missing_docs)] // each message names its fields
pub enum PackageError {
    #[error(transparent)]
    Store(#[from] StoreError),
    #[error(transparent)]
    Cancelled(#[from] Cancelled),
    #[error("the package cannot be written: {0}")]
    Write(std::io::Error),
    #[error(
        "the file is not a zip archive that can be read ({0}); accepted is a package that Fairtank exported"
    )]
    NotAZip(ZipError),
    #[error("{name} cannot be read from the package: {why}")]
    Entry { name: String, why: String },
    #[error("\"{name}\" is not a name a package may hold ({why}); nothing was restored")]
    Name { name: String, why: &'static str },
    #[error("{name} holds {what}, which is more than the {limit} accepted; nothing was restored")]
    TooLarge {
        name: String,
        what: String,
        limit: String,
    },
    #[error("the package has no {0}; accepted is a package that Fairtank exported")]
    Missing(&'static str),
    #[error(
        "datapackage.json cannot be read: {0}; accepted is that of a package that Fairtank exported"
    )]
    Descriptor(String),
    #[error(
        "the package has layout version {found}; this Fairtank reads up to {known}: use a newer Fairtank"
    )]
    Newer { found: u64, known: u64 },
    #[error("{file}, line {line}{}: {says}", cell(column, value))]
    Row {
        file: String,
        line: u64,
        column: String,
        value: String,
        says: String,
    },
    #[error("{file}: {says}")]
    Table { file: String, says: &'static str },
    #[error(
        "{file} is not as datapackage.json says it was exported: it was damaged or changed since; restore the package as it was"
    )]
    Changed { file: String },
    #[error("{} already exists; choose a folder that does not", .0.display())]
    Exists(PathBuf),
}

/// Where in a row: nothing when the whole row is meant.
fn cell(column: &str, value: &str) -> String {
    match column {
        "" => String::new(),
        _ => format!(", column {column}, value \"{value}\""),
    }
}

impl From<rusqlite::Error> for PackageError {
    fn from(error: rusqlite::Error) -> Self {
        PackageError::Store(error.into())
    }
}

impl PackageError {
    /// An error while writing the zip.
    pub(crate) fn writing(error: impl Into<std::io::Error>) -> Self {
        let error = error.into();
        match error.kind() {
            std::io::ErrorKind::StorageFull => PackageError::Store(StoreError::DiskFull),
            _ => PackageError::Write(error),
        }
    }

    /// A row that cannot stand.
    pub(crate) fn row(
        file: &str,
        line: u64,
        column: &str,
        value: &str,
        says: impl Into<String>,
    ) -> Self {
        PackageError::Row {
            file: file.to_string(),
            line,
            column: column.to_string(),
            value: value.chars().take(80).collect(),
            says: says.into(),
        }
    }
}
