//! Writing a sheet typed in: all of it or nothing, and once however often it is sent.

use super::Made;
use crate::AnswerError;
use crate::line::{EntryLine, line};
use crate::log::Stamp;
use quantity::Format;
use serde::Serialize;
use store::{Batch, EntryQuery, Notebook, StoreError};
use text::t;
use trial::{Bench, Entry, EntryId};
use uuid::Uuid;

/// Most boxes of one row.
const MOST_PLACES: usize = 256;
/// Most rows of one sheet.
const MOST_ROWS: usize = 65_536;

/// An entry written from a sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Wrote {
    /// The entry.
    pub line: EntryLine,
    /// What is doubtful about it: a dose beyond all use, the same logged before on that day.
    pub findings: Vec<String>,
    /// Whether it still stands, neither corrected nor taken back.
    pub stands: bool,
}

/// The id of the entry of a row and box of the sheet with the id `sheet`, a UUIDv7: its last 24 bits
/// count rows and boxes, so that one hidden field makes a whole sheet idempotent. None beyond 65,536
/// rows or 256 boxes.
pub fn id_of(sheet: Uuid, row: usize, place: usize) -> Option<EntryId> {
    if row >= MOST_ROWS || place >= MOST_PLACES {
        return None;
    }
    let counted = (row * MOST_PLACES + place) as u128;
    let base = sheet.as_u128() & !0xff_ffff;
    Some(EntryId(Uuid::from_u128(base | counted)))
}

/// Writes what was typed in, all or none; what the same sheet wrote before is not written again.
/// Gives the ids in the order of the sheet.
///
/// # Errors
/// A conflict when the sheet was sent before and says something else now.
pub fn write(
    notebook: &Notebook,
    bench: &Bench,
    made: &[Made],
    stamp: &Stamp,
) -> Result<Vec<EntryId>, AnswerError> {
    let mut entries = Vec::new();
    for one in made {
        let missing = || AnswerError::NotFound {
            what: t!("sheet.row_word"),
            id: one.row.to_string(),
        };
        let id = id_of(stamp.id.0, one.row, one.place).ok_or_else(missing)?;
        let origin = stamp.origin(one.line.as_deref());
        let draft = one.draft.clone();
        entries.push(draft.into_entry(id, bench.trial.id, stamp.written(), origin, None));
    }
    let ids = entries.iter().map(|e| e.id).collect();
    match write_new(notebook, &entries) {
        // Sent twice at once: the other has written, so only what it left is missing.
        Err(AnswerError::Store(StoreError::Conflict { .. })) => write_new(notebook, &entries)?,
        other => other?,
    }
    Ok(ids)
}

fn write_new(notebook: &Notebook, entries: &[Entry]) -> Result<(), AnswerError> {
    let mut new = Vec::new();
    for entry in entries {
        match notebook.entry(entry.id)? {
            None => new.push(entry.clone()),
            Some(stored) if same(&stored, entry) => {}
            Some(_) => return Err(StoreError::Conflict { entry: entry.id }.into()),
        }
    }
    // Without times, tests and looks come before what was done about them.
    new.sort_by_key(|e| !is_look(e.act.kind()));
    if !new.is_empty() {
        notebook.write_all(&Batch {
            records: vec![],
            entries: new,
        })?;
    }
    Ok(())
}

/// Whether an entry of this kind says how things stood, not what was done.
fn is_look(kind: &str) -> bool {
    matches!(kind, "reading" | "observation" | "algae")
}

/// Equal but for when it was written, and for the clock's reading where noon was still to come.
fn same(stored: &Entry, new: &Entry) -> bool {
    let mut again = new.clone();
    again.written = stored.written;
    let by_clock = |e: &Entry| e.at.timestamp() == e.written;
    if by_clock(stored) && by_clock(new) {
        again.at = stored.at.clone();
    }
    again == *stored
}

/// What a sheet wrote, in the order of the log; ids that are not of this trial are left out.
///
/// # Errors
/// When the notebook cannot be read.
pub fn wrote(
    notebook: &Notebook,
    bench: &Bench,
    ids: &[EntryId],
) -> Result<Vec<Wrote>, AnswerError> {
    let mut all = Vec::new();
    for id in ids {
        let Some(entry) = notebook.entry(*id)?.filter(|e| e.trial == bench.trial.id) else {
            continue;
        };
        let mut findings = crate::dose::findings(&entry.act, &entry.tanks, bench);
        if said_before(notebook, &entry, ids)? {
            findings.push(t!("sheet.said_before").to_string());
        }
        all.push(Wrote {
            line: line(&entry, bench, &Format::default()),
            findings,
            stands: notebook.superseded_by(*id)?.is_none(),
        });
    }
    all.sort_by_key(|w: &Wrote| (w.line.day, w.line.time, !is_look(w.line.kind)));
    Ok(all)
}

/// Whether the same was logged for the same tanks on the same day, but not on this sheet: the sheet
/// may have been typed in twice.
fn said_before(notebook: &Notebook, entry: &Entry, sheet: &[EntryId]) -> Result<bool, AnswerError> {
    let from = entry.at.start_of_day().ok();
    let to = entry.at.end_of_day().ok();
    let query = EntryQuery {
        from: from.map(|z| z.timestamp()),
        to: to.map(|z| z.timestamp()),
        kinds: vec![entry.act.kind()],
        ..EntryQuery::of(entry.trial)
    };
    let same = |e: &Entry| e.act == entry.act && e.tanks == entry.tanks && e.note == entry.note;
    let others = notebook.entries(&query)?;
    Ok(others.iter().any(|e| !sheet.contains(&e.id) && same(e)))
}
