//! Looking through everything that was written: versions of entries by their words, newest first,
//! a stretch at a time, so that the answer takes as long in a large notebook as in a small one.

use super::origin;
use crate::{AnswerError, days};
use jiff::civil::Date;
use jiff::{Timestamp, ZonedDateTime};
use quantity::Format;
use serde::Serialize;
use store::{EntryQuery, Notebook, Search, Version};
use trial::{Act, Bench, Entry, EntryId, Origin, PlantingId, TankId, describe};

/// Versions on one page.
pub const PAGE: usize = 40;

/// Entries looked at for one page: a bound on its time, whatever is asked.
pub const LOOK: u32 = 5_000;

/// What is looked for; nothing given finds everything.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Ask {
    /// Words that must all be in the sentence, the tanks, the note, the name or the jotted line.
    pub words: String,
    /// Only this kind ([`Act::KINDS`]).
    pub kind: Option<&'static str>,
    /// Only in this tank.
    pub tank: Option<TankId>,
    /// Only about this planting.
    pub planting: Option<PlantingId>,
    /// Only by whose name holds this.
    pub who: String,
    /// From this day on, by when it happened.
    pub from: Option<Date>,
    /// To this day, itself included.
    pub to: Option<Date>,
    /// Only what was changed or taken back, and what changed it.
    pub changed: bool,
    /// Only what is older than this entry, from the page before.
    pub before: Option<EntryId>,
}

/// What was found.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Searched {
    /// The versions, newest first.
    pub lines: Vec<Line>,
    /// Where to look on, when older entries were not looked at.
    pub next: Option<EntryId>,
    /// The day down to which was looked, when older entries were not.
    pub looked_to: Option<Date>,
}

/// One version of an entry.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Line {
    /// The entry.
    pub entry: EntryId,
    /// Its kind.
    pub kind: &'static str,
    /// When it happened, as this version says.
    pub at: ZonedDateTime,
    /// When it was written down.
    pub written: Timestamp,
    /// Who wrote it; empty when nobody is named.
    pub who: String,
    /// How it came into the notebook, in words.
    pub origin: String,
    /// In which tanks, as this version says.
    pub tanks: String,
    /// What was done or seen, one sentence.
    pub sentence: String,
    /// Its note.
    pub note: String,
    /// Whether it changed an earlier version.
    pub is_change: bool,
    /// What became of it.
    pub state: State,
}

/// What became of a version.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum State {
    /// It stands.
    Stands,
    /// Another version stands or stood in its place.
    Corrected {
        /// Who wrote that; empty when nobody is named.
        by: String,
        /// When.
        written: Timestamp,
    },
    /// It was taken back.
    TakenBack {
        /// Who took it back; empty when nobody is named.
        by: String,
        /// When.
        written: Timestamp,
    },
}

/// The versions of entries that `ask` is about.
///
/// # Errors
/// When the notebook cannot be read, or what is asked for is of another trial.
pub fn search(notebook: &Notebook, bench: &Bench, ask: &Ask) -> Result<Searched, AnswerError> {
    let format = Format::default();
    // Old versions may name what was withdrawn since.
    let bench = bench.with_withdrawn();
    let mut window = EntryQuery {
        tank: ask.tank,
        planting: ask.planting,
        ..EntryQuery::of(bench.trial.id)
    };
    window.kinds.extend(ask.kind);
    window.from = ask.from.and_then(|day| days::start_of(&bench, day));
    let after = ask.to.and_then(|day| day.tomorrow().ok());
    window.to = after.and_then(|day| days::start_of(&bench, day));
    let words: Vec<String> = ask
        .words
        .split_whitespace()
        .map(str::to_lowercase)
        .collect();
    let who = ask.who.trim().to_lowercase();
    let keep = |entry: &Entry| {
        (who.is_empty() || entry.who.to_lowercase().contains(&who))
            && (words.is_empty() || says(entry, &words, &bench, &format))
    };
    let asked = Search {
        window,
        changed: ask.changed,
        before: ask.before,
        most: PAGE,
        look: LOOK,
    };
    let found = notebook.search(&asked, keep)?;
    let zone = days::zone(&bench);
    Ok(Searched {
        lines: found
            .versions
            .iter()
            .map(|v| line(v, &bench, &format))
            .collect(),
        next: found.next,
        looked_to: found.looked_to.map(|at| at.to_zoned_datetime(zone).date()),
    })
}

/// Whether every word is somewhere in what an entry says.
fn says(entry: &Entry, words: &[String], bench: &Bench, format: &Format) -> bool {
    let jotted = match &entry.origin {
        Origin::Jot { line } => line.as_str(),
        Origin::Device { line, .. } => line.as_deref().unwrap_or_default(),
        _ => "",
    };
    let said = [
        describe::kind_name(entry.act.kind()),
        &describe::sentence(&entry.act, bench, format),
        &describe::tanks_phrase(&entry.tanks, entry.all_tanks, bench),
        &entry.note,
        &entry.who,
        jotted,
    ];
    // Numbers are printed with spaces that nobody types.
    let said = said.join("\n").to_lowercase().replace('\u{a0}', " ");
    words.iter().all(|word| said.contains(word))
}

fn line(version: &Version, bench: &Bench, format: &Format) -> Line {
    let entry = &version.entry;
    let state = match &version.after {
        None => State::Stands,
        Some(after) if after.act == Act::Undo => State::TakenBack {
            by: after.who.clone(),
            written: after.written,
        },
        Some(after) => State::Corrected {
            by: after.who.clone(),
            written: after.written,
        },
    };
    Line {
        entry: entry.id,
        kind: entry.act.kind(),
        at: entry.at.clone(),
        written: entry.written,
        who: entry.who.clone(),
        origin: origin(&entry.origin),
        tanks: describe::tanks_phrase(&entry.tanks, entry.all_tanks, bench),
        sentence: describe::sentence(&entry.act, bench, format),
        note: entry.note.clone(),
        is_change: entry.supersedes.is_some(),
        state,
    }
}
