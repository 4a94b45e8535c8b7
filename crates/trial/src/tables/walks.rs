//! Walk-rounds, one row for each tank; and the columns that name one beside what was seen on it.

use super::EntryTable;
use super::column::{Column, ColumnKind, RowCells, key_of, show};
use super::head::{Own, tank_name};
use super::line::{Line, RowProblem};
use crate::act::OnWalk;
use crate::{Act, Bench, Entry};

pub(crate) const TABLE: EntryTable = EntryTable {
    name: "walks",
    about: "Walk-rounds, one row for each tank: how it was hidden and what it was taken for",
    kinds: &["walk"],
    own: &[
        Column::new("walk", ColumnKind::Word, "Its identity"),
        Column::new(
            "masked",
            ColumnKind::Word,
            "pictures or helper; empty when the names were shown",
        ),
        Column::new(
            "seed",
            ColumnKind::Word,
            "Seed the order of the letters was drawn with",
        ),
        Column::new(
            "letter",
            ColumnKind::Word,
            "The letter the tank stood behind",
        ),
        Column::new(
            "guessed",
            ColumnKind::Text,
            "The tank it was taken for before it was told; empty when nobody could tell",
        ),
        Column::new("steps", ColumnKind::Count, "Outcomes of plants looked at"),
        Column::new(
            "end",
            ColumnKind::Word,
            "finished or left; empty while under way",
        ),
    ],
    also_read: &[],
    marks: &[],
    rows,
    act: None,
};

/// The columns of what was seen on a walk-round.
pub(crate) const ON_WALK: [Column; 3] = [
    Column::new(
        "walk",
        ColumnKind::Word,
        "The walk-round it was seen on, see walks.csv",
    ),
    Column::new(
        "masked",
        ColumnKind::YesNo,
        "On a walk-round: whether the tanks' names were hidden",
    ),
    Column::new(
        "as_last",
        ColumnKind::YesNo,
        "On a walk-round: whether it was given as the same as last time",
    ),
];

fn rows(bench: &Bench, entry: &Entry) -> Vec<Own> {
    let Act::Walk(w) = &entry.act else {
        return vec![];
    };
    let end = w.end.as_ref().map(|e| match e.finished {
        true => "finished",
        false => "left",
    });
    let mut tanks = w.order.clone();
    // Every tank of the entry has a row, whatever the order says.
    tanks.extend(entry.tanks.iter().filter(|t| !w.order.contains(t)));
    let row = |tank| {
        let letter = w.masked.and_then(|_| w.letter(tank));
        let guessed = w.guesses().find(|g| g.tank == tank);
        let cells = vec![
            ("walk", w.walk.to_string()),
            (
                "masked",
                w.masked.map(|m| key_of(&m.by)).unwrap_or_default(),
            ),
            ("seed", show(w.masked.map(|m| m.seed))),
            ("letter", letter.unwrap_or_default()),
            ("guessed", tank_name(bench, guessed.and_then(|g| g.guessed))),
            ("steps", w.steps.len().to_string()),
            ("end", end.unwrap_or_default().to_string()),
        ];
        Own {
            tank: Some(tank),
            cells,
        }
    };
    tanks.into_iter().map(row).collect()
}

pub(crate) fn on_walk_cells(on: Option<OnWalk>) -> RowCells {
    let Some(on) = on else { return vec![] };
    vec![
        ("walk", on.walk.to_string()),
        ("masked", on.masked.to_string()),
        ("as_last", on.as_last.to_string()),
    ]
}

pub(crate) fn on_walk(line: &Line<'_>) -> Result<Option<OnWalk>, RowProblem> {
    let walk = line.parsed("walk", "accepted is the id of a walk-round")?;
    let (masked, as_last) = (line.yes_no("masked")?, line.yes_no("as_last")?);
    let Some(walk) = walk else {
        let stray = [("masked", masked), ("as_last", as_last)];
        return match stray.iter().find(|(_, said)| said.is_some()) {
            Some((column, _)) => {
                Err(line.problem(column, "accepted is an empty cell without a walk-round"))
            }
            None => Ok(None),
        };
    };
    Ok(Some(OnWalk {
        walk,
        masked: masked.unwrap_or(false),
        as_last: as_last.unwrap_or(false),
    }))
}
