//! A trial's set-up from its tables.

use crate::DemoError;
use crate::bench_setup::furnish;
use crate::ids::id_at;
use crate::setup::{BEGUN, Shelf};
use crate::table::{Folder, Row};
use jiff::civil::Date;
use quantity::Analyte;
use serde::Deserialize;
use std::collections::BTreeMap;
use trial::types::{
    Arm, Better, EqualFactor, Factor, KeptRange, Level, Lot, Measure, Money, Outcome, Phase,
};
use trial::{Bench, Trial, TrialId};

/// The trial with its tanks, plantings and equipment; plans follow once the entries are known.
pub(crate) fn bench(folder: Folder, shelf: &Shelf) -> Result<Bench, DemoError> {
    let mut bench = Bench::new(head(folder)?);
    let trial = &mut bench.trial;
    trial.arms = folder
        .rows::<ArmRow>("arms")?
        .into_iter()
        .map(|r| arm(r.cells))
        .collect();
    for row in folder.rows("factors")? {
        factor(&row, trial)?;
    }
    for row in folder.rows("outcomes")? {
        outcome(&row, trial)?;
    }
    trial.phases = folder
        .rows::<Phase>("phases")?
        .into_iter()
        .map(|r| r.cells)
        .collect();
    let ranges = folder.rows::<RangeRow>("kept_ranges")?;
    trial.kept_ranges = ranges.into_iter().map(|r| range(r.cells)).collect();
    furnish(folder, &mut bench)?;
    bench.cards = shelf.cards.clone();
    bench.products = shelf.products.clone();
    bench.waters = shelf.waters.clone();
    Ok(bench)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FieldRow {
    field: String,
    value: String,
}

fn head(folder: Folder) -> Result<Trial, DemoError> {
    let id = TrialId(id_at(BEGUN, folder.rank, &format!("trial {}", folder.name)));
    let mut trial = Trial::new(id, "", "");
    let mut lot: (Option<u64>, String, Option<Date>) = (None, String::new(), None);
    for row in folder.rows::<FieldRow>("trial")? {
        let (field, value) = (row.cells.field.as_str(), row.cells.value.clone());
        let date =
            |row: &Row<FieldRow>| row.known(row.cells.value.parse::<Date>().ok(), field, &value);
        match field {
            _ if value.is_empty() => {}
            "title" => trial.title = value,
            "question" => trial.question = value,
            "invented" => trial.invented = row.known(value.parse().ok(), field, &value)?,
            "made_by" => trial.made_by = Some(value),
            "start" => trial.start = Some(date(&row)?),
            "zone" => trial.zone = value,
            "keeper" => trial.keeper = Some(value),
            "stop_rule" => trial.stop_rule = Some(value),
            "lot_seed" => lot.0 = Some(row.known(value.parse().ok(), field, &value)?),
            "lot_method" => lot.1 = value,
            "lot_drawn" => lot.2 = Some(date(&row)?),
            "next_step" => trial.next_step = Some(value),
            "electricity_eur_per_kwh" => {
                let price = row.known(value.parse().ok(), field, &value)?;
                trial.electricity_per_kwh = Some(euros(price));
            }
            "disclosure" => trial.disclosures.push(value),
            _ => return Err(row.problem(format!("field \"{field}\" is not one of a trial's"))),
        }
    }
    if let (Some(seed), method, Some(drawn)) = lot {
        trial.lot = Some(Lot {
            seed: Some(seed),
            method,
            drawn,
            by: String::new(),
            result: String::new(),
        });
    }
    Ok(trial)
}

pub(crate) fn euros(amount: f64) -> Money {
    Money {
        amount,
        currency: "EUR".to_string(),
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ArmRow {
    key: String,
    name: String,
    control: bool,
}

fn arm(cells: ArmRow) -> Arm {
    Arm {
        key: cells.key,
        name: cells.name,
        control: cells.control,
    }
}

/// One row: `equal` holds the common level, else each arm has a column of its own.
fn factor(row: &Row<BTreeMap<String, String>>, trial: &mut Trial) -> Result<(), DemoError> {
    let cell = |column: &str| row.cells.get(column).cloned().unwrap_or_default();
    let (name, equal) = (cell("name"), cell("equal"));
    if !equal.is_empty() {
        trial.equal.push(EqualFactor { name, value: equal });
        return Ok(());
    }
    let levels: Vec<Level> = trial
        .arms
        .iter()
        .map(|a| Level {
            arm: a.key.clone(),
            value: cell(&a.key),
        })
        .collect();
    if levels.iter().any(|l| l.value.is_empty()) {
        return Err(row.problem(format!(
            "factor \"{name}\" needs \"equal\" or a level in each arm"
        )));
    }
    trial.differ.push(Factor { name, levels });
    Ok(())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OutcomeRow {
    name: String,
    primary: bool,
    measure: Measure,
    plant: Option<String>,
    better: String,
}

fn outcome(row: &Row<OutcomeRow>, trial: &mut Trial) -> Result<(), DemoError> {
    let cells = &row.cells;
    let better = match cells.better.as_str() {
        "more" => Better::More,
        "less" => Better::Less,
        other => Better::Target {
            value: row.known(other.parse().ok(), "better", other)?,
        },
    };
    let outcome = Outcome {
        name: cells.name.clone(),
        measure: cells.measure,
        plant: cells.plant.clone(),
        better,
    };
    if cells.primary {
        trial.primary = Some(outcome);
    } else {
        trial.secondary.push(outcome);
    }
    Ok(())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RangeRow {
    analyte: Analyte,
    low: f64,
    high: f64,
}

fn range(cells: RangeRow) -> KeptRange {
    KeptRange {
        analyte: cells.analyte,
        low: cells.low,
        high: cells.high,
    }
}
