//! The amounts behind the sums, each with what it lacks.

use super::{CostLine, Figure};
use crate::days;
use jiff::civil::Date;
use quantity::{Basis, Estimate, Interval};
use text::t;
use trial::act::Swap;
use trial::describe::list;
use trial::equipment::EquipmentKind;
use trial::types::Money;
use trial::{Act, Bench, Entry, Equipment, Finding, Severity, TankId};

/// Days in a mean month: 365.25 / 12.
const DAYS_PER_MONTH: f64 = 365.25 / 12.0;

/// One amount, or the lack of one.
pub(super) struct Item {
    pub(super) figure: Figure,
    /// None when no price says which currency it would be.
    pub(super) currency: Option<String>,
    /// None when it cannot be worked out.
    pub(super) amount: Option<f64>,
    pub(super) record: String,
    what: String,
    tanks: Vec<TankId>,
    disclosure: String,
}

impl Item {
    /// The part of it that falls on `tanks`, from 0 to 1.
    pub(super) fn share(&self, tanks: &[TankId]) -> f64 {
        let here = self.tanks.iter().filter(|t| tanks.contains(t)).count();
        here as f64 / self.tanks.len().max(1) as f64
    }

    pub(super) fn line(&self) -> Option<CostLine> {
        Some(CostLine {
            what: self.what.clone(),
            figure: self.figure,
            record: self.record.clone(),
            tanks: self.tanks.clone(),
            amount: self.amount?,
            disclosure: self.disclosure.clone(),
        })
    }
}

/// Every amount of a trial.
pub(super) struct Sheet {
    pub(super) items: Vec<Item>,
    pub(super) kwh_month: Estimate,
    pub(super) findings: Vec<Finding>,
}

struct Builder<'a> {
    bench: &'a Bench,
    swaps: Vec<(&'a Entry, &'a Swap)>,
    items: Vec<Item>,
    findings: Vec<Finding>,
    kwh: Vec<Option<f64>>,
}

impl Sheet {
    pub(super) fn of(bench: &Bench, entries: &[&Entry], today: Date) -> Sheet {
        let swaps = entries
            .iter()
            .filter(|e| days::of(e) <= today)
            .filter_map(|e| match &e.act {
                Act::Swap(swap) => Some((*e, swap)),
                _ => None,
            });
        let mut b = Builder {
            bench,
            swaps: swaps.collect(),
            items: vec![],
            findings: vec![],
            kwh: vec![],
        };
        for equipment in &bench.equipment {
            match equipment.bought {
                Some(day) if day > today => b.note(
                    "cost_not_bought_yet",
                    equipment,
                    t!("cost.not_bought_yet", what = equipment.name, day = day),
                    t!("cost.not_bought_yet_remedy"),
                ),
                _ => b.equipment(equipment),
            }
        }
        for (entry, swap) in b.swaps.clone() {
            b.swap(entry, swap);
        }
        b.whole_trial();
        let kwh_month = kwh_month(&b.kwh);
        Sheet {
            items: b.items,
            kwh_month,
            findings: b.findings,
        }
    }
}

impl Builder<'_> {
    fn equipment(&mut self, e: &Equipment) {
        if self.served(&e.tanks).is_empty() && !self.bench.tanks.is_empty() {
            self.weakens(
                "cost_tank_unknown",
                e,
                t!("cost.tank_unknown", what = e.name),
                t!("cost.tank_unknown_remedy"),
            );
        }
        let came_by_swap = self.swaps.iter().any(|(_, s)| s.equipment == Some(e.id));
        let price = self.price(e);
        if e.kind == EquipmentKind::Durable && !came_by_swap {
            let amount = price.as_ref().map(|p| p.amount);
            self.push(Figure::SetUp, e, price.as_ref().map(currency), amount);
        }
        if self.was_exchanged(e) {
            return;
        }
        let figure = match e.kind {
            EquipmentKind::Durable => Figure::Wear,
            EquipmentKind::Consumable => Figure::Consumables,
        };
        let life = self.life(e);
        let monthly = price.as_ref().and_then(|p| Some(p.amount / life?));
        self.push(figure, e, price.as_ref().map(currency), monthly);
        self.electricity(e);
    }

    /// The price, when it can stand.
    fn price(&mut self, e: &Equipment) -> Option<Money> {
        let by_swap = self.swaps.iter().find(|(_, s)| s.equipment == Some(e.id));
        let paid = e
            .price
            .clone()
            .or_else(|| by_swap.and_then(|(_, s)| s.price.clone()));
        match paid {
            Some(p) if p.amount.is_finite() && p.amount >= 0.0 => Some(p),
            Some(_) => {
                self.weakens(
                    "cost_price_impossible",
                    e,
                    t!("cost.price_impossible", what = e.name),
                    t!("cost.price_impossible_remedy"),
                );
                None
            }
            None => {
                self.weakens(
                    "cost_price_missing",
                    e,
                    t!("cost.price_missing", what = e.name),
                    t!("cost.price_missing_remedy"),
                );
                None
            }
        }
    }

    fn life(&mut self, e: &Equipment) -> Option<f64> {
        let life = e.life_months.filter(|m| m.is_finite() && *m > 0.0);
        if life.is_none() {
            self.weakens(
                "cost_life_missing",
                e,
                t!("cost.life_missing", what = e.name),
                match e.kind {
                    EquipmentKind::Durable => t!("cost.life_missing_remedy"),
                    EquipmentKind::Consumable => t!("cost.life_missing_remedy_consumable"),
                },
            );
        }
        life
    }

    fn electricity(&mut self, e: &Equipment) {
        let Some(power) = e.power_w else {
            if e.hours_per_day.is_some() {
                self.weakens(
                    "cost_power_missing",
                    e,
                    t!("cost.power_missing", what = e.name),
                    t!("cost.power_missing_remedy"),
                );
                self.kwh.push(None);
                self.push(
                    Figure::Electricity,
                    e,
                    self.tariff().map(|t| currency(&t)),
                    None,
                );
            }
            return;
        };
        let hours = e.hours_per_day.filter(|h| (0.0..=24.0).contains(h));
        if hours.is_none() {
            self.weakens(
                "cost_hours_missing",
                e,
                t!("cost.hours_missing", what = e.name),
                t!("cost.hours_missing_remedy"),
            );
        }
        let power = Some(power).filter(|p| p.is_finite() && *p >= 0.0);
        let kwh = power.and_then(|p| Some(p / 1000.0 * hours? * DAYS_PER_MONTH));
        let tariff = self.tariff();
        let amount = tariff.as_ref().and_then(|t| Some(t.amount * kwh?));
        self.kwh.push(kwh);
        self.push(
            Figure::Electricity,
            e,
            tariff.as_ref().map(currency),
            amount,
        );
    }

    fn tariff(&self) -> Option<Money> {
        let given = self.bench.trial.electricity_per_kwh.clone();
        given.filter(|t| t.amount.is_finite() && t.amount >= 0.0)
    }

    /// Whether something in the equipment list left for another thing of the list.
    fn was_exchanged(&self, e: &Equipment) -> bool {
        let tanks = self.served(&e.tanks);
        self.swaps.iter().any(|(entry, swap)| {
            swap.equipment.is_some_and(|came| came != e.id)
                && same_words(&swap.left, &e.name)
                && tanks.iter().all(|t| entry.tanks.contains(t))
        })
    }

    fn swap(&mut self, entry: &Entry, swap: &Swap) {
        let listed = swap
            .equipment
            .and_then(|id| self.bench.equipment.iter().find(|e| e.id == id));
        let price = swap
            .price
            .clone()
            .or_else(|| listed.and_then(|e| e.price.clone()));
        let price = price.filter(|p| p.amount.is_finite() && p.amount >= 0.0);
        if price.is_none() {
            self.findings.push(
                Finding::new(
                    "cost_swap_price_missing",
                    Severity::Weakens,
                    t!(
                        "cost.swap_price_missing",
                        left = swap.left,
                        came = swap.came
                    ),
                    t!("cost.swap_price_missing_remedy"),
                )
                .on(entry.id),
            );
        }
        if listed.is_none() {
            self.findings.push(
                Finding::new(
                    "cost_swap_not_listed",
                    Severity::Note,
                    t!("cost.swap_not_listed", came = swap.came),
                    t!("cost.swap_not_listed_remedy"),
                )
                .on(entry.id),
            );
        }
        self.items.push(Item {
            figure: Figure::Swaps,
            currency: price.as_ref().map(currency),
            amount: price.map(|p| p.amount),
            record: entry.id.to_string(),
            what: t!("cost.swap_line", left = swap.left, came = swap.came),
            tanks: self.served(&entry.tanks),
            disclosure: listed.map(|e| e.disclosure.clone()).unwrap_or_default(),
        });
    }

    /// What the trial lacks as a whole.
    fn whole_trial(&mut self) {
        let trial = self.bench.trial.id;
        let mut add = |code, severity, what, remedy: &str| {
            self.findings
                .push(Finding::new(code, severity, what, remedy).on(trial));
        };
        if self.bench.equipment.is_empty() {
            let remedy = t!("cost.nothing_recorded_remedy");
            let what = t!("cost.nothing_recorded").to_string();
            add("cost_nothing_recorded", Severity::Weakens, what, remedy);
        }
        let uses_power = self.bench.equipment.iter().any(|e| e.power_w.is_some());
        if uses_power && self.bench.trial.electricity_per_kwh.is_none() {
            let remedy = t!("cost.tariff_missing_remedy");
            let what = t!("cost.tariff_missing").to_string();
            add("cost_tariff_missing", Severity::Weakens, what, remedy);
        }
        let served = |id: TankId, e: &Equipment| e.tanks.is_empty() || e.tanks.contains(&id);
        let powered = |id| {
            self.bench
                .equipment
                .iter()
                .any(|e| e.power_w.is_some() && served(id, e))
        };
        let dark: Vec<String> = self
            .bench
            .tanks
            .iter()
            .filter(|t| !t.lamps.is_empty() || t.filter.is_some() || t.heater.is_some())
            .filter(|t| !powered(t.id))
            .map(|t| t.name.clone())
            .collect();
        if !dark.is_empty() && !self.bench.equipment.is_empty() {
            let what = t!("cost.no_power_listed", tanks = list(&dark), n = dark.len());
            let remedy = t!("cost.no_power_listed_remedy");
            add("cost_no_power_listed", Severity::Weakens, what, remedy);
        }
    }

    /// The tanks something serves: those named, all when none is named.
    fn served(&self, named: &[TankId]) -> Vec<TankId> {
        let all = self.bench.tank_ids();
        if named.is_empty() {
            return all;
        }
        all.into_iter().filter(|t| named.contains(t)).collect()
    }

    fn push(
        &mut self,
        figure: Figure,
        e: &Equipment,
        currency: Option<String>,
        amount: Option<f64>,
    ) {
        let tanks = self.served(&e.tanks);
        self.items.push(Item {
            figure,
            currency,
            amount,
            record: e.id.to_string(),
            what: e.name.clone(),
            tanks,
            disclosure: e.disclosure.clone(),
        });
    }

    fn weakens(&mut self, code: &'static str, e: &Equipment, what: String, remedy: &str) {
        self.findings
            .push(Finding::new(code, Severity::Weakens, what, remedy).on(e.id));
    }

    fn note(&mut self, code: &'static str, e: &Equipment, what: String, remedy: &str) {
        self.findings
            .push(Finding::new(code, Severity::Note, what, remedy).on(e.id));
    }
}

fn kwh_month(each: &[Option<f64>]) -> Estimate {
    let basis = Basis::of(t!("cost.formula_kwh"), t!("cost.source_records"));
    let total: f64 = each.iter().flatten().sum();
    if each.is_empty() {
        let reason = t!("cost.no_power_at_all");
        return Estimate::refused("cost_none_recorded", reason, basis);
    }
    match Interval::at_least(total) {
        Ok(open) if each.contains(&None) => Estimate::bounds(None, open, basis),
        _ => Estimate::error_not_stated(total, basis),
    }
}

fn currency(money: &Money) -> String {
    money.currency.trim().to_uppercase()
}

fn same_words(a: &str, b: &str) -> bool {
    a.trim().to_lowercase() == b.trim().to_lowercase()
}
