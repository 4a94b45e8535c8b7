//! One planting from its first day to its last.

use super::shots::{self, Shot};
use super::state::{self, State};
use super::tree::{self, Node};
use super::{CatalogueEntry, values};
use crate::compare::{self, LineMasses, Window};
use crate::days;
use crate::line::{EntryLine, line};
use crate::pictures::PictureLine;
use jiff::civil::Date;
use quantity::Format;
use serde::Serialize;
use text::t;
use trial::types::Measure;
use trial::{
    Act, Bench, Entry, EntryId, Finding, Planting, PlantingId, Record, Severity, TankId, Withdrawn,
};

/// All that is known of one planting.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Life {
    /// Its record.
    pub planting: Planting,
    /// When and why it was taken back, if it was never meant.
    pub withdrawn: Option<Withdrawn>,
    /// The day it is as of: today, or the last day of a closed trial.
    pub as_of: Date,
    /// The tank it stands in, or stood in last.
    pub tank: TankId,
    /// What became of it.
    pub state: State,
    /// Days from planting to `as_of`, or to its loss or leaving; none without a day of planting.
    pub age_days: Option<i64>,
    /// Its line of descent, from the first planting of it.
    pub descent: Node,
    /// What was done to it and what became of it, oldest first; looks are in `looks`.
    pub events: Vec<LifeEvent>,
    /// Every look at it, oldest first.
    pub looks: Vec<Look>,
    /// The masses of its line in its own tank, with growth over the whole trial.
    pub masses: Option<LineMasses>,
    /// The pictures it is to be seen on, oldest first.
    pub shots: Vec<Shot>,
    /// What the catalogue knows of its plant; none when it does not have it.
    pub catalogue: Option<CatalogueEntry>,
    /// What is missing or doubtful.
    pub findings: Vec<Finding>,
}

/// Something done to a planting.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LifeEvent {
    /// The entry as one line.
    pub line: EntryLine,
    /// What was done.
    pub act: Act,
    /// The other plantings it was about that are of this line: where cuttings came from or went.
    pub others: Vec<PlantingId>,
}

/// One look at a planting.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Look {
    /// The entry.
    pub entry: EntryId,
    /// The day.
    pub day: Date,
    /// What was scored or measured, in the order of the form.
    pub values: Vec<(Measure, f64)>,
    /// Standing fresh mass, grams; of all plantings looked at together when there were several.
    pub fresh_g: Option<f64>,
    /// How many plantings the entry looked at together.
    pub together: usize,
    /// Whether leaves stood out of the water.
    pub emerged: Option<bool>,
    /// Free signs.
    pub signs: Vec<String>,
    /// The entry's note.
    pub note: String,
    /// Whether it replaced an earlier entry.
    pub corrected: bool,
}

impl Life {
    /// The measures that any look has, in the order of the form.
    pub fn measures(&self) -> Vec<Measure> {
        let mut found: Vec<Measure> = Vec::new();
        for (measure, _) in self.looks.iter().flat_map(|l| &l.values) {
            if !found.contains(measure) {
                found.push(*measure);
            }
        }
        found.sort_unstable();
        found
    }

    /// First and last day of its life line: from planting, or the first thing logged, to its end or
    /// `as_of`.
    pub fn span(&self) -> (Date, Date) {
        let events = self.events.iter().map(|e| e.line.day);
        let days = events.chain(self.looks.iter().map(|l| l.day));
        let first = days.clone().chain(self.planting.planted).min();
        let end = self.state.ended().unwrap_or(self.as_of);
        let last = days.max().map_or(end, |d| d.max(end));
        (first.unwrap_or(last).min(last), last)
    }
}

/// The life of one planting, taken-back ones included; none when there is none of this id. The other
/// arguments are as in [`super::plants`].
pub fn life(
    bench: &Bench,
    entries: &[Entry],
    pictures: &[PictureLine],
    window: Window,
    as_of: Date,
    id: PlantingId,
) -> Option<Life> {
    let withdrawn = withdrawn(bench, id);
    let whole = bench.with_withdrawn();
    let bench = if withdrawn.is_some() { &whole } else { bench };
    let planting = bench.planting(id)?.clone();
    let own = super::own(entries, id);
    let state = state::state(&own);
    let format = Format::default();
    let founder = tree::founder_here(bench, id);
    let masses = compare::line_masses(bench, entries, window, founder);
    let looks = own.iter().filter_map(|e| look(e)).collect();
    let events = own
        .iter()
        .filter(|e| !matches!(e.act, Act::Observation(_) | Act::Picture(_)))
        .map(|e| LifeEvent {
            line: line(e, bench, &format),
            others: others(&e.act, id),
            act: e.act.clone(),
        })
        .collect();
    let catalogue = trial::catalogue::find(&planting.scientific_name);
    Some(Life {
        findings: findings(&planting, &state, &own, masses.as_ref()),
        tank: state::tank_on(&planting, &own, as_of),
        age_days: super::age(&planting, &state, as_of),
        descent: tree::line(bench, entries, id, as_of)?,
        shots: shots::shots(bench, &planting, &own, pictures),
        catalogue: catalogue.map(|p| CatalogueEntry::new(p, bench)),
        withdrawn,
        as_of,
        state,
        events,
        looks,
        masses,
        planting,
    })
}

fn withdrawn(bench: &Bench, id: PlantingId) -> Option<Withdrawn> {
    let gone = bench.withdrawn.iter().find(|w| match &w.record {
        Record::Planting(p) => p.id == id,
        _ => false,
    });
    gone.map(|w| w.withdrawn.clone())
}

fn look(entry: &Entry) -> Option<Look> {
    let Act::Observation(o) = &entry.act else {
        return None;
    };
    Some(Look {
        entry: entry.id,
        day: days::of(entry),
        values: values(o),
        fresh_g: o.fresh_g,
        together: o.plantings.len(),
        emerged: o.emerged,
        signs: o.signs.clone(),
        note: entry.note.clone(),
        corrected: entry.supersedes.is_some(),
    })
}

/// The other end of cuttings.
fn others(act: &Act, id: PlantingId) -> Vec<PlantingId> {
    match act {
        Act::Replant(r) => [r.from, r.into].into_iter().filter(|p| *p != id).collect(),
        _ => vec![],
    }
}

fn findings(
    planting: &Planting,
    state: &State,
    own: &[&Entry],
    masses: Option<&LineMasses>,
) -> Vec<Finding> {
    let mut found = Vec::new();
    let after = state
        .ended()
        .map_or(0, |end| own.iter().filter(|e| days::of(e) > end).count());
    if after > 0 {
        found.push(Finding::new(
            "planting_after_end",
            Severity::Weakens,
            t!("plants.after_end", n = after),
            t!("plants.after_end_remedy"),
        ));
    }
    let cuts = masses.map_or(0, |m| m.unweighed.len());
    if cuts > 0 {
        found.push(Finding::new(
            "cuts_not_weighed",
            Severity::Weakens,
            t!("plants.not_weighed", n = cuts),
            t!("plants.not_weighed_remedy"),
        ));
    }
    if planting.planted.is_none() {
        found.push(Finding::new(
            "planting_no_day",
            Severity::Note,
            t!("plants.no_day"),
            t!("plants.no_day_remedy"),
        ));
    }
    let id = planting.id;
    found.into_iter().map(|f| f.on(id)).collect()
}
