//! The schema and its versions: one numbered file each, run once, in a transaction.

use crate::StoreError;
use rusqlite::{Connection, TransactionBehavior};
use std::path::Path;

/// Marks the file as ours ("FAIR" in ASCII).
pub(crate) const APPLICATION_ID: i32 = 0x4641_4952;

/// Every migration, oldest first; the first brings an empty file to version 1.
const MIGRATIONS: &[&str] = &[
    include_str!("../migrations/0001_notebook.sql"),
    include_str!("../migrations/0002_devices.sql"),
];

/// The schema version this build writes.
pub fn newest_schema() -> i64 {
    MIGRATIONS.len() as i64
}

/// Checks that the file is a notebook this build can read, and brings it up to date.
pub(crate) fn bring_up_to_date(db: &mut Connection, folder: &Path) -> Result<(), StoreError> {
    if application_id(db)? != APPLICATION_ID {
        return Err(StoreError::NotANotebook {
            folder: folder.to_path_buf(),
            why: "its notebook.sqlite was not made by Fairtank, or its making was cut short"
                .to_string(),
        });
    }
    let found = version(db)?;
    if found > newest_schema() {
        return Err(StoreError::NewerSchema {
            folder: folder.to_path_buf(),
            found,
            known: newest_schema(),
        });
    }
    if found < newest_schema() {
        migrate(db)?;
    }
    Ok(())
}

/// Runs what is missing, all or nothing. The version is read again under the lock, since another
/// program may just have done the same.
pub(crate) fn migrate(db: &mut Connection) -> Result<(), StoreError> {
    let tx = db.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let from = usize::try_from(version(&tx)?).unwrap_or(0);
    for (i, sql) in MIGRATIONS.iter().enumerate().skip(from) {
        tx.execute_batch(sql)?;
        tx.pragma_update(None, "user_version", i as i64 + 1)?;
    }
    tx.pragma_update(None, "application_id", APPLICATION_ID)?;
    tx.commit()?;
    Ok(())
}

fn application_id(db: &Connection) -> Result<i32, StoreError> {
    Ok(db.pragma_query_value(None, "application_id", |row| row.get(0))?)
}

fn version(db: &Connection) -> Result<i64, StoreError> {
    Ok(db.pragma_query_value(None, "user_version", |row| row.get(0))?)
}
