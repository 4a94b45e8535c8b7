//! The two tables a notebook is restored from, read row by row and written in large steps.

use super::Run;
use super::archive::Counted;
use crate::export::PackageError;
use crate::export::lossless::{ENTRIES, ENTRY_COLUMNS, REVISION_COLUMNS, REVISIONS, RawLine};
use crate::{Notebook, RawEntry, RawRevision, StoreError};
use csv::StringRecord;
use sha2::{Digest, Sha256};
use std::cell::Cell;
use std::io::{self, Read, Seek};
use std::rc::Rc;
use trial::tables::Column;

/// Entries written in one step.
const CHUNK: usize = 2_000;

/// A table and what is known of it beforehand.
struct Source<'a> {
    file: String,
    missing: &'static str,
    columns: &'a [Column],
    most: u64,
}

/// Reads every row of a table in order; gives the SHA-256 of the file.
fn each_row<R: Read + Seek>(
    run: &mut Run<'_, R>,
    source: &Source<'_>,
    mut each: impl FnMut(&RawLine<'_>) -> Result<(), PackageError>,
) -> Result<String, PackageError> {
    let inner = run
        .archive
        .file(&source.file, source.most)?
        .ok_or(PackageError::Missing(source.missing))?;
    let row = Rc::new(Cell::new(0));
    let row_most = run.limits.row_bytes;
    let hash = Rc::new(Cell::new(Some(Sha256::new())));
    let counted = Counted {
        inner,
        left: source.most,
        row: Rc::clone(&row),
        row_most,
    };
    let hashed = Hashed {
        inner: counted,
        hash: Rc::clone(&hash),
    };
    let mut csv = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(hashed);
    let mut record = StringRecord::new();
    let (mut header, mut next) = (true, 1);
    while csv
        .read_record(&mut record)
        .map_err(|e| unreadable(&source.file, e))?
    {
        row.set(0);
        // The reader's own count lags behind where lines end in CR LF.
        let line = next;
        next += 1 + record.iter().map(line_breaks).sum::<u64>();
        let raw = RawLine {
            file: &source.file,
            line,
            columns: source.columns,
            cells: &record,
        };
        if header {
            check_header(&raw)?;
            header = false;
            continue;
        }
        check_length(&raw)?;
        each(&raw)?;
        run.steps.step()?;
    }
    if header {
        return Err(PackageError::row(
            &source.file,
            1,
            "",
            "",
            "the line of column names is missing",
        ));
    }
    let hash = hash.take().unwrap_or_default().finalize();
    Ok(hash.iter().map(|b| format!("{b:02x}")).collect())
}

/// Whether a table is as it was exported; asked last, so that a row that cannot stand is named.
fn as_exported<R: Read + Seek>(
    run: &Run<'_, R>,
    file: &str,
    found: &str,
) -> Result<(), PackageError> {
    match run.descriptor.sha256(file) {
        Some(listed) if listed != found => Err(PackageError::Changed {
            file: file.to_string(),
        }),
        _ => Ok(()),
    }
}

fn check_length(raw: &RawLine<'_>) -> Result<(), PackageError> {
    let (found, accepted) = (raw.cells.len(), raw.columns.len());
    match found == accepted {
        true => Ok(()),
        false => {
            let says = format!("the row has {found} cells; accepted are {accepted}");
            Err(PackageError::row(raw.file, raw.line, "", "", says))
        }
    }
}

fn line_breaks(cell: &str) -> u64 {
    cell.bytes().filter(|b| *b == b'\n').count() as u64
}

fn check_header(raw: &RawLine<'_>) -> Result<(), PackageError> {
    let names: Vec<&str> = raw.columns.iter().map(|c| c.name).collect();
    match raw.cells.iter().eq(names.iter().copied()) {
        true => Ok(()),
        false => {
            let found: Vec<&str> = raw.cells.iter().collect();
            let says = format!("accepted as column names are {}", names.join(","));
            Err(PackageError::row(
                raw.file,
                raw.line,
                "",
                &found.join(","),
                says,
            ))
        }
    }
}

fn unreadable(file: &str, error: csv::Error) -> PackageError {
    let line = error.position().map_or(0, csv::Position::line);
    match error.into_kind() {
        csv::ErrorKind::Utf8 { pos, err } => {
            let line = pos.map_or(line, |p| p.line());
            PackageError::row(file, line, "", "", format!("the text is not UTF-8 ({err})"))
        }
        csv::ErrorKind::Io(e) => PackageError::Entry {
            name: file.to_string(),
            why: e.to_string(),
        },
        other => PackageError::Entry {
            name: file.to_string(),
            why: format!("{other:?}"),
        },
    }
}

/// Hashes what passes.
struct Hashed<R> {
    inner: R,
    hash: Rc<Cell<Option<Sha256>>>,
}

impl<R: Read> Read for Hashed<R> {
    fn read(&mut self, buf: &mut [u8]) -> io::Result<usize> {
        let n = self.inner.read(buf)?;
        let mut hash = self.hash.take();
        if let Some(hash) = &mut hash {
            hash.update(&buf[..n]);
        }
        self.hash.set(hash);
        Ok(n)
    }
}

/// Writes all set-up records in one step: in the file a record may come before what it belongs to.
pub(super) fn revisions<R: Read + Seek>(
    run: &mut Run<'_, R>,
    notebook: &Notebook,
) -> Result<(), PackageError> {
    let file = format!("data/{REVISIONS}.csv");
    let source = Source {
        file: file.clone(),
        missing: "data/revisions.csv",
        columns: &REVISION_COLUMNS,
        most: run.limits.held_bytes,
    };
    let mut all: Vec<(u64, RawRevision)> = Vec::new();
    let hash = each_row(run, &source, |raw| {
        let revision = raw.revision(all.len() as u64 + 1)?;
        all.push((raw.line, revision));
        Ok(())
    })?;
    run.report.revisions = all.len() as u64;
    let revisions: Vec<RawRevision> = all.iter().map(|(_, r)| r.clone()).collect();
    notebook
        .write_raw(&revisions, &[])
        .map_err(|e| refused_revision(&file, &all, e))?;
    // The store keeps no revision that says the same as the one before.
    match notebook.all_revisions()?.len() == revisions.len() {
        true => as_exported(run, &file, &hash),
        false => Err(PackageError::Table {
            file,
            says: "a revision says the same as the one before it; accepted are only those that change something",
        }),
    }
}

/// The place of a revision that the store refuses.
fn refused_revision(file: &str, all: &[(u64, RawRevision)], error: StoreError) -> PackageError {
    let of_trial = |id| all.iter().find(|(_, r)| r.trial.is_some_and(|t| t.0 == id));
    let of_record = |id| all.iter().rfind(|(_, r)| r.record == id);
    let (found, column) = match &error {
        StoreError::UnknownRecord { id, .. } => (of_trial(*id), "trial"),
        StoreError::RecordMoved { id, .. } => (of_record(*id), "record"),
        _ => (None, ""),
    };
    match found {
        Some((line, r)) => {
            let value = match (column, r.trial) {
                ("trial", Some(trial)) => trial.to_string(),
                _ => r.record.to_string(),
            };
            PackageError::row(file, *line, column, &value, error.to_string())
        }
        None => error.into(),
    }
}

/// An entry and the line it stands on.
struct Placed {
    line: u64,
    raw: RawEntry,
}

pub(super) fn entries<R: Read + Seek>(
    run: &mut Run<'_, R>,
    notebook: &Notebook,
) -> Result<(), PackageError> {
    let file = format!("data/{ENTRIES}.csv");
    let source = Source {
        file: file.clone(),
        missing: "data/entries.csv",
        columns: &ENTRY_COLUMNS,
        most: run.limits.entries_bytes,
    };
    let mut chunk: Vec<Placed> = Vec::with_capacity(CHUNK);
    let mut count = 0;
    let hash = each_row(run, &source, |raw| {
        chunk.push(Placed {
            line: raw.line,
            raw: raw.entry()?,
        });
        count += 1;
        if chunk.len() < CHUNK {
            return Ok(());
        }
        write_chunk(notebook, &file, &mut chunk)
    })?;
    write_chunk(notebook, &file, &mut chunk)?;
    run.report.entries = count;
    match notebook.count_entries()? == count {
        true => as_exported(run, &file, &hash),
        false => Err(PackageError::Table {
            file,
            says: "an entry is there twice; accepted is each entry once",
        }),
    }
}

fn write_chunk(
    notebook: &Notebook,
    file: &str,
    chunk: &mut Vec<Placed>,
) -> Result<(), PackageError> {
    let raws: Vec<RawEntry> = chunk.iter().map(|p| p.raw.clone()).collect();
    if notebook.write_raw(&[], &raws).is_err() {
        // Nothing of the chunk was written. One by one, the row that cannot stand shows itself.
        for placed in chunk.iter() {
            notebook
                .write_raw(&[], std::slice::from_ref(&placed.raw))
                .map_err(|e| refused(file, placed, e))?;
        }
    }
    chunk.clear();
    Ok(())
}

/// The place of what the store refuses.
fn refused(file: &str, placed: &Placed, error: StoreError) -> PackageError {
    let raw = &placed.raw;
    let tanks = || {
        raw.tanks
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>()
            .join(" ")
    };
    let supersedes = || raw.supersedes.map(|s| s.to_string()).unwrap_or_default();
    let (column, value) = match &error {
        StoreError::Conflict { .. } => ("id", raw.id.to_string()),
        StoreError::UnknownRecord { what: "trial", .. } => ("trial", raw.trial.to_string()),
        StoreError::UnknownRecord { what: "tank", .. }
        | StoreError::OtherTrial { what: "tank", .. }
        | StoreError::TankTwice { .. } => ("tanks", tanks()),
        StoreError::UnknownRecord { .. } | StoreError::OtherTrial { .. } => {
            ("payload", raw.payload.clone())
        }
        StoreError::SupersedesUnknown { .. }
        | StoreError::SupersedesOtherTrial { .. }
        | StoreError::AlreadySuperseded { .. }
        | StoreError::UndoOfNothing { .. } => ("supersedes", supersedes()),
        _ => return error.into(),
    };
    PackageError::row(file, placed.line, column, &value, error.to_string())
}
