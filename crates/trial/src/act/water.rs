//! Water in and out, and what it tested as.

use crate::card::Seen;
use crate::ids::{CardId, WaterId};
use jiff::civil::Date;
use quantity::{Analyte, Interval, Means};
use serde::{Deserialize, Serialize};

/// How much water.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum WaterAmount {
    /// A share of the tank's water, 0 to 1.
    Share {
        /// The share.
        share: f64,
    },
    /// Litres.
    Litres {
        /// The litres.
        litres: f64,
    },
}

/// A water change, per tank.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Change {
    /// How much.
    pub amount: WaterAmount,
    /// The new water.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<WaterId>,
}

/// A top-up, per tank.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TopUp {
    /// How much.
    pub litres: f64,
    /// The water used.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<WaterId>,
    /// How far the level stood below its mark.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub level_below_cm: Option<f64>,
}

/// A water test. The interval is worked out once, when it is written, from the card as it was then.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Reading {
    /// Of what.
    pub analyte: Analyte,
    /// What was seen.
    pub seen: Seen,
    /// The card it was seen on; none for meters and bare intervals.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub card: Option<CardId>,
    /// Whether the numbers mean the ion or the element.
    #[serde(default)]
    pub means: Means,
    /// What it says, in the numbers of `means`, dilution included.
    pub interval: Interval,
    /// The source water tested, when it is not a tank's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub water: Option<WaterId>,
    /// Parts of water made up to one part sample (1 = undiluted).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dilution: Option<f64>,
    /// Whether it was of the tank, a blank or a standard.
    #[serde(default, skip_serializing_if = "ReadingOf::is_sample")]
    pub of: ReadingOf,
    /// Reagent lot.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub lot: String,
    /// Reagent opened on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub opened: Option<Date>,
    /// Reagent expires on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub expires: Option<Date>,
    /// Minutes waited before reading.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub waited_min: Option<f64>,
    /// Light it was read in.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub viewing_light: String,
}

/// What was tested.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum ReadingOf {
    /// Tank or source water.
    #[default]
    Sample,
    /// Water known to hold none.
    Blank,
    /// Water made up to a known value.
    Standard {
        /// The value, in the reading's numbers.
        value: f64,
    },
}

impl ReadingOf {
    fn is_sample(&self) -> bool {
        *self == ReadingOf::Sample
    }
}

impl Reading {
    /// The interval as the ion, the common currency of comparisons.
    pub fn as_ion(&self) -> Interval {
        self.interval
            .map_increasing(|v| self.analyte.as_ion(v, self.means))
            .unwrap_or(Interval::UNBOUNDED)
    }
}
