//! What is looked at: what a walk-round of usual length would ask, and the algae looked at of late.

use super::{Before, Row, rows};
use crate::days;
use crate::plans::days_between;
use crate::walk::{Length, steps, value_of};
use trial::Bench;
use trial::act::WalkStep;

/// How far back algae on a surface keep their row, in days.
const SEEN_DAYS: i64 = 28;

/// The primary outcome of every plant and one more of each in turn, plant by plant; then algae: those
/// looked at of late, else the one that is longest due.
pub(super) fn rows(bench: &Bench, before: &Before) -> Vec<Row> {
    let all = |length| steps(bench, &before.looked, before.day, length, None);
    let (surfaces, mut plants): (Vec<_>, Vec<_>) = all(Length::Usual)
        .into_iter()
        .partition(|s| s.surface.is_some());
    let order: Vec<_> = plants.iter().map(|s| s.plantings.clone()).collect();
    plants.sort_by_key(|s| order.iter().position(|p| *p == s.plantings));
    let every = all(Length::Full).into_iter();
    let mut algae: Vec<WalkStep> = every
        .filter(|s| s.surface.is_some() && seen_lately(before, s))
        .collect();
    if algae.is_empty() {
        algae = surfaces;
    }
    algae.sort_by_key(|s| (s.measure, s.surface));
    let kept = plants.iter().chain(&algae);
    kept.filter_map(|step| rows::look(bench, step)).collect()
}

fn seen_lately(before: &Before, surface: &WalkStep) -> bool {
    before.looked.iter().any(|e| {
        days_between(days::of(e), before.day) <= SEEN_DAYS && value_of(&e.act, surface).is_some()
    })
}
