//! Putting an update into its folder: staged beside its place, moved in name by name, and never over
//! anything that is not an earlier update.

use super::UpdateError;
use super::page::GENERATOR;
use std::fs::{self, File};
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};

/// The page.
pub const PAGE: &str = "index.html";
/// The data package.
pub const DATA: &str = "data.zip";
/// The folder of frames.
pub const FRAMES: &str = "frames";
/// How names of folders begin in which an update is made ready.
const STAGE: &str = ".update-";
/// Tells stages of one process apart.
static TURN: AtomicU64 = AtomicU64::new(0);
/// Where the page's generator must be named, in bytes from its start.
const HEAD_BYTES: u64 = 4096;

/// A folder in which an update is made ready; it goes when this does.
pub(super) struct Stage {
    out: PathBuf,
    folder: PathBuf,
    /// Whether `out` was not there before and holds nothing yet.
    out_is_new: bool,
}

impl Stage {
    /// A stage in `out`, which is made when missing.
    pub(super) fn new(out: &Path) -> Result<Stage, UpdateError> {
        check(out)?;
        let out_is_new = !out.exists();
        fs::create_dir_all(out).map_err(UpdateError::file("make", out))?;
        let turn = TURN.fetch_add(1, Ordering::Relaxed);
        let folder = out.join(format!("{STAGE}{}-{turn}", std::process::id()));
        // Left by a run that was cut short and had our numbers.
        let _none_left = fs::remove_dir_all(&folder);
        fs::create_dir(&folder).map_err(UpdateError::file("make", &folder))?;
        Ok(Stage {
            out: out.to_path_buf(),
            folder,
            out_is_new,
        })
    }

    /// A place in the stage.
    pub(super) fn place(&self, name: &str) -> PathBuf {
        self.folder.join(name)
    }

    /// Writes a file of the stage and waits until it is on disk.
    pub(super) fn write(&self, name: &str, bytes: &[u8]) -> Result<(), UpdateError> {
        let path = self.place(name);
        if let Some(folder) = path.parent() {
            fs::create_dir_all(folder).map_err(UpdateError::file("make", folder))?;
        }
        let written = File::create_new(&path).and_then(|mut file| {
            file.write_all(bytes)?;
            file.sync_all()
        });
        written.map_err(UpdateError::file("write", &path))
    }

    /// Moves the named files to their place, in this order, and takes away frames of an earlier
    /// update that are not among them.
    pub(super) fn publish(&mut self, names: &[String]) -> Result<Vec<PathBuf>, UpdateError> {
        let frames = self.out.join(FRAMES);
        self.out_is_new = false;
        fs::create_dir_all(&frames).map_err(UpdateError::file("make", &frames))?;
        let mut placed = Vec::new();
        for name in names {
            let (from, to) = (self.place(name), self.out.join(name));
            fs::rename(&from, &to).map_err(UpdateError::file("write", &to))?;
            placed.push(to);
        }
        for old in listed(&frames)? {
            let kept = names.iter().any(|n| *n == format!("{FRAMES}/{old}"));
            if !kept && crate::frames::is_frame_name(&old) {
                let path = frames.join(&old);
                fs::remove_file(&path).map_err(UpdateError::file("remove", &path))?;
            }
        }
        Ok(placed)
    }
}

impl Drop for Stage {
    fn drop(&mut self) {
        // Best effort: the next update clears it too.
        let _gone = fs::remove_dir_all(&self.folder);
        if self.out_is_new {
            // Only when nothing else came to be in it.
            let _gone = fs::remove_dir(&self.out);
        }
    }
}

/// Whether an update may be written into `out`: it is missing, empty, or holds an earlier update.
fn check(out: &Path) -> Result<(), UpdateError> {
    let about = match fs::symlink_metadata(out) {
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(()),
        Err(e) => return Err(UpdateError::file("read", out)(e)),
        Ok(_) => fs::metadata(out).map_err(UpdateError::file("read", out))?,
    };
    if !about.is_dir() {
        return Err(UpdateError::NotAFolder {
            folder: out.to_path_buf(),
        });
    }
    let names = listed(out)?;
    let other = names.iter().find(|n| !n.starts_with(STAGE));
    match other {
        Some(name) if !is_update(out) => Err(UpdateError::OtherFiles {
            folder: out.to_path_buf(),
            name: name.clone(),
        }),
        _ => not_elsewhere(out),
    }
}

/// Whether the folder's page says that we made it.
fn is_update(out: &Path) -> bool {
    let mut head = Vec::new();
    let read =
        File::open(out.join(PAGE)).and_then(|file| file.take(HEAD_BYTES).read_to_end(&mut head));
    let mark = format!("<meta name=\"generator\" content=\"{GENERATOR} ");
    read.is_ok() && String::from_utf8_lossy(&head).contains(&mark)
}

/// A link in the place of the frames could lead anywhere.
fn not_elsewhere(out: &Path) -> Result<(), UpdateError> {
    let frames = out.join(FRAMES);
    match fs::symlink_metadata(&frames) {
        Ok(about) if !about.is_dir() => Err(UpdateError::OtherFiles {
            folder: out.to_path_buf(),
            name: FRAMES.to_string(),
        }),
        _ => Ok(()),
    }
}

/// The names in a folder, in order.
fn listed(folder: &Path) -> Result<Vec<String>, UpdateError> {
    let mut names = Vec::new();
    for item in fs::read_dir(folder).map_err(UpdateError::file("read", folder))? {
        let item = item.map_err(UpdateError::file("read", folder))?;
        names.push(item.file_name().to_string_lossy().into_owned());
    }
    names.sort();
    Ok(names)
}
