//! The closed list of things an entry can say was done or seen.
//!
//! Amounts are per tank. Payloads are stored as JSON with `kind` and `version`; a payload of a newer
//! version is refused, never guessed at.

mod care;
mod plants;
mod seen;
mod walk;
mod water;

pub use care::{Clean, Dose, DoseOf, Feed, Into, Part, Setting, Swap};
pub use plants::{
    DriedSample, Fate, Harvest, Loss, Move, Observation, Plantlets, Replant, Thin, Trim,
};
pub use seen::{Algae, LivestockEvent, LivestockHappening, Picture, Surfaces, View};
pub use walk::{Guess, Mask, MaskedBy, OnWalk, Surface, Walk, WalkEnd, WalkStep};
pub use water::{Change, Reading, ReadingOf, TopUp, WaterAmount};

use crate::ids::PlantingId;
use serde::{Deserialize, Serialize};

/// The payload version this build writes and the newest it reads.
pub const PAYLOAD_VERSION: u16 = 1;

/// What was done or seen.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Act {
    /// Something dosed.
    Dose(Dose),
    /// A water change.
    Change(Change),
    /// Evaporation made up.
    TopUp(TopUp),
    /// Plants cut.
    Trim(Trim),
    /// Cuttings planted.
    Replant(Replant),
    /// Plants or cover taken out to thin them.
    Thin(Thin),
    /// A planting, or part of it, died.
    Loss(Loss),
    /// Plantlets counted.
    Plantlets(Plantlets),
    /// Plants or cover moved to another tank or out.
    Move(Move),
    /// Livestock fed.
    Feed(Feed),
    /// Something cleaned.
    Clean(Clean),
    /// A setting changed.
    Setting(Setting),
    /// Equipment exchanged.
    Swap(Swap),
    /// Water tested.
    Reading(Reading),
    /// A planting looked at.
    Observation(Observation),
    /// Algae looked at.
    Algae(Algae),
    /// A picture taken.
    Picture(Picture),
    /// Something happened to livestock.
    Livestock(LivestockEvent),
    /// Closing harvest.
    Harvest(Harvest),
    /// A walk-round begun or ended.
    Walk(Walk),
    /// Anything else; the text is the entry's note.
    Note,
    /// Takes back the entry it supersedes.
    Undo,
}

impl Act {
    /// Every kind, in the order forms show them.
    pub const KINDS: [&'static str; 22] = [
        "dose",
        "change",
        "top_up",
        "feed",
        "reading",
        "observation",
        "algae",
        "trim",
        "replant",
        "thin",
        "clean",
        "setting",
        "picture",
        "plantlets",
        "loss",
        "move",
        "livestock",
        "swap",
        "harvest",
        "walk",
        "note",
        "undo",
    ];

    /// The stable key of its kind, as stored and exported.
    pub fn kind(&self) -> &'static str {
        match self {
            Act::Dose(_) => "dose",
            Act::Change(_) => "change",
            Act::TopUp(_) => "top_up",
            Act::Trim(_) => "trim",
            Act::Replant(_) => "replant",
            Act::Thin(_) => "thin",
            Act::Loss(_) => "loss",
            Act::Plantlets(_) => "plantlets",
            Act::Move(_) => "move",
            Act::Feed(_) => "feed",
            Act::Clean(_) => "clean",
            Act::Setting(_) => "setting",
            Act::Swap(_) => "swap",
            Act::Reading(_) => "reading",
            Act::Observation(_) => "observation",
            Act::Algae(_) => "algae",
            Act::Picture(_) => "picture",
            Act::Livestock(_) => "livestock",
            Act::Harvest(_) => "harvest",
            Act::Walk(_) => "walk",
            Act::Note => "note",
            Act::Undo => "undo",
        }
    }

    /// Whether an entry of this kind goes to every tank when none is named. The others need
    /// exactly one; a note, and a trim or thinning without a mass, may have any number, and a
    /// walk-round has those walked round.
    pub fn goes_to_all(&self) -> bool {
        match self {
            Act::Dose(_) | Act::Change(_) | Act::TopUp(_) | Act::Feed(_) | Act::Clean(_) => true,
            Act::Setting(_) | Act::Note | Act::Undo => true,
            Act::Trim(t) => t.out_fresh_g.is_none() && t.dried.is_none(),
            Act::Thin(t) => t.out_fresh_g.is_none(),
            _ => false,
        }
    }

    /// The plantings it is about.
    pub fn plantings(&self) -> Vec<PlantingId> {
        match self {
            Act::Trim(t) => t.plantings.iter().chain(&t.left_out).copied().collect(),
            Act::Replant(r) => vec![r.from, r.into],
            Act::Thin(t) => t.plantings.clone(),
            Act::Loss(l) => vec![l.planting],
            Act::Plantlets(p) => vec![p.planting],
            Act::Move(m) => vec![m.planting],
            Act::Observation(o) => o.plantings.clone(),
            Act::Picture(p) => p.planting.into_iter().collect(),
            Act::Harvest(h) => vec![h.planting],
            _ => vec![],
        }
    }
}
