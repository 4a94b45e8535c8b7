//! Pictures by tank and day: beside each other, and before and after.

mod alike;
mod gallery;
mod overdue;
mod side;
#[cfg(test)]
mod tests;

pub use gallery::{Front, Gallery, GalleryDay, Taken, TankRow, by_day, by_plant, by_tank};
pub use overdue::overdue;
pub use side::{Asked, SideBySide, side_by_side};

use crate::compare::Window;
use crate::days;
use jiff::civil::Date;
use serde::Serialize;
use trial::act::{Picture, View};
use trial::{Act, Bench, Entry, EntryId, TankId};

/// One picture.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PictureLine {
    /// Its entry.
    pub entry: EntryId,
    /// Its tank.
    pub tank: TankId,
    /// The tank's name.
    pub tank_name: String,
    /// Its day.
    pub day: Date,
    /// The picture.
    pub picture: Picture,
    /// The entry's note.
    pub note: String,
}

/// Two front pictures of one tank.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pair {
    /// The tank's name.
    pub tank: String,
    /// The earlier one.
    pub before: PictureLine,
    /// The later one.
    pub after: PictureLine,
}

/// Every tank's front picture of about the same day.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Together {
    /// The day of the first of them.
    pub day: Date,
    /// One per tank that has one, from the left.
    pub pictures: Vec<PictureLine>,
}

/// How many days apart pictures may be and still stand side by side.
const TOGETHER_DAYS: f64 = 3.0;

/// All pictures of a trial, oldest first.
pub fn pictures(bench: &Bench, entries: &[Entry]) -> Vec<PictureLine> {
    entries
        .iter()
        .filter_map(|e| {
            let Act::Picture(picture) = &e.act else {
                return None;
            };
            let tank = bench.tank(*e.tanks.first()?)?;
            Some(PictureLine {
                entry: e.id,
                tank: tank.id,
                tank_name: tank.name.clone(),
                day: days::of(e),
                picture: picture.clone(),
                note: e.note.clone(),
            })
        })
        .collect()
}

/// For each tank the front picture nearest to the window's start and the last one in it.
pub fn pairs(bench: &Bench, pictures: &[PictureLine], window: Window) -> Vec<Pair> {
    let near = |p: &&&PictureLine| days::between(p.day, window.from).abs();
    bench
        .tanks
        .iter()
        .filter_map(|tank| {
            let fronts: Vec<&PictureLine> = pictures
                .iter()
                .filter(|p| p.tank == tank.id && p.picture.view == View::Front)
                .filter(|p| p.day <= window.to)
                .collect();
            let before = fronts.iter().min_by(|a, b| near(a).total_cmp(&near(b)))?;
            let after = fronts.iter().rfind(|p| p.day > before.day)?;
            Some(Pair {
                tank: tank.name.clone(),
                before: (*before).clone(),
                after: (*after).clone(),
            })
        })
        .collect()
}

/// Front pictures grouped by day across tanks, oldest first.
pub fn together(bench: &Bench, pictures: &[PictureLine]) -> Vec<Together> {
    let mut groups: Vec<Together> = Vec::new();
    let fronts = pictures.iter().filter(|p| p.picture.view == View::Front);
    for picture in fronts {
        match groups.last_mut() {
            Some(g)
                if days::between(g.day, picture.day) <= TOGETHER_DAYS
                    && g.pictures.iter().all(|p| p.tank != picture.tank) =>
            {
                g.pictures.push(picture.clone());
            }
            _ => groups.push(Together {
                day: picture.day,
                pictures: vec![picture.clone()],
            }),
        }
    }
    let place = |id: TankId| bench.tank(id).map_or(u32::MAX, |t| t.place);
    for group in &mut groups {
        group.pictures.sort_by_key(|p| place(p.tank));
    }
    groups
}
