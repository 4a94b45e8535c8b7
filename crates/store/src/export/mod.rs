//! The whole notebook as one open package: a zip that is a Data Package (datapackage.org), to be
//! read without Fairtank and restored without loss.
//!
//! Two layers stand beside each other. `data/revisions.csv` and `data/entries.csv` hold every
//! stored text as it is; [`crate::restore::restore`] reads these and nothing else but the pictures. The
//! other tables say what stands now in rows and columns (`trial::tables`). The same notebook always
//! gives the same bytes: names are sorted, times fixed, and nothing tells when or where it was made.

mod descriptor;
#[cfg(test)]
mod documented;
mod error;
pub(crate) mod lossless;
mod tidy;
mod zip_out;

pub use error::PackageError;

use crate::notebook::sync_folder;
use crate::read::{entry_sql, raw_entry, raw_revision, revision_sql};
use crate::{Notebook, StoreError};
use descriptor::{Counts, FileLine, Resource, descriptor};
use job::{Cancelled, Progress};
use rusqlite::Transaction;
use std::collections::BTreeSet;
use std::fmt;
use std::fs::{self, File};
use std::io::{BufWriter, Seek, Write};
use std::path::Path;
use text::t;
use zip_out::ZipOut;

/// The version of the package's own layout: the newest this build reads and the one it writes.
pub const PACKAGE_SCHEMA: u64 = 1;

/// What an export holds.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ExportReport {
    /// Entries, superseded ones included.
    pub entries: u64,
    /// Revisions of set-up records.
    pub revisions: u64,
    /// Pictures.
    pub pictures: u64,
    /// Pictures that entries name but that are missing or damaged, by hash: they are not in it.
    pub missing_pictures: Vec<String>,
}

impl fmt::Display for ExportReport {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "Exported: entries {}, revisions of set-up records {}, pictures {}.",
            self.entries, self.revisions, self.pictures
        )?;
        write_missing(f, &self.missing_pictures)
    }
}

/// The pictures that are named but not there, a line each.
pub(crate) fn write_missing(f: &mut fmt::Formatter<'_>, missing: &[String]) -> fmt::Result {
    for sha256 in missing {
        write!(f, "\nPicture {sha256} is named but missing or damaged.")?;
    }
    Ok(())
}

/// Counts steps and stops when asked to.
pub(crate) struct Steps<'a> {
    pub(crate) done: u64,
    pub(crate) total: u64,
    pub(crate) progress: &'a Progress,
}

impl Steps<'_> {
    /// Rows are told every so many.
    const EVERY: u64 = 256;

    /// One row more.
    pub(crate) fn step(&mut self) -> Result<(), Cancelled> {
        self.done += 1;
        match self.done.is_multiple_of(Self::EVERY) {
            true => self.tell(),
            false => Ok(()),
        }
    }

    /// One file more, such as a picture.
    pub(crate) fn file(&mut self) -> Result<(), Cancelled> {
        self.done += 1;
        self.tell()
    }

    pub(crate) fn tell(&self) -> Result<(), Cancelled> {
        self.progress.at(self.done.min(self.total), self.total)
    }
}

/// Writes the whole notebook to `out`, from one consistent state, while it is in use. Memory stays
/// small: rows and pictures pass through one by one. Stopped by `progress` it gives
/// [`PackageError::Cancelled`], and what was written so far is of no use; [`export_to`] clears it
/// away.
pub fn export(
    notebook: &Notebook,
    out: impl Write + Seek,
    progress: &Progress,
) -> Result<ExportReport, PackageError> {
    notebook.read(|db| {
        let pictures = notebook.pictures()?;
        let (revisions, entries) = counts(db)?;
        // Entries are read twice: as stored, and as what they say.
        let total = revisions + 2 * entries + 2 * pictures.len() as u64;
        let steps = Steps {
            done: 0,
            total,
            progress,
        };
        let mut run = Run {
            notebook,
            db,
            zip: ZipOut::new(out),
            steps,
            resources: Vec::new(),
            named: BTreeSet::new(),
            report: ExportReport::default(),
        };
        run.steps.tell()?;
        run.zip.text("README.txt", README.as_bytes())?;
        for name in table_names() {
            progress.doing(t!("job.doing_table", name = name));
            run.steps.tell()?;
            let file = run.table(&name)?;
            run.resources.push(file);
        }
        progress.doing(t!("job.doing_pictures"));
        let pictures = run.sound_pictures(&pictures)?;
        run.finish(&pictures)
    })
}

/// Writes the whole notebook to the new file `out`, as [`export`] does. The file appears under its
/// name only when it is whole: whatever fails, nothing of it is left.
pub fn export_to(
    notebook: &Notebook,
    out: &Path,
    progress: &Progress,
) -> Result<ExportReport, PackageError> {
    if fs::symlink_metadata(out).is_ok() {
        return Err(StoreError::Exists(out.to_path_buf()).into());
    }
    let parent = match out.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    fs::create_dir_all(parent).map_err(StoreError::file("make", parent))?;
    let name = out.file_name().unwrap_or_default().to_string_lossy();
    let part = parent.join(format!(".{name}-{}.part", std::process::id()));
    let done = write_part(notebook, &part, progress).and_then(|report| {
        fs::rename(&part, out).map_err(StoreError::file("name", out))?;
        sync_folder(parent)?;
        Ok(report)
    });
    if done.is_err() {
        let _already_gone = fs::remove_file(&part);
    }
    done
}

fn write_part(
    notebook: &Notebook,
    part: &Path,
    progress: &Progress,
) -> Result<ExportReport, PackageError> {
    let file = File::create_new(part).map_err(StoreError::file("make", part))?;
    let report = export(notebook, BufWriter::new(&file), progress)?;
    file.sync_all().map_err(StoreError::file("sync", part))?;
    Ok(report)
}

const README: &str = include_str!("README.txt");

fn counts(db: &Transaction<'_>) -> Result<(u64, u64), StoreError> {
    let count = |sql| {
        db.query_row(sql, [], |row| row.get::<_, i64>(0))
            .map(i64::unsigned_abs)
    };
    Ok((
        count("SELECT count(*) FROM revision")?,
        count("SELECT count(*) FROM entry")?,
    ))
}

/// The names of all tables, sorted.
fn table_names() -> Vec<String> {
    let mut names: Vec<String> = tidy::names().map(str::to_string).collect();
    names.extend([lossless::ENTRIES, lossless::REVISIONS].map(str::to_string));
    names.sort();
    names
}

/// One export under way.
struct Run<'a, W: Write + Seek> {
    notebook: &'a Notebook,
    db: &'a Transaction<'a>,
    zip: ZipOut<W>,
    steps: Steps<'a>,
    resources: Vec<Resource>,
    /// The pictures entries name.
    named: BTreeSet<String>,
    report: ExportReport,
}

impl<W: Write + Seek> Run<'_, W> {
    fn table(&mut self, name: &str) -> Result<Resource, PackageError> {
        match name {
            lossless::ENTRIES => self.entries(),
            lossless::REVISIONS => self.revisions(),
            _ => tidy::write(self.notebook, self.db, name, &mut self.zip, &mut self.steps),
        }
    }

    fn revisions(&mut self) -> Result<Resource, PackageError> {
        let mut file = self
            .zip
            .table(lossless::REVISIONS, &lossless::REVISION_COLUMNS)?;
        let mut all = self.db.prepare_cached(revision_sql!("ORDER BY v.seq"))?;
        let mut rows = all.query([])?;
        while let Some(row) = rows.next()? {
            self.report.revisions += 1;
            file.row(&lossless::revision_row(
                self.report.revisions,
                &raw_revision(row)?,
            ))?;
            self.steps.step()?;
        }
        let done = file.finish()?;
        Ok(Resource::table(
            lossless::REVISIONS,
            lossless::REVISIONS_ABOUT,
            &lossless::REVISION_COLUMNS,
            done,
        ))
    }

    fn entries(&mut self) -> Result<Resource, PackageError> {
        let mut file = self
            .zip
            .table(lossless::ENTRIES, &lossless::ENTRY_COLUMNS)?;
        let mut all = self.db.prepare_cached(entry_sql!("ORDER BY e.seq"))?;
        let mut rows = all.query([])?;
        while let Some(row) = rows.next()? {
            let raw = raw_entry(row)?;
            if raw.kind == "picture"
                && let trial::Act::Picture(picture) = raw.read()?.act
            {
                self.named.insert(picture.sha256);
            }
            self.report.entries += 1;
            file.row(&lossless::entry_row(&raw))?;
            self.steps.step()?;
        }
        let done = file.finish()?;
        Ok(Resource::table(
            lossless::ENTRIES,
            lossless::ENTRIES_ABOUT,
            &lossless::ENTRY_COLUMNS,
            done,
        ))
    }

    /// The pictures whose bytes still are what they were, as path and hash; the others are told.
    fn sound_pictures(
        &mut self,
        files: &[(String, std::path::PathBuf)],
    ) -> Result<Vec<(String, String)>, PackageError> {
        let mut sound = Vec::new();
        for (sha256, file) in files {
            self.steps.file()?;
            let bytes = match self.notebook.read_picture(sha256) {
                Ok(bytes) => bytes,
                Err(StoreError::PictureDamaged { .. }) => continue,
                Err(other) => return Err(other.into()),
            };
            let name = file
                .file_name()
                .and_then(|n| n.to_str())
                .unwrap_or_default();
            let path = format!("pictures/{name}");
            let done = FileLine {
                bytes: bytes.len() as u64,
                sha256: sha256.clone(),
            };
            self.resources.push(Resource::picture(&path, sha256, done));
            sound.push((path, sha256.clone()));
        }
        let is_sound = |sha256: &&String| sound.iter().any(|(_, s)| s == *sha256);
        let missing = self.named.iter().filter(|s| !is_sound(s)).cloned();
        self.report.missing_pictures = missing.collect();
        self.report.pictures = sound.len() as u64;
        Ok(sound)
    }

    fn finish(mut self, pictures: &[(String, String)]) -> Result<ExportReport, PackageError> {
        let counts = Counts {
            entries: self.report.entries,
            revisions: self.report.revisions,
            pictures: self.report.pictures,
        };
        let json = descriptor(&counts, &self.resources)?;
        self.zip.text("datapackage.json", json.as_bytes())?;
        for (path, sha256) in pictures {
            self.zip
                .picture(path, &self.notebook.read_picture(sha256)?)?;
            self.steps.file()?;
        }
        self.zip.finish()?;
        self.steps.done = self.steps.total;
        self.steps.tell()?;
        Ok(self.report)
    }
}
