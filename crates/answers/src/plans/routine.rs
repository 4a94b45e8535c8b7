//! A routine, tank by tank.

use super::counts::Counts;
use super::{Due, days_between, tanks_of, tanks_words};
use crate::days;
use jiff::ToSpan;
use jiff::civil::Date;
use serde::Serialize;
use text::t;
use trial::plan::{PlanOutcome, Routine};
use trial::{Act, Bench, Entry, EntryId, Finding, Plan, PlanId, Severity, Tank, TankId};

/// A routine as it stands on a day.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RoutineState {
    /// The plan.
    pub plan: PlanId,
    /// What is done again and again.
    pub what: String,
    /// The kind of act that counts as doing it, as in [`trial::Act::kind`].
    pub act: String,
    /// What of that kind counts, by what the plan's words name; empty when all of it does.
    pub counts: Vec<String>,
    /// Due this many days after it was last done.
    pub every_days: u16,
    /// From when.
    pub from: Date,
    /// Until when; none while it runs.
    pub until: Option<Date>,
    /// Whether it still runs today.
    pub running: bool,
    /// Each of its tanks, from the left.
    pub tanks: Vec<TankRoutine>,
    /// Due dates missed in all its tanks together.
    pub missed: usize,
    /// Of those missed, the ones that fell in an absence; they count as missed all the same.
    pub away: usize,
    /// Due dates decided in all its tanks together.
    pub decided: usize,
    /// The whole state as a sentence.
    pub sentence: String,
}

/// A routine in one tank.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TankRoutine {
    /// The tank.
    pub tank: TankId,
    /// Its name.
    pub name: String,
    /// When it was last done, since the routine began.
    pub last: Option<Date>,
    /// The entry it was last done by.
    pub last_entry: Option<EntryId>,
    /// When it is due next; none when the routine has ended.
    pub next: Option<Date>,
    /// Days since it was due; 0 is today, none when it is not due.
    pub overdue_days: Option<i64>,
    /// Due dates with nothing within half the interval.
    pub missed: Vec<Date>,
    /// Of those, the ones that fell in an absence.
    pub away: Vec<Date>,
    /// Due dates whose half interval has passed, or that were done.
    pub decided: usize,
}

/// The state of `plan`, or a finding when its routine cannot be counted.
pub(super) fn state(
    bench: &Bench,
    plan: &Plan,
    routine: &Routine,
    in_force: &[&Entry],
    today: Date,
    findings: &mut Vec<Finding>,
) -> Option<RoutineState> {
    if !Act::KINDS.contains(&routine.act.as_str()) {
        let what = t!(
            "setup.plan_act_unknown",
            what = plan.what,
            act = routine.act
        );
        let remedy = t!("setup.plan_act_unknown_remedy");
        let finding = Finding::new("plan_act_unknown", Severity::Weakens, what, remedy);
        findings.push(finding.on(plan.id));
        return None;
    }
    if routine.every_days == 0 {
        let what = t!("setup.plan_every_zero", what = plan.what);
        let remedy = t!("setup.plan_every_zero_remedy");
        findings.push(Finding::new("plan_every_zero", Severity::Weakens, what, remedy).on(plan.id));
        return None;
    }
    let counts = Counts::of(bench, plan, &routine.act);
    if routine.act == "dose" && counts.names.is_empty() {
        let what = t!("setup.plan_counts_any", what = plan.what);
        let remedy = t!("setup.plan_counts_any_remedy");
        findings.push(Finding::new("plan_counts_any", Severity::Note, what, remedy).on(plan.id));
    }
    let course = Course {
        from: plan.from,
        until: ends(plan, routine),
        every: i64::from(routine.every_days),
        today,
    };
    let done: Vec<&Entry> = in_force
        .iter()
        .copied()
        .filter(|e| counts.has(e) && days::of(e) <= today)
        .collect();
    let of_tank = |id| {
        let mut state = course.tank_state(bench.tank(id)?, &done);
        let away = |d: &&Date| bench.trial.absence_on(**d).is_some();
        state.away = state.missed.iter().filter(away).copied().collect();
        Some(state)
    };
    let tanks: Vec<TankRoutine> = tanks_of(bench, plan)
        .into_iter()
        .filter_map(of_tank)
        .collect();
    let missed = tanks.iter().map(|t| t.missed.len()).sum();
    let away = tanks.iter().map(|t| t.away.len()).sum();
    let decided = tanks.iter().map(|t| t.decided).sum();
    Some(RoutineState {
        plan: plan.id,
        what: plan.what.clone(),
        act: routine.act.clone(),
        counts: counts.names,
        every_days: routine.every_days,
        from: plan.from,
        until: course.until,
        running: plan.from <= today && course.until.is_none_or(|u| today <= u),
        missed,
        away,
        decided,
        sentence: match &plan.outcome {
            PlanOutcome::Dropped { why } => t!("setup.routine_dropped", why = why),
            _ => sentence(&tanks, &course, missed, decided),
        },
        tanks,
    })
}

/// The last day of a routine: as planned, or the day it was closed.
fn ends(plan: &Plan, routine: &Routine) -> Option<Date> {
    match &plan.outcome {
        PlanOutcome::Open => routine.until,
        PlanOutcome::Done { on, .. } => Some(routine.until.map_or(*on, |u| u.min(*on))),
        // The day it was given up is not recorded: it then counts as never begun.
        PlanOutcome::Dropped { .. } => plan.from.yesterday().ok(),
    }
}

/// The days of a routine.
struct Course {
    from: Date,
    until: Option<Date>,
    every: i64,
    today: Date,
}

impl Course {
    fn after(&self, day: Date) -> Option<Date> {
        day.checked_add(self.every.days()).ok()
    }

    fn not_over(&self, day: Date) -> bool {
        self.until.is_none_or(|u| day <= u)
    }

    /// `done` are the entries that count, in any tank.
    fn tank_state(&self, tank: &Tank, done: &[&Entry]) -> TankRoutine {
        let done: Vec<&&Entry> = done.iter().filter(|e| e.tanks.contains(&tank.id)).collect();
        let last = done
            .iter()
            .filter(|e| days::of(e) >= self.from && self.not_over(days::of(e)))
            .max_by_key(|e| e.at.timestamp());
        let next = last
            .map_or(Some(self.from), |e| self.after(days::of(e)))
            .filter(|n| self.not_over(*n) && self.not_over(self.today));
        let mut done_days: Vec<Date> = done.iter().map(|e| days::of(e)).collect();
        done_days.sort();
        let (missed, decided) = self.due_dates(&done_days);
        TankRoutine {
            tank: tank.id,
            name: tank.name.clone(),
            last: last.map(|e| days::of(e)),
            last_entry: last.map(|e| e.id),
            overdue_days: next
                .map(|n| days_between(n, self.today))
                .filter(|d| *d >= 0),
            next,
            missed,
            away: vec![],
            decided,
        }
    }

    /// The due dates missed, and how many were decided, by the days on which it was done (rising).
    ///
    /// Each due date lies one interval after the last time it was done, or after the due date before
    /// when that was missed. It is met by what is done within half an interval of it; what is done
    /// earlier still moves it without deciding it.
    fn due_dates(&self, done: &[Date]) -> (Vec<Date>, usize) {
        let last_due = self.until.map_or(self.today, |u| u.min(self.today));
        let late = |due, day| 2 * days_between(due, day) > self.every;
        let early = |due, day| 2 * days_between(day, due) > self.every;
        // What was done long before the routine began does not move its first date.
        let mut done = done
            .iter()
            .copied()
            .filter(|d| !early(self.from, *d))
            .peekable();
        let (mut missed, mut decided) = (Vec::new(), 0);
        let mut next = Some(self.from);
        while let Some(due) = next.filter(|d| *d <= last_due) {
            next = match done.next_if(|day| !late(due, *day)) {
                Some(day) => {
                    decided += usize::from(!early(due, day));
                    self.after(day)
                }
                None if late(due, self.today) => {
                    decided += 1;
                    missed.push(due);
                    self.after(due)
                }
                None => None,
            };
        }
        (missed, decided)
    }
}

fn sentence(tanks: &[TankRoutine], course: &Course, missed: usize, decided: usize) -> String {
    let (until, today) = (course.until, course.today);
    let next = tanks.iter().filter_map(|t| t.next).min();
    let when = match (next, until) {
        (Some(next), _) if next < today => {
            t!(
                "setup.routine_overdue",
                day = next,
                n = days_between(next, today)
            )
        }
        (Some(next), _) if next == today => t!("setup.routine_today").into(),
        (Some(next), _) => t!("setup.routine_next", day = next),
        (None, Some(until)) if until < today => t!("setup.routine_ended", day = until),
        (None, _) => t!("setup.routine_no_more").into(),
    };
    let kept = match (missed, decided) {
        (_, 0) => t!("setup.routine_none_decided").into(),
        (0, n) => t!("setup.routine_none_missed", n = n),
        (missed, n) => t!("setup.routine_missed", missed = missed, n = n),
    };
    format!("{when} {kept}")
}

impl RoutineState {
    pub(super) fn due(&self, bench: &Bench) -> Option<Due> {
        let waiting: Vec<&TankRoutine> = self
            .tanks
            .iter()
            .filter(|t| t.overdue_days.is_some())
            .collect();
        let overdue_days = waiting.iter().filter_map(|t| t.overdue_days).max()?;
        let tanks: Vec<TankId> = waiting.iter().map(|t| t.tank).collect();
        Some(Due {
            plan: self.plan,
            what: self.what.clone(),
            act: Some(self.act.clone()),
            tanks_words: tanks_words(bench, &tanks),
            all_tanks: tanks.len() == bench.tanks.len(),
            tanks,
            overdue_days,
        })
    }
}
