//! What was planned and what became of it; what is due, and what was missed.

mod absence;
mod counts;
mod routine;
#[cfg(test)]
mod tests;

pub use absence::{AbsenceState, Falls};
pub use routine::{RoutineState, TankRoutine};

use crate::days;
use jiff::civil::Date;
use quantity::Basis;
use serde::Serialize;
use text::t;
use trial::plan::PlanOutcome;
use trial::{Act, Bench, Entry, EntryId, Finding, Plan, PlanId, Severity, TankId};

/// The plans of a trial as they stand on a day.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlansAnswer {
    /// The day.
    pub today: Date,
    /// Planned changes, by the day they were planned for.
    pub changes: Vec<PlannedChange>,
    /// Routines, in the order they were set up.
    pub routines: Vec<RoutineState>,
    /// What is due today or overdue, most overdue first.
    pub due: Vec<Due>,
    /// Absences not over yet, with what falls due in them.
    pub absences: Vec<AbsenceState>,
    /// How routines are counted.
    pub basis: Basis,
    /// What is doubtful.
    pub findings: Vec<Finding>,
}

/// A planned change beside what was done.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlannedChange {
    /// The plan.
    pub plan: PlanId,
    /// What was to be done.
    pub what: String,
    /// In which tanks.
    pub tanks: Vec<TankId>,
    /// The same in words.
    pub tanks_words: String,
    /// Planned for.
    pub planned: Date,
    /// What the keeper expected.
    pub expects: String,
    /// What the keeper saw; empty until it is written.
    pub seen: String,
    /// How it stands.
    pub state: ChangeState,
    /// The same as a sentence.
    pub sentence: String,
}

impl PlannedChange {
    /// Whether it is still to be said what became of it.
    pub fn open(&self) -> bool {
        matches!(
            self.state,
            ChangeState::Ahead { .. } | ChangeState::Today | ChangeState::Overdue { .. }
        )
    }
}

/// How a planned change stands.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum ChangeState {
    /// Its day is still to come.
    Ahead {
        /// Days until then.
        in_days: i64,
    },
    /// Its day is today.
    Today,
    /// Its day has passed and it was not done.
    Overdue {
        /// Days since then.
        days: i64,
    },
    /// Done.
    Done {
        /// On this day.
        on: Date,
        /// Days after the planned day; negative when it was done before.
        late_days: i64,
        /// The entries it was done by.
        entries: Vec<EntryId>,
    },
    /// Given up.
    Dropped {
        /// Why.
        why: String,
    },
}

/// One thing to do.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Due {
    /// The plan.
    pub plan: PlanId,
    /// What.
    pub what: String,
    /// For a routine: the kind of act a form can be opened for.
    pub act: Option<String>,
    /// In which tanks it is due.
    pub tanks: Vec<TankId>,
    /// The same in words.
    pub tanks_words: String,
    /// Whether that is every tank of the trial.
    pub all_tanks: bool,
    /// Days since it was due, in the tank that has waited longest; 0 is today.
    pub overdue_days: i64,
}

/// The kinds of entry that [`plans`] counts: those of the bench's routines.
pub fn kinds(bench: &Bench) -> Vec<&'static str> {
    let named = |k: &&str| {
        bench
            .plans
            .iter()
            .filter_map(|p| p.routine.as_ref())
            .any(|r| r.act == **k)
    };
    Act::KINDS.into_iter().filter(named).collect()
}

/// The plans of `bench` as they stand on `today`.
///
/// `entries` must reach back to the day each routine began, at least with those of [`kinds`]: a due
/// date before them would count as missed.
pub fn plans(bench: &Bench, entries: &[Entry], today: Date) -> PlansAnswer {
    let in_force = crate::history::in_force(entries);
    let mut findings = Vec::new();
    let (mut changes, mut routines) = (Vec::new(), Vec::new());
    for plan in &bench.plans {
        match &plan.routine {
            None => changes.push(change(bench, plan, today, &mut findings)),
            Some(routine) => {
                let state = routine::state(bench, plan, routine, &in_force, today, &mut findings);
                routines.extend(state);
            }
        }
    }
    changes.sort_by_key(|c: &PlannedChange| c.planned);
    let mut due: Vec<Due> = changes.iter().filter_map(|c| c.due(bench)).collect();
    due.extend(routines.iter().filter_map(|r: &RoutineState| r.due(bench)));
    due.sort_by_key(|d| std::cmp::Reverse(d.overdue_days));
    PlansAnswer {
        today,
        absences: absence::ahead(bench, &changes, &routines, today),
        changes,
        routines,
        due,
        basis: Basis::of(t!("setup.plan_formula"), t!("setup.plan_source")),
        findings,
    }
}

/// Whole days from `a` to `b`.
pub(crate) fn days_between(a: Date, b: Date) -> i64 {
    days::between(a, b).round() as i64
}

/// The tanks of a plan: those named that exist, all when none is named.
fn tanks_of(bench: &Bench, plan: &Plan) -> Vec<TankId> {
    let all = bench.tank_ids();
    if plan.tanks.is_empty() {
        return all;
    }
    all.into_iter().filter(|t| plan.tanks.contains(t)).collect()
}

/// The tanks in words; `every tank` when it is all of several.
fn tanks_words(bench: &Bench, tanks: &[TankId]) -> String {
    let all = tanks.len() == bench.tanks.len() && tanks.len() > 1;
    trial::describe::tanks_phrase(tanks, all, bench)
}

fn change(bench: &Bench, plan: &Plan, today: Date, findings: &mut Vec<Finding>) -> PlannedChange {
    let (state, seen) = match &plan.outcome {
        PlanOutcome::Dropped { why } => (ChangeState::Dropped { why: why.clone() }, String::new()),
        PlanOutcome::Done { on, entries, seen } => {
            let late_days = days_between(plan.from, *on);
            (
                ChangeState::Done {
                    on: *on,
                    late_days,
                    entries: entries.clone(),
                },
                seen.clone(),
            )
        }
        PlanOutcome::Open => {
            let state = match days_between(plan.from, today) {
                0 => ChangeState::Today,
                late if late > 0 => ChangeState::Overdue { days: late },
                early => ChangeState::Ahead { in_days: -early },
            };
            (state, String::new())
        }
    };
    let tanks = tanks_of(bench, plan);
    let tanks_words = tanks_words(bench, &tanks);
    let change = PlannedChange {
        plan: plan.id,
        what: plan.what.clone(),
        tanks_words,
        tanks,
        planned: plan.from,
        expects: plan.expects.clone(),
        seen,
        sentence: sentence(plan, &state),
        state,
    };
    doubts(&change, today, findings);
    change
}

fn doubts(change: &PlannedChange, today: Date, findings: &mut Vec<Finding>) {
    let what = &change.what;
    let mut add = |code, severity, text: String, remedy: &str| {
        findings.push(Finding::new(code, severity, text, remedy).on(change.plan));
    };
    let dropped = matches!(change.state, ChangeState::Dropped { .. });
    if change.expects.trim().is_empty() && !dropped {
        let remedy = t!("setup.plan_expects_missing_remedy");
        let text = t!("setup.plan_expects_missing", what = what);
        add("plan_expects_missing", Severity::Note, text, remedy);
    }
    match &change.state {
        ChangeState::Overdue { days } => {
            let text = t!("setup.plan_overdue", what = what, n = days);
            add(
                "plan_overdue",
                Severity::Note,
                text,
                t!("setup.plan_overdue_remedy"),
            );
        }
        ChangeState::Done { on, .. } => {
            if change.seen.trim().is_empty() {
                let text = t!("setup.plan_seen_missing", what = what);
                add(
                    "plan_seen_missing",
                    Severity::Note,
                    text,
                    t!("setup.plan_seen_missing_remedy"),
                );
            }
            if *on > today {
                let text = t!("setup.plan_done_ahead", what = what, day = on);
                add(
                    "plan_done_ahead",
                    Severity::Weakens,
                    text,
                    t!("setup.plan_done_ahead_remedy"),
                );
            }
        }
        _ => {}
    }
}

fn sentence(plan: &Plan, state: &ChangeState) -> String {
    match state {
        ChangeState::Ahead { in_days } => t!("setup.plan_ahead", day = plan.from, n = in_days),
        ChangeState::Today => t!("setup.plan_today").into(),
        ChangeState::Overdue { days } => t!("setup.plan_late", day = plan.from, n = days),
        ChangeState::Done {
            on, late_days: 0, ..
        } => t!("setup.plan_done_on_day", day = on),
        ChangeState::Done { on, late_days, .. } if *late_days > 0 => {
            t!(
                "setup.plan_done_late",
                day = on,
                n = late_days,
                planned = plan.from
            )
        }
        ChangeState::Done { on, late_days, .. } => {
            t!(
                "setup.plan_done_early",
                day = on,
                n = late_days.abs(),
                planned = plan.from
            )
        }
        ChangeState::Dropped { why } if why.trim().is_empty() => t!("setup.plan_dropped").into(),
        ChangeState::Dropped { why } => t!("setup.plan_dropped_why", why = why),
    }
}

impl PlannedChange {
    fn due(&self, bench: &Bench) -> Option<Due> {
        let overdue_days = match self.state {
            ChangeState::Today => 0,
            ChangeState::Overdue { days } => days,
            _ => return None,
        };
        Some(Due {
            plan: self.plan,
            what: self.what.clone(),
            act: None,
            tanks: self.tanks.clone(),
            tanks_words: self.tanks_words.clone(),
            all_tanks: self.tanks.len() == bench.tanks.len(),
            overdue_days,
        })
    }
}
