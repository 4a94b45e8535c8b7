//! The one-line way to write an entry: `[TANKS:] WHAT [DETAILS] [@ WHEN]`.
//!
//! ```text
//! line ── split ──> tanks │ what and details │ when     ([`parts`])
//!                     │          │               └────── [`when`]
//!                     │          └─ tokens ([`lex`]) ─── a verb ([`words`]) and its grammar
//!                     │                                  (water, care, plants, look, reading)
//!                     └──────────────────────────────── tanks, plants, cards by name ([`names`])
//! ```
//!
//! The grammar for people is `docs/jots.md`. Whatever is read is checked by [`crate::rules`] before
//! it is handed back, so a draft from here can always be written. A line that is not clear is
//! refused: nothing is guessed.
//!
//! A time that a clock change skips or repeats is read as RFC 5545 does and jiff calls compatible:
//! in a gap it moves forward by the gap, in a fold it is the first of the two.

mod care;
mod cursor;
mod error;
mod lex;
mod look;
mod names;
mod nearest;
mod parts;
mod plants;
mod reading;
mod water;
mod when;
mod words;

pub use error::JotError;
pub use words::is_jot_word;

use crate::{Act, Bench, Draft, describe, rules};
use cursor::{Cursor, Span};
use jiff::ZonedDateTime;
use parts::Parts;
use quantity::Format;
use text::t;
use words::Verb;

/// A jot that was understood.
#[derive(Debug, Clone, PartialEq)]
pub struct JotDraft {
    /// The entry to write; `who` is empty unless the line says `by NAME`.
    pub draft: Draft,
    /// It said back in one plain sentence.
    pub read_back: String,
    /// What was taken for granted, one sentence each.
    pub findings: Vec<String>,
}

/// Reads one line as an entry on this bench; `now` is the moment it is read at.
///
/// Days and hours are those of the trial's zone. The draft passes [`rules::check_draft`].
pub fn read(line: &str, bench: &Bench, now: &ZonedDateTime) -> Result<JotDraft, JotError> {
    let parts = Parts::of(line, bench)?;
    let (at, mut findings) = when::read(&parts, bench, now)?;
    let mut cursor = Cursor::new(&parts, bench)?;
    let verb = words::take_verb(&mut cursor)?;
    let trailing = if verb == Verb::Note {
        parts::note_text(&mut cursor)
    } else {
        parts::trailing(&mut cursor, verb)
    };
    let act = act(verb, &mut cursor)?;
    cursor.expect_end()?;
    findings.extend(std::mem::take(&mut cursor.findings));
    let draft = Draft {
        at,
        tanks: cursor.tanks.clone(),
        all_tanks: cursor.all_tanks,
        who: trailing.who,
        minutes: trailing.minutes,
        note: trailing.note,
        act,
    };
    if let Some(problem) = rules::check_draft(&draft, bench).first() {
        let span = cursor.marked(problem.field);
        return Err(cursor.error(span, problem.to_string(), vec![]));
    }
    let read_back = read_back(&draft, bench);
    Ok(JotDraft {
        draft,
        read_back,
        findings,
    })
}

fn act(verb: Verb, cursor: &mut Cursor) -> Result<Act, JotError> {
    match verb {
        Verb::Dose => water::dose(cursor),
        Verb::Change => water::change(cursor),
        Verb::TopUp => water::top_up(cursor),
        Verb::Feed => care::feed(cursor),
        Verb::Clean => care::clean(cursor),
        Verb::Light => care::setting(cursor, true),
        Verb::Set => care::setting(cursor, false),
        Verb::Swap => care::swap(cursor),
        Verb::Happened(event) => care::livestock(cursor, event),
        Verb::Trim => plants::trim(cursor),
        Verb::Replant => plants::replant(cursor),
        Verb::Thin => plants::thin(cursor),
        Verb::Loss => plants::loss(cursor),
        Verb::Plantlets => plants::plantlets(cursor),
        Verb::Move => plants::moved(cursor),
        Verb::Harvest => plants::harvest(cursor),
        Verb::Score => look::score(cursor),
        Verb::Algae => look::algae(cursor),
        Verb::Read => reading::read(cursor),
        Verb::Note => {
            cursor.take_all_if_unnamed();
            Ok(Act::Note)
        }
        Verb::Picture => Err(refuse(cursor, t!("act.jot_picture"))),
        Verb::Undo => Err(refuse(cursor, t!("act.jot_undo"))),
    }
}

fn refuse(cursor: &Cursor, why: &str) -> JotError {
    let span: Span = cursor.verb;
    cursor.error(span, why.to_string(), vec![])
}

fn read_back(draft: &Draft, bench: &Bench) -> String {
    let what = match draft.act {
        Act::Note => t!("act.noted_text", note = draft.note),
        _ => describe::sentence(&draft.act, bench, &Format::default()),
    };
    let tanks = match &draft.act {
        Act::Reading(r) if r.water.is_some() => t!("act.source_water").to_string(),
        Act::Reading(_) if draft.tanks.is_empty() => t!("act.kit_proof").to_string(),
        _ => describe::tanks_phrase(&draft.tanks, draft.all_tanks, bench),
    };
    let by = match draft.who.as_str() {
        "" => String::new(),
        who => t!("act.read_back_by", who = who),
    };
    let minutes = draft
        .minutes
        .map(|n| t!("act.read_back_minutes", n = Format::default().plain(n)));
    // A note is its text already.
    let note = match (&draft.act, draft.note.as_str()) {
        (Act::Note, _) | (_, "") => String::new(),
        (_, note) => t!("act.read_back_note", note = note),
    };
    t!(
        "act.read_back",
        tanks = capital(&tanks),
        what = what,
        when = draft.at.strftime("%Y-%m-%d %H:%M"),
        by = by,
        minutes = minutes.unwrap_or_default(),
        note = note
    )
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map(|c| c.to_uppercase().chain(chars).collect())
        .unwrap_or_default()
}
