//! What happened to plantings but for trims: replanted, thinned, lost, counted, moved, harvested.

use super::EntryTable;
use super::column::{Column, ColumnKind, RowCells, key_of, opt, show};
use super::head::{Own, tank_name};
use crate::{Act, Bench, Entry, PlantingId, TankId};

pub(crate) const TABLE: EntryTable = EntryTable {
    name: "plant_events",
    about: "What happened to plantings but for trims, one row for each planting",
    kinds: &["replant", "thin", "loss", "plantlets", "move", "harvest"],
    own: OWN,
    also_read: &[],
    marks: &[],
    rows,
    act: None,
};

const OWN: &[Column] = &[
    Column::new(
        "event",
        ColumnKind::Word,
        "replant, thin, loss, plantlets, move or harvest",
    ),
    Column::new("plant", ColumnKind::Text, "The plant, with its label"),
    Column::new(
        "planting",
        ColumnKind::Word,
        "Its planting, see plantings.csv",
    ),
    Column::new(
        "into_planting",
        ColumnKind::Word,
        "replant: the planting the cuttings joined",
    ),
    Column::new(
        "to_tank",
        ColumnKind::Text,
        "move: the tank it went to; empty for out",
    ),
    Column::new(
        "count",
        ColumnKind::Count,
        "Cuttings, plantlets or stems lost",
    ),
    Column::new("whole", ColumnKind::YesNo, "loss: whether nothing is left"),
    Column::new(
        "share",
        ColumnKind::Number,
        "move: share moved; thin: share kept",
    ),
    Column::number("fresh_g", "g", "Fresh mass; for a thinning once per entry"),
    Column::number("dry_g", "g", "harvest: dry mass"),
    Column::new(
        "fate",
        ColumnKind::Word,
        "harvest: planted_back, rehomed or disposed",
    ),
];

/// The planting's title; its id when the bench does not know it.
pub(crate) fn plant_title(bench: &Bench, id: PlantingId) -> String {
    bench
        .planting(id)
        .map_or_else(|| id.to_string(), |p| p.title())
}

/// The tank of a row about a planting: the planting's, if the entry went there, else the entry's.
pub(crate) fn tank_of(bench: &Bench, entry: &Entry, id: PlantingId) -> Option<TankId> {
    bench
        .planting(id)
        .map(|p| p.tank)
        .filter(|t| entry.tanks.contains(t))
        .or_else(|| entry.tanks.first().copied())
}

fn rows(bench: &Bench, entry: &Entry) -> Vec<Own> {
    let row = |id: PlantingId, more: RowCells| {
        let mut cells = vec![
            ("event", entry.act.kind().to_string()),
            ("plant", plant_title(bench, id)),
            ("planting", id.to_string()),
        ];
        cells.extend(more);
        Own {
            tank: tank_of(bench, entry, id),
            cells,
        }
    };
    let one = |id, more| vec![row(id, more)];
    match &entry.act {
        Act::Replant(r) => one(
            r.from,
            vec![
                ("into_planting", r.into.to_string()),
                ("count", show(r.count)),
                ("fresh_g", opt(r.fresh_g)),
            ],
        ),
        Act::Thin(t) => t
            .plantings
            .iter()
            .enumerate()
            .map(|(i, id)| {
                let mass = if i == 0 {
                    opt(t.out_fresh_g)
                } else {
                    String::new()
                };
                row(*id, vec![("share", opt(t.kept_share)), ("fresh_g", mass)])
            })
            .collect(),
        Act::Loss(l) => one(
            l.planting,
            vec![("whole", l.whole.to_string()), ("count", show(l.stems))],
        ),
        Act::Plantlets(p) => one(p.planting, vec![("count", p.count.to_string())]),
        Act::Move(m) => one(
            m.planting,
            vec![
                ("to_tank", tank_name(bench, m.to)),
                ("share", opt(m.share)),
                ("fresh_g", opt(m.fresh_g)),
            ],
        ),
        Act::Harvest(h) => one(
            h.planting,
            vec![
                ("fresh_g", opt(h.fresh_g)),
                ("dry_g", opt(h.dry_g)),
                ("fate", key_of(&h.fate)),
            ],
        ),
        _ => vec![],
    }
}
