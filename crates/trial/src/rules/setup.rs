//! The rules of a trial's own record.

use super::Found;
use crate::Trial;
use crate::types::{Better, Outcome};
use std::collections::HashSet;
use text::t;

pub(super) fn trial(r: &Trial, found: &mut Found) {
    found.words("title", &r.title);
    let known = jiff::tz::TimeZone::get(&r.zone).is_ok();
    found.require(known, "zone", &r.zone, t!("act.rule_zone"));
    arms(r, found);
    for outcome in r.primary.iter().chain(&r.secondary) {
        self::outcome(outcome, found);
    }
    phases(r, found);
    absences(r, found);
    found.price("electricity_per_kwh", r.electricity_per_kwh.as_ref());
    for range in &r.kept_ranges {
        let rising = range.low.is_finite() && range.high.is_finite() && range.low < range.high;
        let given = format!("{} to {}", range.low, range.high);
        found.require(rising, "kept_ranges", given, t!("act.rule_low_high"));
    }
}

fn arms(r: &Trial, found: &mut Found) {
    let mut keys = HashSet::new();
    for arm in &r.arms {
        found.words("arm_key", &arm.key);
        found.words("arm_name", &arm.name);
        let new = keys.insert(arm.key.to_lowercase());
        found.require(new, "arm_key", &arm.key, t!("act.rule_arm_once"));
    }
    let controls = r.arms.iter().filter(|a| a.control).count();
    found.require(controls <= 1, "control", controls, t!("act.rule_control"));
    for factor in &r.differ {
        found.words("factor", &factor.name);
        let mut seen = HashSet::new();
        for level in &factor.levels {
            let known = r.arm(&level.arm).is_some() && seen.insert(&level.arm);
            found.require(known, "level_arm", &level.arm, t!("act.rule_level_arm"));
        }
    }
    for equal in &r.equal {
        found.words("equal", &equal.name);
    }
}

fn outcome(o: &Outcome, found: &mut Found) {
    found.words("outcome", &o.name);
    if let Better::Target { value } = o.better {
        found.require(value.is_finite(), "target", value, t!("act.rule_finite"));
    }
}

fn absences(r: &Trial, found: &mut Found) {
    for absence in &r.absences {
        let accepted = t!("act.rule_not_before", day = absence.from);
        let in_order = absence.to >= absence.from;
        found.require(in_order, "absent_to", absence.to, accepted);
    }
}

fn phases(r: &Trial, found: &mut Found) {
    for (i, phase) in r.phases.iter().enumerate() {
        if let Some(to) = phase.to {
            let accepted = t!("act.rule_after", day = phase.from);
            found.require(to > phase.from, "phase_to", to, accepted);
        }
        let Some(next) = r.phases.get(i + 1) else {
            continue;
        };
        match phase.to {
            None => found.add("phase_to", "", t!("act.rule_phase_open")),
            Some(to) => {
                let accepted = t!("act.rule_not_before", day = to);
                found.require(next.from >= to, "phase_from", next.from, accepted);
            }
        }
    }
}
