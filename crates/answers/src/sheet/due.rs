//! What falls due on the days of a sheet.

use super::DueLine;
use crate::plans::{ChangeState, PlansAnswer, RoutineState, TankRoutine, days_between};
use jiff::ToSpan;
use jiff::civil::Date;
use trial::{Bench, EntryId, TankId, describe};

/// The first and the last day of a sheet.
pub(super) type Span = (Date, Date);

/// Planned changes and routines, by day.
pub(super) fn lines(bench: &Bench, plans: &PlansAnswer, span: Span) -> Vec<DueLine> {
    let (from, to) = span;
    let mut all = Vec::new();
    for change in &plans.changes {
        let open = matches!(
            change.state,
            ChangeState::Ahead { .. } | ChangeState::Today | ChangeState::Overdue { .. }
        );
        if open && change.planned <= to {
            all.push(DueLine {
                day: change.planned.max(from),
                what: change.what.clone(),
                tanks: change.tanks_words.clone(),
                late_days: days_between(change.planned, from).max(0),
            });
        }
    }
    for routine in &plans.routines {
        all.extend(of_routine(bench, routine, span));
    }
    all.sort_by_key(|d| d.day);
    all
}

/// The due dates of one routine, tanks that share a day together.
fn of_routine(bench: &Bench, routine: &RoutineState, span: Span) -> Vec<DueLine> {
    let mut by_day: Vec<(Date, i64, Vec<TankId>)> = Vec::new();
    for tank in &routine.tanks {
        let late = tank.next.map_or(0, |n| days_between(n, span.0).max(0));
        for (nth, day) in days_of(routine, tank, span).into_iter().enumerate() {
            let late = if nth == 0 { late } else { 0 };
            match by_day.iter_mut().find(|(d, l, _)| (*d, *l) == (day, late)) {
                Some((_, _, tanks)) => tanks.push(tank.tank),
                None => by_day.push((day, late, vec![tank.tank])),
            }
        }
    }
    by_day
        .into_iter()
        .map(|(day, late_days, tanks)| {
            let all = tanks.len() == bench.tanks.len() && tanks.len() > 1;
            DueLine {
                day,
                what: routine.what.clone(),
                tanks: describe::tanks_phrase(&tanks, all, bench),
                late_days,
            }
        })
        .collect()
}

/// The days of the span on which a tank's routine falls due, if it is done on each of them.
fn days_of(routine: &RoutineState, tank: &TankRoutine, (from, to): Span) -> Vec<Date> {
    let last = routine.until.map_or(to, |until| until.min(to));
    let mut days = Vec::new();
    let mut next = tank.next.map(|n| n.max(from));
    while let Some(day) = next.filter(|d| *d <= last) {
        days.push(day);
        let every = i64::from(routine.every_days.max(1));
        next = day.checked_add(every.days()).ok();
    }
    days
}

/// The due dates of the routine that one of these entries was last counted for; none when no
/// routine counts them.
pub(super) fn dates_for(
    plans: &PlansAnswer,
    counted: impl Fn(EntryId) -> bool,
    span: Span,
) -> Option<Vec<Date>> {
    let of_routine = |r: &&RoutineState| {
        let mut last = r.tanks.iter().filter_map(|t| t.last_entry);
        r.until.is_none_or(|until| span.0 <= until) && last.any(&counted)
    };
    let routine = plans.routines.iter().find(of_routine)?;
    let mut dates: Vec<Date> = routine
        .tanks
        .iter()
        .filter(|t| t.last_entry.is_some_and(&counted))
        .flat_map(|t| days_of(routine, t, span))
        .collect();
    dates.sort();
    dates.dedup();
    Some(dates)
}
