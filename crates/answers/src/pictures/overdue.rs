//! Tanks whose next picture is late.

use super::{pictures, together};
use crate::{bench as bench_page, days};
use jiff::civil::Date;
use text::t;
use trial::act::View;
use trial::finding::Subject;
use trial::{Bench, Entry, Finding, Severity, TankId, describe};

/// A round of pictures counts as missed after this many times the usual gap (our own choice, no
/// source).
const LATE: f64 = 1.5;
/// Gaps between rounds of pictures that make a habit.
const HABIT: usize = 2;

/// Tanks without a front picture for longer than the routine of pictures says, or without a routine
/// longer than is usual in this trial; and tanks that have none while others do. Nothing for a trial
/// that has ended.
pub fn overdue(bench: &Bench, entries: &[Entry], today: Date) -> Vec<Finding> {
    let (_, ended) = bench_page::as_of(bench, today);
    let lines = pictures(bench, entries);
    let last = |tank: TankId| {
        let fronts = lines.iter().rev();
        let mut fronts = fronts.filter(|l| l.tank == tank && l.picture.view == View::Front);
        fronts.next().map(|l| l.day)
    };
    let lasts: Vec<(TankId, String, Option<Date>)> = bench
        .tanks
        .iter()
        .map(|t| (t.id, t.name.clone(), last(t.id)))
        .collect();
    if ended || lasts.iter().all(|(.., last)| last.is_none()) {
        return vec![];
    }
    let none = lasts.iter().filter(|(.., last)| last.is_none());
    let mut found: Vec<Finding> = missing(none.map(|(id, name, _)| (*id, name.clone())).collect())
        .into_iter()
        .collect();
    let routine = routine(bench, today);
    let rounds: Vec<Date> = together(bench, &lines).iter().map(|g| g.day).collect();
    if let Some(every) = routine.or_else(|| usual(&rounds)) {
        let most = routine.unwrap_or(every * LATE);
        let late = |day: &Date| days::between(*day, today) > most;
        let tanks = lasts
            .iter()
            .filter_map(|(id, name, last)| Some((*id, name.clone(), last.filter(late)?)));
        found.extend(too_old(tanks.collect(), every, routine.is_some(), today));
    }
    found
}

fn missing(tanks: Vec<(TankId, String)>) -> Option<Finding> {
    let names: Vec<String> = tanks.iter().map(|(_, name)| name.clone()).collect();
    let what = t!("pictures.missing", tanks = describe::list(&names));
    let remedy = t!("pictures.missing_do");
    let finding = Finding::new("pictures_missing", Severity::Note, what, remedy);
    (!tanks.is_empty()).then(|| finding.about(tanks.iter().map(|(id, _)| Subject::Tank(*id))))
}

fn too_old(
    tanks: Vec<(TankId, String, Date)>,
    every: f64,
    planned: bool,
    today: Date,
) -> Option<Finding> {
    let oldest = tanks.iter().map(|(.., day)| *day).min()?;
    let names: Vec<String> = tanks.iter().map(|(_, name, _)| name.clone()).collect();
    let names = describe::list(&names);
    let (days, every) = (days::between(oldest, today), every.round());
    let what = match planned {
        true => t!(
            "pictures.overdue_routine",
            tanks = names,
            days = days,
            every = every
        ),
        false => t!(
            "pictures.overdue",
            tanks = names,
            days = days,
            every = every
        ),
    };
    let remedy = t!("pictures.overdue_do");
    let finding = Finding::new("pictures_overdue", Severity::Note, what, remedy);
    Some(finding.about(tanks.iter().map(|(id, ..)| Subject::Tank(*id))))
}

/// Days between pictures by the routines that hold today; the shortest.
fn routine(bench: &Bench, today: Date) -> Option<f64> {
    let routines = bench.plans.iter().filter_map(|p| p.routine.as_ref());
    let of_pictures = routines.filter(|r| {
        r.act == "picture" && r.every_days > 0 && r.until.is_none_or(|until| today <= until)
    });
    of_pictures
        .map(|r| f64::from(r.every_days))
        .reduce(f64::min)
}

/// The median gap between rounds, once there is a habit, in days.
fn usual(rounds: &[Date]) -> Option<f64> {
    let mut gaps: Vec<f64> = rounds
        .windows(2)
        .map(|pair| days::between(pair[0], pair[1]))
        .filter(|gap| *gap > 0.0)
        .collect();
    gaps.sort_by(f64::total_cmp);
    let middle = gaps.len() / 2;
    let median = if gaps.len().is_multiple_of(2) {
        (gaps.get(middle.wrapping_sub(1))? + gaps.get(middle)?) / 2.0
    } else {
        *gaps.get(middle)?
    };
    (gaps.len() >= HABIT).then_some(median)
}
