//! What was done to plants, and how they looked.

use super::OnWalk;
use crate::ids::{PlantingId, TankId};
use serde::{Deserialize, Serialize};

/// A trim of one plant: one planting in each tank it was done in.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Trim {
    /// The plantings cut.
    pub plantings: Vec<PlantingId>,
    /// Share of the plant left standing, 0 to 1, by eye.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kept_share: Option<f64>,
    /// Fresh mass taken out, blotted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub out_fresh_g: Option<f64>,
    /// A subsample that was dried.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dried: Option<DriedSample>,
    /// Plantings left uncut on purpose.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub left_out: Vec<PlantingId>,
}

/// A dried subsample: its fresh and dry mass give the ratio.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct DriedSample {
    /// Fresh mass of the subsample.
    pub fresh_g: f64,
    /// Its dry mass.
    pub dry_g: f64,
}

/// Cuttings planted. When they get a planting of their own, its `parent` is `from`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Replant {
    /// The planting they were cut from.
    pub from: PlantingId,
    /// The planting they joined: the same one, or a new one of its own.
    pub into: PlantingId,
    /// How many.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub count: Option<u32>,
    /// Their fresh mass: part of what the trim took out, so it is counted once.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fresh_g: Option<f64>,
}

/// Plants taken out to thin a planting.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Thin {
    /// The plantings thinned, one in each tank.
    pub plantings: Vec<PlantingId>,
    /// Share left, 0 to 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kept_share: Option<f64>,
    /// Fresh mass taken out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub out_fresh_g: Option<f64>,
}

/// A loss.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Loss {
    /// Which planting.
    pub planting: PlantingId,
    /// True when nothing of it is left.
    pub whole: bool,
    /// Stems lost when part of it is left.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stems: Option<u32>,
}

/// Plantlets counted: the count stands for the whole planting at that time.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Plantlets {
    /// Which planting.
    pub planting: PlantingId,
    /// How many there are.
    pub count: u32,
}

/// A move.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Move {
    /// The planting moved from the entry's tank.
    pub planting: PlantingId,
    /// To which tank; none means out of the trial.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<TankId>,
    /// Share moved, 0 to 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub share: Option<f64>,
    /// Fresh mass moved.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fresh_g: Option<f64>,
}

/// A planting looked at. Scores are on the written 0 to 10 anchors of `docs/scores.md`.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Observation {
    /// Which plantings: usually one.
    pub plantings: Vec<PlantingId>,
    /// Vigour.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub vigour: Option<f64>,
    /// Condition of new leaves.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub new_leaf: Option<f64>,
    /// Density.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub density: Option<f64>,
    /// Colour strength.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub colour: Option<f64>,
    /// Height above the substrate.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height_cm: Option<f64>,
    /// Spread.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spread_cm: Option<f64>,
    /// Distance between nodes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub node_cm: Option<f64>,
    /// Share of its zone covered, percent, by eye or from a picture.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cover_pct: Option<f64>,
    /// Standing fresh mass, lifted, blotted and weighed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fresh_g: Option<f64>,
    /// Whether leaves stand out of the water.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub emerged: Option<bool>,
    /// Free signs: pale, crumpled, melting.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub signs: Vec<String>,
    /// The walk-round it was seen on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on_walk: Option<OnWalk>,
}

/// A closing harvest of one planting.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Harvest {
    /// Which.
    pub planting: PlantingId,
    /// All its fresh mass, blotted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fresh_g: Option<f64>,
    /// Its dry mass.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dry_g: Option<f64>,
    /// What became of it.
    pub fate: Fate,
}

/// What became of harvested plants.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Fate {
    /// Weighed and planted back.
    PlantedBack,
    /// Given to another keeper.
    Rehomed,
    /// Dried or frozen and put in the waste: never into drains or the wild.
    Disposed,
}
