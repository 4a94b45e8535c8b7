//! A consistent copy of the notebook while it is in use.

use crate::notebook::{DATABASE, PICTURES, sync_folder};
use crate::{Notebook, StoreError};
use rusqlite::Connection;
use rusqlite::backup::Backup;
use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::time::Duration;

impl Notebook {
    /// Copies the notebook to the new folder `out`: the database in one consistent state, then
    /// every picture. The folder appears under its name only when it is whole.
    pub fn backup(&self, out: &Path) -> Result<(), StoreError> {
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
        let done = self.copy_to(&part).and_then(|()| {
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
        match real(parent)?.starts_with(real(self.folder())?) {
            true => Err(StoreError::InsideNotebook(out.to_path_buf())),
            false => Ok(()),
        }
    }

    fn copy_to(&self, part: &Path) -> Result<(), StoreError> {
        fs::create_dir(part).map_err(StoreError::file("make", part))?;
        self.copy_database(&part.join(DATABASE))?;
        let pictures = part.join(PICTURES);
        fs::create_dir(&pictures).map_err(StoreError::file("make", &pictures))?;
        // Pictures come after the database: every one it names was there before it.
        for (sha256, file) in self.pictures()? {
            let folder = pictures.join(&sha256[..2]);
            fs::create_dir_all(&folder).map_err(StoreError::file("make", &folder))?;
            let copy = folder.join(file.file_name().unwrap_or_default());
            fs::copy(&file, &copy)
                .and_then(|_| File::open(&copy)?.sync_all())
                .map_err(StoreError::file("copy", &copy))?;
            sync_folder(&folder)?;
        }
        sync_folder(&pictures)?;
        sync_folder(part)
    }

    fn copy_database(&self, to: &Path) -> Result<(), StoreError> {
        self.read(|db| {
            let mut copy = Connection::open(to)?;
            copy.pragma_update(None, "synchronous", "FULL")?;
            // One step copies every page from one state; writers go on meanwhile.
            Backup::new(db, &mut copy)?.run_to_completion(i32::MAX, Duration::ZERO, None)?;
            // Folds the copy's log away, so that the folder holds one whole file.
            copy.close().map_err(|(_, e)| StoreError::from(e))
        })?;
        File::open(to)
            .and_then(|f| f.sync_all())
            .map_err(StoreError::file("sync", to))
    }
}
