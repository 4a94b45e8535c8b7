//! How far to trust the numbers: what was checked against outside tables, and what was not.

use evidence::references::CheckResult;
use serde::Serialize;
use text::t;

/// What the program was held against.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TrustAnswer {
    /// One result per embedded table.
    pub checks: Vec<CheckResult>,
    /// Tables whose every value lies within its tolerance.
    pub passed: usize,
    /// Values compared in all tables.
    pub compared: usize,
    /// What no table checks, one sentence each.
    pub unchecked: Vec<String>,
}

/// Runs every embedded reference table; takes some seconds of arithmetic, so callers keep the answer.
pub fn trust() -> TrustAnswer {
    let checks = evidence::references::run();
    TrustAnswer {
        passed: checks.iter().filter(|c| c.passed).count(),
        compared: checks.iter().map(|c| c.compared).sum(),
        unchecked: [
            t!("trust.unchecked_readings"),
            t!("trust.unchecked_scores"),
            t!("trust.unchecked_growth"),
            t!("trust.unchecked_volume"),
            t!("trust.unchecked_cost"),
            t!("trust.unchecked_design"),
            t!("trust.unchecked_forecast"),
        ]
        .map(str::to_string)
        .to_vec(),
        checks,
    }
}
