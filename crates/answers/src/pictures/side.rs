//! Two pictures beside each other: one tank before and after, or two tanks on a day.

use super::alike;
use super::gallery::{Taken, is_front_of, taken};
use crate::days;
use jiff::civil::Date;
use serde::Serialize;
use text::t;
use trial::act::View;
use trial::finding::Subject;
use trial::{Bench, Entry, EntryId, Finding, Severity, TankId};

/// Shapes are the same when width over height differ by less than this (one row or column of pixels
/// more or less comes of rounding; our own choice, no source).
const SAME_SHAPE: f64 = 0.01;

/// Which two pictures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// The first and the last front of the first tank that has two.
    Usual,
    /// These.
    Entries(EntryId, EntryId),
    /// The fronts of one tank nearest to two days.
    Days(TankId, Date, Date),
    /// The fronts of two tanks nearest to a day.
    Tanks(TankId, TankId, Date),
}

/// Two pictures.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SideBySide {
    /// Left: the earlier one when it is one tank.
    pub left: Taken,
    /// Right.
    pub right: Taken,
    /// Days from the left one to the right one.
    pub days: i64,
    /// The pictures of the left one's tank and view taken just before and after it.
    pub around_left: [Option<EntryId>; 2],
    /// The same of the right one.
    pub around_right: [Option<EntryId>; 2],
    /// Why they may not be compared, and which days were asked for in vain.
    pub findings: Vec<Finding>,
}

/// The two pictures asked for; none when there are no such pictures. `entries` as in
/// [`crate::load::around_pictures`].
pub fn side_by_side(bench: &Bench, entries: &[Entry], asked: Asked) -> Option<SideBySide> {
    let all = taken(bench, entries);
    let by_id = |id: EntryId| all.iter().find(|t| t.line.entry == id);
    let mut findings = Vec::new();
    let mut near = |tank: TankId, day: Date| {
        let found = nearest(&all, tank, day)?;
        if found.line.day != day {
            findings.push(another_day(found, day));
        }
        Some(found)
    };
    let (left, right) = match asked {
        Asked::Usual => usual(bench, &all)?,
        Asked::Entries(left, right) => (by_id(left)?, by_id(right)?),
        Asked::Days(tank, from, to) => (near(tank, from.min(to))?, near(tank, from.max(to))?),
        Asked::Tanks(left, right, day) => (near(left, day)?, near(right, day)?),
    };
    findings.extend(views(left, right));
    findings.extend(shapes(left, right));
    let entry = |t: &Taken| entries.iter().find(|e| e.id == t.line.entry);
    let labelled = [
        (label(left, right), entry(left)?),
        (label(right, left), entry(right)?),
    ];
    findings.extend(alike::findings(bench, entries, &labelled));
    Some(SideBySide {
        days: days::between(left.line.day, right.line.day) as i64,
        around_left: around(&all, left),
        around_right: around(&all, right),
        left: left.clone(),
        right: right.clone(),
        findings,
    })
}

/// What tells `of` from `other`: the tank, or its day when both are of one tank.
fn label(of: &Taken, other: &Taken) -> String {
    match of.line.tank == other.line.tank {
        true => of.line.day.strftime("%-d\u{a0}%B\u{a0}%Y").to_string(),
        false => of.line.tank_name.clone(),
    }
}

fn usual<'a>(bench: &Bench, all: &'a [Taken]) -> Option<(&'a Taken, &'a Taken)> {
    bench.tanks.iter().find_map(|tank| {
        let fronts = || all.iter().filter(|t| is_front_of(t, tank.id));
        let (first, last) = (fronts().next()?, fronts().next_back()?);
        (first.line.entry != last.line.entry).then_some((first, last))
    })
}

/// The front nearest to a day; of two as near the later one, of two on a day the last.
fn nearest(all: &[Taken], tank: TankId, day: Date) -> Option<&Taken> {
    let fronts = all.iter().rev().filter(|t| is_front_of(t, tank));
    let away = |t: &&Taken| days::between(day, t.line.day).abs();
    fronts.min_by(|a, b| away(a).total_cmp(&away(b)))
}

/// The pictures of its tank and view before and after it.
fn around(all: &[Taken], of: &Taken) -> [Option<EntryId>; 2] {
    let like =
        |t: &&Taken| t.line.tank == of.line.tank && t.line.picture.view == of.line.picture.view;
    let ids: Vec<EntryId> = all.iter().filter(like).map(|t| t.line.entry).collect();
    let at = ids.iter().position(|id| *id == of.line.entry);
    let step = |by: isize| at.and_then(|at| ids.get(at.checked_add_signed(by)?).copied());
    [step(-1), step(1)]
}

fn another_day(found: &Taken, asked: Date) -> Finding {
    let what = t!(
        "pictures.another_day",
        tank = found.line.tank_name,
        asked = asked.strftime("%-d\u{a0}%B\u{a0}%Y"),
        shown = found.line.day.strftime("%-d\u{a0}%B\u{a0}%Y")
    );
    let finding = Finding::new("pictures_another_day", Severity::Note, what, "");
    finding.about([Subject::Entry(found.line.entry)])
}

fn views(left: &Taken, right: &Taken) -> Option<Finding> {
    let differ = left.line.picture.view != right.line.picture.view;
    let name = |t: &Taken| match t.line.picture.view {
        View::Front => t!("pictures.from_front"),
        View::Top => t!("pictures.from_above"),
        View::Detail => t!("pictures.from_near"),
    };
    let what = t!(
        "pictures.views_differ",
        left = name(left),
        right = name(right)
    );
    let remedy = t!("pictures.views_differ_do");
    let finding = || Finding::new("pictures_views_differ", Severity::Weakens, what, remedy);
    differ.then(finding)
}

fn shapes(left: &Taken, right: &Taken) -> Option<Finding> {
    let (a, b) = (&left.line.picture, &right.line.picture);
    let shape = |w: u32, h: u32| f64::from(w) / f64::from(h.max(1));
    let ratio = shape(a.width_px, a.height_px) / shape(b.width_px, b.height_px);
    let what = t!(
        "pictures.shapes_differ",
        left_w = a.width_px,
        left_h = a.height_px,
        right_w = b.width_px,
        right_h = b.height_px
    );
    let remedy = t!("pictures.shapes_differ_do");
    let finding = || Finding::new("pictures_shapes_differ", Severity::Weakens, what, remedy);
    ((ratio - 1.0).abs() >= SAME_SHAPE).then(finding)
}
