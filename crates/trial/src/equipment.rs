//! What the trial cost and costs.

use crate::ids::{EquipmentId, TankId, TrialId};
use crate::types::Money;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// A piece of equipment or a consumable.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Equipment {
    /// Identity.
    pub id: EquipmentId,
    /// Its trial.
    pub trial: TrialId,
    /// What it is.
    pub name: String,
    /// The tanks it serves; empty means all, shared equally. Price and power are for all of them
    /// together.
    #[serde(default)]
    pub tanks: Vec<TankId>,
    /// Whether it is bought again each month.
    pub kind: EquipmentKind,
    /// What was paid.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<Money>,
    /// When it was bought.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bought: Option<Date>,
    /// How long it is expected to last: for a consumable, how long one price lasts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub life_months: Option<f64>,
    /// Power drawn while it runs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub power_w: Option<f64>,
    /// Hours a day it runs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours_per_day: Option<f64>,
    /// A gift, loan or payment to disclose; empty when bought at the usual price.
    #[serde(default)]
    pub disclosure: String,
}

/// Bought once or again and again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum EquipmentKind {
    /// Bought once.
    Durable,
    /// Used up.
    Consumable,
}
