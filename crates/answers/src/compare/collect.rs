//! From entries to one number per tank.

use super::growth;
use super::{Row, Scale, Seen, TankChange, Window, basis};
use crate::days;
use jiff::civil::Date;
use quantity::{Basis, Estimate};
use std::collections::BTreeSet;
use text::t;
use trial::finding::Subject;
use trial::types::{Better, Measure};
use trial::{Act, Bench, Entry, EntryId, Finding, PlantingId, Severity, Tank, TankId};

/// How far from the window's start an observation may lie and still stand for it: one usual
/// interval between looks and a half (our own choice, no source).
const START_REACH_DAYS: f64 = 10.0;

/// Measures read from observations of plantings, with the scale their change is expressed on.
const OBSERVED: [(Measure, Scale); 9] = [
    (Measure::Cover, Scale::Factor),
    (Measure::Height, Scale::Factor),
    (Measure::Spread, Scale::Factor),
    (Measure::NodeDistance, Scale::Factor),
    (Measure::Vigour, Scale::Score),
    (Measure::NewLeaf, Scale::Score),
    (Measure::Density, Scale::Score),
    (Measure::Colour, Scale::Score),
    (Measure::Plantlets, Scale::Count),
];

/// A value of one planting or tank at one time.
#[derive(Debug, Clone, Copy)]
struct Point {
    day: Date,
    value: f64,
    entry: EntryId,
}

/// The change of one planting or surface between two points.
struct Change {
    start: Point,
    end: Point,
    change: f64,
}

pub(super) fn rows(
    bench: &Bench,
    entries: &[Entry],
    window: Window,
    findings: &mut Vec<Finding>,
) -> Vec<Row> {
    let mut rows = Vec::new();
    for plant in bench.species() {
        rows.push(growth_row(bench, entries, window, plant, findings));
        for (measure, scale) in OBSERVED {
            let row = observed_row(bench, entries, window, plant, measure, scale);
            if scale == Scale::Factor {
                findings.extend(trims_between(bench, entries, &row));
            }
            rows.push(row);
        }
    }
    for measure in [Measure::Film, Measure::Thread] {
        rows.push(algae_row(bench, entries, window, measure));
    }
    rows
}

fn new_row(bench: &Bench, plant: Option<&str>, measure: Measure, scale: Scale) -> Row {
    let named = |o: &&trial::types::Outcome| {
        o.measure == measure && (o.plant.is_none() || o.plant.as_deref() == plant)
    };
    let primary = bench.trial.primary.as_ref().filter(named);
    let secondary = bench.trial.secondary.iter().find(named);
    let better: Option<Better> = primary.or(secondary).map(|o| o.better);
    Row {
        plant: plant.map(str::to_string),
        common_name: plant.and_then(|p| common_name(bench, p)),
        measure,
        scale,
        primary: primary.is_some(),
        better,
        tanks: vec![],
        differences: vec![],
    }
}

fn common_name(bench: &Bench, plant: &str) -> Option<String> {
    bench
        .plantings
        .iter()
        .find(|p| p.scientific_name == plant && !p.common_name.is_empty())
        .map(|p| p.common_name.clone())
        .or_else(|| trial::catalogue::find(plant).map(|p| p.common_name.clone()))
}

fn growth_row(
    bench: &Bench,
    entries: &[Entry],
    window: Window,
    plant: &str,
    findings: &mut Vec<Finding>,
) -> Row {
    let mut row = new_row(bench, Some(plant), Measure::Growth, Scale::Rate);
    for tank in &bench.tanks {
        let founders: Vec<PlantingId> = bench
            .plantings_in(tank.id)
            .filter(|p| p.scientific_name == plant && bench.founder(p.id) == p.id)
            .map(|p| p.id)
            .collect();
        let rates: Vec<growth::FamilyGrowth> = founders
            .iter()
            .filter_map(|f| growth::family(bench, entries, window, *f))
            .collect();
        let change = growth::tank_rate(&rates);
        row.tanks.push(TankChange {
            tank: tank.id,
            name: tank.name.clone(),
            arm: tank.arm.clone(),
            start: growth::masses(&rates, |r| r.start),
            end: growth::masses(&rates, |r| r.end),
            change,
            plantings: rates.len(),
            lost: lost(bench, entries, window, tank, plant),
        });
    }
    findings.extend(growth::begun_before(bench, plant, &row, window));
    row
}

fn observed_row(
    bench: &Bench,
    entries: &[Entry],
    window: Window,
    plant: &str,
    measure: Measure,
    scale: Scale,
) -> Row {
    let mut row = new_row(bench, Some(plant), measure, scale);
    for tank in &bench.tanks {
        let changes: Vec<Change> = bench
            .plantings_in(tank.id)
            .filter(|p| p.scientific_name == plant)
            .filter_map(|p| change(&points(entries, p.id, measure), window, scale))
            .collect();
        let lost = lost(bench, entries, window, tank, plant);
        row.tanks.push(tank_change(tank, &changes, scale, lost));
    }
    row
}

fn algae_row(bench: &Bench, entries: &[Entry], window: Window, measure: Measure) -> Row {
    let mut row = new_row(bench, None, measure, Scale::Score);
    for tank in &bench.tanks {
        let points: Vec<Point> = entries
            .iter()
            .filter(|e| e.tanks.contains(&tank.id))
            .filter_map(|e| match &e.act {
                Act::Algae(a) => {
                    let surfaces = if measure == Measure::Film {
                        &a.film
                    } else {
                        &a.thread
                    };
                    // The pane is scored in the same place every time; the other surfaces come
                    // and go with plants and stones.
                    surfaces.pane.map(|value| Point {
                        day: days::of(e),
                        value,
                        entry: e.id,
                    })
                }
                _ => None,
            })
            .collect();
        let changes: Vec<Change> = change(&points, window, Scale::Score).into_iter().collect();
        row.tanks.push(tank_change(tank, &changes, Scale::Score, 0));
    }
    row
}

fn points(entries: &[Entry], planting: PlantingId, measure: Measure) -> Vec<Point> {
    entries
        .iter()
        .filter_map(|e| {
            let value = match &e.act {
                Act::Observation(o) if o.plantings.contains(&planting) => match measure {
                    Measure::Cover => o.cover_pct,
                    Measure::Height => o.height_cm,
                    Measure::Spread => o.spread_cm,
                    Measure::NodeDistance => o.node_cm,
                    Measure::Vigour => o.vigour,
                    Measure::NewLeaf => o.new_leaf,
                    Measure::Density => o.density,
                    Measure::Colour => o.colour,
                    _ => None,
                },
                Act::Plantlets(p) if p.planting == planting && measure == Measure::Plantlets => {
                    Some(f64::from(p.count))
                }
                _ => None,
            };
            value.map(|value| Point {
                day: days::of(e),
                value,
                entry: e.id,
            })
        })
        .collect()
}

/// The change from the observation nearest to the window's start (or the first inside it) to the
/// last one inside it.
fn change(points: &[Point], window: Window, scale: Scale) -> Option<Change> {
    let distance = |p: &&Point| days::between(p.day, window.from).abs();
    let start = points
        .iter()
        .filter(|p| p.day < window.to && distance(p) <= START_REACH_DAYS)
        .min_by(|a, b| distance(a).total_cmp(&distance(b)))
        .or_else(|| {
            points
                .iter()
                .find(|p| window.from <= p.day && p.day < window.to)
        })?;
    let end = points
        .iter()
        .rfind(|p| p.day < window.to && p.day > start.day)?;
    let change = match scale {
        Scale::Factor if start.value > 0.0 && end.value > 0.0 => (end.value / start.value).ln(),
        Scale::Factor => return None,
        Scale::Rate | Scale::Score | Scale::Count => end.value - start.value,
    };
    Some(Change {
        start: *start,
        end: *end,
        change,
    })
}

fn tank_change(tank: &Tank, changes: &[Change], scale: Scale, lost: usize) -> TankChange {
    let records: Vec<EntryId> = changes
        .iter()
        .flat_map(|c| [c.start.entry, c.end.entry])
        .collect();
    let values: Vec<f64> = changes.iter().map(|c| c.change).collect();
    let change = if values.is_empty() {
        Estimate::refused(
            "two_looks_needed",
            t!("compare.two_looks_needed", tank = tank.name),
            Basis::default(),
        )
    } else {
        let (value, formula, source) = match scale {
            Scale::Factor => (
                mean(&values).exp(),
                "exp of the mean of ln(end / start) over plantings",
                "mean of logs: Hoffmann & Poorter 2002, Ann. Bot. 90:37-42",
            ),
            Scale::Score => (
                median(&values),
                "median over plantings of end - start, scores by eye",
                "scores keep their order only",
            ),
            Scale::Rate | Scale::Count => (
                mean(&values),
                "mean over plantings of end - start",
                "arithmetic",
            ),
        };
        Estimate::error_not_stated(value, basis(formula, source, &records))
    };
    let side = |pick: fn(&Change) -> Point| {
        let points: Vec<Point> = changes.iter().map(pick).collect();
        let (from, to) = (
            points.iter().map(|p| p.day).min()?,
            points.iter().map(|p| p.day).max()?,
        );
        Some(Seen {
            from,
            to,
            value: mean(&points.iter().map(|p| p.value).collect::<Vec<_>>()),
        })
    };
    TankChange {
        tank: tank.id,
        name: tank.name.clone(),
        arm: tank.arm.clone(),
        start: side(|c| c.start),
        end: side(|c| c.end),
        change,
        plantings: changes.len(),
        lost,
    }
}

pub(super) fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

fn median(values: &[f64]) -> f64 {
    evidence::summary::median("scores", values).unwrap_or(f64::NAN)
}

/// Plantings of `plant` in `tank` that were lost whole in the window; never dropped silently.
fn lost(bench: &Bench, entries: &[Entry], window: Window, tank: &Tank, plant: &str) -> usize {
    let lost: BTreeSet<PlantingId> = entries
        .iter()
        .filter(|e| days::within(e, window.from, window.to))
        .filter_map(|e| match &e.act {
            Act::Loss(l) if l.whole => Some(l.planting),
            _ => None,
        })
        .filter(|id| {
            bench
                .planting(*id)
                .is_some_and(|p| p.tank == tank.id && p.scientific_name == plant)
        })
        .collect();
    lost.len()
}

/// A trim between the two looks makes a change of size no measure of growth.
fn trims_between(bench: &Bench, entries: &[Entry], row: &Row) -> Option<Finding> {
    let plant = row.plant.as_deref()?;
    let cut = |tank: &TankChange| {
        let (Some(start), Some(end)) = (tank.start, tank.end) else {
            return false;
        };
        entries.iter().any(|e| {
            let plantings = match &e.act {
                Act::Trim(t) => &t.plantings,
                Act::Thin(t) => &t.plantings,
                _ => return false,
            };
            let day = days::of(e);
            start.from <= day
                && day <= end.to
                && plantings
                    .iter()
                    .filter_map(|p| bench.planting(*p))
                    .any(|p| p.tank == tank.tank && p.scientific_name == plant)
        })
    };
    let tanks: Vec<&TankChange> = row.tanks.iter().filter(|t| cut(t)).collect();
    let names: Vec<&str> = tanks.iter().map(|t| t.name.as_str()).collect();
    let subjects = tanks.iter().flat_map(|t| of_plant(bench, t.tank, plant));
    (!names.is_empty()).then(|| {
        Finding::new(
            "trimmed_between",
            Severity::Weakens,
            t!(
                "compare.trimmed_between",
                measure = trial::describe::measure_name(row.measure),
                plant = plant,
                tanks = names.join(", ")
            ),
            t!("compare.trimmed_between_remedy"),
        )
        .about(subjects)
    })
}

/// The plantings of a plant in a tank, as what a finding concerns.
pub(super) fn of_plant(bench: &Bench, tank: TankId, plant: &str) -> Vec<Subject> {
    bench
        .plantings_in(tank)
        .filter(|p| p.scientific_name == plant)
        .map(|p| Subject::Planting(p.id))
        .collect()
}
