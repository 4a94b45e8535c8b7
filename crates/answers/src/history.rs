//! The history of one entry: what it said, who changed it when and how, and what holds now.
//!
//! Entries are never edited. A correction and an undo are entries of their own that supersede one; an
//! undo that is itself taken back leaves its entry in force again.

mod words;
#[cfg(test)]
mod tests;

use jiff::{Timestamp, ZonedDateTime};
use quantity::Format;
use serde::Serialize;
use std::collections::HashSet;
use text::t;
use trial::{Act, Bench, Entry, EntryId, Finding, Origin, Severity, describe};

/// The history of one entry, oldest step first.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HistoryAnswer {
    /// Each entry of the chain.
    pub steps: Vec<Step>,
    /// What holds now.
    pub now: Now,
    /// The same as a sentence.
    pub sentence: String,
    /// What is odd about the chain.
    pub findings: Vec<Finding>,
}

/// One entry of the chain.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    /// The entry.
    pub entry: EntryId,
    /// What it did.
    pub did: Did,
    /// When it was written down.
    pub written: Timestamp,
    /// Who wrote it; empty when nobody is named.
    pub who: String,
    /// How it came into the notebook, in words.
    pub origin: String,
    /// When the thing itself happened, as this entry says.
    pub at: ZonedDateTime,
    /// In which tanks, as this entry says.
    pub tanks: String,
    /// What was done or seen, as this entry says, one sentence.
    pub sentence: String,
    /// Its note.
    pub note: String,
    /// What it changed in the entry it supersedes; empty for the first and for an undo.
    pub changed: Vec<FieldChange>,
    /// Whether it holds now.
    pub in_force: bool,
}

/// What an entry of the chain did.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Did {
    /// Was written.
    Written,
    /// Corrected the one it supersedes.
    Corrected,
    /// Took back the one it supersedes.
    TakenBack,
}

/// One field that a correction changed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FieldChange {
    /// Which, in words.
    pub field: String,
    /// Its value before, in words; none when it had none.
    pub before: Option<String>,
    /// Its value after; none when it was taken out.
    pub after: Option<String>,
    /// The whole change as a sentence.
    pub sentence: String,
}

/// What holds of an entry now.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum Now {
    /// As it was first written.
    InForce {
        /// The entry.
        entry: EntryId,
    },
    /// As corrected.
    Corrected {
        /// The correction that holds.
        entry: EntryId,
    },
    /// Nothing of it.
    TakenBack,
}

/// The entries that hold: neither superseded by one that holds, nor an undo.
///
/// Keeps the order given. An entry whose correction was taken back holds again.
pub fn in_force(entries: &[Entry]) -> Vec<&Entry> {
    let mut newest_first: Vec<&Entry> = entries.iter().filter(|e| e.supersedes.is_some()).collect();
    newest_first.sort_by_key(|e| std::cmp::Reverse((e.written, e.id)));
    let mut superseded: HashSet<EntryId> = HashSet::new();
    for entry in newest_first {
        if !superseded.contains(&entry.id) {
            superseded.extend(entry.supersedes);
        }
    }
    entries
        .iter()
        .filter(|e| !superseded.contains(&e.id) && e.act != Act::Undo)
        .collect()
}

/// The history that `chain` (oldest first: an entry and all that supersede it) tells.
pub fn history(chain: &[Entry], bench: &Bench, format: &Format) -> HistoryAnswer {
    let holds: Vec<EntryId> = in_force(chain).iter().map(|e| e.id).collect();
    let now = match (holds.first(), chain.first()) {
        (Some(id), Some(first)) if *id == first.id => Now::InForce { entry: *id },
        (Some(id), _) => Now::Corrected { entry: *id },
        (None, _) => Now::TakenBack,
    };
    let steps: Vec<Step> =
        chain.iter().map(|e| step(e, chain, bench, format, holds.contains(&e.id))).collect();
    HistoryAnswer {
        sentence: state_sentence(&now, &steps),
        now,
        findings: findings(chain, &holds),
        steps,
    }
}

fn step(entry: &Entry, chain: &[Entry], bench: &Bench, format: &Format, in_force: bool) -> Step {
    let before = entry.supersedes.and_then(|id| chain.iter().find(|e| e.id == id));
    let did = match (&entry.act, entry.supersedes) {
        (Act::Undo, _) => Did::TakenBack,
        (_, Some(_)) => Did::Corrected,
        (_, None) => Did::Written,
    };
    let changed = match (before, did) {
        (Some(before), Did::Corrected) => words::changes(before, entry, bench, format),
        _ => vec![],
    };
    Step {
        entry: entry.id,
        did,
        written: entry.written,
        who: entry.who.clone(),
        origin: origin(&entry.origin),
        at: entry.at.clone(),
        tanks: describe::tanks_phrase(&entry.tanks, entry.all_tanks, bench),
        sentence: describe::sentence(&entry.act, bench, format),
        note: entry.note.clone(),
        changed,
        in_force,
    }
}

fn origin(origin: &Origin) -> String {
    match origin {
        Origin::Jot { line } => t!("history.by_jot", line = line),
        Origin::Form => t!("history.by_form").into(),
        Origin::Import { file, line } => t!("history.by_import", file = file, line = line),
        Origin::Demo => t!("history.by_demo").into(),
    }
}

fn state_sentence(now: &Now, steps: &[Step]) -> String {
    let corrections = steps.iter().filter(|s| s.did == Did::Corrected).count();
    let undone = steps.iter().any(|s| s.did == Did::TakenBack);
    match now {
        Now::InForce { .. } if steps.len() == 1 => t!("history.never_changed").into(),
        Now::InForce { .. } => t!("history.back_to_first").into(),
        Now::Corrected { .. } if undone => t!("history.back_to_correction").into(),
        Now::Corrected { .. } => t!("history.corrected", n = corrections),
        Now::TakenBack => t!("history.taken_back").into(),
    }
}

/// Two entries that hold at once, or a link that leads outside the chain.
fn findings(chain: &[Entry], holds: &[EntryId]) -> Vec<Finding> {
    let mut found = Vec::new();
    if holds.len() > 1 {
        let what = t!("history.forked", n = holds.len());
        let remedy = t!("history.forked_remedy");
        let finding = Finding::new("history_forked", Severity::Weakens, what, remedy);
        found.push(finding.on(holds[0]));
    }
    let known = |id: EntryId| chain.iter().any(|e| e.id == id);
    for entry in chain.iter().filter(|e| e.supersedes.is_some_and(|id| !known(id))) {
        let what = t!("history.broken");
        let remedy = t!("history.broken_remedy");
        let finding = Finding::new("history_broken", Severity::Weakens, what, remedy);
        found.push(finding.on(entry.id));
    }
    found
}
