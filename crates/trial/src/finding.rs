//! Doubtful or missing data: listed, never a reason to stop.

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
    /// What is the matter, one sentence.
    pub what: String,
    /// What would mend it, one sentence; empty when nothing can.
    pub remedy: String,
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
            what: what.into(),
            remedy: remedy.into(),
        }
    }

    /// The same finding on a record.
    pub fn on(mut self, record: impl ToString) -> Self {
        self.record = Some(record.to_string());
        self
    }
}
