//! The set-up records as one closed list, so that the store keeps their revisions in one way.

use crate::{Card, Equipment, Plan, Planting, Product, SourceWater, Tank, Trial, TrialId};
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// A set-up record of any kind.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "record", rename_all = "snake_case")]
#[allow(missing_docs, clippy::large_enum_variant)] // moved one at a time, never stored in bulk
pub enum Record {
    Trial(Trial),
    Tank(Tank),
    Planting(Planting),
    Card(Card),
    Product(Product),
    Water(SourceWater),
    Equipment(Equipment),
    Plan(Plan),
}

/// That a record was taken back, because it was never meant. It stays in the notebook with its
/// history, and can be brought back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Withdrawn {
    /// When.
    pub at: Timestamp,
    /// Why, in the keeper's words.
    pub why: String,
}

/// A record that was taken back.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WithdrawnRecord {
    /// What it said.
    pub record: Record,
    /// When and why.
    pub withdrawn: Withdrawn,
}

/// The kind of a set-up record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum RecordKind {
    Trial,
    Tank,
    Planting,
    Card,
    Product,
    Water,
    Equipment,
    Plan,
}

impl RecordKind {
    /// Every kind, parents before children.
    pub const ALL: [RecordKind; 8] = [
        RecordKind::Card,
        RecordKind::Product,
        RecordKind::Water,
        RecordKind::Trial,
        RecordKind::Tank,
        RecordKind::Planting,
        RecordKind::Equipment,
        RecordKind::Plan,
    ];

    /// The stable key, as stored and exported.
    pub fn key(self) -> &'static str {
        match self {
            RecordKind::Trial => "trial",
            RecordKind::Tank => "tank",
            RecordKind::Planting => "planting",
            RecordKind::Card => "card",
            RecordKind::Product => "product",
            RecordKind::Water => "water",
            RecordKind::Equipment => "equipment",
            RecordKind::Plan => "plan",
        }
    }
}

impl Record {
    /// Its kind.
    pub fn kind(&self) -> RecordKind {
        match self {
            Record::Trial(_) => RecordKind::Trial,
            Record::Tank(_) => RecordKind::Tank,
            Record::Planting(_) => RecordKind::Planting,
            Record::Card(_) => RecordKind::Card,
            Record::Product(_) => RecordKind::Product,
            Record::Water(_) => RecordKind::Water,
            Record::Equipment(_) => RecordKind::Equipment,
            Record::Plan(_) => RecordKind::Plan,
        }
    }

    /// Its identity.
    pub fn id(&self) -> Uuid {
        match self {
            Record::Trial(r) => r.id.0,
            Record::Tank(r) => r.id.0,
            Record::Planting(r) => r.id.0,
            Record::Card(r) => r.id.0,
            Record::Product(r) => r.id.0,
            Record::Water(r) => r.id.0,
            Record::Equipment(r) => r.id.0,
            Record::Plan(r) => r.id.0,
        }
    }

    /// Its trial; cards, products and source waters belong to the notebook.
    pub fn trial(&self) -> Option<TrialId> {
        match self {
            Record::Trial(r) => Some(r.id),
            Record::Tank(r) => Some(r.trial),
            Record::Planting(r) => Some(r.trial),
            Record::Equipment(r) => Some(r.trial),
            Record::Plan(r) => Some(r.trial),
            Record::Card(_) | Record::Product(_) | Record::Water(_) => None,
        }
    }

    /// What the keeper calls it.
    pub fn title(&self) -> String {
        match self {
            Record::Trial(r) => r.title.clone(),
            Record::Tank(r) => r.name.clone(),
            Record::Planting(r) => r.title(),
            Record::Card(r) => r.name.clone(),
            Record::Product(r) => r.name.clone(),
            Record::Water(r) => r.name.clone(),
            Record::Equipment(r) => r.name.clone(),
            Record::Plan(r) => r.what.clone(),
        }
    }

    /// The other records it points at, its trial left out: they must stand as long as it does.
    pub fn points_at(&self) -> Vec<Uuid> {
        let ids = |tanks: &[crate::TankId]| tanks.iter().map(|t| t.0).collect();
        match self {
            Record::Planting(r) => {
                let parent = r.parent.iter().map(|p| p.0);
                std::iter::once(r.tank.0).chain(parent).collect()
            }
            Record::Water(r) => r.parts.iter().map(|p| p.water.0).collect(),
            Record::Equipment(r) => ids(&r.tanks),
            Record::Plan(r) => ids(&r.tanks),
            Record::Trial(_) | Record::Tank(_) | Record::Card(_) | Record::Product(_) => vec![],
        }
    }
}
