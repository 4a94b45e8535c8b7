//! Algae by surface: one row for each tank.

use super::EntryTable;
use super::column::{Column, RowCells, opt};
use super::head::{Own, per_tank};
use super::line::{Line, RowProblem};
use super::walks::{ON_WALK, on_walk, on_walk_cells};
use crate::act::{Algae, Surfaces};
use crate::{Act, Bench, Entry, TankId};

pub(crate) const TABLE: EntryTable = EntryTable {
    name: "algae",
    about: "Film and thread algae by surface, scored 0 to 5",
    kinds: &["algae"],
    own: OWN,
    also_read: &[],
    marks: MARKS,
    rows,
    act: Some(act),
};

const SCORE: &str = "score 0 to 5";

const OWN: &[Column] = &[
    Column::number(FILM[0], SCORE, "Film on the glass"),
    Column::number(FILM[1], SCORE, "Film on plants"),
    Column::number(FILM[2], SCORE, "Film on stones and wood"),
    Column::number(FILM[3], SCORE, "Film on the substrate"),
    Column::number(THREAD[0], SCORE, "Threads on the glass"),
    Column::number(THREAD[1], SCORE, "Threads on plants"),
    Column::number(THREAD[2], SCORE, "Threads on stones and wood"),
    Column::number(THREAD[3], SCORE, "Threads on the substrate"),
    ON_WALK[0],
    ON_WALK[1],
    ON_WALK[2],
];

const FILM: [&str; 4] = [
    "film_pane",
    "film_plants",
    "film_hardscape",
    "film_substrate",
];
const THREAD: [&str; 4] = [
    "thread_pane",
    "thread_plants",
    "thread_hardscape",
    "thread_substrate",
];

const MARKS: &[&str] = &[
    FILM[0], FILM[1], FILM[2], FILM[3], THREAD[0], THREAD[1], THREAD[2], THREAD[3],
];

fn rows(_bench: &Bench, entry: &Entry) -> Vec<Own> {
    let Act::Algae(a) = &entry.act else {
        return vec![];
    };
    let mut cells: RowCells = Vec::new();
    for (names, s) in [(FILM, a.film), (THREAD, a.thread)] {
        let scores = [s.pane, s.plants, s.hardscape, s.substrate];
        cells.extend(names.into_iter().zip(scores.map(opt)));
    }
    cells.extend(on_walk_cells(a.on_walk));
    per_tank(entry, cells)
}

fn act(line: &Line<'_>, _tanks: &[TankId]) -> Result<Act, RowProblem> {
    let surfaces = |names: [&str; 4]| {
        Ok(Surfaces {
            pane: line.number(names[0])?,
            plants: line.number(names[1])?,
            hardscape: line.number(names[2])?,
            substrate: line.number(names[3])?,
        })
    };
    Ok(Act::Algae(Algae {
        film: surfaces(FILM)?,
        thread: surfaces(THREAD)?,
        on_walk: on_walk(line)?,
    }))
}
