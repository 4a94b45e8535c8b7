//! Walk-rounds in words.

use super::measure_name;
use crate::act::{MaskedBy, Surface, Walk, WalkStep};
use crate::{Bench, Planting};
use text::t;

pub(super) fn sentence(w: &Walk) -> String {
    let n = w.steps.len();
    let how = match w.masked.map(|m| m.by) {
        None => t!("act.walk_open"),
        Some(MaskedBy::Pictures) => t!("act.walk_pictures"),
        Some(MaskedBy::Helper) => t!("act.walk_helper"),
    };
    let Some(end) = &w.end else {
        return t!("act.walk_begun", n = n, how = how);
    };
    let said = match end.finished {
        true => t!("act.walk_finished", n = n, how = how),
        false => t!("act.walk_left", n = n, how = how),
    };
    match end.guesses.len() {
        0 => said,
        of => t!("act.walk_guessed", said = said, right = w.right(), of = of),
    }
}

/// The name of a surface: `the glass`.
pub fn surface_name(surface: Surface) -> &'static str {
    match surface {
        Surface::Pane => t!("act.where_pane"),
        Surface::Plants => t!("act.where_plants"),
        Surface::Hardscape => t!("act.where_hardscape"),
        Surface::Substrate => t!("act.where_substrate"),
    }
}

/// What a step looks at: the plant with its label, or the surface; and the measure's name.
pub fn step_title(step: &WalkStep, bench: &Bench) -> (String, &'static str) {
    let of = match step.surface {
        Some(surface) => surface_name(surface).to_string(),
        None => {
            let first = step.plantings.first().and_then(|id| bench.planting(*id));
            first.map_or_else(|| t!("act.gone").to_string(), Planting::title)
        }
    };
    (of, measure_name(step.measure))
}
