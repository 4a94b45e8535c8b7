//! Where tanks were not treated alike, from the log and not from the plan.
//!
//! A difference inside an arm was never planned. A difference between arms may be the treatment: it
//! is shown beside what was meant to differ, and the keeper judges.

mod settings;

use crate::days;
use jiff::civil::Date;
use quantity::{Analyte, Format};
use serde::Serialize;
use std::collections::BTreeMap;
use text::t;
use trial::act::{Into, WaterAmount};
use trial::{Act, Bench, Entry, EntryId, Tank, TankId};

/// Relative difference below which two totals count as equal: a reading scale's last digit, not a
/// treatment (our own choice, no source).
const EQUAL_WITHIN: f64 = 0.01;

/// Everything that was totalled over a span, equal or not.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Treatment {
    /// First day.
    pub from: Date,
    /// Day after the last.
    pub to: Date,
    /// One row per thing that was done or set.
    pub rows: Vec<TreatmentRow>,
}

/// One thing that was done or set, tank by tank.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TreatmentRow {
    /// What, in words (`Nitrate dosed into the water`).
    pub what: String,
    /// The kind of act it adds up, or that sets it ([`Act::kind`]).
    pub act: &'static str,
    /// Unit of the totals.
    pub unit: &'static str,
    /// Total or mean of each tank, from the left; none where it was never recorded.
    pub tanks: Vec<TankTotal>,
    /// Whether it adds up what was logged; otherwise it is a setting that holds.
    pub counted: bool,
    /// Whether tanks were alike.
    pub alike: Alike,
    /// The days on which tanks of one arm were treated differently, in words, newest last.
    pub days: Vec<UnequalDay>,
    /// The whole row as one sentence.
    pub sentence: String,
}

/// One tank's total.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TankTotal {
    /// The tank.
    pub tank: TankId,
    /// Its name.
    pub name: String,
    /// The total or mean.
    pub value: Option<f64>,
}

/// A day on which tanks of one arm differed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct UnequalDay {
    /// The day.
    pub day: Date,
    /// What each tank got, in words.
    pub what: String,
    /// The entries of that day behind it.
    pub entries: Vec<EntryId>,
}

/// Whether tanks were treated alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Alike {
    /// Every tank alike.
    Equal,
    /// Alike inside each arm, different between arms.
    BetweenArms,
    /// Different inside an arm: never planned.
    WithinArm,
}

/// What is totalled.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Key {
    Dosed(Analyte, bool),
    Changes,
    ChangedPercent,
    ChangedLitres,
    ToppedUp,
    Fed,
    Cleaned(&'static str),
    Trims,
    Thinnings,
    Swaps,
}

/// One contribution of one entry to one tank's total.
struct Part<'a> {
    key: Key,
    amount: f64,
    entry: &'a Entry,
}

/// How tanks were treated from `from` to before `to`.
pub fn treatment(bench: &Bench, entries: &[Entry], from: Date, to: Date) -> Treatment {
    let mut parts: Vec<Part> = Vec::new();
    for entry in entries.iter().filter(|e| days::within(e, from, to)) {
        contribute(bench, entry, &mut parts);
    }
    let mut by_key: BTreeMap<Key, Vec<Part>> = BTreeMap::new();
    for part in parts {
        by_key.entry(part.key.clone()).or_default().push(part);
    }
    let mut rows: Vec<TreatmentRow> = by_key
        .into_iter()
        .map(|(key, parts)| totals_row(bench, &key, &parts))
        .collect();
    rows.extend(settings::rows(bench, entries, from, to));
    // What was never planned comes first.
    rows.sort_by_key(|r| std::cmp::Reverse(r.alike));
    Treatment { from, to, rows }
}

impl Treatment {
    /// Whether no act was logged in the span; settings that simply hold do not count.
    pub fn nothing_done(&self) -> bool {
        !self.rows.iter().any(|r| r.counted)
    }

    /// The rows in which tanks of one arm differed.
    pub fn crept_in(&self) -> impl Iterator<Item = &TreatmentRow> {
        self.rows.iter().filter(|r| r.alike == Alike::WithinArm)
    }

    /// The rows in which arms differed and their tanks did not.
    pub fn between_arms(&self) -> impl Iterator<Item = &TreatmentRow> {
        self.rows.iter().filter(|r| r.alike == Alike::BetweenArms)
    }

    /// The rows in which every tank was alike.
    pub fn equal(&self) -> impl Iterator<Item = &TreatmentRow> {
        self.rows.iter().filter(|r| r.alike == Alike::Equal)
    }
}

fn contribute<'a>(bench: &Bench, entry: &'a Entry, parts: &mut Vec<Part<'a>>) {
    let mut add = |key, amount| parts.push(Part { key, amount, entry });
    match &entry.act {
        Act::Dose(dose) => {
            for (analyte, mg) in trial::nutrients::nutrients_mg(dose, bench) {
                add(Key::Dosed(analyte, dose.into == Into::Substrate), mg);
            }
        }
        Act::Change(change) => {
            add(Key::Changes, 1.0);
            match change.amount {
                WaterAmount::Share { share } => add(Key::ChangedPercent, share * 100.0),
                WaterAmount::Litres { litres } => add(Key::ChangedLitres, litres),
            }
        }
        Act::TopUp(top_up) => add(Key::ToppedUp, top_up.litres),
        Act::Feed(feed) => add(Key::Fed, feed.grams.unwrap_or(0.0)),
        Act::Clean(clean) => add(Key::Cleaned(part_key(clean.part)), 1.0),
        Act::Trim(_) => add(Key::Trims, 1.0),
        Act::Thin(_) => add(Key::Thinnings, 1.0),
        Act::Swap(_) => add(Key::Swaps, 1.0),
        _ => {}
    }
}

fn part_key(part: trial::act::Part) -> &'static str {
    use trial::act::Part::*;
    match part {
        Pane => t!("unequal.part_pane"),
        Filter => t!("unequal.part_filter"),
        Diffuser => t!("unequal.part_diffuser"),
        Cover => t!("unequal.part_cover"),
        Lamp => t!("unequal.part_lamp"),
        Substrate => t!("unequal.part_substrate"),
        Hardscape => t!("unequal.part_hardscape"),
    }
}

fn act(key: &Key) -> &'static str {
    match key {
        Key::Dosed(..) => "dose",
        Key::Changes | Key::ChangedPercent | Key::ChangedLitres => "change",
        Key::ToppedUp => "top_up",
        Key::Fed => "feed",
        Key::Cleaned(_) => "clean",
        Key::Trims => "trim",
        Key::Thinnings => "thin",
        Key::Swaps => "swap",
    }
}

fn words(key: &Key) -> (String, &'static str) {
    match key {
        Key::Dosed(a, false) => (t!("unequal.dosed_water", what = capital(a.name())), "mg"),
        Key::Dosed(a, true) => (
            t!("unequal.dosed_substrate", what = capital(a.name())),
            "mg",
        ),
        Key::Changes => (t!("unequal.changes").into(), ""),
        Key::ChangedPercent => (t!("unequal.changed_percent").into(), "%"),
        Key::ChangedLitres => (t!("unequal.changed_litres").into(), "L"),
        Key::ToppedUp => (t!("unequal.topped_up").into(), "L"),
        Key::Fed => (t!("unequal.fed").into(), "g"),
        Key::Cleaned(part) => (t!("unequal.cleaned", part = part), ""),
        Key::Trims => (t!("unequal.trims").into(), ""),
        Key::Thinnings => (t!("unequal.thinnings").into(), ""),
        Key::Swaps => (t!("unequal.swaps").into(), ""),
    }
}

fn capital(word: &str) -> String {
    let mut chars = word.chars();
    chars.next().map_or_else(String::new, |c| {
        c.to_uppercase().collect::<String>() + chars.as_str()
    })
}

/// The total of every tank, from the left.
fn each_tank(bench: &Bench, total: impl Fn(&Tank) -> Option<f64>) -> Vec<TankTotal> {
    let tanks = bench.tanks.iter();
    let each = tanks.map(|t| TankTotal {
        tank: t.id,
        name: t.name.clone(),
        value: total(t),
    });
    each.collect()
}

fn totals_row(bench: &Bench, key: &Key, parts: &[Part]) -> TreatmentRow {
    let total = |tank: &Tank, keep: &dyn Fn(&Part) -> bool| -> f64 {
        parts
            .iter()
            .filter(|p| p.entry.tanks.contains(&tank.id) && keep(p))
            .map(|p| p.amount)
            .sum()
    };
    let tanks = each_tank(bench, |t| Some(total(t, &|_| true)));
    let mut all_days: Vec<Date> = parts.iter().map(|p| days::of(p.entry)).collect();
    all_days.sort_unstable();
    all_days.dedup();
    let (what, unit) = words(key);
    let unequal_days = all_days
        .into_iter()
        .filter_map(|day| {
            let on_day = |p: &Part| days::of(p.entry) == day;
            let totals = each_tank(bench, |t| Some(total(t, &on_day)));
            (alike(bench, &totals) == Alike::WithinArm).then(|| UnequalDay {
                day,
                what: totals_text(&totals, unit),
                entries: parts
                    .iter()
                    .filter(|p| on_day(p))
                    .map(|p| p.entry.id)
                    .collect(),
            })
        })
        .collect();
    TreatmentRow {
        act: act(key),
        ..row(bench, what, unit, tanks, unequal_days)
    }
}

fn row(
    bench: &Bench,
    what: String,
    unit: &'static str,
    tanks: Vec<TankTotal>,
    days: Vec<UnequalDay>,
) -> TreatmentRow {
    let alike = alike(bench, &tanks);
    let totals = totals_text(&tanks, unit);
    let sentence = match alike {
        Alike::Equal => {
            let one = tanks.first().and_then(|t| t.value).unwrap_or(0.0);
            t!(
                "unequal.sentence_equal",
                what = what,
                each = figure(one, unit)
            )
        }
        Alike::BetweenArms => t!("unequal.sentence_arms", what = what, totals = totals),
        Alike::WithinArm => t!("unequal.sentence_within", what = what, totals = totals),
    };
    TreatmentRow {
        what,
        act: "setting",
        counted: true,
        unit,
        tanks,
        alike,
        days,
        sentence,
    }
}

fn figure(value: f64, unit: &str) -> String {
    let number = Format::default().significant(value, 4);
    if unit.is_empty() {
        number
    } else {
        format!("{number}\u{a0}{unit}")
    }
}

/// The totals of every tank in words.
pub(crate) fn totals_text(totals: &[TankTotal], unit: &str) -> String {
    totals
        .iter()
        .map(|t| match t.value {
            Some(v) => format!("{} {}", t.name, figure(v, unit)),
            None => format!("{} {}", t.name, t!("unequal.not_recorded")),
        })
        .collect::<Vec<_>>()
        .join(", ")
}

/// Tanks without an arm are taken as one arm: nothing was planned to differ between them.
fn by_arm<'a>(bench: &'a Bench, totals: &[TankTotal]) -> BTreeMap<Option<&'a str>, Vec<f64>> {
    let mut arms: BTreeMap<Option<&str>, Vec<f64>> = BTreeMap::new();
    for total in totals {
        let arm = bench.tank(total.tank).and_then(|t| t.arm.as_deref());
        // What was never recorded cannot show a difference.
        arms.entry(arm).or_default().extend(total.value);
    }
    arms
}

fn spread(values: &[f64]) -> bool {
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    high - low > EQUAL_WITHIN * high.abs().max(low.abs())
}

/// The tanks of those arms whose tanks differ among themselves.
pub fn apart(bench: &Bench, totals: &[TankTotal]) -> Vec<TankId> {
    let arms = by_arm(bench, totals);
    let differs = |tank: &&Tank| arms.get(&tank.arm.as_deref()).is_some_and(|v| spread(v));
    bench.tanks.iter().filter(differs).map(|t| t.id).collect()
}

/// How alike the totals of one thing are.
pub fn alike(bench: &Bench, totals: &[TankTotal]) -> Alike {
    let arms = by_arm(bench, totals);
    if arms.values().any(|values| spread(values)) {
        Alike::WithinArm
    } else if spread(&arms.values().flatten().copied().collect::<Vec<_>>()) {
        Alike::BetweenArms
    } else {
        Alike::Equal
    }
}
