//! A notebook made again from a package that [`crate::export::export`] wrote.

mod archive;
mod rows;

use crate::export::{PACKAGE_SCHEMA, PackageError, Steps, write_missing};
use crate::notebook::sync_folder;
use crate::{EntryQuery, MEDIA_TYPES, Notebook, StoreError};
use archive::Archive;
use job::Progress;
use serde::Deserialize;
use std::collections::{BTreeSet, HashMap};
use std::fmt;
use std::fs;
use std::io::{Read, Seek};
use std::path::{Path, PathBuf};
use text::t;
use trial::Act;

/// What a package may hold at most. Sizes are those after unpacking, counted as they are read, so
/// that no small file can fill the disk or the memory.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Files in the package.
    pub files: usize,
    /// Bytes of `data/entries.csv`.
    pub entries_bytes: u64,
    /// Bytes of `data/revisions.csv` and of `datapackage.json`, each: they are held in memory.
    pub held_bytes: u64,
    /// Bytes of one row.
    pub row_bytes: u64,
    /// Bytes of one picture.
    pub picture_bytes: u64,
    /// Bytes of all pictures together.
    pub pictures_bytes: u64,
}

impl Default for Limits {
    /// Far beyond what keepers have: decades of entries, and 64 GiB of pictures.
    fn default() -> Self {
        const MIB: u64 = 1 << 20;
        Limits {
            files: 1_000_000,
            entries_bytes: 8 * 1024 * MIB,
            held_bytes: 256 * MIB,
            row_bytes: 4 * MIB,
            picture_bytes: 64 * MIB,
            pictures_bytes: 64 * 1024 * MIB,
        }
    }
}

/// What was restored.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct RestoreReport {
    /// Entries, superseded ones included.
    pub entries: u64,
    /// Revisions of set-up records.
    pub revisions: u64,
    /// Pictures.
    pub pictures: u64,
    /// Pictures that entries name but that the package does not hold, by hash.
    pub missing_pictures: Vec<String>,
}

impl fmt::Display for RestoreReport {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "Restored: entries {}, revisions of set-up records {}, pictures {}.",
            self.entries, self.revisions, self.pictures
        )?;
        write_missing(f, &self.missing_pictures)
    }
}

/// What restoring needs of `datapackage.json`.
#[derive(Deserialize)]
struct Descriptor {
    fairtank: Option<Fairtank>,
    #[serde(default)]
    resources: Vec<ListedFile>,
}

#[derive(Deserialize)]
struct Fairtank {
    schema: u64,
    #[serde(default)]
    entries: u64,
    #[serde(default)]
    revisions: u64,
    #[serde(default)]
    pictures: u64,
}

#[derive(Deserialize)]
struct ListedFile {
    #[serde(default)]
    path: String,
    #[serde(default)]
    hash: String,
}

/// Makes the new notebook `folder` from a package. It is built beside its place and appears under
/// its name only when it is whole: whatever fails, no half notebook is left. The package is not
/// trusted: names that lead elsewhere, links, doubles, encrypted files, sizes beyond `limits`, rows
/// that cannot stand and bytes that do not match their hash are refused. Stopped by `progress` it
/// gives [`PackageError::Cancelled`].
pub fn restore(
    zip: impl Read + Seek,
    folder: &Path,
    limits: &Limits,
    progress: &Progress,
) -> Result<RestoreReport, PackageError> {
    if fs::symlink_metadata(folder).is_ok() {
        return Err(PackageError::Exists(folder.to_path_buf()));
    }
    let mut archive = Archive::open(zip, limits)?;
    let descriptor = descriptor(&mut archive, limits)?;
    let parent = match folder.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_path_buf(),
        _ => PathBuf::from("."),
    };
    fs::create_dir_all(&parent).map_err(StoreError::file("make", &parent))?;
    let name = folder.file_name().unwrap_or_default().to_string_lossy();
    let part = parent.join(format!(".{name}-{}.part", std::process::id()));
    fs::create_dir(&part).map_err(StoreError::file("make", &part))?;
    let steps = Steps {
        done: 0,
        total: descriptor.steps(),
        progress,
    };
    let mut run = Run {
        archive,
        limits,
        descriptor,
        steps,
        report: RestoreReport::default(),
    };
    let done = run.build(&part).and_then(|()| {
        fs::rename(&part, folder).map_err(StoreError::file("name", folder))?;
        sync_folder(&parent)?;
        Ok(run.report)
    });
    if done.is_err() {
        let _already_gone = fs::remove_dir_all(&part);
    }
    done
}

/// Reads `datapackage.json` and checks that this build knows its layout.
fn descriptor<R: Read + Seek>(
    archive: &mut Archive<R>,
    limits: &Limits,
) -> Result<Descriptor, PackageError> {
    let bytes = archive
        .bytes("datapackage.json", limits.held_bytes)?
        .ok_or(PackageError::Missing("datapackage.json"))?;
    let found: Descriptor =
        serde_json::from_slice(&bytes).map_err(|e| PackageError::Descriptor(e.to_string()))?;
    match &found.fairtank {
        None => Err(PackageError::Descriptor(
            "it names no fairtank.schema".to_string(),
        )),
        Some(f) if f.schema > PACKAGE_SCHEMA || f.schema == 0 => Err(PackageError::Newer {
            found: f.schema,
            known: PACKAGE_SCHEMA,
        }),
        Some(_) => Ok(found),
    }
}

impl Descriptor {
    /// Steps expected; only for showing progress.
    fn steps(&self) -> u64 {
        let f = self.fairtank.as_ref();
        f.map_or(0, |f| {
            f.entries
                .saturating_add(f.revisions)
                .saturating_add(f.pictures)
        })
    }

    /// The SHA-256 a file is listed with; `None` when it is not listed with one.
    fn sha256(&self, path: &str) -> Option<&str> {
        let listed = self.resources.iter().find(|r| r.path == path)?;
        listed.hash.strip_prefix("sha256:")
    }
}

/// One restore under way.
struct Run<'a, R: Read + Seek> {
    archive: Archive<R>,
    limits: &'a Limits,
    descriptor: Descriptor,
    steps: Steps<'a>,
    report: RestoreReport,
}

impl<R: Read + Seek> Run<'_, R> {
    fn build(&mut self, part: &Path) -> Result<(), PackageError> {
        self.steps.tell()?;
        let notebook = Notebook::create(part)?;
        self.steps.progress.doing(t!("job.doing_set_up"));
        rows::revisions(self, &notebook)?;
        self.steps.progress.doing(t!("job.doing_entries"));
        rows::entries(self, &notebook)?;
        self.steps.progress.doing(t!("job.doing_pictures"));
        self.pictures(&notebook)?;
        self.report.missing_pictures = missing_pictures(&notebook)?;
        self.steps.done = self.steps.total;
        Ok(self.steps.tell()?)
    }

    fn pictures(&mut self, notebook: &Notebook) -> Result<(), PackageError> {
        let listed: HashMap<String, usize> = self.archive.pictures();
        let mut names: Vec<(String, usize)> = listed.into_iter().collect();
        names.sort();
        let mut left = self.limits.pictures_bytes;
        for (name, index) in names {
            let (sha256, media_type) = picture_name(&name)?;
            let most = self.limits.picture_bytes.min(left);
            let bytes = self.archive.bytes_at(index, &name, most)?;
            left -= bytes.len() as u64;
            if crate::hash(&bytes) != sha256 {
                return Err(PackageError::Changed { file: name });
            }
            notebook.add_picture(&bytes, media_type)?;
            self.report.pictures += 1;
            self.steps.file()?;
        }
        Ok(())
    }
}

/// The hash and media type that a picture's name in the package says.
fn picture_name(name: &str) -> Result<(&str, &'static str), PackageError> {
    let file = name.strip_prefix("pictures/").unwrap_or(name);
    let known = file.rsplit_once('.').and_then(|(stem, extension)| {
        let (media_type, _) = MEDIA_TYPES.iter().find(|(_, e)| *e == extension)?;
        let is_hash =
            stem.len() == 64 && stem.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'));
        is_hash.then_some((stem, *media_type))
    });
    known.ok_or_else(|| PackageError::Name {
        name: name.to_string(),
        why: "a picture is named by the SHA-256 of its bytes and .jpg, .png or .webp",
    })
}

/// The pictures that entries name, superseded ones included, but that are not there.
fn missing_pictures(notebook: &Notebook) -> Result<Vec<String>, PackageError> {
    let mut missing = BTreeSet::new();
    for line in notebook.trials()? {
        let pictures = EntryQuery::of(line.trial.id)
            .kinds(&["picture"])
            .with_superseded();
        for entry in notebook.entries(&pictures)? {
            if let Act::Picture(picture) = entry.act
                && !notebook
                    .picture_path(&picture.sha256)
                    .is_ok_and(|p| p.is_some())
            {
                missing.insert(picture.sha256);
            }
        }
    }
    Ok(missing.into_iter().collect())
}
