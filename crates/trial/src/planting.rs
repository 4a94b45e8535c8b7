//! One lot of one plant in one tank.

use crate::ids::{PlantingId, TankId, TrialId};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// A planting. Cuttings replanted apart get a planting of their own whose `parent` is this one, so
/// that every cutting keeps its line of descent.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Planting {
    /// Identity.
    pub id: PlantingId,
    /// Its trial.
    pub trial: TrialId,
    /// Its tank.
    pub tank: TankId,
    /// Accepted scientific name, or what the keeper calls it when it is not in the catalogue.
    pub scientific_name: String,
    /// Common name.
    #[serde(default)]
    pub common_name: String,
    /// A label to tell two lots of one plant in one tank apart (`left`, `second lot`).
    #[serde(default)]
    pub label: String,
    /// The day it was planted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub planted: Option<Date>,
    /// Where it came from.
    #[serde(default)]
    pub origin: PlantOrigin,
    /// Stems planted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stems: Option<u32>,
    /// Fresh mass planted, blotted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fresh_g: Option<f64>,
    /// How the stock was divided among tanks (`by lot`, `weighed out equally`).
    #[serde(default)]
    pub divided: String,
    /// The planting its cuttings were taken from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub parent: Option<PlantingId>,
    /// Its zone as a polygon on the front pane: centimetres from the left, centimetres above the
    /// tank's floor.
    #[serde(default)]
    pub zone_cm: Vec<[f64; 2]>,
    /// Whether it floats.
    #[serde(default)]
    pub floating: bool,
}

/// Where a planting came from.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct PlantOrigin {
    /// How it was bought or taken.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub form: Option<OriginForm>,
    /// Whether it grew in air or in water before.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grown_in: Option<GrownIn>,
    /// Batch or delivery.
    #[serde(default)]
    pub batch: String,
    /// Quarantine, dips, rinses.
    #[serde(default)]
    pub quarantine: String,
}

/// How a plant was bought or taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum OriginForm {
    /// In a pot.
    Pot,
    /// Cuttings, bunched or loose.
    Cuttings,
    /// From laboratory culture.
    Culture,
    /// Divided from a mother plant.
    Division,
}

/// What a plant grew in before it was planted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum GrownIn {
    /// Emerged, in air.
    Air,
    /// Submerged, in water.
    Water,
}

impl Planting {
    /// A planting of which only the plant is known.
    pub fn new(id: PlantingId, trial: TrialId, tank: TankId, name: impl Into<String>) -> Self {
        Planting {
            id,
            trial,
            tank,
            scientific_name: name.into(),
            common_name: String::new(),
            label: String::new(),
            planted: None,
            origin: PlantOrigin::default(),
            stems: None,
            fresh_g: None,
            divided: String::new(),
            parent: None,
            zone_cm: vec![],
            floating: false,
        }
    }

    /// The name with its label, for lists.
    pub fn title(&self) -> String {
        if self.label.is_empty() {
            self.scientific_name.clone()
        } else {
            format!("{} ({})", self.scientific_name, self.label)
        }
    }
}
