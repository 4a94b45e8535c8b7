//! What a part of the set-up holds, in a few words beside its heading.

use text::t;
use trial::{Bench, describe};

use super::forms::Form;
use crate::pages::words::capital;

/// What is recorded in that part.
pub(super) fn glance(form: Form, bench: &Bench) -> String {
    let trial = &bench.trial;
    let said = match form {
        Form::Question => trial.question.clone(),
        Form::Arms => named(trial.arms.iter().map(|arm| arm.name.as_str())),
        Form::Outcomes => {
            let outcomes = trial.primary.iter().chain(&trial.secondary);
            first_of(outcomes.map(|o| o.name.as_str()).collect())
        }
        Form::Phases => {
            let names = trial.phases.iter().map(|p| describe::phase_name(p.kind));
            named(names)
        }
        Form::Keeping => keeping(bench),
        Form::Tank => named(bench.tanks.iter().map(|t| t.name.as_str())),
        Form::Planting => {
            let planted = |t: &&trial::Tank| bench.plantings_in(t.id).next().is_some();
            let tanks = bench.tanks.iter().filter(planted).count();
            match bench.plantings.len() {
                0 => String::new(),
                n => t!("setup.glance_plantings", n = n, tanks = tanks),
            }
        }
        Form::Card => first_of(bench.cards.iter().map(|c| c.name.as_str()).collect()),
        Form::Water => first_of(bench.waters.iter().map(|w| w.name.as_str()).collect()),
        Form::Product => first_of(bench.products.iter().map(|p| p.name.as_str()).collect()),
        Form::Equipment => first_of(bench.equipment.iter().map(|e| e.name.as_str()).collect()),
        Form::Plan => first_of(bench.plans.iter().map(|p| p.what.as_str()).collect()),
    };
    if said.trim().is_empty() {
        t!("setup.none_yet").to_owned()
    } else {
        capital(&said)
    }
}

fn named<'a>(names: impl Iterator<Item = &'a str>) -> String {
    let names: Vec<String> = names.map(str::to_owned).collect();
    describe::list(&names)
}

/// The first name and how many more there are.
fn first_of(names: Vec<&str>) -> String {
    match names.as_slice() {
        [] => String::new(),
        [only] => (*only).to_owned(),
        [first, rest @ ..] => t!("setup.glance_more", first = first, n = rest.len()),
    }
}

fn keeping(bench: &Bench) -> String {
    let trial = &bench.trial;
    let stop = trial.stop_rule.as_ref();
    let stop = stop.map(|_| t!("setup.glance_stop_rule").to_owned());
    let ranges = match trial.kept_ranges.len() {
        0 => None,
        n => Some(t!("setup.glance_ranges", n = n)),
    };
    let price = trial.electricity_per_kwh.as_ref();
    let price = price.map(|_| t!("setup.glance_electricity").to_owned());
    let parts: Vec<String> = [stop, ranges, price].into_iter().flatten().collect();
    describe::list(&parts)
}
