//! Plant by plant: how each tank changed, and what the arms' difference can carry.
//!
//! The tank is the unit (Hurlbert 1984): plantings of one plant in one tank are averaged first, on
//! the log scale for sizes (Hoffmann & Poorter 2002), and one number per tank goes on. Masses,
//! lengths, covers and scores each have their own rows and are never mixed.

mod baseline;
mod collect;
mod growth;
mod judge;
mod line;

use crate::days;
use jiff::civil::Date;
use quantity::{Basis, Estimate};
use serde::Serialize;
use trial::types::{Better, Measure, PhaseKind};
use trial::{Bench, Entry, EntryId, Finding, TankId};

pub use line::{LineMasses, MassMoved, Standing, line_masses};

/// The level of every interval here.
pub const LEVEL: f64 = 0.95;

/// Which span is compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Window {
    /// First day.
    pub from: Date,
    /// Day after the last.
    pub to: Date,
}

/// The whole comparison of a trial over a span.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    /// The span.
    pub window: Window,
    /// Where the span comes from, one sentence.
    pub why_window: String,
    /// The arms with their tanks.
    pub arms: Vec<ArmTanks>,
    /// One row per plant and measure: the primary outcome first, then those named in advance, then
    /// measure by measure, each by size of difference.
    pub rows: Vec<Row>,
    /// What this trial can say, in plain sentences.
    pub can_say: Vec<String>,
    /// What it cannot say, and why.
    pub cannot_say: Vec<String>,
    /// Doubts about the records used.
    pub findings: Vec<Finding>,
    /// How the scores came about: behind a mask or in full sight.
    pub scored: crate::walk::Scored,
}

/// An arm and its tanks.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ArmTanks {
    /// Key.
    pub key: String,
    /// Name.
    pub name: String,
    /// Its tanks' names, from the left.
    pub tanks: Vec<String>,
}

/// One plant and one measure.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Row {
    /// Scientific name; none for whole-tank measures.
    pub plant: Option<String>,
    /// Common name.
    pub common_name: Option<String>,
    /// The measure.
    pub measure: Measure,
    /// How change is expressed and compared.
    pub scale: Scale,
    /// Whether it is the primary outcome named in advance.
    pub primary: bool,
    /// What the keeper counts as better.
    pub better: Option<Better>,
    /// One entry per tank, from the left.
    pub tanks: Vec<TankChange>,
    /// Every pair of arms.
    pub differences: Vec<Difference>,
}

/// How a change is expressed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Scale {
    /// Growth rate per day; differences are per day.
    Rate,
    /// End divided by start; arms are compared as ratios.
    Factor,
    /// End less start, as scores: medians only.
    Score,
    /// End less start, as counts.
    Count,
}

/// How one tank changed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TankChange {
    /// The tank.
    pub tank: TankId,
    /// Its name.
    pub name: String,
    /// Its arm's key.
    pub arm: Option<String>,
    /// Mean value at the start of the span, with the days it was seen on.
    pub start: Option<Seen>,
    /// Mean value at the end.
    pub end: Option<Seen>,
    /// The change, on the row's scale.
    pub change: Estimate,
    /// Plantings averaged.
    pub plantings: usize,
    /// Plantings of this plant lost in the span.
    pub lost: usize,
}

/// A value and the days it was seen on.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Seen {
    /// First day.
    pub from: Date,
    /// Last day.
    pub to: Date,
    /// The value, in the measure's unit.
    pub value: f64,
}

/// One arm against another.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Difference {
    /// The arm, by name.
    pub of: String,
    /// The arm it is compared with.
    pub against: String,
    /// Ratio on [`Scale::Factor`], difference otherwise; refused with its reason where the design
    /// has no interval.
    pub estimate: Estimate,
    /// The bare difference of the tanks seen, without any interval, always shown as such.
    pub seen: Option<f64>,
    /// Exact two-sided p over all allocations of these tanks.
    pub exact_p: Option<f64>,
    /// The smallest p that so few tanks can give.
    pub smallest_p: Option<f64>,
    /// The whole difference as one sentence.
    pub sentence: String,
}

impl Comparison {
    /// Puts first what was named or drawn only after results could be seen.
    pub fn say_what_came_late(&mut self, advance: &crate::advance::InAdvance) {
        let mut late = Vec::new();
        if let (Some(day), Some(begins)) = (advance.primary_late(), advance.begins) {
            late.push(text::t!("compare.primary_late", day = day, begins = begins));
        }
        self.cannot_say.splice(0..0, late);
    }
}

impl Row {
    /// A stable key for links and files.
    pub fn key(&self) -> String {
        let plant = self
            .plant
            .as_deref()
            .unwrap_or("tank")
            .to_lowercase()
            .replace(' ', "-");
        format!("{plant}-{}", self.measure.key())
    }

    /// The size of its largest difference, for sorting; none sorts last.
    fn size(&self) -> f64 {
        let on_log = |v: f64| {
            if self.scale == Scale::Factor {
                v.ln().abs()
            } else {
                v.abs()
            }
        };
        self.differences
            .iter()
            .filter_map(|d| d.seen)
            .map(on_log)
            .fold(-1.0, f64::max)
    }
}

/// The span asked about when nobody says otherwise: the treatment so far, else all of it.
pub fn default_window(bench: &Bench, entries: &[Entry], today: Date) -> (Window, String) {
    let tomorrow = today.tomorrow().unwrap_or(today);
    if let Some(phase) = bench.trial.treatment() {
        let to = phase.to.unwrap_or(tomorrow).min(tomorrow).max(phase.from);
        return (
            Window {
                from: phase.from,
                to,
            },
            text::t!("compare.why_treatment").to_string(),
        );
    }
    let first = entries.first().map(days::of);
    let from = bench.trial.start.or(first).unwrap_or(today);
    (
        Window {
            from,
            to: tomorrow.max(from),
        },
        text::t!("compare.why_all").to_string(),
    )
}

/// Compares the arms of a trial over `window`. `entries` are the effective entries of the whole
/// trial, oldest first; only plants, masses and algae are read from them.
pub fn compare(bench: &Bench, entries: &[Entry], window: Window, why: String) -> Comparison {
    // Tanks left out after the lot bear on every row.
    let mut findings = crate::gaps::withdrawn_after_lot(bench);
    let mut rows = collect::rows(bench, entries, window, &mut findings);
    for row in &mut rows {
        row.differences = judge::differences(bench, row);
    }
    rows.retain(|r| {
        r.tanks
            .iter()
            .any(|t| t.change.value.is_some() || t.lost > 0)
    });
    // The primary outcome, then those named in advance, then measure by measure; differences are
    // only ranked within one measure, since factors, rates and scores have no common size.
    rows.sort_by(|a, b| {
        let place = |r: &Row| (!r.primary, r.better.is_none(), r.measure);
        place(a).cmp(&place(b)).then(b.size().total_cmp(&a.size()))
    });
    let arms: Vec<ArmTanks> = bench
        .trial
        .arms
        .iter()
        .map(|a| ArmTanks {
            key: a.key.clone(),
            name: a.name.clone(),
            tanks: bench.tanks_of_arm(&a.key).map(|t| t.name.clone()).collect(),
        })
        .collect();
    let treatment = crate::unequal::treatment(bench, entries, window.from, window.to);
    let (can_say, mut cannot_say) = judge::statements(bench, &arms, &rows, &treatment);
    if let Some(finding) = baseline::differed(bench, entries, &rows) {
        cannot_say.insert(0, finding.what.clone());
        findings.insert(0, finding);
    }
    Comparison {
        window,
        why_window: why,
        arms,
        rows,
        can_say,
        cannot_say,
        findings,
        scored: crate::walk::scored(bench, entries, Some(window)),
    }
}

/// Kinds of entry a comparison reads.
pub const KINDS: [&str; 10] = [
    "observation",
    "algae",
    "trim",
    "thin",
    "replant",
    "move",
    "loss",
    "plantlets",
    "harvest",
    "walk",
];

/// Whether the trial has a treatment phase that has begun.
pub fn treatment_begun(bench: &Bench, today: Date) -> bool {
    bench
        .trial
        .phases
        .iter()
        .any(|p| p.kind == PhaseKind::Treatment && p.from <= today)
}

fn basis(formula: &str, source: &str, records: &[EntryId]) -> Basis {
    Basis::of(formula, source).with_records(records.iter().map(ToString::to_string))
}
