//! Each planting's life: where it came from, what was cut and planted on, what was seen, what became
//! of it; and the catalogue with its cautions.

mod catalogue;
mod life;
mod shots;
mod state;
#[cfg(test)]
mod tests;
mod tree;

pub use catalogue::{CatalogueView, Entry as CatalogueEntry, Show, Unchecked, catalogue};
pub use life::{Life, LifeEvent, Look, life};
pub use shots::{Shot, Strip};
pub use state::State;
pub use tree::{Cut, Node};

use crate::compare::{self, LineMasses, Window};
use crate::pictures::PictureLine;
use crate::{AnswerError, bench as bench_page, days, load};
use jiff::civil::Date;
use serde::Serialize;
use store::{EntryQuery, Notebook};
use trial::act::Observation;
use trial::catalogue::Listing;
use trial::types::Measure;
use trial::{Act, Bench, Entry, EntryId, Planting, PlantingId, TankId};

/// All plantings of a trial, by species.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlantsView {
    /// The day it is as of: today, or the last day of a closed trial.
    pub as_of: Date,
    /// One for each plant, in order of first planting.
    pub species: Vec<Species>,
    /// Plantings of the trial.
    pub all: usize,
    /// Those that stand in one of its tanks.
    pub standing: usize,
}

/// The plantings of one plant.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Species {
    /// Scientific name, or what the keeper calls it.
    pub name: String,
    /// Common name; may be empty.
    pub common_name: String,
    /// Whether the catalogue has it; if not, nothing is known here of its regulation.
    pub in_catalogue: bool,
    /// The lists that name it.
    pub listings: Vec<Listing>,
    /// Its plantings, tanks from the left, then by day of planting.
    pub plantings: Vec<PlantingRow>,
}

/// One planting in the list.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlantingRow {
    /// Its record.
    pub planting: Planting,
    /// The tank it stands in, or stood in last.
    pub tank: TankId,
    /// What became of it.
    pub state: State,
    /// Days from planting to `as_of`, or to its loss or leaving; none without a day of planting.
    pub age_days: Option<i64>,
    /// When it was last looked at, and what was scored or measured.
    pub looked: Option<Looked>,
    /// The last mass of this planting alone that was weighed.
    pub weighed: Option<Weighed>,
    /// The masses of the line it began in its tank, with growth over its whole life; none for a
    /// planting of cuttings, which counts in its founder's line.
    pub line: Option<LineMasses>,
    /// The newest picture it is to be seen on.
    pub shot: Option<Shot>,
}

/// A look at a planting.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Looked {
    /// The entry.
    pub entry: EntryId,
    /// The day.
    pub day: Date,
    /// What was scored or measured, in the order of the form.
    pub values: Vec<(Measure, f64)>,
}

/// A mass that was weighed of one planting.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Weighed {
    /// The entry; none for the mass planted.
    pub entry: Option<EntryId>,
    /// The day.
    pub day: Date,
    /// Grams, blotted.
    pub grams: f64,
}

/// Every planting of a trial as of today, from the notebook.
///
/// # Errors
/// When the notebook cannot be read.
pub fn plants_view(
    notebook: &Notebook,
    bench: &Bench,
    today: Date,
) -> Result<PlantsView, AnswerError> {
    let entries = about_plants(notebook, bench)?;
    let window = load::whole(notebook, bench, today)?;
    let (as_of, _) = bench_page::as_of(bench, today);
    let pictures = load::pictures(notebook, bench)?;
    Ok(plants(bench, &entries, &pictures, window, as_of))
}

/// The life of one planting as of today, from the notebook; none when the trial has no such planting.
///
/// # Errors
/// When the notebook cannot be read.
pub fn life_view(
    notebook: &Notebook,
    bench: &Bench,
    id: PlantingId,
    today: Date,
) -> Result<Option<Life>, AnswerError> {
    let entries = about_plants(notebook, bench)?;
    let window = load::whole(notebook, bench, today)?;
    let (as_of, _) = bench_page::as_of(bench, today);
    let pictures = load::pictures(notebook, bench)?;
    Ok(life(bench, &entries, &pictures, window, as_of, id))
}

/// What the comparison reads of plants, oldest first, so that both reckon with the same entries.
fn about_plants(notebook: &Notebook, bench: &Bench) -> Result<Vec<Entry>, AnswerError> {
    let query = EntryQuery::of(bench.trial.id).kinds(&compare::KINDS);
    Ok(notebook.entries(&query)?)
}

/// Every planting as of `as_of`. `entries` are those of [`compare::KINDS`] of the whole trial, oldest
/// first; `pictures` all of its pictures, oldest first; growth is over `window`.
pub fn plants(
    bench: &Bench,
    entries: &[Entry],
    pictures: &[PictureLine],
    window: Window,
    as_of: Date,
) -> PlantsView {
    let place = |id: TankId| bench.tank(id).map_or(u32::MAX, |t| t.place);
    let species: Vec<Species> = bench
        .species()
        .into_iter()
        .map(|name| {
            let known = trial::catalogue::find(name);
            let of_it = bench.plantings.iter().filter(|p| p.scientific_name == name);
            let mut plantings: Vec<PlantingRow> = of_it
                .map(|p| row(bench, entries, pictures, window, as_of, p))
                .collect();
            plantings.sort_by_key(|r| (place(r.tank), r.planting.planted, r.planting.id));
            Species {
                name: name.to_string(),
                common_name: common_name(bench, name),
                in_catalogue: known.is_some(),
                listings: known.map(|p| p.listings()).unwrap_or_default(),
                plantings,
            }
        })
        .collect();
    let rows = || species.iter().flat_map(|s| &s.plantings);
    PlantsView {
        as_of,
        all: rows().count(),
        standing: rows().filter(|r| r.state.stands()).count(),
        species,
    }
}

fn row(
    bench: &Bench,
    entries: &[Entry],
    pictures: &[PictureLine],
    window: Window,
    as_of: Date,
    planting: &Planting,
) -> PlantingRow {
    let own = own(entries, planting.id);
    let state = state::state(&own);
    let looked = own.iter().rev().find_map(|e| match &e.act {
        Act::Observation(o) => Some(Looked {
            entry: e.id,
            day: days::of(e),
            values: values(o),
        }),
        _ => None,
    });
    let begins = tree::founder_here(bench, planting.id) == planting.id;
    PlantingRow {
        tank: state::tank_on(planting, &own, as_of),
        age_days: age(planting, &state, as_of),
        looked,
        weighed: weighed(planting, &own),
        line: begins
            .then(|| compare::line_masses(bench, entries, window, planting.id))
            .flatten(),
        shot: shots::shots(bench, planting, &own, pictures).pop(),
        state,
        planting: planting.clone(),
    }
}

/// The entries about one planting, oldest first.
fn own(entries: &[Entry], id: PlantingId) -> Vec<&Entry> {
    let about = entries.iter().filter(|e| e.act.plantings().contains(&id));
    about.collect()
}

/// The plant's common name: the keeper's own, else the catalogue's.
fn common_name(bench: &Bench, name: &str) -> String {
    let own = bench.plantings.iter();
    let mut own = own.filter(|p| p.scientific_name == name && !p.common_name.is_empty());
    own.next()
        .map(|p| p.common_name.clone())
        .or_else(|| trial::catalogue::find(name).map(|p| p.common_name.clone()))
        .unwrap_or_default()
}

fn age(planting: &Planting, state: &State, as_of: Date) -> Option<i64> {
    let end = state.ended().unwrap_or(as_of);
    let days = days::between(planting.planted?, end);
    (days >= 0.0).then_some(days as i64)
}

/// What one look scored or measured, in the order of the form; masses are not among them.
pub(crate) fn values(o: &Observation) -> Vec<(Measure, f64)> {
    let all = [
        (Measure::Vigour, o.vigour),
        (Measure::NewLeaf, o.new_leaf),
        (Measure::Density, o.density),
        (Measure::Colour, o.colour),
        (Measure::Height, o.height_cm),
        (Measure::Spread, o.spread_cm),
        (Measure::NodeDistance, o.node_cm),
        (Measure::Cover, o.cover_pct),
    ];
    all.into_iter()
        .filter_map(|(measure, value)| Some((measure, value?)))
        .collect()
}

/// The last mass of the planting alone: lifted and weighed, harvested, or as planted.
fn weighed(planting: &Planting, own: &[&Entry]) -> Option<Weighed> {
    let last = own.iter().rev().find_map(|e| {
        let grams = match &e.act {
            // Several plantings weighed in one entry have one mass together.
            Act::Observation(o) if o.plantings.len() == 1 => o.fresh_g,
            Act::Harvest(h) => h.fresh_g,
            _ => None,
        };
        Some(Weighed {
            entry: Some(e.id),
            day: days::of(e),
            grams: grams?,
        })
    });
    last.or_else(|| {
        Some(Weighed {
            entry: None,
            day: planting.planted?,
            grams: planting.fresh_g?,
        })
    })
}
