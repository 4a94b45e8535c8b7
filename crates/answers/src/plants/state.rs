//! Whether a planting stands, and where.

use crate::days;
use jiff::civil::Date;
use serde::Serialize;
use trial::act::{Fate, Move};
use trial::{Act, Entry, EntryId, Planting, TankId};

/// What became of a planting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum State {
    /// It stands, as far as anything was logged.
    Stands,
    /// Nothing of it is left.
    Lost {
        /// The day.
        day: Date,
        /// The entry.
        entry: EntryId,
    },
    /// All of it was taken out of the trial.
    MovedOut {
        /// The day.
        day: Date,
        /// The entry.
        entry: EntryId,
    },
    /// Harvested and not planted back.
    Harvested {
        /// The day.
        day: Date,
        /// The entry.
        entry: EntryId,
        /// What became of it.
        fate: Fate,
    },
}

impl State {
    /// Whether it stands.
    pub fn stands(&self) -> bool {
        *self == State::Stands
    }

    /// The day it was lost or left.
    pub fn ended(&self) -> Option<Date> {
        match self {
            State::Stands => None,
            State::Lost { day, .. }
            | State::MovedOut { day, .. }
            | State::Harvested { day, .. } => Some(*day),
        }
    }

    /// The entry that says so.
    pub fn entry(&self) -> Option<EntryId> {
        match self {
            State::Stands => None,
            State::Lost { entry, .. }
            | State::MovedOut { entry, .. }
            | State::Harvested { entry, .. } => Some(*entry),
        }
    }
}

/// The state that the last of a planting's own entries to end it tells of.
pub(super) fn state(own: &[&Entry]) -> State {
    let ends = |e: &&Entry| {
        let (day, entry) = (days::of(e), e.id);
        match &e.act {
            Act::Loss(l) if l.whole => Some(State::Lost { day, entry }),
            Act::Move(m) if m.to.is_none() && is_whole(m) => Some(State::MovedOut { day, entry }),
            Act::Harvest(h) if h.fate != Fate::PlantedBack => Some(State::Harvested {
                day,
                entry,
                fate: h.fate,
            }),
            _ => None,
        }
    };
    own.iter().rev().find_map(ends).unwrap_or(State::Stands)
}

/// Whether all of a planting was moved: neither a smaller share nor a mass is named.
fn is_whole(m: &Move) -> bool {
    match m.share {
        Some(share) => share >= 1.0,
        None => m.fresh_g.is_none(),
    }
}

/// The tank it stood in at the end of `day`: its record's own, unless all of it was moved to another.
pub(super) fn tank_on(planting: &Planting, own: &[&Entry], day: Date) -> TankId {
    let moved = own.iter().rev().filter(|e| days::of(e) <= day);
    let moved = moved.filter_map(|e| match &e.act {
        Act::Move(m) if is_whole(m) => m.to,
        _ => None,
    });
    moved.into_iter().next().unwrap_or(planting.tank)
}
