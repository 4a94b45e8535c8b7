//! The pictures a planting is to be seen on, and about where.
//!
//! A zone is marked on the pane in centimetres, a picture shows the pane with some room around it,
//! and nobody marked the pane's corners on the picture. So a strip from top to bottom is shown that
//! holds the zone if the picture is level and leaves at most [`MARGIN`] of its width at either side.

use super::state::{self, State};
use crate::pictures::PictureLine;
use jiff::civil::Date;
use serde::Serialize;
use trial::act::View;
use trial::{Bench, Entry, Planting};

/// The most room at either side of the pane, as a share of the picture's width (our own choice, no
/// source).
const MARGIN: f64 = 0.15;
/// A strip is at least so wide, so that what stands beside the planting shows where it is.
const NARROWEST: f64 = 0.3;
/// A strip wider than this shows no more than the whole picture does.
const NEARLY_ALL: f64 = 0.85;

/// One picture with a planting on it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Shot {
    /// The picture.
    pub line: PictureLine,
    /// The part of it that holds the planting's zone; none when the whole picture is shown: a
    /// detail, a view from above, a planting without a zone or almost as wide as the pane.
    pub strip: Option<Strip>,
}

/// A part of a picture's width, from its full top to its full bottom, as shares of the width.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Strip {
    /// Left edge.
    pub left: f64,
    /// Right edge.
    pub right: f64,
}

/// The pictures of this planting's tank while it stood there: those of it alone, and fronts of the
/// tank; oldest first.
pub(super) fn shots(
    bench: &Bench,
    planting: &Planting,
    own: &[&Entry],
    pictures: &[PictureLine],
) -> Vec<Shot> {
    let from = planting.planted.unwrap_or(Date::MIN);
    let to = match state::state(own) {
        State::Stands => Date::MAX,
        ended => ended.ended().unwrap_or(Date::MAX),
    };
    let shows = |line: &&PictureLine| match line.picture.planting {
        Some(id) => id == planting.id,
        None => {
            line.picture.view == View::Front
                && line.tank == state::tank_on(planting, own, line.day)
                && from <= line.day
                && line.day <= to
        }
    };
    pictures
        .iter()
        .filter(shows)
        .map(|line| Shot {
            strip: strip(bench, planting, line),
            line: line.clone(),
        })
        .collect()
}

fn strip(bench: &Bench, planting: &Planting, line: &PictureLine) -> Option<Strip> {
    let whole = line.picture.view != View::Front || line.picture.planting.is_some();
    // The zone was marked on the pane of the record's own tank.
    if whole || planting.floating || planting.zone_cm.is_empty() || line.tank != planting.tank {
        return None;
    }
    let length = bench.tank(planting.tank)?.length_cm.filter(|l| *l > 0.0)?;
    let xs = || {
        planting
            .zone_cm
            .iter()
            .map(|[x, _]| (x / length).clamp(0.0, 1.0))
    };
    let (low, high) = (xs().fold(1.0, f64::min), xs().fold(0.0, f64::max));
    // With a margin m, what is at x of the pane is at m + x (1 - 2 m) of the picture.
    let at = |x: f64, m: f64| m + x * (1.0 - 2.0 * m);
    let left = at(low, 0.0).min(at(low, MARGIN));
    let right = at(high, 0.0).max(at(high, MARGIN));
    let more = (NARROWEST - (right - left)).max(0.0) / 2.0;
    // Wider to both sides, moved in where that would leave the picture.
    let left = (left - more).clamp(0.0, (1.0 - NARROWEST).max(0.0));
    let right = (right + more).max(left + NARROWEST).min(1.0);
    (right - left < NEARLY_ALL).then_some(Strip { left, right })
}

#[cfg(test)]
mod tests {
    use super::*;
    use trial::{Tank, TankId, Trial, TrialId};
    use uuid::Uuid;

    /// Worked by hand: a zone from 10 to 30 cm of a pane of 50 cm is at 0.2 to 0.6 of it. Without a
    /// margin it is there on the picture too; with one of 0.15 at 0.15 + 0.2 x 0.7 = 0.29 to 0.57.
    #[test]
    fn a_strip_holds_the_zone_whatever_the_margin() {
        let trial = TrialId(Uuid::from_u128(1));
        let mut tank = Tank::new(TankId(Uuid::from_u128(2)), trial, "Ash", 0);
        tank.length_cm = Some(50.0);
        let id = trial::PlantingId(Uuid::from_u128(3));
        let mut planting = Planting::new(id, trial, tank.id, "Bacopa caroliniana");
        planting.zone_cm = vec![[10.0, 2.0], [30.0, 2.0], [30.0, 9.0]];
        let mut bench = Bench::new(Trial::new(trial, "T", "UTC"));
        let line = PictureLine {
            entry: trial::EntryId(Uuid::from_u128(4)),
            tank: tank.id,
            tank_name: "Ash".into(),
            day: jiff::civil::date(2026, 3, 1),
            picture: trial::act::Picture {
                sha256: String::new(),
                media_type: String::new(),
                width_px: 1200,
                height_px: 800,
                view: View::Front,
                planting: None,
            },
            note: String::new(),
        };
        assert_eq!(strip(&bench, &planting, &line), None, "length unknown");
        bench.tanks = vec![tank];
        let found = strip(&bench, &planting, &line).unwrap();
        assert!((found.left - 0.2).abs() < 1e-12 && (found.right - 0.6).abs() < 1e-12);
        // On the right half the margin shifts it inwards: 0.8 to 0.15 + 0.8 x 0.7 = 0.71. To 0.9 that
        // is 0.19, so 0.11 more is shown, half of it at either side.
        planting.zone_cm = vec![[40.0, 2.0], [45.0, 2.0], [45.0, 9.0]];
        let found = strip(&bench, &planting, &line).unwrap();
        assert!((found.left - 0.655).abs() < 1e-12 && (found.right - 0.955).abs() < 1e-12);
        // At the picture's edge it is as wide, and inside.
        planting.zone_cm = vec![[0.0, 2.0], [1.0, 2.0], [1.0, 9.0]];
        let found = strip(&bench, &planting, &line).unwrap();
        assert!(found.left == 0.0 && (found.right - 0.3).abs() < 1e-12);
        planting.zone_cm = vec![[2.0, 2.0], [48.0, 2.0], [48.0, 9.0]];
        assert_eq!(strip(&bench, &planting, &line), None, "nearly all of it");
    }
}
