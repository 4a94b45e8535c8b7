//! Plantings looked at, in long form: one row for each planting and measure.

use super::EntryTable;
use super::column::{Column, ColumnKind, RowCells, number};
use super::head::Own;
use super::line::{Line, RowProblem};
use super::plants::{plant_title, tank_of};
use super::trims::add_bare_tanks;
use super::walks::{ON_WALK, on_walk, on_walk_cells};
use crate::act::Observation;
use crate::{Act, Bench, Entry, PlantingId, TankId};
use quantity::{Amount, Unit};

pub(crate) const TABLE: EntryTable = EntryTable {
    name: "scores",
    about: "Plantings looked at: one row for each planting and measure",
    kinds: &["observation"],
    own: OWN,
    also_read: &[],
    marks: &["measure"],
    rows,
    act: Some(act),
};

const OWN: &[Column] = &[
    Column::new("plant", ColumnKind::Text, "The plant, with its label"),
    Column::new(
        "planting",
        ColumnKind::Word,
        "Its planting, see plantings.csv",
    ),
    Column::new("measure", ColumnKind::Word, MEASURES_TEXT),
    Column::new(
        "value",
        ColumnKind::Number,
        "The value; for emerged 1 is yes and 0 is no",
    ),
    Column::new(
        "unit",
        ColumnKind::Word,
        "Unit of value; empty for emerged and sign",
    ),
    Column::new(
        "sign",
        ColumnKind::Text,
        "For the measure sign: what was seen, in words",
    ),
    ON_WALK[0],
    ON_WALK[1],
    ON_WALK[2],
];

const MEASURES_TEXT: &str = "vigour, new_leaf, density, colour, height, spread, node_distance, cover, fresh_mass, emerged or sign";

const SCORE: &str = "score 0 to 10";

/// A measure: its key, its unit as printed, the unit others may be turned into, and its place.
struct MeasureRow {
    key: &'static str,
    unit: &'static str,
    as_unit: Option<Unit>,
    slot: fn(&mut Observation) -> &mut Option<f64>,
}

const MEASURES: &[MeasureRow] = &[
    MeasureRow {
        key: "vigour",
        unit: SCORE,
        as_unit: None,
        slot: |o| &mut o.vigour,
    },
    MeasureRow {
        key: "new_leaf",
        unit: SCORE,
        as_unit: None,
        slot: |o| &mut o.new_leaf,
    },
    MeasureRow {
        key: "density",
        unit: SCORE,
        as_unit: None,
        slot: |o| &mut o.density,
    },
    MeasureRow {
        key: "colour",
        unit: SCORE,
        as_unit: None,
        slot: |o| &mut o.colour,
    },
    MeasureRow {
        key: "height",
        unit: "cm",
        as_unit: CM,
        slot: |o| &mut o.height_cm,
    },
    MeasureRow {
        key: "spread",
        unit: "cm",
        as_unit: CM,
        slot: |o| &mut o.spread_cm,
    },
    MeasureRow {
        key: "node_distance",
        unit: "cm",
        as_unit: CM,
        slot: |o| &mut o.node_cm,
    },
    MeasureRow {
        key: "cover",
        unit: "%",
        as_unit: Some(Unit::Percent),
        slot: |o| &mut o.cover_pct,
    },
    MeasureRow {
        key: "fresh_mass",
        unit: "g",
        as_unit: Some(Unit::Gram),
        slot: |o| &mut o.fresh_g,
    },
];

const CM: Option<Unit> = Some(Unit::Centimetre);

fn rows(bench: &Bench, entry: &Entry) -> Vec<Own> {
    let Act::Observation(o) = &entry.act else {
        return vec![];
    };
    let measured = measured(o);
    let about = |id: PlantingId| -> RowCells {
        vec![
            ("plant", plant_title(bench, id)),
            ("planting", id.to_string()),
        ]
    };
    let plantings: Vec<(Option<TankId>, RowCells)> = match o.plantings.is_empty() {
        true => vec![(entry.tanks.first().copied(), vec![])],
        false => o
            .plantings
            .iter()
            .map(|id| (tank_of(bench, entry, *id), about(*id)))
            .collect(),
    };
    let mut rows: Vec<Own> = Vec::new();
    for (tank, plant) in plantings {
        // A planting looked at without a measure still has its row.
        let bare = measured.is_empty().then(RowCells::new);
        rows.extend(measured.iter().cloned().chain(bare).map(|cells| Own {
            tank,
            cells: [plant.clone(), cells, on_walk_cells(o.on_walk)].concat(),
        }));
    }
    add_bare_tanks(entry, &mut rows, vec![]);
    rows
}

/// The measures taken, each as the cells measure, value, unit and sign.
fn measured(o: &Observation) -> Vec<RowCells> {
    let mut o = o.clone();
    let mut rows: Vec<RowCells> = Vec::new();
    for m in MEASURES {
        if let Some(value) = *(m.slot)(&mut o) {
            rows.push(vec![
                ("measure", m.key.to_string()),
                ("value", number(value)),
                ("unit", m.unit.to_string()),
            ]);
        }
    }
    if let Some(emerged) = o.emerged {
        let value = if emerged { "1" } else { "0" };
        rows.push(vec![("measure", "emerged".into()), ("value", value.into())]);
    }
    rows.extend(
        o.signs
            .iter()
            .map(|s| vec![("measure", "sign".into()), ("sign", s.clone())]),
    );
    rows
}

fn act(line: &Line<'_>, tanks: &[TankId]) -> Result<Act, RowProblem> {
    let mut o = Observation {
        plantings: line.plantings(tanks)?,
        on_walk: on_walk(line)?,
        ..Observation::default()
    };
    match line
        .word("measure")
        .to_lowercase()
        .replace(' ', "_")
        .as_str()
    {
        "" => {}
        "emerged" => {
            let emerged = line.yes_no("value")?;
            o.emerged = Some(line.need("value", emerged, "1 for yes or 0 for no")?);
        }
        "sign" => {
            if !line.has("sign") {
                return Err(line.problem("sign", "is empty; accepted is what was seen, in words"));
            }
            o.signs.push(line.text("sign"));
        }
        key => {
            let known = MEASURES.iter().find(|m| m.key == key).ok_or_else(|| {
                line.problem("measure", format!("accepted is one of {MEASURES_TEXT}"))
            })?;
            *(known.slot)(&mut o) = Some(value(line, known)?);
        }
    }
    Ok(Act::Observation(o))
}

/// The value in the measure's own unit.
fn value(line: &Line<'_>, measure: &MeasureRow) -> Result<f64, RowProblem> {
    let value = line.number("value")?;
    let value = line.need("value", value, "a number")?;
    let unit = line.word("unit");
    if unit.is_empty() || unit == measure.unit {
        return Ok(value);
    }
    let turned = measure
        .as_unit
        .and_then(|to| Amount::new(value, Unit::from_word(unit)?).to(to).ok());
    turned.ok_or_else(|| {
        line.problem(
            "unit",
            format!("{} is given in {}", measure.key, measure.unit),
        )
    })
}
