//! What falls due while the keeper is away, named before.

use super::{ChangeState, PlannedChange, RoutineState, TankRoutine, tanks_words};
use jiff::ToSpan;
use jiff::civil::Date;
use serde::Serialize;
use trial::{Bench, PlanId, TankId};

/// An absence that is not over.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AbsenceState {
    /// First day away.
    pub from: Date,
    /// Last day away.
    pub to: Date,
    /// Who looks after the tanks; empty when nobody does.
    pub who_helps: String,
    /// The keeper's note.
    pub note: String,
    /// Whether it has begun.
    pub begun: bool,
    /// Whether animals live in a tank.
    pub animals: bool,
    /// What falls due in it, by its first day.
    pub falls: Vec<Falls>,
}

/// Something that falls due in an absence.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Falls {
    /// The plan.
    pub plan: PlanId,
    /// What.
    pub what: String,
    /// In which tanks, in words.
    pub tanks_words: String,
    /// Its first due day in the absence.
    pub first: Date,
    /// How many due days lie in it, in the tank that has most.
    pub times: usize,
}

/// The absences that end today or later.
pub(super) fn ahead(
    bench: &Bench,
    changes: &[PlannedChange],
    routines: &[RoutineState],
    today: Date,
) -> Vec<AbsenceState> {
    let not_over = bench.trial.absences.iter().filter(|a| today <= a.to);
    let mut ahead: Vec<AbsenceState> = not_over
        .map(|a| {
            let once = changes
                .iter()
                .filter(|c| matches!(c.state, ChangeState::Ahead { .. } | ChangeState::Today))
                .filter(|c| a.from <= c.planned && c.planned <= a.to)
                .map(|c| Falls {
                    plan: c.plan,
                    what: c.what.clone(),
                    tanks_words: c.tanks_words.clone(),
                    first: c.planned,
                    times: 1,
                });
            let again = routines
                .iter()
                .filter_map(|r| routine(bench, r, a.from, a.to, today));
            let mut falls: Vec<Falls> = once.chain(again).collect();
            falls.sort_by_key(|f| f.first);
            AbsenceState {
                from: a.from,
                to: a.to,
                who_helps: a.who_helps.clone(),
                note: a.note.clone(),
                begun: a.from <= today,
                animals: bench.tanks.iter().any(|t| !t.livestock.is_empty()),
                falls,
            }
        })
        .collect();
    ahead.sort_by_key(|a| a.from);
    ahead
}

fn routine(
    bench: &Bench,
    state: &RoutineState,
    from: Date,
    to: Date,
    today: Date,
) -> Option<Falls> {
    let to = state.until.map_or(to, |u| u.min(to));
    let days: Vec<(TankId, Vec<Date>)> = state
        .tanks
        .iter()
        .map(|t| {
            (
                t.tank,
                due_days(t, state.every_days, from.max(today), to, today),
            )
        })
        .filter(|(_, days)| !days.is_empty())
        .collect();
    let first = days.iter().filter_map(|(_, d)| d.first()).min().copied()?;
    let tanks: Vec<TankId> = days.iter().map(|(tank, _)| *tank).collect();
    Some(Falls {
        plan: state.plan,
        what: state.what.clone(),
        tanks_words: tanks_words(bench, &tanks),
        first,
        times: days.iter().map(|(_, d)| d.len()).max().unwrap_or(0),
    })
}

/// The due days from `from` to `to`, as if each before were done on its day, one overdue today.
fn due_days(tank: &TankRoutine, every: u16, from: Date, to: Date, today: Date) -> Vec<Date> {
    let step = i64::from(every.max(1)).days();
    let mut days = Vec::new();
    let mut next = tank.next.map(|n| n.max(today));
    while let Some(day) = next.filter(|d| *d <= to) {
        if from <= day {
            days.push(day);
        }
        next = day.checked_add(step).ok();
    }
    days
}
