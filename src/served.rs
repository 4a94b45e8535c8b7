//! One server for one notebook: a second would serve the same pages under another address, and a form
//! of one is stale at the other.
//!
//! The lock is the operating system's and goes with the process, however it ends. The address stands
//! in a file of its own, since a locked file cannot be read everywhere.

use crate::exit::Unusable;
use anyhow::Context;
use std::fs::{self, File, TryLockError};
use std::path::{Path, PathBuf};

const LOCK: &str = "served.lock";
const ADDRESS: &str = "served.txt";

/// The lock on a notebook that is served, held as long as this lives.
pub(crate) struct Served {
    folder: PathBuf,
    _lock: File,
}

/// Takes the lock; refused with the other server's address while it runs.
pub(crate) fn take(folder: &Path) -> anyhow::Result<Served> {
    let path = folder.join(LOCK);
    let lock = File::options()
        .create(true)
        .truncate(false)
        .write(true)
        .open(&path)
        .with_context(|| format!("{} cannot be made", path.display()))?;
    match lock.try_lock() {
        Ok(()) => Ok(Served {
            folder: folder.to_path_buf(),
            _lock: lock,
        }),
        Err(TryLockError::WouldBlock) => {
            let address = fs::read_to_string(folder.join(ADDRESS)).unwrap_or_default();
            let address = match address.trim() {
                "" => "another address of this computer",
                address => address,
            };
            let text = format!(
                "{} is open already, at {address}; use that, or stop it first",
                folder.display()
            );
            Err(Unusable(text).into())
        }
        Err(TryLockError::Error(error)) => {
            Err(error).with_context(|| format!("{} cannot be locked", path.display()))
        }
    }
}

impl Served {
    /// Notes where the notebook is served, for whoever tries to serve it too.
    pub(crate) fn at(&self, address: &str) -> anyhow::Result<()> {
        let path = self.folder.join(ADDRESS);
        fs::write(&path, address).with_context(|| format!("{} cannot be written", path.display()))
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn a_notebook_is_served_once_and_again_after_that() {
        let folder = tempfile::tempdir().unwrap();
        let first = super::take(folder.path()).unwrap();
        first.at("http://127.0.0.1:7440/").unwrap();
        let refused = super::take(folder.path())
            .map(drop)
            .unwrap_err()
            .to_string();
        assert!(
            refused.contains("open already, at http://127.0.0.1:7440/"),
            "{refused}"
        );
        drop(first);
        super::take(folder.path()).unwrap();
    }
}
