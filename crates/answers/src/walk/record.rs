//! Writing what was seen on a step: one entry for each row, and never twice.

use super::step::act_of;
use super::{Row, Walking, put_on_walk, refused, step_view, walking, write};
use crate::AnswerError;
use crate::log::Stamp;
use store::{Notebook, StoreError};
use text::t;
use trial::act::{MaskedBy, OnWalk};
use trial::{Act, Bench, Draft, Entry, EntryId};

/// What was given for one row of a step.
#[derive(Debug, Clone, PartialEq)]
pub struct Given {
    /// The row, from 0.
    pub row: usize,
    /// The id made with the form, so that a form sent twice writes once.
    pub id: EntryId,
    /// Another fresh id, for a value changed on a form that has written once already.
    pub spare: EntryId,
    /// The value; none takes back what this walk-round has.
    pub value: Option<f64>,
    /// Whether it was given as "as last time".
    pub as_last: bool,
}

/// Writes the values of step `number` (from 1), all or none; a row whose value is saved already
/// writes nothing, a changed one supersedes what was saved.
///
/// # Errors
/// Refused with the row's number as field when a value is out of range; not found when the
/// walk-round has ended.
pub fn record(
    notebook: &Notebook,
    bench: &Bench,
    walk: &Walking,
    number: usize,
    given: &[Given],
    stamp: &Stamp,
) -> Result<(), AnswerError> {
    let entries = entries(notebook, bench, walk, number, given, stamp)?;
    match write(notebook, entries) {
        // The same form sent twice at once: the other has written, so look again and write what
        // is still missing.
        Err(StoreError::Conflict { .. } | StoreError::AlreadySuperseded { .. }) => {
            let now = walking(notebook, bench, walk.walk.walk)?;
            let entries = self::entries(notebook, bench, &now, number, given, stamp)?;
            Ok(write(notebook, entries)?)
        }
        other => Ok(other?),
    }
}

fn entries(
    notebook: &Notebook,
    bench: &Bench,
    walk: &Walking,
    number: usize,
    given: &[Given],
    stamp: &Stamp,
) -> Result<Vec<Entry>, AnswerError> {
    if walk.walk.end.is_some() {
        return Err(refused("walk", String::new(), t!("walk.accept_open")));
    }
    let missing = || AnswerError::NotFound {
        what: t!("walk.what_step"),
        id: number.to_string(),
    };
    let view = step_view(bench, walk, number).ok_or_else(missing)?;
    let mut made = Vec::new();
    for one in given {
        let row = view.rows.get(one.row).ok_or_else(missing)?;
        let saved = row.saved;
        if saved.map(|s| (s.value, s.as_last)) == one.value.map(|v| (v, one.as_last)) {
            continue;
        }
        let act = one.value.map(|value| {
            let mut act = act_of(&view.step, row.planting, value);
            let on = OnWalk {
                walk: walk.walk.walk,
                masked: walk.hidden(),
                as_last: one.as_last,
            };
            put_on_walk(&mut act, Some(on));
            act
        });
        let draft = draft(walk, row, act.unwrap_or(Act::Undo), stamp);
        if draft.act != Act::Undo {
            let problems = trial::rules::check_draft(&draft, bench);
            if !problems.is_empty() {
                return Err(AnswerError::Refused { problems });
            }
        }
        let id = match notebook.entry(one.id)? {
            None => one.id,
            Some(_) => one.spare,
        };
        let trial = bench.trial.id;
        let origin = stamp.origin(None);
        let supersedes = saved.map(|s| s.entry);
        made.push(draft.into_entry(id, trial, stamp.written(), origin, supersedes));
    }
    Ok(made)
}

/// What was seen on a picture was so when the picture was taken.
fn draft(walk: &Walking, row: &Row, act: Act, stamp: &Stamp) -> Draft {
    let by_picture = walk.walk.masked.map(|m| m.by) == Some(MaskedBy::Pictures);
    let taken = row.shot.as_ref().filter(|_| by_picture).and_then(|shot| {
        let entry = walk.entries.iter().find(|e| e.id == shot.entry)?;
        Some(entry.at.clone())
    });
    Draft {
        at: taken.unwrap_or_else(|| stamp.now.clone()),
        tanks: vec![row.tank],
        all_tanks: false,
        who: walk.entry.who.clone(),
        minutes: None,
        note: String::new(),
        act,
    }
}
