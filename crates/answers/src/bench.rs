//! The bench: the tanks side by side, what was done lately, what is missing, what was unequal.

use crate::line::{EntryLine, line};
use crate::readings::MeterValue;
use crate::unequal::{self, Treatment};
use crate::{AnswerError, days, gaps, plans};
use jiff::ToSpan;
use jiff::civil::Date;
use quantity::{Analyte, Estimate, Format, Interval};
use serde::Serialize;
use store::{EntryQuery, Notebook};
use text::t;
use trial::types::{KeptRange, PhaseKind};
use trial::{Act, Bench, Entry, EntryId, Finding, Planting, Severity, Tank, TrialId};

/// How far back "lately" reaches.
const LATELY_DAYS: i32 = 14;
/// How far back due dates and treatment are looked at.
const SPAN_DAYS: i32 = 42;
/// After so many days without any reading the bench says so.
const READING_EVERY_DAYS: f64 = 10.0;

/// The first page of a trial.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BenchView {
    /// The set-up.
    pub bench: Bench,
    /// The day it is shown as of: today, or the last day of a closed trial.
    pub as_of: Date,
    /// Whether the trial is closed.
    pub closed: bool,
    /// The phase on that day.
    pub phase: Option<PhaseKind>,
    /// Days since the trial's start.
    pub day: Option<i64>,
    /// The tanks, from the left.
    pub tanks: Vec<TankView>,
    /// What was done lately, newest first.
    pub lately: Vec<EntryLine>,
    /// What is due, and what was missed.
    pub plans: plans::PlansAnswer,
    /// What is missing or doubtful, weightiest first.
    pub findings: Vec<Finding>,
    /// How tanks were treated in the phase, up to six weeks back.
    pub treatment: Treatment,
}

/// One tank on the bench.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TankView {
    /// Its set-up.
    pub tank: Tank,
    /// Its arm's name.
    pub arm: Option<String>,
    /// Its water volume.
    pub water_l: Estimate,
    /// Its plantings.
    pub plantings: Vec<Planting>,
    /// Its newest readings.
    pub readings: Vec<LatestReading>,
    /// The newest picture of its front, by hash.
    pub picture: Option<String>,
}

/// The newest reading of one analyte.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LatestReading {
    /// Its entry.
    pub entry: EntryId,
    /// Of what.
    pub analyte: Analyte,
    /// Its day.
    pub day: Date,
    /// Days before `as_of`.
    pub days_ago: i64,
    /// What it says, as the ion.
    pub interval: Interval,
    /// What a meter showed; none for cards and bare intervals.
    pub meter: Option<MeterValue>,
    /// The range this trial is kept in.
    pub kept: Option<KeptRange>,
}

/// The bench of a trial as of `today`.
pub fn bench_view(
    notebook: &Notebook,
    trial: TrialId,
    today: Date,
) -> Result<BenchView, AnswerError> {
    let bench = notebook.bench(trial)?;
    let format = Format::default();
    let (as_of, closed) = as_of(&bench, today);
    let lately = lately(notebook, &bench, as_of)?;
    let span = span(notebook, &bench, as_of)?;
    let latest = notebook.latest_readings(trial)?;
    let pictures = newest_pictures(notebook, &bench)?;
    let tanks: Vec<TankView> = bench
        .tanks
        .iter()
        .map(|tank| TankView {
            tank: tank.clone(),
            arm: tank
                .arm
                .as_deref()
                .and_then(|k| bench.trial.arm(k))
                .map(|a| a.name.clone()),
            water_l: tank.water_l(),
            plantings: bench.plantings_in(tank.id).cloned().collect(),
            readings: latest
                .iter()
                .filter(|(id, _)| *id == tank.id)
                .filter_map(|(_, e)| latest_reading(&bench, e, as_of))
                .collect(),
            picture: pictures
                .iter()
                .find(|(id, _)| *id == tank.id)
                .map(|(_, sha)| sha.clone()),
        })
        .collect();
    let mut findings = gaps::gaps(&bench, &with_animals(notebook, &bench, &span)?, as_of);
    findings.extend(silent_tanks(&tanks, closed));
    findings.sort_by_key(|f| std::cmp::Reverse(f.severity));
    let phase = bench.trial.phase_on(as_of.yesterday().unwrap_or(as_of));
    let from = span_start(as_of).max(phase.map_or(Date::MIN, |p| p.from));
    let to = as_of.tomorrow().unwrap_or(as_of);
    Ok(BenchView {
        as_of,
        closed,
        phase: bench.trial.phase_on(as_of).map(|p| p.kind),
        day: bench.trial.start.map(|s| days::between(s, as_of) as i64),
        tanks,
        lately: lately.iter().map(|e| line(e, &bench, &format)).collect(),
        plans: plans::plans(&since(&bench, span_start(as_of)), &span, as_of),
        findings,
        treatment: unequal::treatment(&bench, &span, from, to),
        bench,
    })
}

/// Today, or the day a closed trial ended.
pub fn as_of(bench: &Bench, today: Date) -> (Date, bool) {
    let end = bench
        .trial
        .phases
        .iter()
        .find(|p| p.kind == PhaseKind::End)
        .map(|p| p.from);
    match end {
        Some(end) if end <= today => (end, true),
        _ => (today, false),
    }
}

fn lately(notebook: &Notebook, bench: &Bench, as_of: Date) -> Result<Vec<Entry>, AnswerError> {
    let from = as_of.checked_sub(LATELY_DAYS.days()).unwrap_or(as_of);
    let query = EntryQuery {
        from: days::start_of(bench, from),
        to: days::start_of(bench, as_of.tomorrow().unwrap_or(as_of)),
        newest_first: true,
        limit: Some(12),
        ..EntryQuery::of(bench.trial.id)
    };
    Ok(notebook.entries(&query)?)
}

fn span_start(as_of: Date) -> Date {
    as_of.checked_sub(SPAN_DAYS.days()).unwrap_or(as_of)
}

/// The entries of the span that due dates and treatment need, oldest first.
fn span(notebook: &Notebook, bench: &Bench, as_of: Date) -> Result<Vec<Entry>, AnswerError> {
    let query = EntryQuery {
        from: days::start_of(bench, span_start(as_of)),
        to: days::start_of(bench, as_of.tomorrow().unwrap_or(as_of)),
        ..EntryQuery::of(bench.trial.id)
    };
    Ok(notebook.entries(&query)?)
}

/// The same bench with its routines counted from `from` on: what was due before the entries that
/// were read is not judged on this page; the plans page judges all of it.
fn since(bench: &Bench, from: Date) -> Bench {
    let mut bench = bench.clone();
    for plan in bench.plans.iter_mut().filter(|p| p.routine.is_some()) {
        plan.from = plan.from.max(from);
    }
    bench
}

/// The span's entries and every arrival of animals before it: those may live here still.
fn with_animals(
    notebook: &Notebook,
    bench: &Bench,
    span: &[Entry],
) -> Result<Vec<Entry>, AnswerError> {
    let mut all = notebook.entries(&EntryQuery {
        kinds: vec!["livestock"],
        ..EntryQuery::of(bench.trial.id)
    })?;
    all.retain(|e| span.iter().all(|s| s.id != e.id));
    all.extend(span.iter().cloned());
    Ok(all)
}

fn latest_reading(bench: &Bench, entry: &Entry, as_of: Date) -> Option<LatestReading> {
    let Act::Reading(reading) = &entry.act else {
        return None;
    };
    let day = days::of(entry);
    Some(LatestReading {
        entry: entry.id,
        analyte: reading.analyte,
        day,
        days_ago: days::between(day, as_of) as i64,
        interval: reading.as_ion(),
        meter: MeterValue::of(reading),
        kept: bench
            .trial
            .kept_ranges
            .iter()
            .find(|k| k.analyte == reading.analyte)
            .cloned(),
    })
}

/// The newest front picture of each tank, by hash.
pub fn newest_pictures(
    notebook: &Notebook,
    bench: &Bench,
) -> Result<Vec<(trial::TankId, String)>, AnswerError> {
    let mut newest = Vec::new();
    for tank in &bench.tanks {
        let query = EntryQuery {
            tank: Some(tank.id),
            kinds: vec!["picture"],
            newest_first: true,
            limit: Some(8),
            ..EntryQuery::of(bench.trial.id)
        };
        let pictures = notebook.entries(&query)?;
        let front = pictures.iter().find_map(|e| match &e.act {
            Act::Picture(p) if p.view == trial::act::View::Front => Some(p.sha256.clone()),
            _ => None,
        });
        newest.extend(front.map(|sha| (tank.id, sha)));
    }
    Ok(newest)
}

/// Tanks whose water nobody has tested lately.
fn silent_tanks(tanks: &[TankView], closed: bool) -> Option<Finding> {
    let silent: Vec<&str> = tanks
        .iter()
        .filter(|t| {
            !t.readings
                .iter()
                .any(|r| (r.days_ago as f64) < READING_EVERY_DAYS)
        })
        .map(|t| t.tank.name.as_str())
        .collect();
    (!silent.is_empty() && !closed).then(|| {
        Finding::new(
            "no_reading_lately",
            Severity::Note,
            t!(
                "bench.no_reading_lately",
                tanks = silent.join(", "),
                days = READING_EVERY_DAYS
            ),
            t!("bench.no_reading_lately_remedy"),
        )
    })
}
