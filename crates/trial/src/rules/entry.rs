//! The rules of an entry: when, where, how long; then those of its act.

use super::{Found, Problem, acts, reading};
use crate::act::ReadingOf;
use crate::{Act, Bench, Draft};
use std::collections::HashSet;
use text::t;

/// A week: more minutes of work than that in one entry are a slip.
const MOST_MINUTES: f64 = 7.0 * 24.0 * 60.0;

/// Every problem of an entry to be written on this bench; empty when it can stand.
///
/// Checked are the time (1970 to 2100), the tanks (of this trial, each once, as many as the act
/// takes), the minutes, and the act's own fields with everything they refer to.
pub fn check_draft(draft: &Draft, bench: &Bench) -> Vec<Problem> {
    let mut found = Found::default();
    let year = draft.at.year();
    found.require(
        (1970..=2100).contains(&year),
        "at",
        &draft.at,
        t!("act.rule_year"),
    );
    found.within("minutes", draft.minutes, 0.0, MOST_MINUTES, "min");
    check_tanks(draft, bench, &mut found);
    acts::check(draft, bench, &mut found);
    if let Act::Reading(r) = &draft.act {
        reading::check(r, bench, &mut found);
    }
    found.0
}

/// How many tanks an act takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Takes {
    /// Any number, none included.
    Any,
    /// One or more.
    Some,
    /// Exactly one, by name.
    One,
    /// One by name, or none: a blank or standard.
    AtMostOne,
    /// None: a source water's reading.
    None,
}

fn takes(act: &Act) -> Takes {
    match act {
        Act::Note | Act::Undo => Takes::Any,
        Act::Swap(_) | Act::Walk(_) => Takes::Some,
        Act::Reading(r) if r.water.is_some() => Takes::None,
        Act::Reading(r) if r.of != ReadingOf::Sample => Takes::AtMostOne,
        act if act.goes_to_all() => Takes::Some,
        _ => Takes::One,
    }
}

fn check_tanks(draft: &Draft, bench: &Bench, found: &mut Found) {
    let names = || crate::describe::tanks_phrase(&draft.tanks, draft.all_tanks, bench);
    let known: Vec<&str> = bench.tanks.iter().map(|t| t.name.as_str()).collect();
    for id in &draft.tanks {
        let accepted = || t!("act.rule_tank_known", tanks = known.join(", "));
        found.require(bench.tank(*id).is_some(), "tanks", id, accepted());
    }
    let each_once = draft.tanks.iter().collect::<HashSet<_>>().len() == draft.tanks.len();
    found.require(each_once, "tanks", names(), t!("act.rule_tank_once"));
    let what = crate::describe::kind_name(draft.act.kind());
    let n = draft.tanks.len();
    match takes(&draft.act) {
        Takes::Any => {}
        Takes::Some => found.require(n > 0, "tanks", "", t!("act.rule_tank_some", what = what)),
        Takes::AtMostOne if n == 0 => {}
        Takes::One | Takes::AtMostOne => {
            let accepted = match draft.act {
                Act::Trim(_) | Act::Thin(_) => t!("act.rule_tank_weighed", what = what),
                _ => t!("act.rule_tank_one", what = what),
            };
            let given = if n == 0 { String::new() } else { names() };
            found.require(n == 1 && !draft.all_tanks, "tanks", given, accepted);
        }
        Takes::None => found.require(
            n == 0 && !draft.all_tanks,
            "tanks",
            names(),
            t!("act.rule_tank_none"),
        ),
    }
}
