//! The rules of a walk-round.

use super::Found;
use crate::act::{Walk, WalkStep};
use crate::types::Measure;
use crate::{Bench, Draft, TankId};
use std::collections::HashSet;
use text::t;

/// Measures that can be looked at on a walk-round, those scored first.
pub const WALKED: [Measure; 8] = [
    Measure::Vigour,
    Measure::NewLeaf,
    Measure::Density,
    Measure::Colour,
    Measure::Height,
    Measure::Spread,
    Measure::NodeDistance,
    Measure::Cover,
];

pub(super) fn check(w: &Walk, draft: &Draft, bench: &Bench, found: &mut Found) {
    let set = |tanks: &[TankId]| tanks.iter().copied().collect::<HashSet<_>>();
    let each_once = set(&w.order).len() == w.order.len();
    let same = each_once && set(&w.order) == set(&draft.tanks);
    found.require(same, "order", "", t!("act.rule_walk_order"));
    if w.steps.is_empty() {
        found.add("steps", "", t!("act.rule_walk_steps"));
    }
    for step in &w.steps {
        check_step(step, draft, bench, found);
    }
    let guessed: Vec<TankId> = w.guesses().map(|g| g.tank).collect();
    let fits = guessed.is_empty()
        || (w.masked.is_some() && guessed.len() == w.order.len() && set(&guessed) == set(&w.order));
    found.require(fits, "guesses", "", t!("act.rule_walk_guesses"));
    for named in w.guesses().filter_map(|g| g.guessed) {
        let name = crate::describe::tanks_phrase(&[named], false, bench);
        let known = w.order.contains(&named);
        found.require(known, "guessed", name, t!("act.rule_walk_guessed"));
    }
}

fn check_step(step: &WalkStep, draft: &Draft, bench: &Bench, found: &mut Found) {
    let algae = matches!(step.measure, Measure::Film | Measure::Thread);
    let about = match algae {
        true => step.surface.is_some() && step.plantings.is_empty(),
        false => step.surface.is_none() && WALKED.contains(&step.measure),
    };
    let name = step.measure.key();
    found.require(about, "measure", name, t!("act.rule_walk_measure"));
    if !algae {
        super::acts::standing("plantings", &step.plantings, draft, bench, found);
    }
}
