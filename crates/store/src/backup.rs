//! A consistent copy of the notebook while it is in use.

use crate::notebook::{DATABASE, PICTURES, sync_folder};
use crate::{Notebook, StoreError};
use job::Progress;
use rusqlite::Connection;
use rusqlite::backup::{Backup, StepResult};
use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::time::Duration;
use text::t;

/// The folder in the notebook's folder where backups may be kept, the only one inside it: copies do
/// not hold it, so none holds another.
pub const BACKUPS: &str = "backups";
/// Pages of the database copied in one step: at 4 KiB a page some hundredths of a second.
const PAGES: i32 = 2_000;

impl Notebook {
    /// Copies the notebook to the new folder `out`: the database in one consistent state, then
    /// every picture. The folder appears under its name only when it is whole: an error, and
    /// [`StoreError::Cancelled`] is one, leaves nothing of it.
    pub fn backup(&self, out: &Path, progress: &Progress) -> Result<(), StoreError> {
        if fs::symlink_metadata(out).is_ok() {
            return Err(StoreError::Exists(out.to_path_buf()));
        }
        let parent = match out.parent() {
            Some(parent) if !parent.as_os_str().is_empty() => parent.to_path_buf(),
            _ => PathBuf::from("."),
        };
        fs::create_dir_all(&parent).map_err(StoreError::file("make", &parent))?;
        self.refuse_inside(&parent, out)?;
        let name = out.file_name().unwrap_or_default().to_string_lossy();
        let part = parent.join(format!(".{name}-{}.part", std::process::id()));
        let done = self.copy_to(&part, progress).and_then(|()| {
            fs::rename(&part, out).map_err(StoreError::file("name", out))?;
            sync_folder(&parent)
        });
        if done.is_err() {
            let _already_gone = fs::remove_dir_all(&part);
        }
        done
    }

    fn refuse_inside(&self, parent: &Path, out: &Path) -> Result<(), StoreError> {
        let real = |path: &Path| fs::canonicalize(path).map_err(StoreError::file("find", path));
        let (parent, own) = (real(parent)?, real(self.folder())?);
        match parent.starts_with(&own) && parent != own.join(BACKUPS) {
            true => Err(StoreError::InsideNotebook(out.to_path_buf())),
            false => Ok(()),
        }
    }

    fn copy_to(&self, part: &Path, progress: &Progress) -> Result<(), StoreError> {
        fs::create_dir(part).map_err(StoreError::file("make", part))?;
        progress.doing(t!("job.doing_database"));
        self.copy_database(&part.join(DATABASE), &progress.part(0, 20))?;
        let pictures = part.join(PICTURES);
        fs::create_dir(&pictures).map_err(StoreError::file("make", &pictures))?;
        progress.doing(t!("job.doing_pictures"));
        let rest = progress.part(20, 100);
        // Pictures come after the database: every one it names was there before it.
        let all = self.pictures()?;
        for (n, (sha256, file)) in all.iter().enumerate() {
            rest.at(n as u64, all.len() as u64)?;
            let folder = pictures.join(&sha256[..2]);
            fs::create_dir_all(&folder).map_err(StoreError::file("make", &folder))?;
            let copy = folder.join(file.file_name().unwrap_or_default());
            fs::copy(file, &copy)
                .and_then(|_| File::open(&copy)?.sync_all())
                .map_err(StoreError::file("copy", &copy))?;
            sync_folder(&folder)?;
        }
        rest.at(1, 1)?;
        sync_folder(&pictures)?;
        sync_folder(part)
    }

    fn copy_database(&self, to: &Path, progress: &Progress) -> Result<(), StoreError> {
        self.read(|db| {
            // The state to copy is the one that this first look sees.
            db.query_row("SELECT count(*) FROM record", [], |_| Ok(()))?;
            let mut copy = Connection::open(to)?;
            copy.pragma_update(None, "synchronous", "FULL")?;
            copy_pages(db, &mut copy, progress)?;
            // Folds the copy's log away, so that the folder holds one whole file.
            copy.close().map_err(|(_, e)| StoreError::from(e))
        })?;
        File::open(to)
            .and_then(|f| f.sync_all())
            .map_err(StoreError::file("sync", to))
    }
}

/// Copies all pages from the one state that `db` reads; writers go on meanwhile.
fn copy_pages(db: &Connection, to: &mut Connection, progress: &Progress) -> Result<(), StoreError> {
    let backup = Backup::new(db, to)?;
    let mut tries = 0;
    loop {
        let state = backup.step(PAGES)?;
        let told = backup.progress();
        let count = |pages: i32| u64::try_from(pages).unwrap_or(0);
        let (left, all) = (count(told.remaining), count(told.pagecount));
        progress.at(all.saturating_sub(left), all)?;
        match state {
            StepResult::Done => return Ok(()),
            StepResult::More => tries = 0,
            // Another program holds the copy's or the database's lock for a moment.
            _ if tries < 100 => {
                tries += 1;
                std::thread::sleep(Duration::from_millis(100));
            }
            _ => return Err(StoreError::Busy),
        }
    }
}
