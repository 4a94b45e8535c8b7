//! What is planned, and what the keeper expects of it, written before it is done.

use crate::ids::{EntryId, PlanId, TankId, TrialId};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// A planned change or a routine.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Plan {
    /// Identity.
    pub id: PlanId,
    /// Its trial.
    pub trial: TrialId,
    /// What will be done.
    pub what: String,
    /// In which tanks; empty means all.
    #[serde(default)]
    pub tanks: Vec<TankId>,
    /// From when.
    pub from: Date,
    /// What the keeper expects of it.
    #[serde(default)]
    pub expects: String,
    /// For a routine: the kind of act and how often it is due.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub routine: Option<Routine>,
    /// How it went.
    #[serde(default)]
    pub outcome: PlanOutcome,
}

/// Something done again and again.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Routine {
    /// The kind of act (`dose`, `change`, ...), as in [`crate::Act::kind`].
    pub act: String,
    /// Due this many days after it was last done.
    pub every_days: u16,
    /// Until when.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub until: Option<Date>,
}

/// How a plan went.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum PlanOutcome {
    /// Not done yet, or a routine that runs.
    #[default]
    Open,
    /// Done.
    Done {
        /// On this day.
        on: Date,
        /// By these entries.
        #[serde(default)]
        entries: Vec<EntryId>,
        /// What was seen of it.
        #[serde(default)]
        seen: String,
    },
    /// Given up.
    Dropped {
        /// Why.
        why: String,
    },
}
