//! What the arms' difference can carry: fixed rules, the same for every trial.
//!
//! Rules and their sources: the tank is the unit (Hurlbert 1984, Ecol. Monogr. 54:187-211); no
//! interval with one tank in an arm; the exact p beside the t interval, with the smallest p that so
//! few tanks can give; a difference belongs to everything that differed together; an interval that
//! holds "no difference" is no proof of equality.

use super::{ArmTanks, Difference, Row, Scale, basis};
use crate::unequal::{Alike, Treatment};
use evidence::compare::{self, Arm, PairComparison};
use quantity::{Basis, Estimate, Format};
use text::t;
use trial::Bench;
use trial::types::Measure;

use super::LEVEL;

/// Every pair of arms of a row. Arms without a usable tank are left out and named elsewhere.
pub(super) fn differences(bench: &Bench, row: &Row) -> Vec<Difference> {
    let arms: Vec<Arm> = ordered_arms(bench)
        .into_iter()
        .map(|(key, name)| Arm {
            name,
            tanks: row
                .tanks
                .iter()
                .filter(|t| t.arm.as_deref() == Some(key.as_str()))
                .filter_map(|t| t.change.value)
                .collect(),
        })
        .filter(|a| !a.tanks.is_empty())
        .collect();
    let scale = match row.scale {
        Scale::Factor => compare::Scale::Log,
        Scale::Rate | Scale::Count => compare::Scale::Linear,
        Scale::Score => compare::Scale::Ordinal,
    };
    match compare::compare(&arms, scale, LEVEL) {
        Ok(answer) => answer
            .pairs
            .iter()
            .map(|p| difference(bench, row, p))
            .collect(),
        Err(_) => vec![],
    }
}

/// The control first, so that the others are compared with it.
fn ordered_arms(bench: &Bench) -> Vec<(String, String)> {
    let mut arms: Vec<_> = bench.trial.arms.iter().collect();
    arms.sort_by_key(|a| !a.control);
    arms.into_iter()
        .map(|a| (a.key.clone(), a.name.clone()))
        .collect()
}

fn difference(bench: &Bench, row: &Row, pair: &PairComparison) -> Difference {
    let seen = pair.ratio.map_or(pair.difference, |r| r.value);
    let records: Vec<String> = row
        .tanks
        .iter()
        .flat_map(|t| t.change.basis.records.clone())
        .collect();
    let basis = basis(
        "one number per tank; pooled t on the arms' tank means",
        "pooled t: Student 1908, Biometrika 6:1-25 (from memory); exact permutation: Fisher 1935, \
         The Design of Experiments (from memory); the tank as unit: Hurlbert 1984, Ecol. Monogr. \
         54:187-211",
        &[],
    )
    .with_records(records);
    let estimate = estimate(pair, seen, basis);
    let permutation = pair.permutation.estimated();
    let mut difference = Difference {
        of: pair.of.clone(),
        against: pair.against.clone(),
        estimate,
        seen: seen.is_finite().then_some(seen),
        exact_p: permutation.map(|p| p.p_two),
        smallest_p: permutation.map(|p| p.smallest_possible_two),
        sentence: String::new(),
    };
    difference.sentence = sentence(bench, row, &difference);
    difference
}

fn estimate(pair: &PairComparison, seen: f64, basis: Basis) -> Estimate {
    match (pair.t.estimated(), pair.ratio.and_then(|r| r.interval)) {
        (Some(_), Some(ratio)) => {
            Estimate::confidence(seen, ratio.low, ratio.high, ratio.level, basis)
        }
        (Some(t), None) => Estimate::confidence(
            seen,
            t.interval.low,
            t.interval.high,
            t.interval.level,
            basis,
        ),
        (None, _) => {
            let refusal = pair.t.refused();
            Estimate::refused(
                refusal.map_or("no_interval", |r| r.code()),
                refusal.map_or_else(
                    || t!("compare.no_interval").to_string(),
                    ToString::to_string,
                ),
                basis,
            )
        }
    }
}

fn sentence(bench: &Bench, row: &Row, d: &Difference) -> String {
    let format = Format::default();
    let Some(seen) = d.seen else {
        return t!("compare.nothing_to_compare").to_string();
    };
    let measure = trial::describe::measure_name(row.measure).to_lowercase();
    let plant = row.plant.as_deref().unwrap_or(t!("compare.whole_tank"));
    let what = match row.scale {
        Scale::Factor => t!(
            "compare.seen_factor",
            plant = plant,
            measure = measure,
            of = d.of,
            against = d.against,
            ratio = format.significant(seen, 3)
        ),
        Scale::Score => score_sentence(plant, &measure, d, seen),
        Scale::Rate | Scale::Count => {
            let (measure, unit) = match row.scale {
                Scale::Rate => (t!("compare.growth_by_mass"), t!("compare.per_day")),
                _ => (measure.as_str(), ""),
            };
            t!(
                "compare.seen_difference",
                plant = plant,
                measure = measure,
                of = d.of,
                against = d.against,
                difference = format!("{} {unit}", signed(seen, 2)).trim_end()
            )
        }
    };
    let mut all = format!("{what} {}", carries(row, d, &format));
    if d.estimate.low.is_some() && weighings_hold_none(bench, row, d) {
        all.push(' ');
        all.push_str(t!("compare.weighings_hold_none"));
    }
    if row.measure == Measure::Cover {
        all.push(' ');
        all.push_str(t!("compare.by_eye"));
    }
    all
}

/// Whether "no difference" lies within the tanks' own bounds, spread between tanks left aside.
fn weighings_hold_none(bench: &Bench, row: &Row, d: &Difference) -> bool {
    let bounds = |arm: &str| -> Option<(f64, f64)> {
        let key = bench
            .trial
            .arms
            .iter()
            .find(|a| a.name == arm)?
            .key
            .as_str();
        let tanks = row.tanks.iter().filter(|t| t.arm.as_deref() == Some(key));
        let known: Vec<(f64, f64)> = tanks
            .filter_map(|t| Some((t.change.low?, t.change.high?)))
            .collect();
        let n = known.len() as f64;
        let sum = |pick: fn(&(f64, f64)) -> f64| known.iter().map(pick).sum::<f64>() / n;
        (n > 0.0).then(|| (sum(|b| b.0), sum(|b| b.1)))
    };
    match (bounds(&d.of), bounds(&d.against)) {
        (Some(of), Some(against)) => of.0 <= against.1 && against.0 <= of.1,
        _ => false,
    }
}

fn score_sentence(plant: &str, measure: &str, d: &Difference, seen: f64) -> String {
    if seen == 0.0 {
        return t!(
            "compare.seen_score_same",
            plant = plant,
            measure = measure,
            of = d.of,
            against = d.against
        );
    }
    let side = if seen > 0.0 {
        t!("compare.higher")
    } else {
        t!("compare.lower")
    };
    t!(
        "compare.seen_score",
        plant = plant,
        measure = measure,
        of = d.of,
        against = d.against,
        points = Format::default().significant(seen.abs(), 2),
        side = side
    )
}

fn carries(row: &Row, d: &Difference, format: &Format) -> String {
    let (Some(low), Some(high)) = (d.estimate.low, d.estimate.high) else {
        if row.scale == Scale::Score {
            return t!("compare.scores_no_interval").to_string();
        }
        return t!(
            "compare.no_interval_because",
            reason = d.estimate.refusal().unwrap_or("")
        );
    };
    let none = if row.scale == Scale::Factor { 1.0 } else { 0.0 };
    let range = t!(
        "compare.interval",
        low = format.significant(low, 3),
        high = format.significant(high, 3)
    );
    let reading = if low <= none && none <= high {
        t!("compare.holds_none").to_string()
    } else {
        t!("compare.excludes_none").to_string()
    };
    format!("{range} {reading}")
}

pub(super) fn signed(value: f64, digits: usize) -> String {
    let text = Format::default().significant(value, digits);
    if value > 0.0 {
        format!("+{text}")
    } else {
        text
    }
}

/// The plain statements of the whole comparison.
pub(super) fn statements(
    bench: &Bench,
    arms: &[ArmTanks],
    rows: &[Row],
    treatment: &Treatment,
) -> (Vec<String>, Vec<String>) {
    let mut can: Vec<String> = Vec::new();
    let mut cannot: Vec<String> = Vec::new();
    if let Some(primary) = rows.iter().find(|r| r.primary) {
        can.extend(primary.differences.iter().map(|d| d.sentence.clone()));
    } else if bench.trial.primary.is_some() {
        cannot.push(t!("compare.primary_not_measured").to_string());
    } else {
        cannot.push(t!("compare.no_primary").to_string());
    }
    design(bench, arms, &mut can, &mut cannot);
    smallest_p(rows, &mut cannot);
    attribution(bench, treatment, &mut can, &mut cannot);
    let others = rows
        .iter()
        .filter(|r| !r.primary && !r.differences.is_empty())
        .count();
    if others > 1 {
        cannot.push(t!("compare.many_rows", n = others));
    }
    cannot.push(t!("compare.other_tanks").to_string());
    (can, cannot)
}

fn design(bench: &Bench, arms: &[ArmTanks], can: &mut Vec<String>, cannot: &mut Vec<String>) {
    let filled: Vec<&ArmTanks> = arms.iter().filter(|a| !a.tanks.is_empty()).collect();
    if filled.len() < 2 {
        cannot.push(t!("compare.no_arms").to_string());
        return;
    }
    let single: Vec<&str> = filled
        .iter()
        .filter(|a| a.tanks.len() == 1)
        .map(|a| a.name.as_str())
        .collect();
    if single.is_empty() {
        let counts: Vec<String> = filled
            .iter()
            .map(|a| format!("{} ({})", a.name, a.tanks.join(", ")))
            .collect();
        can.push(t!("compare.design", arms = counts.join("; ")));
    } else {
        can.push(t!("compare.one_tank_can").to_string());
        cannot.push(t!("compare.one_tank_cannot", arms = single.join(", ")));
    }
    match &bench.trial.lot {
        Some(lot) if bench.trial.start.is_some_and(|s| lot.drawn > s) => {
            cannot.push(t!("compare.lot_late", day = lot.drawn));
        }
        Some(lot) => can.push(match lot.seed {
            Some(seed) => t!("compare.by_lot", seed = seed),
            None => t!("compare.by_lot_paper", day = lot.drawn, how = lot.method),
        }),
        None => cannot.push(t!("compare.no_lot").to_string()),
    }
}

/// What so few tanks could have shown at all.
fn smallest_p(rows: &[Row], cannot: &mut Vec<String>) {
    let with_interval = |d: &&Difference| d.estimate.low.is_some();
    let smallest = rows
        .iter()
        .flat_map(|r| &r.differences)
        .filter(with_interval)
        .filter_map(|d| d.smallest_p)
        .fold(f64::INFINITY, f64::min);
    if smallest.is_finite() {
        cannot.push(t!("compare.measuring_errors").to_string());
    }
    if smallest.is_finite() && smallest > 0.05 {
        let p = Format::default().significant(smallest, 2);
        cannot.push(t!("compare.cannot_reach", p = p));
    }
}

/// A difference belongs to everything that differed together.
fn attribution(
    bench: &Bench,
    treatment: &Treatment,
    can: &mut Vec<String>,
    cannot: &mut Vec<String>,
) {
    let meant: Vec<&str> = bench.trial.differ.iter().map(|f| f.name.as_str()).collect();
    match meant.as_slice() {
        [] => cannot.push(t!("compare.nothing_meant").to_string()),
        [one] => can.push(t!("compare.one_factor", factor = one)),
        many => cannot.push(t!("compare.several_factors", factors = many.join(", "))),
    }
    let crept: Vec<&str> = treatment.crept_in().map(|r| r.what.as_str()).collect();
    if !crept.is_empty() {
        cannot.push(t!("compare.crept_in", what = crept.join("; ")));
    }
    let between: Vec<&str> = treatment
        .rows
        .iter()
        .filter(|r| r.alike == Alike::BetweenArms)
        .map(|r| r.what.as_str())
        .collect();
    if !between.is_empty() {
        cannot.push(t!("compare.between_arms", what = between.join("; ")));
    }
}
