//! What the trial cost and what it costs: money per tank, per arm and per month, and work.
//!
//! Currencies are never added together. What has no price is never counted as nothing: the sum then
//! says "at least", and a finding names what is missing. Wear (price over life) is shown apart from
//! cash, because nobody pays it each month.

mod exchanges;
mod items;
#[cfg(test)]
pub(crate) mod sample;
#[cfg(test)]
mod tests;
pub mod unit;
mod work;

pub use work::{ArmWork, TankWork, Work};

use items::{Item, Sheet};
use jiff::civil::Date;
use quantity::{Basis, Estimate, Interval};
use serde::Serialize;
use text::t;
use trial::{Bench, Entry, Finding, TankId};

/// What a trial cost up to a day, and what it costs.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CostAnswer {
    /// Up to and with this day.
    pub today: Date,
    /// One account per currency, by its code; never added together.
    pub currencies: Vec<CurrencyCost>,
    /// Electricity of the whole trial, kWh a month, whatever it costs.
    pub electricity_kwh_month: Estimate,
    /// Minutes of work.
    pub work: Work,
    /// What is missing or doubtful.
    pub findings: Vec<Finding>,
}

/// The account in one currency.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CurrencyCost {
    /// ISO 4217 code.
    pub currency: String,
    /// The whole trial.
    pub whole: Figures,
    /// Each tank, from the left; what tanks share is split equally among them.
    pub tanks: Vec<TankCost>,
    /// Each arm.
    pub arms: Vec<ArmCost>,
    /// Everything that was counted.
    pub lines: Vec<CostLine>,
}

/// One account's figures, in its currency.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Figures {
    /// Paid once, to set up.
    pub set_up: Estimate,
    /// Paid for equipment exchanged since.
    pub swaps: Estimate,
    /// Paid each month: consumables and electricity.
    pub cash_month: Estimate,
    /// Of which consumables.
    pub consumables_month: Estimate,
    /// Of which electricity.
    pub electricity_month: Estimate,
    /// Wear each month: the price of durable things over their life. Not cash.
    pub wear_month: Estimate,
}

/// One tank's figures.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TankCost {
    /// The tank.
    pub tank: TankId,
    /// Its name.
    pub name: String,
    /// Its share of everything.
    pub figures: Figures,
}

/// One arm's figures.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ArmCost {
    /// The arm's key.
    pub arm: String,
    /// Its name.
    pub name: String,
    /// How many tanks it has.
    pub tanks: usize,
    /// All its tanks together.
    pub whole: Figures,
    /// Mean of its tanks.
    pub per_tank: Figures,
}

/// One thing that was counted.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CostLine {
    /// What.
    pub what: String,
    /// In which figure.
    pub figure: Figure,
    /// The equipment record or entry behind it.
    pub record: String,
    /// The day it was paid, of what is paid once and dated.
    pub paid: Option<Date>,
    /// The tanks it is split over.
    pub tanks: Vec<TankId>,
    /// Its amount: once, or each month.
    pub amount: f64,
    /// What the keeper discloses about it; empty when bought at the usual price.
    pub disclosure: String,
}

/// The figure an amount belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Figure {
    /// Paid once, to set up.
    SetUp,
    /// Paid for an exchange.
    Swaps,
    /// Consumables each month.
    Consumables,
    /// Electricity each month.
    Electricity,
    /// Wear each month.
    Wear,
}

/// What the trial of `bench` cost up to `today` and costs each month, by its `entries`.
pub fn cost(bench: &Bench, entries: &[Entry], today: Date) -> CostAnswer {
    let in_force = crate::history::in_force(entries);
    let mut sheet = Sheet::of(bench, &in_force, today);
    let mut currencies: Vec<String> = sheet
        .items
        .iter()
        .filter_map(|i| i.currency.clone())
        .collect();
    currencies.sort();
    currencies.dedup();
    let work = work::work(bench, &in_force, today, &mut sheet.findings);
    CostAnswer {
        today,
        currencies: currencies
            .into_iter()
            .map(|c| account(bench, &sheet.items, c))
            .collect(),
        electricity_kwh_month: sheet.kwh_month,
        work,
        findings: sheet.findings,
    }
}

fn account(bench: &Bench, items: &[Item], currency: String) -> CurrencyCost {
    // A thing without a price may have been paid in any currency: it keeps every sum open.
    let mine: Vec<&Item> = items
        .iter()
        .filter(|i| i.currency.as_ref().is_none_or(|c| *c == currency))
        .collect();
    let of_tanks = |tanks: &[TankId], per: usize| figures(&mine, Some(tanks), per, &currency);
    let arms = bench.trial.arms.iter().filter_map(|arm| {
        let tanks: Vec<TankId> = bench.tanks_of_arm(&arm.key).map(|t| t.id).collect();
        (!tanks.is_empty()).then(|| ArmCost {
            arm: arm.key.clone(),
            name: arm.name.clone(),
            tanks: tanks.len(),
            whole: of_tanks(&tanks, 1),
            per_tank: of_tanks(&tanks, tanks.len()),
        })
    });
    CurrencyCost {
        whole: figures(&mine, None, 1, &currency),
        tanks: bench
            .tanks
            .iter()
            .map(|t| TankCost {
                tank: t.id,
                name: t.name.clone(),
                figures: of_tanks(&[t.id], 1),
            })
            .collect(),
        arms: arms.collect(),
        lines: mine.iter().filter_map(|i| i.line()).collect(),
        currency,
    }
}

fn figures(items: &[&Item], tanks: Option<&[TankId]>, per: usize, currency: &str) -> Figures {
    let sum = |wanted: &[Figure]| sum(items, wanted, tanks, per, currency);
    Figures {
        set_up: sum(&[Figure::SetUp]),
        swaps: sum(&[Figure::Swaps]),
        cash_month: sum(&[Figure::Consumables, Figure::Electricity]),
        consumables_month: sum(&[Figure::Consumables]),
        electricity_month: sum(&[Figure::Electricity]),
        wear_month: sum(&[Figure::Wear]),
    }
}

/// The sum of the `wanted` figures over `tanks` (all without), divided by `per`.
fn sum(
    items: &[&Item],
    wanted: &[Figure],
    tanks: Option<&[TankId]>,
    per: usize,
    currency: &str,
) -> Estimate {
    let share = |i: &Item| tanks.map_or(1.0, |t| i.share(t));
    let used: Vec<&&Item> = items
        .iter()
        .filter(|i| wanted.contains(&i.figure) && share(i) > 0.0)
        .collect();
    let mut basis = Basis::of(
        wanted
            .iter()
            .map(|f| f.formula())
            .collect::<Vec<_>>()
            .join(" + "),
        t!("cost.source_records"),
    )
    .with_records(used.iter().map(|i| i.record.clone()));
    if tanks.is_some() {
        basis.formulas.push(t!("cost.formula_split").into());
    }
    if used.is_empty() {
        return match wanted {
            // An exchange that was not logged did not happen as far as the records go.
            [Figure::Swaps] => Estimate::exact(0.0, basis),
            _ => Estimate::refused(
                "cost_none_recorded",
                t!("cost.none_recorded", currency = currency),
                basis,
            ),
        };
    }
    let known: f64 = used.iter().filter_map(|i| Some(i.amount? * share(i))).sum();
    let known = known / per as f64;
    let lacking = used.iter().any(|i| i.amount.is_none());
    if !lacking && wanted.iter().all(|f| f.was_paid()) {
        Estimate::exact(known, basis)
    } else {
        total(known, lacking, basis)
    }
}

/// A total as recorded; the lower end of one when something in it is lacking.
fn total(known: f64, lacking: bool, basis: Basis) -> Estimate {
    match Interval::at_least(known) {
        Ok(open) if lacking => Estimate::bounds(None, open, basis),
        Ok(_) => Estimate::error_not_stated(known, basis),
        Err(e) => Estimate::refused("cost_price_impossible", e.to_string(), basis),
    }
}

/// The part of what is split equally over `all` that falls on `some`, from 0 to 1.
fn part_on(all: &[TankId], some: &[TankId]) -> f64 {
    let here = all.iter().filter(|t| some.contains(t)).count();
    here as f64 / all.len().max(1) as f64
}

impl Figure {
    /// Whether it is money that was handed over, known without error.
    fn was_paid(self) -> bool {
        matches!(self, Figure::SetUp | Figure::Swaps)
    }

    fn formula(self) -> &'static str {
        match self {
            Figure::SetUp => t!("cost.formula_set_up"),
            Figure::Swaps => t!("cost.formula_swaps"),
            Figure::Consumables => t!("cost.formula_consumables"),
            Figure::Electricity => t!("cost.formula_electricity"),
            Figure::Wear => t!("cost.formula_wear"),
        }
    }
}
