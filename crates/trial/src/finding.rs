//! Doubtful or missing data: listed, never a reason to stop.

use crate::ids::{EntryId, PlantingId, TankId};
use serde::Serialize;

/// One thing a keeper should know about their records. Codes are stable and listed in
/// `docs/findings.md`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// Stable code (`no_reading_lately`).
    pub code: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// The record it is about, when it is about one.
    pub record: Option<String>,
    /// The tanks, plantings and entries it concerns, each once; empty when it concerns none in
    /// particular.
    pub subjects: Vec<Subject>,
    /// What is the matter, one sentence.
    pub what: String,
    /// What would mend it, one sentence; empty when nothing can.
    pub remedy: String,
}

/// What a finding concerns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(tag = "kind", content = "id", rename_all = "snake_case")]
pub enum Subject {
    /// A tank.
    Tank(TankId),
    /// One lot of one plant in one tank.
    Planting(PlantingId),
    /// An entry.
    Entry(EntryId),
}

/// How much a finding matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// Good to know.
    Note,
    /// Weakens what can be said.
    Weakens,
    /// Forbids a conclusion, or a living thing may suffer.
    Serious,
}

impl Finding {
    /// A finding on no record in particular.
    pub fn new(
        code: &'static str,
        severity: Severity,
        what: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Finding {
            code,
            severity,
            record: None,
            subjects: vec![],
            what: what.into(),
            remedy: remedy.into(),
        }
    }

    /// The same finding on a record.
    pub fn on(mut self, record: impl ToString) -> Self {
        self.record = Some(record.to_string());
        self
    }

    /// The same finding, concerning these.
    pub fn about(mut self, subjects: impl IntoIterator<Item = Subject>) -> Self {
        self.subjects.extend(subjects);
        self.subjects.sort_unstable();
        self.subjects.dedup();
        self
    }

    /// The plantings it concerns.
    pub fn plantings(&self) -> impl Iterator<Item = PlantingId> {
        self.subjects.iter().filter_map(|s| match s {
            Subject::Planting(id) => Some(*id),
            _ => None,
        })
    }
}
