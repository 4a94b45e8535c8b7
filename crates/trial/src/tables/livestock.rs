//! What happened to livestock: one row for each tank.

use super::EntryTable;
use super::column::{Column, ColumnKind, key_of};
use super::head::{Own, per_tank};
use super::line::{Line, RowProblem};
use crate::act::LivestockEvent;
use crate::tank::Livestock;
use crate::{Act, Bench, Entry, TankId};

pub(crate) const TABLE: EntryTable = EntryTable {
    name: "livestock",
    about: "What happened to livestock; what lived there at the start is in tanks.csv",
    kinds: &["livestock"],
    own: &[
        Column::new("event", ColumnKind::Word, EVENTS),
        Column::new("species", ColumnKind::Text, "Species or kind"),
        Column::new("count", ColumnKind::Count, "How many"),
    ],
    also_read: &[],
    marks: &["event"],
    rows,
    act: Some(act),
};

const EVENTS: &str = "arrival, death, missing, illness or departure";

fn rows(_bench: &Bench, entry: &Entry) -> Vec<Own> {
    let Act::Livestock(l) = &entry.act else {
        return vec![];
    };
    let cells = vec![
        ("event", key_of(&l.event)),
        ("species", l.who.species.clone()),
        ("count", l.who.count.to_string()),
    ];
    per_tank(entry, cells)
}

fn act(line: &Line<'_>, _tanks: &[TankId]) -> Result<Act, RowProblem> {
    let event = line.key("event", EVENTS)?;
    let count = line.count("count")?;
    let species = line.text("species");
    if species.trim().is_empty() {
        return Err(line.problem("species", "is empty; accepted is the species or kind"));
    }
    Ok(Act::Livestock(LivestockEvent {
        event: line.need("event", event, EVENTS)?,
        who: Livestock {
            species,
            count: line.need("count", count, "a whole number")?,
        },
    }))
}
