//! Writing an entry once, whatever is sent twice.

use super::{Logged, Stamp, find, said};
use crate::AnswerError;
use store::{Batch, Notebook, StoreError};
use trial::{Act, Bench, Draft, Entry, EntryId, Origin, Record};

/// Checks a draft and writes it.
pub(super) fn write(
    notebook: &Notebook,
    bench: &Bench,
    draft: Draft,
    stamp: &Stamp,
    origin: Origin,
    supersedes: Option<EntryId>,
) -> Result<Logged, AnswerError> {
    write_with(notebook, bench, draft, stamp, (origin, supersedes), vec![])
}

/// The same together with records: all or none.
pub(super) fn write_with(
    notebook: &Notebook,
    bench: &Bench,
    draft: Draft,
    stamp: &Stamp,
    (origin, supersedes): (Origin, Option<EntryId>),
    records: Vec<Record>,
) -> Result<Logged, AnswerError> {
    let mut problems = Vec::new();
    if draft.act != Act::Undo {
        problems.extend(trial::rules::check_draft(&draft, bench));
    }
    for record in &records {
        problems.extend(trial::rules::check_record(record));
    }
    if !problems.is_empty() {
        return Err(AnswerError::Refused { problems });
    }
    let entry = draft.into_entry(
        stamp.id,
        bench.trial.id,
        stamp.written(),
        origin,
        supersedes,
    );
    let written = if records.is_empty() {
        notebook.write_entry(&entry).map(drop)
    } else {
        let at = stamp.written();
        let records = records.into_iter().map(|r| (r, entry.who.clone(), at));
        notebook.write_all(&Batch {
            records: records.collect(),
            entries: vec![entry.clone()],
        })
    };
    match written {
        Ok(()) => Ok(said(&entry, bench)),
        Err(StoreError::Conflict { .. }) => {
            let stored = find(notebook, entry.id)?;
            if same_submission(&stored, &entry) {
                Ok(said(&stored, bench))
            } else {
                Err(StoreError::Conflict { entry: entry.id }.into())
            }
        }
        Err(error) => Err(error.into()),
    }
}

/// Whether `new` is what was sent before, sent once more under the same id: a double tap, or a page
/// sent again. The second reading of the clock must not make it another entry.
fn same_submission(stored: &Entry, new: &Entry) -> bool {
    let now = |e: &Entry| e.at.timestamp() == e.written;
    let same_line = new.origin.line().is_some() && stored.origin == new.origin;
    let mut again = new.clone();
    again.written = stored.written;
    if same_line || (now(stored) && now(new)) {
        again.at = stored.at.clone();
    }
    again == *stored
}
