//! What a unit of the primary outcome cost in each arm, and what one more month would.

#[cfg(test)]
mod tests;

use super::{ArmCost, CostAnswer};
use crate::compare::{Comparison, Row, Scale, TankChange};
use crate::days;
use evidence::power::{Counting, Plan, minimum_detectable};
use quantity::{Basis, Estimate, Interval};
use serde::Serialize;
use text::t;
use trial::Bench;
use trial::describe::measure_unit;
use trial::types::Better;

/// Days in a mean month: 365.25 / 12.
const DAYS_PER_MONTH: f64 = 365.25 / 12.0;
const LEVEL: f64 = 0.95;
/// Two-sided error and power of the plan looked ahead with (common practice, no source).
const ALPHA: f64 = 0.05;
const POWER: f64 = 0.8;

/// What a unit of the primary outcome cost.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct UnitCosts {
    /// The outcome in the keeper's words; empty when none is named.
    pub outcome: String,
    /// Its unit.
    pub unit: String,
    /// Each arm; empty when the outcome has no unit that can be paid for.
    pub arms: Vec<ArmUnit>,
    /// Why there is no figure at all.
    pub refused: Option<String>,
}

/// One arm's cost of a unit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ArmUnit {
    /// The arm's key.
    pub arm: String,
    /// Its name.
    pub name: String,
    /// Mean gain of its tanks over the span, in the direction that counts as better.
    pub gain: Estimate,
    /// Running cost for each unit gained, by currency.
    pub money: Vec<(String, Estimate)>,
    /// Minutes of work for each unit gained.
    pub minutes: Estimate,
}

/// What one more month costs and what it buys.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NextMonth {
    /// Cash, by currency.
    pub cash: Vec<(String, Estimate)>,
    /// Minutes of work.
    pub minutes: Estimate,
    /// Smallest difference found four times in five with as many tanks as the smallest arm has,
    /// and with one more in each, in standard deviations between tanks of an arm.
    pub detectable: Option<(f64, f64)>,
    /// Tanks in the smallest arm.
    pub tanks_per_arm: usize,
}

/// An amount as recorded: what is known, and whether something in it is lacking.
#[derive(Clone, Copy)]
struct Known {
    amount: f64,
    lacking: bool,
}

fn known(estimate: &Estimate) -> Known {
    let amount = estimate.value.or(estimate.low);
    Known {
        amount: amount.unwrap_or(0.0),
        lacking: estimate.value.is_none(),
    }
}

/// The cost of a unit of the primary outcome over the span of `comparison`.
pub fn per_unit(bench: &Bench, cost: &CostAnswer, comparison: &Comparison) -> UnitCosts {
    let primary = bench.trial.primary.as_ref();
    let mut answer = UnitCosts {
        outcome: primary.map_or_else(String::new, |p| p.name.clone()),
        unit: primary.map_or("", |p| measure_unit(p.measure)).to_string(),
        arms: vec![],
        refused: None,
    };
    let refused = match (primary, comparison.rows.iter().find(|r| r.primary)) {
        (None, _) => Some(t!("cost.unit_no_primary")),
        (_, None) => Some(t!("cost.unit_no_row")),
        (Some(_), Some(row)) => no_unit(row),
    };
    if let Some(why) = refused {
        answer.refused = Some(why.to_string());
        return answer;
    }
    let span = days::between(comparison.window.from, comparison.window.to).max(0.0);
    for arm in &bench.trial.arms {
        let row = comparison.rows.iter().find(|r| r.primary);
        let Some(row) = row.filter(|_| bench.tanks_of_arm(&arm.key).next().is_some()) else {
            continue;
        };
        let gain = gain(row, &arm.key);
        let running = |arms: &[ArmCost]| {
            let own = arms.iter().find(|a| a.arm == arm.key)?;
            let parts = [&own.per_tank.cash_month, &own.per_tank.wear_month].map(known);
            Some(Known {
                amount: parts.iter().map(|p| p.amount).sum::<f64>() * span / DAYS_PER_MONTH,
                lacking: parts.iter().any(|p| p.lacking),
            })
        };
        let accounts = cost.currencies.iter();
        let money = accounts.filter_map(|c| {
            let spent = running(&c.arms)?;
            let formula = t!("cost.formula_unit_money");
            Some((c.currency.clone(), divided(spent, &gain, formula)))
        });
        answer.arms.push(ArmUnit {
            arm: arm.key.clone(),
            name: arm.name.clone(),
            money: money.collect(),
            minutes: divided(
                worked(cost, &arm.key, span),
                &gain,
                t!("cost.formula_unit_minutes"),
            ),
            gain,
        });
    }
    answer
}

/// Why a change on this row is nothing that can be bought by the unit.
fn no_unit(row: &Row) -> Option<&'static str> {
    match (row.scale, row.better) {
        (Scale::Rate, _) => Some(t!("cost.unit_rate")),
        (Scale::Score, _) => Some(t!("cost.unit_score")),
        (_, Some(Better::Target { .. })) => Some(t!("cost.unit_target")),
        _ => None,
    }
}

/// Mean gain of an arm's tanks with its interval over tanks.
fn gain(row: &Row, arm: &str) -> Estimate {
    let basis = Basis::of(t!("cost.formula_gain"), t!("cost.source_outcome"));
    let sign = match row.better {
        Some(Better::Less) => -1.0,
        _ => 1.0,
    };
    let change = |t: &TankChange| Some(sign * (t.end?.value - t.start?.value));
    let own = row.tanks.iter().filter(|t| t.arm.as_deref() == Some(arm));
    let gains: Vec<f64> = own.filter_map(change).collect();
    if gains.len() < 2 {
        return Estimate::refused("cost_unit_tanks", t!("cost.unit_tanks"), basis);
    }
    match evidence::t::one_sample(&gains, 0.0, LEVEL) {
        Ok(t) => Estimate::confidence(t.estimate, t.interval.low, t.interval.high, LEVEL, basis),
        Err(why) => Estimate::refused("cost_unit_interval", why.to_string(), basis),
    }
}

/// An amount over a gain; refused where the gain may be nothing, for then any price is possible.
fn divided(spent: Known, gain: &Estimate, formula: &str) -> Estimate {
    let mut basis = gain.basis.clone();
    basis.formulas.insert(0, formula.to_string());
    let (Some(value), Some(low), Some(high)) = (gain.value, gain.low, gain.high) else {
        let why = gain.refusal().unwrap_or_default();
        return Estimate::refused("cost_unit_refused", why, basis);
    };
    if low <= 0.0 {
        return Estimate::refused("cost_unit_near_zero", t!("cost.unit_near_zero"), basis);
    }
    if !spent.lacking {
        let of = |gain: f64| spent.amount / gain;
        return Estimate::confidence(of(value), of(high), of(low), LEVEL, basis);
    }
    match Interval::at_least(spent.amount / high) {
        Ok(open) => Estimate::bounds(None, open, basis),
        Err(why) => Estimate::refused("cost_unit_impossible", why.to_string(), basis),
    }
}

/// Minutes in one tank of an arm over `span` days, at the mean of the days so far.
fn worked(cost: &CostAnswer, arm: &str, span: f64) -> Known {
    let work = &cost.work;
    let run = work.from.map_or(0.0, |f| days::between(f, work.to) + 1.0);
    let own = work.arms.iter().find(|a| a.arm == arm);
    let so_far = own.map(|a| known(&a.minutes_per_tank));
    match so_far.filter(|_| run > 0.0) {
        Some(minutes) => Known {
            amount: minutes.amount * span / run,
            ..minutes
        },
        None => Known {
            amount: 0.0,
            lacking: true,
        },
    }
}

/// What one more month of the whole trial costs, and what more tanks would buy instead.
pub fn next_month(bench: &Bench, cost: &CostAnswer) -> NextMonth {
    let arms = bench.trial.arms.iter();
    let counts = arms.map(|a| bench.tanks_of_arm(&a.key).count());
    let tanks_per_arm = counts.filter(|n| *n > 0).min().unwrap_or(0);
    let finds = |tanks_per_arm: usize| {
        let plan = Plan::TwoArms { tanks_per_arm };
        minimum_detectable(plan, 1.0, ALPHA, POWER, Counting::RightDirection).ok()
    };
    NextMonth {
        cash: cost
            .currencies
            .iter()
            .map(|c| (c.currency.clone(), c.whole.cash_month.clone()))
            .collect(),
        minutes: a_month(&cost.work.whole_min_week),
        detectable: finds(tanks_per_arm).zip(finds(tanks_per_arm + 1)),
        tanks_per_arm,
    }
}

/// Minutes a month from minutes a week.
fn a_month(week: &Estimate) -> Estimate {
    let scaled = |x: f64| x * DAYS_PER_MONTH / 7.0;
    Estimate {
        value: week.value.map(scaled),
        low: week.low.map(scaled),
        high: week.high.map(scaled),
        ..week.clone()
    }
}
