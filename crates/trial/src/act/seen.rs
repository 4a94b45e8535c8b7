//! Algae, pictures, livestock.

use super::{OnWalk, Surface};
use crate::ids::PlantingId;
use crate::tank::Livestock;
use serde::{Deserialize, Serialize};

/// Algae by surface, on the written 0 to 5 anchors of `docs/scores.md`.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Algae {
    /// Film.
    #[serde(default, skip_serializing_if = "Surfaces::is_empty")]
    pub film: Surfaces,
    /// Threads.
    #[serde(default, skip_serializing_if = "Surfaces::is_empty")]
    pub thread: Surfaces,
    /// The walk-round it was seen on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on_walk: Option<OnWalk>,
}

/// One score per surface.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
pub struct Surfaces {
    /// Glass.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pane: Option<f64>,
    /// Plants.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plants: Option<f64>,
    /// Stones and wood.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hardscape: Option<f64>,
    /// Substrate.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub substrate: Option<f64>,
}

impl Surfaces {
    /// The score of one surface.
    pub fn on(&self, surface: Surface) -> Option<f64> {
        match surface {
            Surface::Pane => self.pane,
            Surface::Plants => self.plants,
            Surface::Hardscape => self.hardscape,
            Surface::Substrate => self.substrate,
        }
    }

    /// Only this surface scored.
    pub fn only(surface: Surface, score: f64) -> Self {
        let mut scores = Surfaces::default();
        *match surface {
            Surface::Pane => &mut scores.pane,
            Surface::Plants => &mut scores.plants,
            Surface::Hardscape => &mut scores.hardscape,
            Surface::Substrate => &mut scores.substrate,
        } = Some(score);
        scores
    }

    /// Whether nothing was scored.
    pub fn is_empty(&self) -> bool {
        *self == Surfaces::default()
    }
}

/// A picture, stored by the hash of its bytes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Picture {
    /// SHA-256 of the bytes, 64 lower-case hexadecimal digits.
    pub sha256: String,
    /// `image/jpeg`, `image/png` or `image/webp`, by content.
    pub media_type: String,
    /// Width as shown.
    pub width_px: u32,
    /// Height as shown.
    pub height_px: u32,
    /// What it shows.
    #[serde(default)]
    pub view: View,
    /// The planting it is about.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub planting: Option<PlantingId>,
}

/// What a picture shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum View {
    /// The whole front pane.
    #[default]
    Front,
    /// From above.
    Top,
    /// A detail.
    Detail,
}

/// Something that happened to livestock.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LivestockEvent {
    /// What happened.
    pub event: LivestockHappening,
    /// To whom, and how many.
    #[serde(flatten)]
    pub who: Livestock,
}

/// Kinds of livestock event.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LivestockHappening {
    /// Came in.
    Arrival,
    /// Died.
    Death,
    /// Not seen.
    Missing,
    /// Ill or behaving oddly.
    Illness,
    /// Re-homed or taken out.
    Departure,
}
