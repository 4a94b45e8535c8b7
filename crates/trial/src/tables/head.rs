//! What every table of entries begins and ends with.

use super::column::{Column, ColumnKind, RowCells, show};
use crate::{Bench, Entry, TankId};
use jiff::ZonedDateTime;

/// The first columns of every table of entries.
pub(crate) const HEAD: &[Column] = &[
    Column::new(
        "entry",
        ColumnKind::Word,
        "Id of the entry; rows that share it are one entry",
    ),
    Column::new("trial", ColumnKind::Text, "Title of the trial"),
    Column::new(
        "tank",
        ColumnKind::Text,
        "Name of the tank; empty for the whole trial or a source water",
    ),
    Column::new(
        "at",
        ColumnKind::DateTime,
        "When it happened, local time with its offset from UTC",
    ),
    Column::new(
        "zone",
        ColumnKind::Word,
        "Time zone of the keeper's clock (IANA name or a fixed offset)",
    ),
];

/// The last columns of every table of entries.
pub(crate) const TAIL: &[Column] = &[
    Column::new("note", ColumnKind::Text, "The keeper's words"),
    Column::new("who", ColumnKind::Text, "Who did it"),
    Column::number(
        "minutes",
        "min",
        "Minutes of work for the whole entry, given once, on its first row",
    ),
    Column::new(
        "all_tanks",
        ColumnKind::YesNo,
        "Whether every tank of the trial was meant",
    ),
];

/// The time as its two cells: local time with offset, and zone.
pub(crate) fn time_cells(at: &ZonedDateTime) -> (String, String) {
    let local = at.timestamp().display_with_offset(at.offset()).to_string();
    let zone = at
        .time_zone()
        .iana_name()
        .map_or_else(|| at.offset().to_string(), str::to_string);
    (local, zone)
}

/// One row of an entry before its shared cells: its tank and its own cells.
pub(crate) struct Own {
    pub(crate) tank: Option<TankId>,
    pub(crate) cells: RowCells,
}

/// One row for each tank of the entry, all with the same cells; one row without tank when it has
/// none.
pub(crate) fn per_tank(entry: &Entry, cells: RowCells) -> Vec<Own> {
    if entry.tanks.is_empty() {
        return vec![Own { tank: None, cells }];
    }
    entry
        .tanks
        .iter()
        .map(|tank| Own {
            tank: Some(*tank),
            cells: cells.clone(),
        })
        .collect()
}

/// The rows of an entry with the cells every table of entries shares.
pub(crate) fn with_head(bench: &Bench, entry: &Entry, rows: Vec<Own>) -> Vec<RowCells> {
    let (at, zone) = time_cells(&entry.at);
    let first_minutes = show(entry.minutes);
    rows.into_iter()
        .enumerate()
        .map(|(i, own)| {
            let mut cells = own.cells;
            cells.extend([
                ("entry", entry.id.to_string()),
                ("trial", bench.trial.title.clone()),
                ("tank", tank_name(bench, own.tank)),
                ("at", at.clone()),
                ("zone", zone.clone()),
                ("note", entry.note.clone()),
                ("who", entry.who.clone()),
                (
                    "minutes",
                    if i == 0 {
                        first_minutes.clone()
                    } else {
                        String::new()
                    },
                ),
                ("all_tanks", entry.all_tanks.to_string()),
            ]);
            cells
        })
        .collect()
}

/// The tank's name; its id when the bench does not know it; empty for none.
pub(crate) fn tank_name(bench: &Bench, tank: Option<TankId>) -> String {
    tank.map(|id| {
        bench
            .tank(id)
            .map_or_else(|| id.to_string(), |t| t.name.clone())
    })
    .unwrap_or_default()
}
