//! A notebook folder: making, opening, and the connections behind it.

use crate::write::Writer;
use crate::{Batch, RawEntry, RawRevision, StoreError, Written, migrate};
use jiff::Timestamp;
use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags, Transaction, TransactionBehavior};
use std::fs::{self, File};
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::Duration;
use trial::{Entry, Record};

/// The database's file name in the folder.
pub const DATABASE: &str = "notebook.sqlite";
/// The pictures' folder in the folder.
pub const PICTURES: &str = "pictures";

/// How long to wait for another program's lock.
const PATIENCE: Duration = Duration::from_secs(10);
/// Read-only connections kept open between uses.
const IDLE_READERS: usize = 4;
/// Batches from this size on are followed by a checkpoint, so that the log does not stay large.
const LARGE_BATCH: usize = 5_000;

/// An open notebook. Share it between threads by reference or `Arc`: one writes at a time, any
/// number read meanwhile, each from one consistent state.
pub struct Notebook {
    folder: PathBuf,
    // Readers are closed before the writer, which then folds the log into the database.
    readers: Mutex<Vec<Connection>>,
    writer: Mutex<Connection>,
}

impl std::fmt::Debug for Notebook {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Notebook")
            .field("folder", &self.folder)
            .finish_non_exhaustive()
    }
}

impl Notebook {
    /// Makes an empty notebook in `folder`, which is made too when missing.
    pub fn create(folder: &Path) -> Result<Notebook, StoreError> {
        let database = folder.join(DATABASE);
        // An empty file is what a creation cut short leaves behind: the schema arrives whole.
        if fs::metadata(&database).is_ok_and(|m| m.len() > 0) {
            return Err(StoreError::AlreadyANotebook {
                folder: folder.to_path_buf(),
            });
        }
        let pictures = folder.join(PICTURES);
        fs::create_dir_all(&pictures).map_err(StoreError::file("make", &pictures))?;
        let mut db = Connection::open(&database)?;
        db.busy_timeout(PATIENCE)?;
        migrate::migrate(&mut db)?;
        drop(db);
        sync_folder(folder)?;
        Notebook::open(folder)
    }

    /// Opens the notebook in `folder`, bringing an older one up to date.
    pub fn open(folder: &Path) -> Result<Notebook, StoreError> {
        let database = folder.join(DATABASE);
        let not = |why: &str| StoreError::NotANotebook {
            folder: folder.to_path_buf(),
            why: why.to_string(),
        };
        match fs::metadata(&database) {
            Err(_) => return Err(not("it holds no notebook.sqlite; make one first")),
            Ok(m) if m.len() == 0 => return Err(not("its notebook.sqlite is empty")),
            Ok(_) => {}
        }
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let mut db = Connection::open_with_flags(&database, flags)?;
        db.busy_timeout(PATIENCE)?;
        migrate::bring_up_to_date(&mut db, folder).map_err(|e| match e {
            StoreError::Damaged { .. } if !has_sqlite_header(&database) => {
                not("its notebook.sqlite is not a database")
            }
            other => other,
        })?;
        set_up_writer(&db)?;
        Ok(Notebook {
            folder: folder.to_path_buf(),
            readers: Mutex::new(Vec::new()),
            writer: Mutex::new(db),
        })
    }

    /// The folder it lives in.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Writes one entry; it is on disk when this returns. The same entry again is [`Written::Already`].
    pub fn write_entry(&self, entry: &Entry) -> Result<Written, StoreError> {
        let raw = RawEntry::of(entry)?;
        self.write(|writer| {
            let written = writer.entry(&raw, entry)?;
            if written == Written::New {
                writer.entry_stands(entry)?;
            }
            Ok(written)
        })
    }

    /// Writes a record's new revision; content identical to its newest one adds none.
    pub fn write_record(
        &self,
        record: &Record,
        who: &str,
        at: Timestamp,
    ) -> Result<(), StoreError> {
        let raw = RawRevision::of(record, who, at)?;
        self.write(|writer| {
            writer.introduce(record)?;
            writer.record_stands(record)?;
            writer.revision(&raw, record)
        })
    }

    /// Writes records and entries, all or none. Records may come in any order; an entry comes
    /// after the one it supersedes.
    pub fn write_all(&self, batch: &Batch) -> Result<(), StoreError> {
        let revisions: Vec<RawRevision> = batch
            .records
            .iter()
            .map(|(record, who, at)| RawRevision::of(record, who, *at))
            .collect::<Result<_, _>>()?;
        let records: Vec<&Record> = batch.records.iter().map(|(record, ..)| record).collect();
        self.write(|writer| {
            writer.revisions(revisions.iter().zip(records.iter().copied()))?;
            for record in records {
                writer.record_stands(record)?;
            }
            for entry in &batch.entries {
                if writer.entry(&RawEntry::of(entry)?, entry)? == Written::New {
                    writer.entry_stands(entry)?;
                }
            }
            Ok(())
        })?;
        self.after_batch(batch.records.len() + batch.entries.len());
        Ok(())
    }

    /// Writes stored texts as they are, all or none: what [`Notebook::for_each_revision`] and
    /// [`Notebook::for_each_entry`] gave, so that a restored notebook gives the same again.
    pub fn write_raw(
        &self,
        revisions: &[RawRevision],
        entries: &[RawEntry],
    ) -> Result<(), StoreError> {
        let records: Vec<Record> = revisions
            .iter()
            .map(RawRevision::read)
            .collect::<Result<_, _>>()?;
        self.write(|writer| {
            writer.revisions(revisions.iter().zip(&records))?;
            for raw in entries {
                writer.entry(raw, &raw.read()?)?;
            }
            Ok(())
        })?;
        self.after_batch(revisions.len() + entries.len());
        Ok(())
    }

    /// Runs `work` in one write transaction: committed and synced when it succeeds, else undone.
    pub(crate) fn write<T>(
        &self,
        work: impl FnOnce(&mut Writer<'_>) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        self.write_plain(|tx| work(&mut Writer::new(tx)))
    }

    /// The same for tables that hold neither records nor entries.
    pub(crate) fn write_plain<T>(
        &self,
        work: impl FnOnce(&Transaction<'_>) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        let mut db = lock(&self.writer);
        let tx = db.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let done = work(&tx)?;
        tx.commit()?;
        Ok(done)
    }

    /// Best effort: a checkpoint that cannot run now runs later by itself.
    fn after_batch(&self, rows: usize) {
        if rows >= LARGE_BATCH {
            let db = lock(&self.writer);
            let _later = db.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()));
        }
    }

    /// Runs `work` on a read-only connection, within one consistent state.
    pub(crate) fn read<T, E: From<StoreError>>(
        &self,
        work: impl FnOnce(&Transaction<'_>) -> Result<T, E>,
    ) -> Result<T, E> {
        let idle = lock(&self.readers).pop();
        let db = match idle {
            Some(db) => db,
            None => open_reader(&self.folder)?,
        };
        let tx = db.unchecked_transaction().map_err(StoreError::from)?;
        let done = work(&tx);
        drop(tx);
        let mut readers = lock(&self.readers);
        if readers.len() < IDLE_READERS {
            readers.push(db);
        }
        done
    }
}

/// A panic elsewhere leaves the connection usable: an unfinished transaction was rolled back.
fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

fn set_up_writer(db: &Connection) -> Result<(), StoreError> {
    let mode: String = db.query_row("PRAGMA journal_mode = WAL", [], |row| row.get(0))?;
    if !mode.eq_ignore_ascii_case("wal") {
        return Err(StoreError::NotALocalDisk { found: mode });
    }
    db.pragma_update(None, "synchronous", "FULL")?;
    db.pragma_update(None, "fullfsync", true)?;
    db.pragma_update(None, "checkpoint_fullfsync", true)?;
    db.pragma_update(None, "foreign_keys", true)?;
    db.pragma_update(None, "recursive_triggers", true)?;
    keep_plans(db)
}

/// Statements are planned once, whatever is bound to them later: plans stay as tested, and nothing
/// is planned again for every row looked up.
fn keep_plans(db: &Connection) -> Result<(), StoreError> {
    db.set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_QPSG, true)?;
    db.set_prepared_statement_cache_capacity(64);
    Ok(())
}

fn open_reader(folder: &Path) -> Result<Connection, StoreError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let db = Connection::open_with_flags(folder.join(DATABASE), flags)?;
    db.busy_timeout(PATIENCE)?;
    keep_plans(&db)?;
    Ok(db)
}

/// Whether the file begins as every SQLite database does.
fn has_sqlite_header(database: &Path) -> bool {
    let mut first = [0u8; 16];
    File::open(database)
        .and_then(|mut file| file.read_exact(&mut first))
        .is_ok_and(|()| &first == b"SQLite format 3\0")
}

/// Makes a new name in `folder` survive a power cut. Where folders cannot be synced (Windows),
/// the file system does it by itself.
pub(crate) fn sync_folder(folder: &Path) -> Result<(), StoreError> {
    if cfg!(unix) {
        File::open(folder)
            .and_then(|f| f.sync_all())
            .map_err(StoreError::file("sync", folder))?;
    }
    Ok(())
}
