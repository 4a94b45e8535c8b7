//! Cells: what lies in one stretch of one lane, by family of act.

use super::{PlanMark, Stretch, count_words, slot_words};
use quantity::Format;
use serde::Serialize;
use std::collections::BTreeMap;
use store::KindCounts;
use text::t;
use trial::{Bench, Entry, EntryId, TankId};

/// Acts that belong together: one row of a lane.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Family {
    /// What went in: doses and food.
    In,
    /// Water changed and topped up.
    Water,
    /// What was done to plants.
    Plants,
    /// What was looked at, and notes.
    Seen,
    /// Water tests.
    Tests,
    /// Cleaning, settings, equipment.
    Upkeep,
}

impl Family {
    /// Every family, in the order of rows.
    pub const ALL: [Family; 6] = [
        Family::In,
        Family::Water,
        Family::Plants,
        Family::Seen,
        Family::Tests,
        Family::Upkeep,
    ];

    /// Its kinds of act, the rare and weighty first: where room is short those are drawn.
    pub fn kinds(self) -> &'static [&'static str] {
        match self {
            Family::In => &["dose", "feed"],
            Family::Water => &["change", "top_up"],
            Family::Plants => &[
                "loss",
                "harvest",
                "replant",
                "move",
                "trim",
                "thin",
                "plantlets",
            ],
            Family::Seen => &[
                "livestock",
                "note",
                "walk",
                "picture",
                "algae",
                "observation",
            ],
            Family::Tests => &["reading"],
            Family::Upkeep => &["swap", "setting", "clean"],
        }
    }

    /// The family of a kind; what no family names was looked at.
    pub fn of(kind: &str) -> Family {
        let holds = |f: &Family| f.kinds().contains(&kind);
        Family::ALL.into_iter().find(holds).unwrap_or(Family::Seen)
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Family::In => t!("timeline.family_in"),
            Family::Water => t!("timeline.family_water"),
            Family::Plants => t!("timeline.family_plants"),
            Family::Seen => t!("timeline.family_seen"),
            Family::Tests => t!("timeline.family_tests"),
            Family::Upkeep => t!("timeline.family_upkeep"),
        }
    }
}

/// One lane: a tank, or the whole trial.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Lane {
    /// The tank; none for the whole trial.
    pub tank: Option<TankId>,
    /// Its name.
    pub name: String,
    /// Its arm's name.
    pub arm: Option<String>,
    /// What was done and seen, by stretch and family.
    pub cells: Vec<Cell>,
    /// What was planned, by stretch.
    pub plans: Vec<PlanMark>,
}

/// What lies in one stretch of one lane, of one family.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cell {
    /// Which stretch.
    pub slot: usize,
    /// Which family.
    pub family: Family,
    /// How often each kind, the rare and weighty first.
    pub kinds: Vec<Kinds>,
    /// All of them together.
    pub n: u32,
    /// The entry, when it is exactly one and was read.
    pub entry: Option<EntryId>,
    /// The same in words: what the one entry says, or how many of which kind.
    pub words: String,
}

/// How often one kind.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Kinds {
    /// The kind ([`trial::Act::KINDS`]).
    pub kind: &'static str,
    /// How often.
    pub n: u32,
}

/// Cells while they fill: by lane, stretch and family.
#[derive(Default)]
struct Filling<'a> {
    kinds: Vec<Kinds>,
    first: Option<&'a Entry>,
}

type Filled<'a> = BTreeMap<(usize, usize, Family), Filling<'a>>;

/// The lanes of entries that were read.
pub(super) fn of_entries(stretch: &Stretch, entries: &[Entry]) -> Vec<Lane> {
    let mut filled = Filled::new();
    for entry in entries {
        let Some(slot) = stretch.slot_of(entry) else {
            continue;
        };
        for lane in lanes_of(stretch.bench, &entry.tanks) {
            add(&mut filled, (lane, slot), entry.act.kind(), 1, Some(entry));
        }
    }
    lanes(stretch, filled)
}

/// The lanes of entries that were only counted.
pub(super) fn of_counts(stretch: &Stretch, counts: &[KindCounts]) -> Vec<Lane> {
    let mut filled = Filled::new();
    for of in counts {
        let tanks: Vec<TankId> = of.tank.into_iter().collect();
        for lane in lanes_of(stretch.bench, &tanks) {
            for (slot, n) in of.counts.iter().enumerate().filter(|(_, n)| **n > 0) {
                add(&mut filled, (lane, slot), of.kind, *n, None);
            }
        }
    }
    lanes(stretch, filled)
}

/// The lanes that show what names these tanks: the last one when none is named.
fn lanes_of(bench: &Bench, tanks: &[TankId]) -> Vec<usize> {
    if tanks.is_empty() {
        return vec![bench.tanks.len()];
    }
    let shown = bench.tanks.iter().enumerate();
    let named = shown.filter(|(_, t)| tanks.contains(&t.id));
    named.map(|(i, _)| i).collect()
}

fn add<'a>(
    filled: &mut Filled<'a>,
    (lane, slot): (usize, usize),
    kind: &'static str,
    n: u32,
    entry: Option<&'a Entry>,
) {
    let cell = filled.entry((lane, slot, Family::of(kind))).or_default();
    cell.first = cell.first.or(entry);
    match cell.kinds.iter_mut().find(|k| k.kind == kind) {
        Some(known) => known.n += n,
        None => cell.kinds.push(Kinds { kind, n }),
    }
}

fn lanes(stretch: &Stretch, filled: Filled) -> Vec<Lane> {
    let bench = stretch.bench;
    let mut lanes: Vec<Lane> = bench
        .tanks
        .iter()
        .map(|tank| Lane {
            tank: Some(tank.id),
            name: tank.name.clone(),
            arm: tank
                .arm
                .as_deref()
                .and_then(|key| bench.trial.arm(key))
                .map(|arm| arm.name.clone()),
            cells: Vec::new(),
            plans: Vec::new(),
        })
        .collect();
    if filled.keys().any(|(lane, ..)| *lane == bench.tanks.len()) {
        lanes.push(Lane {
            tank: None,
            name: t!("timeline.whole_trial").to_string(),
            arm: None,
            cells: Vec::new(),
            plans: Vec::new(),
        });
    }
    for ((lane, slot, family), filling) in filled {
        if let Some(lane) = lanes.get_mut(lane) {
            lane.cells.push(cell(stretch, slot, family, filling));
        }
    }
    lanes
}

fn cell(stretch: &Stretch, slot: usize, family: Family, filling: Filling) -> Cell {
    let mut kinds = filling.kinds;
    let weight = |k: &Kinds| family.kinds().iter().position(|known| *known == k.kind);
    kinds.sort_by_key(|k| weight(k).unwrap_or(usize::MAX));
    let n = kinds.iter().map(|k| k.n).sum();
    let only = filling.first.filter(|_| n == 1);
    let words = match only {
        Some(entry) => t!(
            "timeline.one",
            day = entry.at.strftime("%-d %B"),
            time = entry.at.strftime("%-H:%M"),
            what = trial::describe::sentence(&entry.act, stretch.bench, &Format::default())
        ),
        None => {
            let counted: Vec<String> = kinds.iter().map(|k| count_words(k.kind, k.n)).collect();
            t!(
                "timeline.several",
                when = slot_words(&stretch.slots[slot], stretch.unit),
                what = counted.join(", ")
            )
        }
    };
    Cell {
        slot,
        family,
        kinds,
        n,
        entry: only.map(|e| e.id),
        words,
    }
}
