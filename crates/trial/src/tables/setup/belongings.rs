//! What stands in the tanks of a trial and beside them: plantings, equipment, plans.

use super::super::column::{Column, ColumnKind, RowCells, key_of, number, opt, show};
use super::super::head::tank_name;
use super::{CURRENCY, ID, PRICE, SetupTable, TRIAL, joined, money};
use crate::plan::PlanOutcome;
use crate::{Bench, TankId};

use ColumnKind::{Count, Date, Text, Word, YesNo};

pub(super) const PLANTINGS: SetupTable = SetupTable {
    name: "plantings",
    about: "Plantings: one lot of one plant in one tank",
    of_trial: true,
    columns: &[
        TRIAL,
        ID,
        Column::new("tank", Text, "Name of the tank"),
        Column::new("scientific_name", Text, "Scientific name"),
        Column::new("common_name", Text, "Common name"),
        Column::new(
            "label",
            Text,
            "Tells two lots of one plant in one tank apart",
        ),
        Column::new("planted", Date, "The day it was planted"),
        Column::new("form", Word, "pot, cuttings, culture or division"),
        Column::new("grown_in", Word, "air or water"),
        Column::new("batch", Text, "Batch or delivery"),
        Column::new("quarantine", Text, "Quarantine, dips, rinses"),
        Column::new("stems", Count, "Stems planted"),
        Column::number("fresh_g", "g", "Fresh mass planted, blotted"),
        Column::new("divided", Text, "How the stock was divided among tanks"),
        Column::new("parent", Word, "The planting its cuttings were taken from"),
        Column::new(
            "zone_cm",
            Word,
            "Its zone on the front pane: corners as x y in cm",
        ),
        Column::new("floating", YesNo, "Whether it floats"),
    ],
    rows: plantings,
};

pub(super) const EQUIPMENT: SetupTable = SetupTable {
    name: "equipment",
    about: "What the trials cost and use",
    of_trial: true,
    columns: &[
        TRIAL,
        ID,
        Column::new("name", Text, "What it is"),
        Column::new("tanks", Text, "The tanks it serves; empty for all"),
        Column::new("kind", Word, "durable or consumable"),
        PRICE,
        CURRENCY,
        Column::new("bought", Date, "When it was bought"),
        Column::number(
            "life_months",
            "months",
            "How long it, or one price of it, lasts",
        ),
        Column::number("power_w", "W", "Power drawn while it runs"),
        Column::number("hours_per_day", "h", "Hours a day it runs"),
        Column::new("disclosure", Text, "A gift, loan or payment to disclose"),
    ],
    rows: equipment,
};

pub(super) const PLANS: SetupTable = SetupTable {
    name: "plans",
    about: "Planned changes and routines, with what the keeper expects of them",
    of_trial: true,
    columns: &[
        TRIAL,
        ID,
        Column::new("what", Text, "What will be done"),
        Column::new("tanks", Text, "In which tanks; empty for all"),
        Column::new("from", Date, "From when"),
        Column::new("expects", Text, "What the keeper expects of it"),
        Column::new("routine_act", Word, "For a routine: the kind of act"),
        Column::new(
            "every_days",
            Count,
            "Due this many days after it was last done",
        ),
        Column::new("until", Date, "Until when"),
        Column::new("outcome", Word, "open, done or dropped"),
        Column::new("done_on", Date, "Done on this day"),
        Column::new(
            "outcome_text",
            Text,
            "What was seen of it, or why it was dropped",
        ),
    ],
    rows: plans,
};

fn names(bench: &Bench, tanks: &[TankId]) -> String {
    joined(tanks.iter().map(|t| tank_name(bench, Some(*t))))
}

fn plantings(bench: &Bench) -> Vec<RowCells> {
    let row = |p: &crate::Planting| {
        let corners = p
            .zone_cm
            .iter()
            .map(|[x, y]| format!("{} {}", number(*x), number(*y)));
        vec![
            ("trial", bench.trial.title.clone()),
            ("id", p.id.to_string()),
            ("tank", tank_name(bench, Some(p.tank))),
            ("scientific_name", p.scientific_name.clone()),
            ("common_name", p.common_name.clone()),
            ("label", p.label.clone()),
            ("planted", show(p.planted)),
            (
                "form",
                p.origin.form.as_ref().map(key_of).unwrap_or_default(),
            ),
            (
                "grown_in",
                p.origin.grown_in.as_ref().map(key_of).unwrap_or_default(),
            ),
            ("batch", p.origin.batch.clone()),
            ("quarantine", p.origin.quarantine.clone()),
            ("stems", show(p.stems)),
            ("fresh_g", opt(p.fresh_g)),
            ("divided", p.divided.clone()),
            ("parent", show(p.parent)),
            ("zone_cm", joined(corners)),
            ("floating", p.floating.to_string()),
        ]
    };
    bench.plantings.iter().map(row).collect()
}

fn equipment(bench: &Bench) -> Vec<RowCells> {
    let row = |e: &crate::Equipment| {
        let mut cells = vec![
            ("trial", bench.trial.title.clone()),
            ("id", e.id.to_string()),
            ("name", e.name.clone()),
            ("tanks", names(bench, &e.tanks)),
            ("kind", key_of(&e.kind)),
            ("bought", show(e.bought)),
            ("life_months", opt(e.life_months)),
            ("power_w", opt(e.power_w)),
            ("hours_per_day", opt(e.hours_per_day)),
            ("disclosure", e.disclosure.clone()),
        ];
        cells.extend(money(&e.price));
        cells
    };
    bench.equipment.iter().map(row).collect()
}

fn plans(bench: &Bench) -> Vec<RowCells> {
    let row = |p: &crate::Plan| {
        let (outcome, on, said) = match &p.outcome {
            PlanOutcome::Open => ("open", None, String::new()),
            PlanOutcome::Done { on, seen, .. } => ("done", Some(*on), seen.clone()),
            PlanOutcome::Dropped { why } => ("dropped", None, why.clone()),
        };
        let routine = p.routine.as_ref();
        vec![
            ("trial", bench.trial.title.clone()),
            ("id", p.id.to_string()),
            ("what", p.what.clone()),
            ("tanks", names(bench, &p.tanks)),
            ("from", p.from.to_string()),
            ("expects", p.expects.clone()),
            ("routine_act", show(routine.map(|r| &r.act))),
            ("every_days", show(routine.map(|r| r.every_days))),
            ("until", show(routine.and_then(|r| r.until))),
            ("outcome", outcome.to_string()),
            ("done_on", show(on)),
            ("outcome_text", said),
        ]
    };
    bench.plans.iter().map(row).collect()
}
