//! Writing entries, correcting them and taking them back; what the log page shows.

mod write;

use self::write::{write, write_with};
use crate::AnswerError;
use crate::line::{EntryLine, line};
use jiff::{Timestamp, ZonedDateTime};
use quantity::Format;
use serde::Serialize;
use store::{EntryQuery, Notebook};
use text::t;
use trial::supply::Brings;
use trial::{Act, Bench, DeviceId, Draft, Entry, EntryId, Origin, Planting, Record, TrialId};

/// What the edges add to a draft: a fresh id, the clock's reading, how it came.
#[derive(Debug, Clone, PartialEq)]
pub struct Stamp {
    /// The id of the new entry, made by the writer: writing twice with it writes once.
    pub id: EntryId,
    /// Now, in the keeper's zone.
    pub now: ZonedDateTime,
    /// The paired device it comes from and its name; `None` for this computer.
    pub device: Option<(DeviceId, String)>,
}

impl Stamp {
    /// How what is written under this stamp came into the notebook.
    pub(crate) fn origin(&self, line: Option<&str>) -> Origin {
        let line = line.map(|l| l.trim().to_string());
        match (&self.device, line) {
            (Some((device, name)), line) => Origin::Device {
                device: *device,
                name: name.clone(),
                line,
            },
            (None, Some(line)) => Origin::Jot { line },
            (None, None) => Origin::Form,
        }
    }

    pub(crate) fn written(&self) -> Timestamp {
        self.now.timestamp()
    }
}

/// An entry that was written.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Logged {
    /// The entry as a line.
    pub line: EntryLine,
    /// What was taken for granted when it was read, one sentence each.
    pub findings: Vec<String>,
    /// For a dose, what it brings each of its tanks.
    pub brings: Vec<Brings>,
    /// The entry it corrects or takes back, when it was looked up again.
    pub replaces: Option<EntryLine>,
}

/// The log page.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LogView {
    /// The last used entries, each once, to be logged again in one tap.
    pub again: Vec<EntryLine>,
    /// The newest entries.
    pub recent: Vec<EntryLine>,
    /// Where older entries go on: the `before` of the next page; none when these are the last.
    pub older: Option<Timestamp>,
}

/// The log page of a trial: `limit` newest entries before `before`.
pub fn log_view(
    notebook: &Notebook,
    bench: &Bench,
    before: Option<Timestamp>,
    limit: u32,
) -> Result<LogView, AnswerError> {
    let format = Format::default();
    let (recent, older) = page(notebook, bench, before, limit)?;
    let variants = notebook.last_act_variants(bench.trial.id, 24)?;
    let mut again: Vec<&Entry> = Vec::new();
    for e in variants.iter().filter(|e| e.all_tanks && repeats(&e.act)) {
        // Two of a kind at most: five top-ups would push out what is done on other days.
        let of_kind = again.iter().filter(|a| a.act.kind() == e.act.kind());
        if of_kind.count() < 2 && again.len() < 6 {
            again.push(e);
        }
    }
    Ok(LogView {
        again: again.into_iter().map(|e| line(e, bench, &format)).collect(),
        recent: recent.iter().map(|e| line(e, bench, &format)).collect(),
        older,
    })
}

/// The newest entries before an instant and where the next page goes on. Entries of one millisecond
/// stay on one page, or the next page, which begins before that millisecond, would lose some.
fn page(
    notebook: &Notebook,
    bench: &Bench,
    before: Option<Timestamp>,
    limit: u32,
) -> Result<(Vec<Entry>, Option<Timestamp>), AnswerError> {
    let query = EntryQuery {
        to: before,
        newest_first: true,
        limit: Some(limit.saturating_add(1)),
        ..EntryQuery::of(bench.trial.id)
    };
    let mut recent = notebook.entries(&query)?;
    let ms = |e: &Entry| e.at.timestamp().as_millisecond();
    let next = recent.get(usize::try_from(limit).unwrap_or(usize::MAX));
    let Some(cut) = next.map(ms) else {
        return Ok((recent, None));
    };
    recent.retain(|e| ms(e) > cut);
    if recent.is_empty() {
        let instant = |ms| Timestamp::from_millisecond(ms).ok();
        recent = notebook.entries(&EntryQuery {
            from: instant(cut),
            to: instant(cut + 1),
            limit: None,
            ..query
        })?;
    }
    let older = recent
        .last()
        .and_then(|e| Timestamp::from_millisecond(ms(e)).ok());
    Ok((recent, older))
}

/// Who wrote last, among the newest entries of a trial; empty when nobody is named.
pub fn last_who(notebook: &Notebook, bench: &Bench) -> Result<String, AnswerError> {
    let newest = notebook.entries(&EntryQuery::of(bench.trial.id).newest(50))?;
    let named = newest.into_iter().find(|e| !e.who.is_empty());
    Ok(named.map(|e| e.who).unwrap_or_default())
}

/// An entry as it was confirmed when it was written: to be shown after the page has moved on.
pub fn logged(notebook: &Notebook, bench: &Bench, id: EntryId) -> Result<Logged, AnswerError> {
    let entry = find(notebook, id)?;
    let mut findings = match entry.origin.line() {
        Some(line) => {
            let then = entry.written.to_zoned_datetime(crate::days::zone(bench));
            read_jot(bench, line, &then).map_or_else(|_| vec![], |read| read.findings)
        }
        None => crate::dose::findings(&entry.act, &entry.tanks, bench),
    };
    let replaces = entry.supersedes.map(|id| find(notebook, id)).transpose()?;
    if let (Act::Undo, Some(undone)) = (&entry.act, &replaces) {
        findings.extend(planting_stays(undone, bench));
    }
    Ok(Logged {
        findings,
        replaces: replaces.map(|e| line(&e, bench, &Format::default())),
        ..said(&entry, bench)
    })
}

/// Cuttings taken back leave the planting that was made for them: it may carry entries by now.
fn planting_stays(undone: &Entry, bench: &Bench) -> Option<String> {
    let Act::Replant(replant) = &undone.act else {
        return None;
    };
    let planting = bench.planting(replant.into)?;
    let made = planting.parent == Some(replant.from)
        && planting.planted == Some(undone.at.date())
        && replant.into != replant.from;
    made.then(|| t!("log.planting_stays", plant = planting.title()))
}

fn said(entry: &Entry, bench: &Bench) -> Logged {
    let brings = match &entry.act {
        Act::Dose(dose) => trial::nutrients::nutrients_mg(dose, bench),
        _ => vec![],
    };
    Logged {
        line: line(entry, bench, &Format::default()),
        findings: vec![],
        replaces: None,
        brings: brings
            .into_iter()
            .map(|(analyte, mg)| Brings { analyte, mg })
            .collect(),
    }
}

/// The newest of an entry's versions.
pub fn newest(notebook: &Notebook, id: EntryId) -> Result<EntryId, AnswerError> {
    Ok(notebook.history(id)?.last().map_or(id, |e| e.id))
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
    let mut read = trial::jot::read(text, bench, now).map_err(Box::new)?;
    read.findings.extend(crate::dose::findings(
        &read.draft.act,
        &read.draft.tanks,
        bench,
    ));
    Ok(read)
}

/// Writes a jot; one that names nobody is by whoever wrote last.
pub fn write_jot(
    notebook: &Notebook,
    bench: &Bench,
    text: &str,
    stamp: &Stamp,
) -> Result<Logged, AnswerError> {
    let mut read = read_jot(bench, text, &stamp.now)?;
    // As forms do; a phone may be in somebody else's hand.
    if read.draft.who.is_empty() && stamp.device.is_none() {
        read.draft.who = last_who(notebook, bench)?;
    }
    let origin = stamp.origin(Some(text));
    let mut logged = write(notebook, bench, read.draft, stamp, origin, None)?;
    logged.findings = read.findings;
    Ok(logged)
}

/// Writes what a form said about cuttings that become a planting of their own, together with that
/// planting: both or neither.
pub fn write_form_with_planting(
    notebook: &Notebook,
    bench: &Bench,
    draft: Draft,
    planting: Planting,
    stamp: &Stamp,
) -> Result<Logged, AnswerError> {
    let new = vec![Record::Planting(planting.clone())];
    let mut bench = bench.clone();
    // Sent a second time, the planting stands already.
    bench.plantings.retain(|p| p.id != planting.id);
    bench.plantings.push(planting);
    write_with(
        notebook,
        &bench,
        draft,
        stamp,
        (stamp.origin(None), None),
        new,
    )
}

/// Writes what a form said.
pub fn write_form(
    notebook: &Notebook,
    bench: &Bench,
    draft: Draft,
    stamp: &Stamp,
) -> Result<Logged, AnswerError> {
    write(notebook, bench, draft, stamp, stamp.origin(None), None)
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
    write(notebook, bench, draft, stamp, stamp.origin(None), None)
}

/// Replaces an entry by what it should have said.
pub fn correct(
    notebook: &Notebook,
    bench: &Bench,
    wrong: EntryId,
    mut draft: Draft,
    stamp: &Stamp,
) -> Result<Logged, AnswerError> {
    let wrong = find(notebook, wrong)?;
    crate::walk::carry_over(&wrong.act, &mut draft.act);
    write(
        notebook,
        bench,
        draft,
        stamp,
        stamp.origin(None),
        Some(wrong.id),
    )
}

/// Takes an entry back. Taking back a correction brings the entry before it back into force.
pub fn undo(
    notebook: &Notebook,
    bench: &Bench,
    entry: EntryId,
    stamp: &Stamp,
) -> Result<Logged, AnswerError> {
    let entry = find(notebook, entry)?;
    crate::walk::stays_ended(&entry.act)?;
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
    write(
        notebook,
        bench,
        draft,
        stamp,
        stamp.origin(None),
        Some(entry.id),
    )
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
    for version in &chain {
        crate::walk::stays_ended(&version.act)?;
    }
    let earlier = find(notebook, earlier)?;
    write(
        notebook,
        bench,
        draft_of(earlier),
        stamp,
        stamp.origin(None),
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
