//! Water changes and top-ups: one row for each tank.

use super::EntryTable;
use super::column::{Column, ColumnKind, opt};
use super::head::{Own, per_tank};
use super::line::{Line, RowProblem};
use crate::act::{Change, TopUp, WaterAmount};
use crate::{Act, Bench, Entry, TankId, WaterId};

pub(crate) const TABLE: EntryTable = EntryTable {
    name: "changes",
    about: "Water changes, each as a share of the tank's water or as litres, as it was written",
    kinds: &["change"],
    own: &[
        Column::new(
            "share",
            ColumnKind::Number,
            "Share of the tank's water changed, 0 to 1",
        ),
        Column::number("litres", "L", "Litres changed"),
        SOURCE,
    ],
    also_read: &[],
    marks: &["share", "litres"],
    rows: change_rows,
    act: Some(change),
};

pub(crate) const TOP_UPS: EntryTable = EntryTable {
    name: "top_ups",
    about: "Evaporation made up",
    kinds: &["top_up"],
    own: &[
        Column::number("litres", "L", "Litres added"),
        SOURCE,
        Column::number(
            "level_below_cm",
            "cm",
            "How far the level stood below its mark",
        ),
    ],
    also_read: &[],
    marks: &["level_below_cm"],
    rows: top_up_rows,
    act: Some(top_up),
};

const SOURCE: Column = Column::new(
    "source",
    ColumnKind::Text,
    "Name of the water used, see waters.csv",
);

fn change_rows(bench: &Bench, entry: &Entry) -> Vec<Own> {
    let Act::Change(c) = &entry.act else {
        return vec![];
    };
    let (share, litres) = match c.amount {
        WaterAmount::Share { share } => (Some(share), None),
        WaterAmount::Litres { litres } => (None, Some(litres)),
    };
    let cells = vec![
        ("share", opt(share)),
        ("litres", opt(litres)),
        ("source", water_name(bench, c.source)),
    ];
    per_tank(entry, cells)
}

fn top_up_rows(bench: &Bench, entry: &Entry) -> Vec<Own> {
    let Act::TopUp(t) = &entry.act else {
        return vec![];
    };
    let cells = vec![
        ("litres", opt(Some(t.litres))),
        ("source", water_name(bench, t.source)),
        ("level_below_cm", opt(t.level_below_cm)),
    ];
    per_tank(entry, cells)
}

fn change(line: &Line<'_>, _tanks: &[TankId]) -> Result<Act, RowProblem> {
    let amount = match (line.share("share")?, line.number("litres")?) {
        (Some(share), None) => WaterAmount::Share { share },
        (None, Some(litres)) => WaterAmount::Litres { litres },
        (Some(_), Some(_)) => {
            return Err(line.problem("litres", "accepted is a share or litres, not both"));
        }
        (None, None) => {
            return Err(line.problem("share", "is empty; accepted is a share, or litres"));
        }
    };
    Ok(Act::Change(Change {
        amount,
        source: water(line, "source")?,
    }))
}

fn top_up(line: &Line<'_>, _tanks: &[TankId]) -> Result<Act, RowProblem> {
    let litres = line.number("litres")?;
    Ok(Act::TopUp(TopUp {
        litres: line.need("litres", litres, "the litres added")?,
        source: water(line, "source")?,
        level_below_cm: line.number("level_below_cm")?,
    }))
}

pub(crate) fn water_name(bench: &Bench, water: Option<WaterId>) -> String {
    water
        .map(|id| {
            bench
                .water(id)
                .map_or_else(|| id.to_string(), |w| w.name.clone())
        })
        .unwrap_or_default()
}

/// The source water named in `column`, if any.
pub(crate) fn water(line: &Line<'_>, column: &str) -> Result<Option<WaterId>, RowProblem> {
    if !line.has(column) {
        return Ok(None);
    }
    let waters = || line.bench.waters.iter();
    let found = line.named(column, waters(), |w| &w.name, "source waters")?;
    found.map(|w| Some(w.id)).ok_or_else(|| {
        let known: Vec<&str> = waters().map(|w| w.name.as_str()).collect();
        line.problem(column, format!("accepted is one of {}", known.join(", ")))
    })
}
