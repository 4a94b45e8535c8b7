//! Trims: one row for each planting cut or left out on purpose.

use super::EntryTable;
use super::column::{Column, ColumnKind, RowCells, opt};
use super::head::Own;
use super::line::{Line, RowProblem};
use super::plants::{plant_title, tank_of};
use crate::act::{DriedSample, Trim};
use crate::{Act, Bench, Entry, TankId};

pub(crate) const TABLE: EntryTable = EntryTable {
    name: "trims",
    about: "Trims, one row for each planting cut or left uncut on purpose",
    kinds: &["trim"],
    own: OWN,
    also_read: &[],
    marks: &["kept_share", "out_fresh_g"],
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
    Column::new(
        "left_out",
        ColumnKind::YesNo,
        "Whether it was left uncut on purpose",
    ),
    Column::new(
        "kept_share",
        ColumnKind::Number,
        "Share left standing, 0 to 1, by eye",
    ),
    Column::number(
        "out_fresh_g",
        "g",
        "Fresh mass taken out by the entry, on its first row",
    ),
    Column::number(
        "dried_fresh_g",
        "g",
        "Fresh mass of the dried subsample, on the first row",
    ),
    Column::number(
        "dried_dry_g",
        "g",
        "Dry mass of that subsample, on the first row",
    ),
];

fn rows(bench: &Bench, entry: &Entry) -> Vec<Own> {
    let Act::Trim(t) = &entry.act else {
        return vec![];
    };
    let about = t.plantings.iter().map(|id| (*id, false));
    let about = about.chain(t.left_out.iter().map(|id| (*id, true)));
    let mut rows: Vec<Own> = about
        .map(|(id, left_out)| Own {
            tank: tank_of(bench, entry, id),
            cells: vec![
                ("plant", plant_title(bench, id)),
                ("planting", id.to_string()),
                ("left_out", left_out.to_string()),
                ("kept_share", opt(t.kept_share)),
            ],
        })
        .collect();
    add_bare_tanks(entry, &mut rows, vec![("kept_share", opt(t.kept_share))]);
    if let Some(first) = rows.first_mut() {
        first.cells.extend([
            ("out_fresh_g", opt(t.out_fresh_g)),
            ("dried_fresh_g", opt(t.dried.map(|d| d.fresh_g))),
            ("dried_dry_g", opt(t.dried.map(|d| d.dry_g))),
        ]);
    }
    rows
}

/// A row for each tank of the entry that no row is about yet, so that none is lost.
pub(crate) fn add_bare_tanks(entry: &Entry, rows: &mut Vec<Own>, cells: RowCells) {
    let bare: Vec<TankId> = entry
        .tanks
        .iter()
        .copied()
        .filter(|tank| !rows.iter().any(|r| r.tank == Some(*tank)))
        .collect();
    rows.extend(bare.into_iter().map(|tank| Own {
        tank: Some(tank),
        cells: cells.clone(),
    }));
    if rows.is_empty() {
        rows.push(Own { tank: None, cells });
    }
}

fn act(line: &Line<'_>, tanks: &[TankId]) -> Result<Act, RowProblem> {
    let plantings = line.plantings(tanks)?;
    let dried = match (line.number("dried_fresh_g")?, line.number("dried_dry_g")?) {
        (Some(fresh_g), Some(dry_g)) => Some(DriedSample { fresh_g, dry_g }),
        (None, None) => None,
        (Some(_), None) => {
            return Err(line.problem("dried_dry_g", "is empty; accepted is the dry mass in g"));
        }
        (None, Some(_)) => {
            return Err(line.problem("dried_fresh_g", "is empty; accepted is the fresh mass in g"));
        }
    };
    let (plantings, left_out) = match line.yes_no("left_out")?.unwrap_or(false) {
        false => (plantings, vec![]),
        true => (vec![], plantings),
    };
    Ok(Act::Trim(Trim {
        plantings,
        kept_share: line.share("kept_share")?,
        out_fresh_g: line.number("out_fresh_g")?,
        dried,
        left_out,
    }))
}
