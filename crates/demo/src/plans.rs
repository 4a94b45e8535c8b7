//! Plans, once the entries they were done by are known.

use crate::DemoError;
use crate::bench_setup::tanks_named;
use crate::entries::Keys;
use crate::ids::id_at;
use crate::setup::BEGUN;
use crate::table::{Folder, Row};
use jiff::civil::Date;
use serde::Deserialize;
use trial::plan::{PlanOutcome, Routine};
use trial::{Act, Bench, EntryId, Plan, PlanId};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PlanRow {
    name: String,
    what: String,
    tanks: String,
    from: Date,
    expects: String,
    act: Option<String>,
    every_days: Option<u16>,
    until: Option<Date>,
    outcome: String,
    on: Option<Date>,
    entries: String,
    text: String,
}

pub(crate) fn plans(folder: Folder, bench: &Bench, keys: &Keys) -> Result<Vec<Plan>, DemoError> {
    folder
        .rows("plans")?
        .iter()
        .map(|row| plan(row, folder, bench, keys))
        .collect()
}

fn plan(row: &Row<PlanRow>, folder: Folder, bench: &Bench, keys: &Keys) -> Result<Plan, DemoError> {
    let cells = &row.cells;
    Ok(Plan {
        id: PlanId(id_at(
            BEGUN,
            row.rank(),
            &format!("plan {} {}", folder.name, cells.name),
        )),
        trial: bench.trial.id,
        what: cells.what.clone(),
        tanks: tanks_named(row, &cells.tanks, bench)?,
        from: cells.from,
        expects: cells.expects.clone(),
        routine: routine(row)?,
        outcome: outcome(row, keys)?,
    })
}

fn routine(row: &Row<PlanRow>) -> Result<Option<Routine>, DemoError> {
    let (Some(act), Some(every_days)) = (&row.cells.act, row.cells.every_days) else {
        return Ok(None);
    };
    row.known(Act::KINDS.contains(&act.as_str()).then_some(()), "act", act)?;
    Ok(Some(Routine {
        act: act.clone(),
        every_days,
        until: row.cells.until,
    }))
}

fn outcome(row: &Row<PlanRow>, keys: &Keys) -> Result<PlanOutcome, DemoError> {
    let cells = &row.cells;
    match (cells.outcome.as_str(), cells.on) {
        ("open", _) => Ok(PlanOutcome::Open),
        ("dropped", _) => Ok(PlanOutcome::Dropped {
            why: cells.text.clone(),
        }),
        ("done", Some(on)) => {
            let entry = |key: &str| row.known(keys.get(key).copied(), "entries", key);
            let entries: Vec<EntryId> = cells
                .entries
                .split_whitespace()
                .map(entry)
                .collect::<Result<_, _>>()?;
            Ok(PlanOutcome::Done {
                on,
                entries,
                seen: cells.text.clone(),
            })
        }
        (other, _) => Err(row.problem(format!(
            "outcome \"{other}\" must be open, dropped, or done with a day in \"on\""
        ))),
    }
}
