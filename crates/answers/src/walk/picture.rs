//! The last picture of each tank, cut to where the plant stands.

use super::Walking;
use crate::days;
use jiff::Timestamp;
use jiff::civil::Date;
use serde::Serialize;
use trial::act::{MaskedBy, Picture, View};
use trial::{Act, Bench, Entry, EntryId, Planting, PlantingId, Tank, TankId};

/// Room left around a plant's zone, as a share of the zone's size on each side: pictures show more
/// than the pane, so the zone is not exactly where it is taken to be.
const ROOM: f64 = 0.3;
/// The smallest part of a picture's width that is shown: less is only coarse dots.
const SMALLEST: f64 = 0.25;
/// Width over height of a cut picture.
const SHAPE: f64 = 1.5;
/// A picture of the plant itself is shown when it is at most so many days older than the front.
const OWN_DAYS: f64 = 7.0;

/// A part of a picture, in its pixels.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Crop {
    /// From its left edge.
    pub x: f64,
    /// From its upper edge.
    pub y: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
}

/// A picture of one row.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Shot {
    /// Its entry.
    pub entry: EntryId,
    /// When it was taken.
    pub day: Date,
    /// The picture.
    pub picture: Picture,
    /// The part of it to show.
    pub crop: Crop,
    /// Whether it is cut to the plant's zone.
    pub cut: bool,
}

/// The newest picture of a tank's front, up to a moment.
pub(super) fn front(entries: &[Entry], tank: TankId, until: Option<Timestamp>) -> Option<&Entry> {
    newest(entries, tank, until, |p| p.view == View::Front)
}

fn newest(
    entries: &[Entry],
    tank: TankId,
    until: Option<Timestamp>,
    wanted: impl Fn(&Picture) -> bool,
) -> Option<&Entry> {
    entries.iter().rev().find(|e| {
        e.tanks.contains(&tank)
            && until.is_none_or(|until| e.at.timestamp() <= until)
            && matches!(&e.act, Act::Picture(p) if wanted(p))
    })
}

/// The picture of a row. Masked by pictures every tank shows its front; masked by a helper none
/// shows anything.
pub(super) fn shot(
    bench: &Bench,
    walking: &Walking,
    tank: TankId,
    planting: Option<PlantingId>,
) -> Option<Shot> {
    let hidden = walking.hidden();
    if hidden && walking.walk.masked.map(|m| m.by) == Some(MaskedBy::Helper) {
        return None;
    }
    let until = Some(walking.entry.at.timestamp());
    let front = front(&walking.entries, tank, until);
    let own = planting
        .filter(|_| !hidden)
        .and_then(|id| newest(&walking.entries, tank, until, |p| p.planting == Some(id)));
    let recent =
        |own: &&Entry| front.is_none_or(|f| days::between(days::of(own), days::of(f)) <= OWN_DAYS);
    let entry = own.filter(recent).or(front)?;
    let Act::Picture(picture) = &entry.act else {
        return None;
    };
    let planting = planting.and_then(|id| bench.planting(id));
    let zone = match (picture.view, planting, bench.tank(tank)) {
        (View::Front, Some(planting), Some(tank)) => crop(picture, planting, tank),
        _ => None,
    };
    Some(Shot {
        entry: entry.id,
        day: days::of(entry),
        crop: zone.unwrap_or_else(|| whole(picture)),
        cut: zone.is_some(),
        picture: picture.clone(),
    })
}

fn whole(picture: &Picture) -> Crop {
    Crop {
        x: 0.0,
        y: 0.0,
        width: f64::from(picture.width_px),
        height: f64::from(picture.height_px),
    }
}

/// The part of a front picture that shows a planting's zone with room around it. The picture is
/// taken to show the front pane from edge to edge: nothing says where the pane lies in it.
fn crop(picture: &Picture, planting: &Planting, tank: &Tank) -> Option<Crop> {
    let (pane_w, pane_h) = (tank.length_cm?, tank.height_cm?);
    if planting.zone_cm.len() < 3 || !(pane_w > 0.0 && pane_h > 0.0) {
        return None;
    }
    let span = |axis: usize| {
        let values = planting.zone_cm.iter().map(|p| p[axis]);
        let low = values.clone().fold(f64::INFINITY, f64::min);
        (low, values.fold(f64::NEG_INFINITY, f64::max))
    };
    let full = whole(picture);
    let ((left, right), (bottom, top)) = (span(0), span(1));
    let (across, up) = (full.width / pane_w, full.height / pane_h);
    let mut width = (right - left) * across * (1.0 + 2.0 * ROOM);
    let mut height = (top - bottom) * up * (1.0 + 2.0 * ROOM);
    width = width.max(full.width * SMALLEST).max(height * SHAPE);
    height = height.max(width / SHAPE);
    (width, height) = (width.min(full.width), height.min(full.height));
    let place = |middle: f64, size: f64, whole: f64| {
        (middle - size / 2.0).clamp(0.0, (whole - size).max(0.0))
    };
    Some(Crop {
        x: place((left + right) / 2.0 * across, width, full.width),
        y: place(full.height - (bottom + top) / 2.0 * up, height, full.height),
        width,
        height,
    })
}
