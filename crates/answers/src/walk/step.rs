//! One step of a walk-round: what each tank's row shows and holds.

use super::{Crop, Shot, Walking, on_walk, picture};
use crate::days;
use jiff::civil::Date;
use quantity::Format;
use serde::Serialize;
use text::t;
use trial::act::{Algae, Observation, Surfaces, WalkStep};
use trial::types::Measure;
use trial::{Act, Bench, Entry, EntryId, PlantingId, TankId, WalkId, describe};

/// How a value is given.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum Scale {
    /// A score on a scale with written anchors.
    Score {
        /// The highest score.
        most: u8,
        /// Scores with their words, lowest first.
        anchors: Vec<(f64, &'static str)>,
    },
    /// A number.
    Number {
        /// Its unit.
        unit: &'static str,
    },
}

/// The value of last time.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Last {
    /// The value.
    pub value: f64,
    /// Its day.
    pub day: Date,
}

/// The value this walk-round has already.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Saved {
    /// Its entry.
    pub entry: EntryId,
    /// The value.
    pub value: f64,
    /// Whether it was given as "as last time".
    pub as_last: bool,
}

/// One tank, or one planting where a tank holds two of a plant.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Row {
    /// The planting; none for algae.
    pub planting: Option<PlantingId>,
    /// The tank.
    pub tank: TankId,
    /// What it is called now: name, or letter while names are hidden.
    pub name: String,
    /// Which of several in one tank; empty for the only one.
    pub which: String,
    /// The value of last time; none while names are hidden, since it would tell the tank.
    pub last: Option<Last>,
    /// Its last picture; behind letters only when they are masked by pictures.
    pub shot: Option<Shot>,
    /// What this walk-round has of it.
    pub saved: Option<Saved>,
}

/// A step as its page shows it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StepView {
    /// Its number, from 1.
    pub number: usize,
    /// How many there are.
    pub of: usize,
    /// What is looked at.
    pub step: WalkStep,
    /// The plant with its label, or the surface.
    pub about: String,
    /// The measure's name.
    pub measure: &'static str,
    /// How values are given.
    pub scale: Scale,
    /// Whether it is an outcome named in advance as the primary one.
    pub primary: bool,
    /// The rows, in the walk-round's order.
    pub rows: Vec<Row>,
    /// The next step about another plant or surface, in words; none on the last step.
    pub next: Option<String>,
}

/// The step of this number, from 1.
pub fn step_view(bench: &Bench, walking: &Walking, number: usize) -> Option<StepView> {
    let walk = &walking.walk;
    let step = walk.steps.get(number.checked_sub(1)?)?;
    let (about, measure) = describe::step_title(step, bench);
    let next = walk.steps.get(number).map(|s| {
        let (about, measure) = describe::step_title(s, bench);
        t!("walk.step_of", about = about, measure = measure)
    });
    let primary = bench.trial.primary.as_ref();
    let plant = |id: &PlantingId| bench.planting(*id).map(|p| p.scientific_name.as_str());
    Some(StepView {
        number,
        of: walk.steps.len(),
        about,
        measure,
        scale: scale(step.measure),
        primary: primary.is_some_and(|o| {
            let named = o.plant.as_deref();
            o.measure == step.measure
                && (named.is_none() || step.plantings.first().and_then(plant) == named)
        }),
        rows: rows(bench, walking, step),
        next,
        step: step.clone(),
    })
}

pub(crate) fn scale(measure: Measure) -> Scale {
    let anchors = describe::anchors(measure);
    match anchors.last() {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 5 or 10
        Some((most, _)) => Scale::Score {
            most: *most as u8,
            anchors,
        },
        None => Scale::Number {
            unit: describe::measure_unit(measure),
        },
    }
}

fn rows(bench: &Bench, walking: &Walking, step: &WalkStep) -> Vec<Row> {
    let mut rows = Vec::new();
    for tank in &walking.walk.order {
        if step.surface.is_some() {
            rows.push(row(bench, walking, step, *tank, None));
            continue;
        }
        let here = step.plantings.iter().filter_map(|id| bench.planting(*id));
        let here: Vec<_> = here.filter(|p| p.tank == *tank).collect();
        for (n, planting) in here.iter().enumerate() {
            let mut row = row(bench, walking, step, *tank, Some(planting.id));
            if here.len() > 1 {
                row.which = t!("walk.which", n = n + 1, of = here.len());
            }
            rows.push(row);
        }
    }
    rows
}

fn row(
    bench: &Bench,
    walking: &Walking,
    step: &WalkStep,
    tank: TankId,
    planting: Option<PlantingId>,
) -> Row {
    let walk = walking.walk.walk;
    let own = |on: bool| {
        let seen = seen_in(&walking.entries, step);
        seen.filter(move |(e, _)| {
            let about = match planting {
                Some(p) => e.act.plantings().contains(&p),
                None => e.tanks.contains(&tank),
            };
            about && (on_walk(&e.act).map(|o| o.walk) == Some(walk)) == on
        })
    };
    let saved = own(true).last().map(|(e, value)| Saved {
        entry: e.id,
        value,
        as_last: on_walk(&e.act).is_some_and(|o| o.as_last),
    });
    let begun = walking.entry.at.timestamp();
    let last = own(false)
        .filter(|(e, _)| e.at.timestamp() <= begun)
        .last()
        .map(|(e, value)| Last {
            value,
            day: days::of(e),
        });
    Row {
        planting,
        tank,
        name: walking.name(bench, tank),
        which: String::new(),
        last: last.filter(|_| !walking.hidden()),
        shot: picture::shot(bench, walking, tank, planting),
        saved,
    }
}

/// Entries that hold a value of a step's outcome, in any of its tanks, with the value.
pub(super) fn seen_in<'a>(
    entries: &'a [Entry],
    step: &'a WalkStep,
) -> impl Iterator<Item = (&'a Entry, f64)> {
    entries.iter().filter_map(|e| {
        let about = match &e.act {
            Act::Observation(o) => o.plantings.iter().any(|p| step.plantings.contains(p)),
            _ => true,
        };
        let value = value_of(&e.act, step).filter(|_| about)?;
        Some((e, value))
    })
}

/// Those of one walk-round.
pub(super) fn saved_in<'a>(
    entries: &'a [Entry],
    walk: WalkId,
    step: &'a WalkStep,
) -> impl Iterator<Item = (&'a Entry, f64)> {
    seen_in(entries, step).filter(move |(e, _)| on_walk(&e.act).map(|o| o.walk) == Some(walk))
}

/// The value an act holds of a step's outcome, whatever planting it is about.
pub fn value_of(act: &Act, step: &WalkStep) -> Option<f64> {
    match (act, step.surface) {
        (Act::Algae(a), Some(surface)) => match step.measure {
            Measure::Film => a.film.on(surface),
            Measure::Thread => a.thread.on(surface),
            _ => None,
        },
        (Act::Observation(o), None) => match step.measure {
            Measure::Vigour => o.vigour,
            Measure::NewLeaf => o.new_leaf,
            Measure::Density => o.density,
            Measure::Colour => o.colour,
            Measure::Height => o.height_cm,
            Measure::Spread => o.spread_cm,
            Measure::NodeDistance => o.node_cm,
            Measure::Cover => o.cover_pct,
            _ => None,
        },
        _ => None,
    }
}

/// The act that holds one value of a step.
pub(crate) fn act_of(step: &WalkStep, planting: Option<PlantingId>, value: f64) -> Act {
    if let Some(surface) = step.surface {
        let scores = Surfaces::only(surface, value);
        let mut algae = Algae::default();
        match step.measure {
            Measure::Film => algae.film = scores,
            _ => algae.thread = scores,
        }
        return Act::Algae(algae);
    }
    let mut o = Observation {
        plantings: planting.into_iter().collect(),
        ..Observation::default()
    };
    let value = Some(value);
    match step.measure {
        Measure::Vigour => o.vigour = value,
        Measure::NewLeaf => o.new_leaf = value,
        Measure::Density => o.density = value,
        Measure::Colour => o.colour = value,
        Measure::Height => o.height_cm = value,
        Measure::Spread => o.spread_cm = value,
        Measure::NodeDistance => o.node_cm = value,
        _ => o.cover_pct = value,
    }
    Act::Observation(o)
}

impl StepView {
    /// A value with its unit, as pages print it.
    pub fn shown(&self, value: f64, format: &Format) -> String {
        match self.scale {
            Scale::Score { .. } => format.plain(value),
            Scale::Number { unit } => format!("{}\u{a0}{unit}", format.plain(value)),
        }
    }

    /// Whether every row has a value of last time, so that all can be given as last time at once.
    pub fn all_have_last(&self) -> bool {
        !self.rows.is_empty() && self.rows.iter().all(|r| r.last.is_some())
    }
}

impl Row {
    /// The part of its picture to show, if it has one.
    pub fn crop(&self) -> Option<Crop> {
        self.shot.as_ref().map(|s| s.crop)
    }
}
