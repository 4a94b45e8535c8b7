//! Minutes of work, per tank and per arm.

use super::{part_on, total};
use crate::days;
use jiff::civil::Date;
use quantity::{Basis, Estimate};
use serde::Serialize;
use text::t;
use trial::{Act, Bench, Entry, Finding, Severity, TankId};

/// Minutes of work as they were noted, an entry's minutes split equally over its tanks.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Work {
    /// First day counted: the trial's start, or the first entry when that is earlier or none is
    /// recorded.
    pub from: Option<Date>,
    /// Last day counted.
    pub to: Date,
    /// The whole trial, with what was for no tank in particular.
    pub whole_min: Estimate,
    /// The whole trial, minutes a week.
    pub whole_min_week: Estimate,
    /// For no tank in particular.
    pub no_tank_min: Estimate,
    /// Each tank, from the left.
    pub tanks: Vec<TankWork>,
    /// Each arm.
    pub arms: Vec<ArmWork>,
    /// Entries of work counted.
    pub entries: usize,
    /// Of which no minutes were noted.
    pub without_minutes: usize,
}

/// One tank's work.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TankWork {
    /// The tank.
    pub tank: TankId,
    /// Its name.
    pub name: String,
    /// Minutes in all.
    pub minutes: Estimate,
    /// Minutes a week.
    pub minutes_week: Estimate,
}

/// One arm's work.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ArmWork {
    /// The arm's key.
    pub arm: String,
    /// Its name.
    pub name: String,
    /// How many tanks it has.
    pub tanks: usize,
    /// Minutes in all its tanks.
    pub minutes: Estimate,
    /// Minutes per tank.
    pub minutes_per_tank: Estimate,
}

/// What one set of tanks adds up to.
#[derive(Clone, Copy, Default)]
struct Sum {
    minutes: f64,
    entries: usize,
    without: usize,
}

pub(super) fn work(
    bench: &Bench,
    entries: &[&Entry],
    today: Date,
    findings: &mut Vec<Finding>,
) -> Work {
    let counted: Vec<&Entry> = entries
        .iter()
        .copied()
        .filter(|e| days::of(e) <= today && counts(e))
        .collect();
    let first = counted.iter().map(|e| days::of(e)).min();
    let from = match (bench.trial.start.filter(|s| *s <= today), first) {
        (Some(start), Some(first)) => Some(start.min(first)),
        (start, first) => start.or(first),
    };
    let days_run = from.map_or(0.0, |f| days::between(f, today) + 1.0);
    let whole = sum(&counted, |_| 1.0);
    let of_tank = |id: TankId| sum(&counted, |e| part_on(&e.tanks, &[id]));
    let arms = bench.trial.arms.iter().filter_map(|arm| {
        let ids: Vec<TankId> = bench.tanks_of_arm(&arm.key).map(|t| t.id).collect();
        let total = sum(&counted, |e| part_on(&e.tanks, &ids));
        (!ids.is_empty()).then(|| ArmWork {
            arm: arm.key.clone(),
            name: arm.name.clone(),
            tanks: ids.len(),
            minutes: total.estimate(1.0),
            minutes_per_tank: total.estimate(ids.len() as f64),
        })
    });
    if whole.without > 0 {
        findings.push(
            Finding::new(
                "cost_minutes_missing",
                Severity::Weakens,
                t!(
                    "cost.minutes_missing",
                    n = whole.without,
                    all = whole.entries
                ),
                t!("cost.minutes_missing_remedy"),
            )
            .on(bench.trial.id),
        );
    }
    Work {
        from,
        to: today,
        whole_min: whole.estimate(1.0),
        whole_min_week: whole.weekly(days_run),
        no_tank_min: sum(&counted, |e| f64::from(u8::from(e.tanks.is_empty()))).estimate(1.0),
        tanks: bench
            .tanks
            .iter()
            .map(|t| TankWork {
                tank: t.id,
                name: t.name.clone(),
                minutes: of_tank(t.id).estimate(1.0),
                minutes_week: of_tank(t.id).weekly(days_run),
            })
            .collect(),
        arms: arms.collect(),
        entries: whole.entries,
        without_minutes: whole.without,
    }
}

/// Work is whatever has minutes, and whatever cannot be done without taking some.
fn counts(entry: &Entry) -> bool {
    let hands_on = !matches!(
        entry.act,
        Act::Note
            | Act::Undo
            | Act::Loss(_)
            | Act::Livestock(_)
            | Act::Setting(_)
            | Act::Picture(_)
    );
    // The minutes of a walk-round stand with the walk-round, not with each thing seen on it.
    let on_walk = match &entry.act {
        Act::Observation(o) => o.on_walk.is_some(),
        Act::Algae(a) => a.on_walk.is_some(),
        _ => false,
    };
    (hands_on && !on_walk) || noted(entry).is_some()
}

fn noted(entry: &Entry) -> Option<f64> {
    entry.minutes.filter(|m| m.is_finite() && *m >= 0.0)
}

fn sum(entries: &[&Entry], share: impl Fn(&Entry) -> f64) -> Sum {
    let mut total = Sum::default();
    for entry in entries {
        let share = share(entry);
        if share > 0.0 {
            total.entries += 1;
            match noted(entry) {
                Some(minutes) => total.minutes += minutes * share,
                None => total.without += 1,
            }
        }
    }
    total
}

impl Sum {
    fn estimate(self, divided_by: f64) -> Estimate {
        let basis = Basis::of(t!("cost.formula_minutes"), t!("cost.source_minutes"));
        total(self.minutes / divided_by, self.without > 0, basis)
    }

    fn weekly(self, days_run: f64) -> Estimate {
        if days_run < 7.0 {
            let basis = Basis::of(t!("cost.formula_minutes"), t!("cost.source_minutes"));
            return Estimate::refused("cost_span_short", t!("cost.span_short"), basis);
        }
        self.estimate(days_run / 7.0)
    }
}
