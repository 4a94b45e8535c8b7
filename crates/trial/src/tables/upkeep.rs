//! Cleanings and exchanged equipment: one row for each tank.

use super::EntryTable;
use super::column::{Column, ColumnKind, key_of, number, opt, show};
use super::head::{Own, per_tank};
use super::line::{Line, RowProblem};
use crate::act::{Clean, Part};
use crate::{Act, Bench, Entry, TankId};

pub(crate) const CLEANINGS: EntryTable = EntryTable {
    name: "cleanings",
    about: "What was cleaned",
    kinds: &["clean"],
    own: &[
        Column::new("part", ColumnKind::Word, PARTS),
        Column::number("flow_before_l_h", "L/h", "Filter flow before"),
        Column::number("flow_after_l_h", "L/h", "Filter flow after"),
    ],
    also_read: &[],
    marks: &["part"],
    rows: clean_rows,
    act: Some(clean),
};

pub(crate) const SWAPS: EntryTable = EntryTable {
    name: "swaps",
    about: "Equipment exchanged",
    kinds: &["swap"],
    own: &[
        Column::new("left", ColumnKind::Text, "What left"),
        Column::new("came", ColumnKind::Text, "What came"),
        Column::new("price", ColumnKind::Number, "Its price, once per entry"),
        Column::new(
            "currency",
            ColumnKind::Word,
            "Currency of the price (ISO 4217)",
        ),
        Column::new("equipment", ColumnKind::Word, "Its id in equipment.csv"),
    ],
    also_read: &[],
    marks: &["came"],
    rows: swap_rows,
    act: None,
};

const PARTS: &str = "pane, filter, diffuser, cover, lamp, substrate or hardscape";

fn clean_rows(_bench: &Bench, entry: &Entry) -> Vec<Own> {
    let Act::Clean(c) = &entry.act else {
        return vec![];
    };
    let cells = vec![
        ("part", key_of(&c.part)),
        ("flow_before_l_h", opt(c.flow_before_l_h)),
        ("flow_after_l_h", opt(c.flow_after_l_h)),
    ];
    per_tank(entry, cells)
}

fn clean(line: &Line<'_>, _tanks: &[TankId]) -> Result<Act, RowProblem> {
    let part = line.key::<Part>("part", PARTS)?;
    Ok(Act::Clean(Clean {
        part: line.need("part", part, PARTS)?,
        flow_before_l_h: line.number("flow_before_l_h")?,
        flow_after_l_h: line.number("flow_after_l_h")?,
    }))
}

fn swap_rows(_bench: &Bench, entry: &Entry) -> Vec<Own> {
    let Act::Swap(s) = &entry.act else {
        return vec![];
    };
    let cells = vec![
        ("left", s.left.clone()),
        ("came", s.came.clone()),
        ("equipment", show(s.equipment)),
    ];
    let mut rows = per_tank(entry, cells);
    if let (Some(row), Some(price)) = (rows.first_mut(), &s.price) {
        row.cells.push(("price", number(price.amount)));
        row.cells.push(("currency", price.currency.clone()));
    }
    rows
}
