//! Doses, feedings, cleanings, settings, equipment.

use crate::ids::{EquipmentId, ProductId};
use crate::types::Money;
use jiff::civil::Time;
use quantity::Amount;
use serde::{Deserialize, Serialize};

/// What is dosed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum DoseOf {
    /// A product or stock solution of the notebook.
    Product {
        /// Which.
        product: ProductId,
    },
    /// A salt weighed out.
    Salt {
        /// Formula, as in the salt table.
        formula: String,
    },
}

/// Where a dose goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Into {
    /// Into the water.
    #[default]
    Water,
    /// Into the substrate, as root tablets are.
    Substrate,
}

/// A dose, per tank.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Dose {
    /// What.
    pub of: DoseOf,
    /// How much, in g, mg, mL or pieces.
    pub amount: Amount,
    /// Where.
    #[serde(default)]
    pub into: Into,
}

/// A feeding, per tank.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Feed {
    /// What, in words (`flakes`).
    pub food: String,
    /// The notebook's product, when its composition is recorded.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub product: Option<ProductId>,
    /// How much.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grams: Option<f64>,
}

/// What was cleaned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// The front or side panes.
    Pane,
    /// Filter media.
    Filter,
    /// The gas diffuser.
    Diffuser,
    /// The cover glass or lid.
    Cover,
    /// The lamp.
    Lamp,
    /// The substrate's surface.
    Substrate,
    /// Stones and wood.
    Hardscape,
}

/// A cleaning.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Clean {
    /// Which part.
    pub part: Part,
    /// Filter flow before.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flow_before_l_h: Option<f64>,
    /// Filter flow after.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flow_after_l_h: Option<f64>,
}

/// New settings; what is missing stays as it was.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Setting {
    /// Hours of light a day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub photoperiod_h: Option<f64>,
    /// When the lamp goes on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub light_on_at: Option<Time>,
    /// The clock its timer follows, when not the trial's zone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub timer_clock: Option<String>,
    /// Percent of full power.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dimming_pct: Option<f64>,
    /// Lamp height above the water.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lamp_height_cm: Option<f64>,
    /// Gas on, minutes after the lamp (negative: before).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gas_on_after_light_min: Option<f64>,
    /// Gas off, minutes after the lamp goes off (negative: before).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gas_off_after_light_min: Option<f64>,
    /// Surface agitation, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub surface: Option<String>,
    /// Heater set point.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub temperature_c: Option<f64>,
    /// Filter flow.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flow_l_h: Option<f64>,
}

/// Equipment exchanged.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Swap {
    /// What left.
    pub left: String,
    /// What came.
    pub came: String,
    /// Its price.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<Money>,
    /// The equipment record that came.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub equipment: Option<EquipmentId>,
}
