//! The history of one entry: what it said, who changed it when and how, and what holds now.
//!
//! Entries are never edited. A correction and an undo are entries of their own that supersede one;
//! only the newest of a chain stands, and an undo as the newest leaves nothing standing.

pub mod search;
#[cfg(test)]
mod tests;
mod words;

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
    /// What it changed in the version before it; empty for the first and for an undo.
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
    /// Wrote again what an undo had taken back.
    WrittenAgain,
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

/// The entries that stand: superseded by none of the others, and no undo. The store keeps the same
/// rule, so what it gives as standing passes unchanged.
pub fn in_force(entries: &[Entry]) -> Vec<&Entry> {
    let superseded: HashSet<EntryId> = entries.iter().filter_map(|e| e.supersedes).collect();
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
    let steps: Vec<Step> = chain
        .iter()
        .map(|e| step(e, chain, bench, format, holds.contains(&e.id)))
        .collect();
    HistoryAnswer {
        sentence: state_sentence(&now, &steps),
        now,
        findings: findings(chain, &holds),
        steps,
    }
}

fn step(entry: &Entry, chain: &[Entry], bench: &Bench, format: &Format, in_force: bool) -> Step {
    let earlier = |e: &Entry| {
        e.supersedes
            .and_then(|id| chain.iter().find(|c| c.id == id))
    };
    let did = match (&entry.act, earlier(entry).map(|e| &e.act), entry.supersedes) {
        (Act::Undo, ..) => Did::TakenBack,
        (_, Some(Act::Undo), _) => Did::WrittenAgain,
        (_, _, Some(_)) => Did::Corrected,
        _ => Did::Written,
    };
    // An undo says nothing of its own, so what follows it is held against what it took back.
    let mut before = earlier(entry);
    for _ in 0..chain.len() {
        before = match before {
            Some(undo) if undo.act == Act::Undo => earlier(undo),
            other => other,
        };
    }
    let changed = match (before, did) {
        (Some(before), Did::Corrected | Did::WrittenAgain) => {
            words::changes(before, entry, bench, format)
        }
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
        Origin::Device {
            name,
            line: Some(line),
            ..
        } => t!("history.by_device_jot", device = name, line = line),
        Origin::Device { name, .. } => t!("history.by_device", device = name),
        Origin::Demo => t!("history.by_demo").into(),
    }
}

fn state_sentence(now: &Now, steps: &[Step]) -> String {
    let version = steps.iter().filter(|s| s.did != Did::TakenBack).count();
    let again = steps.iter().any(|s| s.did == Did::WrittenAgain);
    match now {
        Now::InForce { .. } => t!("history.never_changed").into(),
        Now::Corrected { .. } if again => t!("history.written_again", n = version),
        Now::Corrected { .. } => t!("history.corrected", n = version),
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
    for entry in chain
        .iter()
        .filter(|e| e.supersedes.is_some_and(|id| !known(id)))
    {
        let what = t!("history.broken");
        let remedy = t!("history.broken_remedy");
        let finding = Finding::new("history_broken", Severity::Weakens, what, remedy);
        found.push(finding.on(entry.id));
    }
    found
}
