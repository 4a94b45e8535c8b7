//! The gallery: a day with the tanks beside each other, a tank through time, a plant through time.

use super::{PictureLine, alike, pictures};
use crate::AnswerError;
use crate::days;
use crate::plants::{Shot, life_view};
use jiff::civil::{Date, Time};
use serde::Serialize;
use store::Notebook;
use trial::act::View;
use trial::{Bench, Entry, Finding, PlantingId, TankId};

/// A picture with the time of day it was taken at.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Taken {
    /// The picture.
    pub line: PictureLine,
    /// By the clock of the trial's zone when it was taken, or of the zone written with it.
    pub time: Time,
}

/// The front of one tank on a day.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Front {
    /// The tank.
    pub tank: TankId,
    /// Its last front picture of the day; none when there is none.
    pub taken: Option<Taken>,
    /// The day of its nearest other front picture, when it has none on this day.
    pub nearest: Option<Date>,
}

/// One day of the gallery.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GalleryDay {
    /// The day.
    pub day: Date,
    /// Every tank of the trial from the left; empty on a day without any front picture.
    pub fronts: Vec<Front>,
    /// Views from above, details, and fronts taken again, tanks from the left.
    pub others: Vec<Taken>,
    /// Why the fronts of this day may not be compared.
    pub findings: Vec<Finding>,
}

/// Days with pictures, newest first.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Gallery {
    /// The days.
    pub days: Vec<GalleryDay>,
    /// Older days begin before this one; none when these are all.
    pub older: Option<Date>,
}

/// The pictures of one tank.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TankRow {
    /// The tank.
    pub tank: TankId,
    /// Its fronts, oldest first.
    pub fronts: Vec<Taken>,
    /// Its other pictures, oldest first.
    pub others: Vec<Taken>,
}

/// Every picture of the trial with its time, in the order of `entries`.
pub(super) fn taken(bench: &Bench, entries: &[Entry]) -> Vec<Taken> {
    let time = |line: &PictureLine| {
        let entry = entries.iter().find(|e| e.id == line.entry);
        entry.map_or(Time::midnight(), |e| e.at.time())
    };
    pictures(bench, entries)
        .into_iter()
        .map(|line| Taken {
            time: time(&line),
            line,
        })
        .collect()
}

/// At most `most` days before `before`, or up to the newest. `entries` as in
/// [`crate::load::around_pictures`].
pub fn by_day(bench: &Bench, entries: &[Entry], before: Option<Date>, most: usize) -> Gallery {
    let all = taken(bench, entries);
    let mut dates: Vec<Date> = all.iter().map(|t| t.line.day).collect();
    dates.retain(|day| before.is_none_or(|b| *day < b));
    dates.sort_unstable_by_key(|day| std::cmp::Reverse(*day));
    dates.dedup();
    let more = dates.len() > most;
    dates.truncate(most);
    let older = dates.last().copied().filter(|_| more);
    let days = dates.into_iter().map(|on| day(bench, entries, &all, on));
    Gallery {
        days: days.collect(),
        older,
    }
}

fn day(bench: &Bench, entries: &[Entry], all: &[Taken], on: Date) -> GalleryDay {
    let today: Vec<&Taken> = all.iter().filter(|t| t.line.day == on).collect();
    let fronts: Vec<Front> = bench
        .tanks
        .iter()
        .map(|tank| front(tank.id, all, on))
        .collect();
    let shown: Vec<&Taken> = fronts.iter().filter_map(|f| f.taken.as_ref()).collect();
    let labelled: Vec<(String, &Entry)> = shown
        .iter()
        .filter_map(|t| {
            let entry = entries.iter().find(|e| e.id == t.line.entry)?;
            Some((t.line.tank_name.clone(), entry))
        })
        .collect();
    let findings = alike::findings(bench, entries, &labelled);
    let mut others: Vec<Taken> = today
        .into_iter()
        .filter(|t| shown.iter().all(|s| s.line.entry != t.line.entry))
        .cloned()
        .collect();
    others.sort_by_key(|t| bench.tank(t.line.tank).map_or(u32::MAX, |tank| tank.place));
    let none = shown.is_empty();
    GalleryDay {
        day: on,
        fronts: if none { vec![] } else { fronts },
        others,
        findings,
    }
}

fn front(tank: TankId, all: &[Taken], on: Date) -> Front {
    let fronts = || all.iter().filter(move |t| is_front_of(t, tank));
    let taken = fronts().rfind(|t| t.line.day == on).cloned();
    let days = fronts().map(|t| t.line.day);
    let nearest = days.min_by(|a, b| {
        let away = |day: &Date| days::between(on, *day).abs();
        away(a).total_cmp(&away(b))
    });
    Front {
        tank,
        nearest: nearest.filter(|_| taken.is_none()),
        taken,
    }
}

pub(super) fn is_front_of(taken: &Taken, tank: TankId) -> bool {
    taken.line.tank == tank && taken.line.picture.view == View::Front
}

/// Every tank with its pictures, from the left. `entries` as in [`by_day`].
pub fn by_tank(bench: &Bench, entries: &[Entry]) -> Vec<TankRow> {
    let all = taken(bench, entries);
    let row = |tank: TankId| {
        let of_it = all.iter().filter(|t| t.line.tank == tank).cloned();
        let (fronts, others) = of_it.partition(|t| t.line.picture.view == View::Front);
        TankRow {
            tank,
            fronts,
            others,
        }
    };
    bench.tanks.iter().map(|tank| row(tank.id)).collect()
}

/// The plantings of a plant, tanks from the left, each with the pictures it is to be seen on, cut to
/// its zone where one is marked; those without any picture are left out.
///
/// # Errors
/// When the notebook cannot be read.
pub fn by_plant(
    notebook: &Notebook,
    bench: &Bench,
    name: &str,
    today: Date,
) -> Result<Vec<(PlantingId, TankId, Vec<Shot>)>, AnswerError> {
    let of_it = bench.plantings.iter().filter(|p| p.scientific_name == name);
    let mut rows = Vec::new();
    for planting in of_it {
        if let Some(life) = life_view(notebook, bench, planting.id, today)?
            && !life.shots.is_empty()
        {
            rows.push((planting.id, life.tank, life.shots));
        }
    }
    rows.sort_by_key(|(_, tank, _)| bench.tank(*tank).map_or(u32::MAX, |t| t.place));
    Ok(rows)
}
