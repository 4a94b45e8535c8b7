//! The line of descent: what was cut from what.

use super::state::{self, State};
use crate::days;
use jiff::civil::Date;
use serde::Serialize;
use trial::{Act, Bench, Entry, EntryId, Planting, PlantingId, TankId};

/// A planting in its line of descent, with all that descend from it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Node {
    /// Its record.
    pub planting: Planting,
    /// The tank it stands in, or stood in last.
    pub tank: TankId,
    /// What became of it.
    pub state: State,
    /// The cuttings it began with and those that joined it later, oldest first; empty for the first
    /// of a line, and where nothing was logged.
    pub cuts: Vec<Cut>,
    /// Its own cuttings that got plantings of their own.
    pub children: Vec<Node>,
}

/// Cuttings planted.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cut {
    /// The entry.
    pub entry: EntryId,
    /// The day.
    pub day: Date,
    /// The planting they were cut from.
    pub from: PlantingId,
    /// How many.
    pub count: Option<u32>,
    /// Their fresh mass, grams.
    pub fresh_g: Option<f64>,
}

/// The whole line that `id` belongs to, from the first planting of it.
pub(super) fn line(bench: &Bench, entries: &[Entry], id: PlantingId, as_of: Date) -> Option<Node> {
    node(bench, entries, bench.founder(id), as_of, &mut Vec::new())
}

/// `seen` ends a circle in damaged records.
fn node(
    bench: &Bench,
    entries: &[Entry],
    id: PlantingId,
    as_of: Date,
    seen: &mut Vec<PlantingId>,
) -> Option<Node> {
    let planting = bench.planting(id)?.clone();
    seen.push(id);
    let own = super::own(entries, id);
    let mut children = Vec::new();
    for child in bench.plantings.iter().filter(|p| p.parent == Some(id)) {
        if !seen.contains(&child.id) {
            children.extend(node(bench, entries, child.id, as_of, seen));
        }
    }
    Some(Node {
        tank: state::tank_on(&planting, &own, as_of),
        state: state::state(&own),
        cuts: own.iter().filter_map(|e| cut(e, id)).collect(),
        children,
        planting,
    })
}

/// Cuttings of another planting that went into this one.
fn cut(entry: &Entry, into: PlantingId) -> Option<Cut> {
    match &entry.act {
        Act::Replant(r) if r.into == into && r.from != into => Some(Cut {
            entry: entry.id,
            day: days::of(entry),
            from: r.from,
            count: r.count,
            fresh_g: r.fresh_g,
        }),
        _ => None,
    }
}

/// The planting that began this one's line in its own tank: where its masses are reckoned.
pub(super) fn founder_here(bench: &Bench, id: PlantingId) -> PlantingId {
    let tank = bench.planting(id).map(|p| p.tank);
    let mut first = id;
    // A line is no longer than the list; the bound ends a circle in damaged records.
    for _ in 0..bench.plantings.len() {
        let parent = bench.planting(first).and_then(|p| p.parent);
        match parent.filter(|p| bench.planting(*p).map(|p| p.tank) == tank) {
            Some(parent) => first = parent,
            None => break,
        }
    }
    first
}

impl Node {
    /// How many plantings the line has from here on.
    pub fn size(&self) -> usize {
        1 + self.children.iter().map(Node::size).sum::<usize>()
    }
}
