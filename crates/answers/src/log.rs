//! Writing entries, correcting them and taking them back; what the log page shows.

use crate::AnswerError;
use crate::line::{EntryLine, line};
use jiff::{Timestamp, ZonedDateTime};
use quantity::Format;
use serde::Serialize;
use store::{EntryQuery, Notebook};
use trial::{Act, Bench, Draft, Entry, EntryId, Origin, TrialId};

/// What the edges add to a draft: a fresh id, the clock's reading, how it came.
#[derive(Debug, Clone, PartialEq)]
pub struct Stamp {
    /// The id of the new entry, made by the writer: writing twice with it writes once.
    pub id: EntryId,
    /// Now, in the keeper's zone.
    pub now: ZonedDateTime,
}

impl Stamp {
    fn written(&self) -> Timestamp {
        self.now.timestamp()
    }
}

/// An entry that was written.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Logged {
    /// The entry as a line.
    pub line: EntryLine,
    /// What to know about it.
    pub findings: Vec<String>,
}

/// The log page.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LogView {
    /// The last used entries, each once, to be logged again in one tap.
    pub again: Vec<EntryLine>,
    /// The newest entries.
    pub recent: Vec<EntryLine>,
}

/// The log page of a trial: `limit` newest entries before `before`.
pub fn log_view(
    notebook: &Notebook,
    bench: &Bench,
    before: Option<Timestamp>,
    limit: u32,
) -> Result<LogView, AnswerError> {
    let format = Format::default();
    let query = EntryQuery {
        to: before,
        newest_first: true,
        limit: Some(limit),
        ..EntryQuery::of(bench.trial.id)
    };
    let recent = notebook.entries(&query)?;
    let again = notebook.last_act_variants(bench.trial.id, 24)?;
    let again = again
        .iter()
        .filter(|e| e.all_tanks && repeats(&e.act))
        .take(6);
    Ok(LogView {
        again: again.map(|e| line(e, bench, &format)).collect(),
        recent: recent.iter().map(|e| line(e, bench, &format)).collect(),
    })
}

/// Whether doing the same again makes sense without looking.
fn repeats(act: &Act) -> bool {
    matches!(
        act,
        Act::Dose(_) | Act::Change(_) | Act::TopUp(_) | Act::Feed(_) | Act::Clean(_)
    )
}

/// Reads a jot without writing it: the sentence that would be logged.
pub fn read_jot(
    bench: &Bench,
    text: &str,
    now: &ZonedDateTime,
) -> Result<trial::jot::JotDraft, AnswerError> {
    Ok(trial::jot::read(text, bench, now).map_err(Box::new)?)
}

/// Writes a jot.
pub fn write_jot(
    notebook: &Notebook,
    bench: &Bench,
    text: &str,
    stamp: &Stamp,
) -> Result<Logged, AnswerError> {
    let read = read_jot(bench, text, &stamp.now)?;
    let origin = Origin::Jot {
        line: text.trim().to_string(),
    };
    let mut logged = write(notebook, bench, read.draft, stamp, origin, None)?;
    logged.findings = read.findings;
    Ok(logged)
}

/// Writes what a form said.
pub fn write_form(
    notebook: &Notebook,
    bench: &Bench,
    draft: Draft,
    stamp: &Stamp,
) -> Result<Logged, AnswerError> {
    write(notebook, bench, draft, stamp, Origin::Form, None)
}

/// Logs an earlier entry again, now; one that was meant for every tank goes to every tank of today.
pub fn again(
    notebook: &Notebook,
    bench: &Bench,
    earlier: EntryId,
    stamp: &Stamp,
) -> Result<Logged, AnswerError> {
    let earlier = find(notebook, earlier)?;
    let draft = Draft {
        at: stamp.now.clone(),
        tanks: if earlier.all_tanks {
            bench.tank_ids()
        } else {
            earlier.tanks
        },
        all_tanks: earlier.all_tanks,
        who: earlier.who,
        minutes: None,
        note: String::new(),
        act: earlier.act,
    };
    write(notebook, bench, draft, stamp, Origin::Form, None)
}

/// Replaces an entry by what it should have said.
pub fn correct(
    notebook: &Notebook,
    bench: &Bench,
    wrong: EntryId,
    draft: Draft,
    stamp: &Stamp,
) -> Result<Logged, AnswerError> {
    let wrong = find(notebook, wrong)?;
    write(notebook, bench, draft, stamp, Origin::Form, Some(wrong.id))
}

/// Takes an entry back. Taking back a correction brings the entry before it back into force.
pub fn undo(
    notebook: &Notebook,
    bench: &Bench,
    entry: EntryId,
    stamp: &Stamp,
) -> Result<Logged, AnswerError> {
    let entry = find(notebook, entry)?;
    let before = entry.supersedes.map(|id| find(notebook, id)).transpose()?;
    let draft = match before {
        Some(before) if before.act != Act::Undo => draft_of(before),
        _ => Draft {
            at: entry.at.clone(),
            tanks: entry.tanks.clone(),
            all_tanks: entry.all_tanks,
            who: entry.who.clone(),
            minutes: None,
            note: String::new(),
            act: Act::Undo,
        },
    };
    write(notebook, bench, draft, stamp, Origin::Form, Some(entry.id))
}

/// Brings a superseded entry back into force.
pub fn restore(
    notebook: &Notebook,
    bench: &Bench,
    earlier: EntryId,
    stamp: &Stamp,
) -> Result<Logged, AnswerError> {
    let chain = notebook.history(earlier)?;
    let newest = chain.last().map(|e| e.id).filter(|id| *id != earlier);
    let earlier = find(notebook, earlier)?;
    write(
        notebook,
        bench,
        draft_of(earlier),
        stamp,
        Origin::Form,
        newest,
    )
}

fn draft_of(entry: Entry) -> Draft {
    Draft {
        at: entry.at,
        tanks: entry.tanks,
        all_tanks: entry.all_tanks,
        who: entry.who,
        minutes: entry.minutes,
        note: entry.note,
        act: entry.act,
    }
}

/// The entry of this id.
pub fn find(notebook: &Notebook, id: EntryId) -> Result<Entry, AnswerError> {
    let missing = || AnswerError::NotFound {
        what: "entry",
        id: id.to_string(),
    };
    notebook.entry(id)?.ok_or_else(missing)
}

/// The newest trial, or the one asked for.
pub fn which_trial(notebook: &Notebook, asked: Option<&str>) -> Result<TrialId, AnswerError> {
    let trials = notebook.trials()?;
    let missing = |id: &str| AnswerError::NotFound {
        what: "trial",
        id: id.to_string(),
    };
    match asked {
        None => trials.last().map(|t| t.trial.id).ok_or_else(|| missing("")),
        Some(id) => trials
            .iter()
            .find(|t| t.trial.id.to_string() == id.trim())
            .map(|t| t.trial.id)
            .ok_or_else(|| missing(id)),
    }
}

fn write(
    notebook: &Notebook,
    bench: &Bench,
    draft: Draft,
    stamp: &Stamp,
    origin: Origin,
    supersedes: Option<EntryId>,
) -> Result<Logged, AnswerError> {
    if draft.act != Act::Undo {
        let problems = trial::rules::check_draft(&draft, bench);
        if !problems.is_empty() {
            return Err(AnswerError::Refused { problems });
        }
    }
    let entry = draft.into_entry(
        stamp.id,
        bench.trial.id,
        stamp.written(),
        origin,
        supersedes,
    );
    notebook.write_entry(&entry)?;
    Ok(Logged {
        line: line(&entry, bench, &Format::default()),
        findings: vec![],
    })
}
