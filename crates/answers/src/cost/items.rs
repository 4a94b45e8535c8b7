//! The amounts behind the sums, each with what it lacks.

use super::exchanges::{Exchange, exchanges, served, serving};
use super::{CostLine, Figure, part_on, total};
use jiff::civil::Date;
use quantity::{Basis, Estimate};
use text::t;
use trial::describe::list;
use trial::equipment::EquipmentKind;
use trial::types::Money;
use trial::{Bench, Entry, Equipment, Finding, Severity, TankId};

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
    /// The day it was paid, of what is paid once.
    paid: Option<Date>,
    what: String,
    tanks: Vec<TankId>,
    disclosure: String,
}

impl Item {
    /// The part of it that falls on `tanks`, from 0 to 1.
    pub(super) fn share(&self, tanks: &[TankId]) -> f64 {
        part_on(&self.tanks, tanks)
    }

    pub(super) fn line(&self) -> Option<CostLine> {
        Some(CostLine {
            what: self.what.clone(),
            figure: self.figure,
            record: self.record.clone(),
            paid: self.paid,
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
    /// Exchanges up to the day asked about.
    exchanges: Vec<Exchange<'a>>,
    items: Vec<Item>,
    findings: Vec<Finding>,
    kwh: Vec<Option<f64>>,
}

impl Sheet {
    pub(super) fn of(bench: &Bench, entries: &[&Entry], today: Date) -> Sheet {
        let (past, later): (Vec<Exchange>, Vec<Exchange>) = exchanges(bench, entries)
            .into_iter()
            .partition(|x| x.day <= today);
        let mut b = Builder {
            bench,
            exchanges: past,
            items: vec![],
            findings: vec![],
            kwh: vec![],
        };
        for equipment in &bench.equipment {
            let by_later = later.iter().find(|x| came(x, equipment)).map(|x| x.day);
            match by_later.or(equipment.bought) {
                Some(day) if day > today => b.note(
                    "cost_not_bought_yet",
                    equipment,
                    t!("cost.not_bought_yet", what = equipment.name, day = day),
                    t!("cost.not_bought_yet_remedy"),
                ),
                _ => b.equipment(equipment),
            }
        }
        for exchange in std::mem::take(&mut b.exchanges) {
            b.exchange(&exchange);
        }
        b.whole_trial();
        let basis = Basis::of(t!("cost.formula_kwh"), t!("cost.source_records"));
        let known = b.kwh.iter().flatten().sum();
        let kwh_month = if b.kwh.is_empty() {
            Estimate::refused("cost_none_recorded", t!("cost.no_power_at_all"), basis)
        } else {
            total(known, b.kwh.contains(&None), basis)
        };
        Sheet {
            items: b.items,
            kwh_month,
            findings: b.findings,
        }
    }
}

/// Whether it came by this exchange.
fn came(exchange: &Exchange, e: &Equipment) -> bool {
    exchange.came.is_some_and(|c| c.id == e.id)
}

/// Where a thing is in service, and how much of it that is, from 0 to 1.
struct Service {
    tanks: Vec<TankId>,
    part: f64,
}

impl Builder<'_> {
    fn equipment(&mut self, e: &Equipment) {
        let all = served(self.bench, &e.tanks);
        if all.is_empty() && !self.bench.tanks.is_empty() {
            self.weakens(
                "cost_tank_unknown",
                e,
                t!("cost.tank_unknown", what = e.name),
                t!("cost.tank_unknown_remedy"),
            );
        }
        let price = self.price(e);
        let in_currency = price.as_ref().map(currency);
        let at_start = Service {
            part: 1.0,
            tanks: all.clone(),
        };
        // What came by an exchange is paid there and not once more here.
        if e.kind == EquipmentKind::Durable && !self.exchanges.iter().any(|x| came(x, e)) {
            let amount = price.as_ref().map(|p| p.amount);
            self.push(Figure::SetUp, e, in_currency.clone(), amount, &at_start);
        }
        let now = serving(self.bench, e, &self.exchanges);
        if now.is_empty() && !all.is_empty() {
            return;
        }
        let now = Service {
            part: part_on(&all, &now),
            tanks: now,
        };
        let figure = match e.kind {
            EquipmentKind::Durable => Figure::Wear,
            EquipmentKind::Consumable => Figure::Consumables,
        };
        let life = self.life(e);
        let monthly = price.as_ref().and_then(|p| Some(p.amount / life?));
        self.push(figure, e, in_currency, monthly, &now);
        self.electricity(e, &now);
    }

    /// The price, when it can stand.
    fn price(&mut self, e: &Equipment) -> Option<Money> {
        let by_exchange = self.exchanges.iter().find(|x| came(x, e));
        let paid = e
            .price
            .clone()
            .or_else(|| by_exchange.and_then(|x| x.swap.price.clone()));
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

    fn electricity(&mut self, e: &Equipment, now: &Service) {
        let tariff = self.tariff();
        let in_currency = tariff.as_ref().map(currency);
        let Some(power) = e.power_w else {
            if e.hours_per_day.is_some() {
                self.weakens(
                    "cost_power_missing",
                    e,
                    t!("cost.power_missing", what = e.name),
                    t!("cost.power_missing_remedy"),
                );
                self.kwh.push(None);
                self.push(Figure::Electricity, e, in_currency, None, now);
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
        let amount = tariff.as_ref().and_then(|t| Some(t.amount * kwh?));
        self.kwh.push(kwh.map(|kwh| kwh * now.part));
        self.push(Figure::Electricity, e, in_currency, amount, now);
    }

    fn tariff(&self) -> Option<Money> {
        let given = self.bench.trial.electricity_per_kwh.clone();
        given.filter(|t| t.amount.is_finite() && t.amount >= 0.0)
    }

    fn exchange(&mut self, x: &Exchange) {
        let (left, came) = (&x.swap.left, &x.swap.came);
        let price = x.swap.price.clone();
        let price = price.or_else(|| x.came.and_then(|e| e.price.clone()));
        let price = price.filter(|p| p.amount.is_finite() && p.amount >= 0.0);
        let mut add = |code, severity, what, remedy: &str| {
            self.findings
                .push(Finding::new(code, severity, what, remedy).on(x.entry.id));
        };
        if price.is_none() {
            let what = t!("cost.swap_price_missing", left = left, came = came);
            let remedy = t!("cost.swap_price_missing_remedy");
            add("cost_swap_price_missing", Severity::Weakens, what, remedy);
        }
        match (x.came, x.left) {
            (None, _) => {
                let what = t!("cost.swap_not_listed", came = came);
                let remedy = t!("cost.swap_not_listed_remedy");
                add("cost_swap_not_listed", Severity::Note, what, remedy);
            }
            (Some(_), None) => {
                let what = t!("cost.swap_left_unknown", left = left, came = came);
                let remedy = t!("cost.swap_left_unknown_remedy");
                add("cost_swap_left_unknown", Severity::Weakens, what, remedy);
            }
            (Some(_), Some(set)) if x.of_a_set => {
                let what = t!("cost.swap_of_a_set", left = left, set = set.name);
                let remedy = t!("cost.swap_of_a_set_remedy");
                add("cost_swap_of_a_set", Severity::Note, what, remedy);
            }
            _ => {}
        }
        self.items.push(Item {
            figure: Figure::Swaps,
            currency: price.as_ref().map(currency),
            amount: price.map(|p| p.amount),
            record: x.entry.id.to_string(),
            paid: Some(x.day),
            what: t!("cost.swap_line", left = left, came = came),
            tanks: served(self.bench, &x.entry.tanks),
            disclosure: x.came.map(|e| e.disclosure.clone()).unwrap_or_default(),
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

    /// An amount of the whole thing, of which the part in service counts.
    fn push(
        &mut self,
        figure: Figure,
        e: &Equipment,
        currency: Option<String>,
        amount: Option<f64>,
        service: &Service,
    ) {
        self.items.push(Item {
            figure,
            currency,
            amount: amount.map(|a| a * service.part),
            record: e.id.to_string(),
            paid: e.bought.filter(|_| figure == Figure::SetUp),
            what: e.name.clone(),
            tanks: service.tanks.clone(),
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

fn currency(money: &Money) -> String {
    money.currency.trim().to_uppercase()
}
