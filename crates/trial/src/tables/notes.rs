//! Notes: one row for each tank, or one for the whole trial.

use super::EntryTable;
use super::head::{Own, per_tank};
use super::line::{Line, RowProblem};
use crate::{Act, Bench, Entry, TankId};

pub(crate) const TABLE: EntryTable = EntryTable {
    name: "notes",
    about: "Anything else worth writing down",
    kinds: &["note"],
    own: &[],
    also_read: &[],
    marks: &[],
    rows,
    act: Some(act),
};

fn rows(_bench: &Bench, entry: &Entry) -> Vec<Own> {
    per_tank(entry, vec![])
}

fn act(line: &Line<'_>, _tanks: &[TankId]) -> Result<Act, RowProblem> {
    match line.has("note") {
        true => Ok(Act::Note),
        false => Err(line.problem("note", "is empty; accepted is the note's text")),
    }
}
