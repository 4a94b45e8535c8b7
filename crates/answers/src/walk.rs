//! Walk-rounds: plant by plant with the tanks beside each other, one thumb per value.
//!
//! A walk-round is an entry written when it begins, with everything it will ask; each step writes
//! one observation or algae score per tank; its end is an entry that supersedes the first. Masked,
//! the tanks stand behind letters in an order drawn by lot, values of last time are not shown, and
//! at the end the one who scored says which tank each letter was, before it is told.

mod picture;
mod plan;
mod record;
mod scored;
mod step;

#[cfg(test)]
mod tests;

pub use picture::{Crop, Shot};
pub use plan::{Length, steps};
pub use record::{Given, record};
pub use scored::{Named, Scored, scored};
pub use step::{Last, Row, Saved, Scale, StepView, step_view, value_of};
pub(crate) use step::{act_of, scale};

use crate::log::{Stamp, last_who};
use crate::{AnswerError, days};
use jiff::civil::Date;
use serde::Serialize;
use store::{Batch, EntryQuery, Notebook, StoreError};
use text::t;
use trial::act::{Guess, Mask, MaskedBy, OnWalk, Walk, WalkEnd, WalkStep};
use trial::{Act, Bench, Draft, Entry, TankId, WalkId, lot};

/// Kinds of entry that walk-rounds read.
pub(crate) const KINDS: [&str; 7] = [
    "observation",
    "algae",
    "walk",
    "picture",
    "loss",
    "move",
    "harvest",
];

/// What a keeper asks for when beginning a walk-round.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// How names are hidden; none shows them.
    pub masked: Option<MaskedBy>,
    /// How much is looked at beside the primary outcome.
    pub length: Length,
    /// Who scores.
    pub who: String,
    /// The seed of the letters, drawn by the caller.
    pub seed: u64,
}

/// A walk-round with everything its pages need.
#[derive(Debug, Clone, PartialEq)]
pub struct Walking {
    /// The entry that holds of it.
    pub entry: Entry,
    /// What that entry says.
    pub walk: Walk,
    /// Entries of the kinds walk-rounds read, oldest first.
    pub entries: Vec<Entry>,
}

/// A walk-round in a list.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WalkLine {
    /// Which.
    pub walk: WalkId,
    /// The day it began.
    pub day: Date,
    /// Who scored.
    pub who: String,
    /// How names were hidden.
    pub masked: Option<MaskedBy>,
    /// Steps in all.
    pub steps: usize,
    /// Steps with at least one value.
    pub done: usize,
    /// Where to take it up again, from 1: after the last step with a value.
    pub next: usize,
    /// Whether it ended, and whether at its last step.
    pub finished: Option<bool>,
    /// Tanks named rightly and letters asked for, of an ended masked one.
    pub right: Option<(usize, usize)>,
}

/// What the page of walk-rounds shows.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WalksView {
    /// Under way, newest first.
    pub open: Vec<WalkLine>,
    /// Ended, newest first.
    pub ended: Vec<WalkLine>,
    /// How many steps each length would have today, names shown.
    pub lengths: Vec<(Length, usize)>,
    /// Tanks without a picture, which cannot be masked by pictures.
    pub without_picture: Vec<String>,
    /// The days of the pictures that would be shown: the oldest and the newest.
    pub picture_days: Option<(Date, Date)>,
    /// How scores came about so far.
    pub scored: Scored,
    /// Who scored last.
    pub who: String,
}

/// The walk-rounds of a trial and what a new one would ask.
pub fn walks_view(
    notebook: &Notebook,
    bench: &Bench,
    today: Date,
) -> Result<WalksView, AnswerError> {
    let entries = looked(notebook, bench)?;
    let mut lines: Vec<WalkLine> = entries
        .iter()
        .filter_map(|e| match &e.act {
            Act::Walk(walk) => Some(line(e, walk, &entries)),
            _ => None,
        })
        .collect();
    lines.reverse();
    let (open, ended) = lines.into_iter().partition(|l| l.finished.is_none());
    let count = |l: Length| (l, steps(bench, &entries, today, l, None).len());
    let shots: Vec<_> = bench
        .tanks
        .iter()
        .map(|t| (t, picture::front(&entries, t.id, None)))
        .collect();
    let shown = shots.iter().filter_map(|(_, e)| e.map(days::of));
    Ok(WalksView {
        open,
        ended,
        lengths: Length::ALL.map(count).to_vec(),
        without_picture: shots
            .iter()
            .filter(|(_, e)| e.is_none())
            .map(|(t, _)| t.name.clone())
            .collect(),
        picture_days: shown.clone().min().zip(shown.max()),
        scored: scored(bench, &entries, None),
        who: last_who(notebook, bench)?,
    })
}

fn line(entry: &Entry, walk: &Walk, entries: &[Entry]) -> WalkLine {
    let done = |s: &WalkStep| step::saved_in(entries, walk.walk, s).next().is_some();
    let at = walk.steps.iter().rposition(done);
    WalkLine {
        walk: walk.walk,
        day: days::of(entry),
        who: entry.who.clone(),
        masked: walk.masked.map(|m| m.by),
        steps: walk.steps.len(),
        done: walk.steps.iter().filter(|s| done(s)).count(),
        next: at.map_or(1, |at| (at + 2).min(walk.steps.len())),
        finished: walk.end.as_ref().map(|e| e.finished),
        right: walk
            .end
            .as_ref()
            .filter(|e| !e.guesses.is_empty())
            .map(|e| (walk.right(), e.guesses.len())),
    }
}

fn looked(notebook: &Notebook, bench: &Bench) -> Result<Vec<Entry>, AnswerError> {
    Ok(notebook.entries(&EntryQuery::of(bench.trial.id).kinds(&KINDS))?)
}

impl Walking {
    /// The walk-round as a line of a list.
    pub fn line(&self) -> WalkLine {
        line(&self.entry, &self.walk, &self.entries)
    }

    /// Whether names are hidden now: masked and not ended.
    pub fn hidden(&self) -> bool {
        self.walk.masked.is_some() && self.walk.end.is_none()
    }

    /// What a tank is called now: its letter while names are hidden, else its name.
    pub fn name(&self, bench: &Bench, tank: TankId) -> String {
        match self.hidden() {
            true => t!(
                "walk.letter",
                letter = self.walk.letter(tank).unwrap_or_default()
            ),
            false => trial::describe::tanks_phrase(&[tank], false, bench),
        }
    }
}

/// The walk-round of this id.
pub fn walking(notebook: &Notebook, bench: &Bench, id: WalkId) -> Result<Walking, AnswerError> {
    let entries = looked(notebook, bench)?;
    let found = entries.iter().rev().find_map(|e| match &e.act {
        Act::Walk(walk) if walk.walk == id => Some((e.clone(), walk.clone())),
        _ => None,
    });
    let (entry, walk) = found.ok_or_else(|| AnswerError::NotFound {
        what: t!("walk.what"),
        id: id.to_string(),
    })?;
    Ok(Walking {
        entry,
        walk,
        entries,
    })
}

/// Begins a walk-round; one already begun under the same stamp is given back as it is.
///
/// # Errors
/// Refused when there is nothing to look at, or a tank has no picture to be masked by.
pub fn begin(
    notebook: &Notebook,
    bench: &Bench,
    asked: &Asked,
    stamp: &Stamp,
) -> Result<WalkId, AnswerError> {
    if let Some(begun) = notebook.entry(stamp.id)?
        && let Act::Walk(walk) = begun.act
        && begun.trial == bench.trial.id
    {
        return Ok(walk.walk);
    }
    let entries = looked(notebook, bench)?;
    let today = stamp.now.date();
    let steps = steps(bench, &entries, today, asked.length, asked.masked);
    let tanks = tanks_of(bench, &steps);
    if asked.masked == Some(MaskedBy::Pictures) {
        let without = tanks
            .iter()
            .filter(|t| picture::front(&entries, **t, None).is_none())
            .copied()
            .collect::<Vec<_>>();
        if !without.is_empty() {
            let names = trial::describe::tanks_phrase(&without, false, bench);
            return Err(refused("masked", names, t!("walk.accept_pictures")));
        }
    }
    let walk = Walk {
        walk: WalkId(stamp.id.0),
        masked: asked.masked.map(|by| Mask {
            by,
            seed: asked.seed,
        }),
        order: order(bench, &tanks, asked),
        steps,
        end: None,
    };
    let id = walk.walk;
    let draft = Draft {
        at: stamp.now.clone(),
        tanks,
        all_tanks: false,
        who: asked.who.clone(),
        minutes: None,
        note: String::new(),
        act: Act::Walk(walk),
    };
    crate::log::write_form(notebook, bench, draft, stamp)?;
    Ok(id)
}

fn refused(field: &'static str, value: String, accepted: &str) -> AnswerError {
    AnswerError::Refused {
        problems: vec![trial::rules::Problem {
            field,
            value,
            accepted: accepted.to_string(),
        }],
    }
}

/// The tanks of some steps, from the left; algae are looked at in every tank.
fn tanks_of(bench: &Bench, steps: &[WalkStep]) -> Vec<TankId> {
    let holds = |tank: TankId, step: &WalkStep| {
        let mut plantings = step.plantings.iter().filter_map(|p| bench.planting(*p));
        step.surface.is_some() || plantings.any(|p| p.tank == tank)
    };
    let all = bench.tank_ids().into_iter();
    all.filter(|t| steps.iter().any(|s| holds(*t, s))).collect()
}

/// From the left; masked, as the lot of the seed has it.
fn order(bench: &Bench, tanks: &[TankId], asked: &Asked) -> Vec<TankId> {
    if asked.masked.is_none() {
        return tanks.to_vec();
    }
    let names: Vec<&str> = tanks
        .iter()
        .filter_map(|t| bench.tank(*t))
        .map(|t| t.name.as_str())
        .collect();
    lot::shuffled(asked.seed, &names)
        .into_iter()
        .filter_map(|name| bench.tank_named(name))
        .map(|t| t.id)
        .collect()
}

/// How a walk-round ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ending<'a> {
    /// Whether it went through to its last step.
    pub finished: bool,
    /// In the order of its letters which tank each was taken for, none for "could not tell"; empty
    /// when nobody was asked.
    pub guesses: &'a [Option<TankId>],
    /// Minutes it took.
    pub minutes: Option<f64>,
}

/// Ends a walk-round. One that has ended stays as it ended.
///
/// # Errors
/// Refused when guesses do not fit the walk-round.
pub fn end(
    notebook: &Notebook,
    bench: &Bench,
    walking: &Walking,
    ending: &Ending<'_>,
    stamp: &Stamp,
) -> Result<(), AnswerError> {
    if walking.walk.end.is_some() {
        return Ok(());
    }
    let said = walking.walk.order.iter().zip(ending.guesses);
    let mut walk = walking.walk.clone();
    walk.end = Some(WalkEnd {
        finished: ending.finished,
        guesses: said
            .map(|(tank, guessed)| Guess {
                tank: *tank,
                guessed: *guessed,
            })
            .collect(),
    });
    let begun = &walking.entry;
    let draft = Draft {
        at: begun.at.clone(),
        tanks: begun.tanks.clone(),
        all_tanks: begun.all_tanks,
        who: begun.who.clone(),
        minutes: ending.minutes.or(begun.minutes),
        note: begun.note.clone(),
        act: Act::Walk(walk),
    };
    let problems = trial::rules::check_draft(&draft, bench);
    if !problems.is_empty() {
        return Err(AnswerError::Refused { problems });
    }
    let entry = draft.into_entry(
        stamp.id,
        bench.trial.id,
        stamp.written(),
        stamp.origin(None),
        Some(begun.id),
    );
    match write(notebook, vec![entry]) {
        // Sent twice at once: the first has ended it.
        Err(StoreError::AlreadySuperseded { .. } | StoreError::Conflict { .. }) => Ok(()),
        other => Ok(other?),
    }
}

fn write(notebook: &Notebook, entries: Vec<Entry>) -> Result<(), StoreError> {
    notebook.write_all(&Batch {
        entries,
        ..Batch::default()
    })
}

fn on_walk(act: &Act) -> Option<OnWalk> {
    match act {
        Act::Observation(o) => o.on_walk,
        Act::Algae(a) => a.on_walk,
        _ => None,
    }
}

fn put_on_walk(act: &mut Act, on: Option<OnWalk>) {
    match act {
        Act::Observation(o) => o.on_walk = on,
        Act::Algae(a) => a.on_walk = on,
        _ => {}
    }
}

/// Refuses to open again a walk-round that has ended: once told, the letters cannot be guessed anew.
pub(crate) fn stays_ended(act: &Act) -> Result<(), AnswerError> {
    match act {
        Act::Walk(walk) if walk.end.is_some() => {
            Err(refused("walk", String::new(), t!("walk.accept_ended")))
        }
        _ => Ok(()),
    }
}

/// A correction stays on the walk-round of what it corrects. What it changes was not seen behind
/// the mask: whoever corrects it knows the tank by now.
pub(crate) fn carry_over(was: &Act, now: &mut Act) {
    let Some(on) = on_walk(was) else { return };
    put_on_walk(now, Some(on));
    if now != was {
        let seen = OnWalk {
            masked: false,
            as_last: false,
            ..on
        };
        put_on_walk(now, Some(seen));
    }
}
