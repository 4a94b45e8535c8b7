//! What was planned, beside what was done.

use super::{Lane, Stretch};
use crate::AnswerError;
use crate::compare::Window;
use crate::days;
use crate::plans::{self, ChangeState, PlannedChange, PlansAnswer, RoutineState, TankRoutine};
use jiff::ToSpan;
use jiff::civil::Date;
use serde::Serialize;
use store::{EntryQuery, Notebook};
use text::t;
use trial::{Bench, Entry, EntryId, PlanId};

/// Intervals of a routine that are read back before the window, so that its due dates fall as they
/// would if all of it were read.
const INTERVALS_BACK: i32 = 8;

/// A mark in a lane's row of plans.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlanMark {
    /// The stretch it stands in.
    pub slot: usize,
    /// The stretch of the day it was planned for, when it was done in another one of the window.
    pub planned_slot: Option<usize>,
    /// How it stands.
    pub state: PlanState,
    /// The plan.
    pub plan: PlanId,
    /// The entry it was done by, when it names one.
    pub entry: Option<EntryId>,
    /// The same in words.
    pub words: String,
}

/// How a planned thing stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PlanState {
    /// A planned change was done.
    Done,
    /// A planned change is still to come, or a routine is due then.
    Ahead,
    /// Its day has passed and it was not done.
    Overdue,
    /// A planned change was given up.
    Dropped,
    /// A routine's due date with nothing done near it.
    Missed,
}

/// Puts the marks into the lanes and gives the planned changes that touch the window. `read` are the
/// window's entries, none when they are too many to read.
pub(super) fn mark(
    notebook: &Notebook,
    stretch: &Stretch,
    as_of: Date,
    read: Option<&[Entry]>,
    lanes: &mut [Lane],
) -> Result<Vec<PlannedChange>, AnswerError> {
    let plans = judged(notebook, stretch, as_of, read)?;
    let touches = |c: &PlannedChange| {
        let done = match &c.state {
            ChangeState::Done { on, .. } => inside(stretch, *on),
            _ => false,
        };
        done || inside(stretch, c.planned)
    };
    let changes: Vec<PlannedChange> = plans.changes.into_iter().filter(touches).collect();
    for lane in lanes {
        let Some(tank) = lane.tank else { continue };
        let here = changes.iter().filter(|c| c.tanks.contains(&tank));
        lane.plans.extend(here.filter_map(|c| change(stretch, c)));
        for routine in &plans.routines {
            let state = routine.tanks.iter().find(|t| t.tank == tank);
            if let Some(state) = state {
                lane.plans.extend(due(stretch, routine, state, as_of));
            }
        }
        lane.plans.sort_by_key(|p| (p.slot, p.state));
    }
    Ok(changes)
}

/// The first and last day on which anything was recorded or planned.
pub(super) fn reach(bench: &Bench, whole: Window) -> (Date, Date) {
    let days = || bench.plans.iter().map(|p| p.from);
    let first = days().min().map_or(whole.from, |d| d.min(whole.from));
    let after = |d: Date| d.tomorrow().unwrap_or(d);
    let last = days().max().map_or(whole.to, |d| after(d).max(whole.to));
    (first, last)
}

fn inside(stretch: &Stretch, day: Date) -> bool {
    stretch.window.from <= day && day < stretch.window.to
}

/// The plans as they stand. Of routines only what bears on the window is read, nothing of them when
/// the window's entries are too many to read.
fn judged(
    notebook: &Notebook,
    stretch: &Stretch,
    as_of: Date,
    read: Option<&[Entry]>,
) -> Result<PlansAnswer, AnswerError> {
    let mut bench = stretch.bench.clone();
    let window = stretch.window;
    bench.plans.retain(|p| match &p.routine {
        None => true,
        Some(_) => read.is_some() && p.from < window.to,
    });
    let (mut from, mut to) = (window.from, window.to);
    for plan in &mut bench.plans {
        let Some(routine) = &plan.routine else {
            continue;
        };
        let every = i32::from(routine.every_days);
        let back = window.from.checked_sub((every * INTERVALS_BACK).days());
        plan.from = plan.from.max(back.unwrap_or(Date::MIN));
        // What is done half an interval before the first date still counts for it.
        let early = plan.from.checked_sub(every.days()).unwrap_or(plan.from);
        from = from.min(early);
        let late = window.to.checked_add(every.days()).unwrap_or(window.to);
        to = to.max(late);
    }
    let kinds = plans::kinds(&bench);
    let mut entries = Vec::new();
    if let Some(read) = read.filter(|_| !kinds.is_empty()) {
        let outside = |from: Date, to: Date| {
            if from >= to {
                return Ok(Vec::new());
            }
            notebook.entries(&EntryQuery {
                kinds: kinds.clone(),
                from: days::start_of(&bench, from),
                to: days::start_of(&bench, to),
                ..EntryQuery::of(bench.trial.id)
            })
        };
        entries = outside(from, window.from)?;
        let counts = read.iter().filter(|e| kinds.contains(&e.act.kind()));
        entries.extend(counts.cloned());
        entries.extend(outside(window.to, to)?);
    }
    Ok(plans::plans(&bench, &entries, as_of))
}

fn change(stretch: &Stretch, change: &PlannedChange) -> Option<PlanMark> {
    let planned = middle(stretch, change.planned);
    let (state, done, entry) = match &change.state {
        ChangeState::Ahead { .. } | ChangeState::Today => (PlanState::Ahead, None, None),
        ChangeState::Overdue { .. } => (PlanState::Overdue, None, None),
        ChangeState::Dropped { .. } => (PlanState::Dropped, None, None),
        ChangeState::Done { on, entries, .. } => {
            let done = middle(stretch, *on);
            (PlanState::Done, done, entries.first().copied())
        }
    };
    let mut words = t!(
        "timeline.plan_words",
        what = change.what,
        how = change.sentence
    );
    for (said, key) in [
        (&change.expects, t!("timeline.plan_expected")),
        (&change.seen, t!("timeline.plan_seen")),
    ] {
        if !said.trim().is_empty() {
            words.push_str(&format!(" {key} {said}."));
        }
    }
    Some(PlanMark {
        slot: done.or(planned)?,
        planned_slot: done.and(planned).filter(|p| Some(*p) != done),
        state,
        plan: change.plan,
        entry,
        words,
    })
}

/// The stretch in the middle of a day of the window: a plan names no hour.
fn middle(stretch: &Stretch, day: Date) -> Option<usize> {
    let (first, last) = stretch.slots_of_day(day)?;
    Some(usize::midpoint(first, last))
}

/// The due dates that were missed, and the one still open.
fn due(
    stretch: &Stretch,
    routine: &RoutineState,
    tank: &TankRoutine,
    as_of: Date,
) -> Vec<PlanMark> {
    let at = |day: Date, state: PlanState, words: String| -> Option<PlanMark> {
        let slot = middle(stretch, day)?;
        Some(PlanMark {
            slot,
            planned_slot: None,
            state,
            plan: routine.plan,
            entry: None,
            words,
        })
    };
    let mut marks: Vec<PlanMark> = tank
        .missed
        .iter()
        .filter_map(|day| {
            let words = t!("timeline.routine_missed", what = routine.what, day = day);
            at(*day, PlanState::Missed, words)
        })
        .collect();
    if let Some(next) = tank.next.filter(|n| !tank.missed.contains(n)) {
        let state = if next < as_of {
            PlanState::Overdue
        } else {
            PlanState::Ahead
        };
        let words = t!("timeline.routine_due", what = routine.what, day = next);
        marks.extend(at(next, state, words));
    }
    marks
}
