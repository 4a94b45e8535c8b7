//! Everything the published update says, gathered once.

use crate::advance::InAdvance;
use crate::bench::{self, BenchView};
use crate::cautions::{self, CautionsAnswer};
use crate::compare::{Comparison, Window};
use crate::cost::CostAnswer;
use crate::line::{EntryLine, line};
use crate::pictures::{self, Pair, Together};
use crate::plans::PlansAnswer;
use crate::readings::Readings;
use crate::unequal::Treatment;
use crate::{AnswerError, load};
use jiff::civil::Date;
use quantity::Format;
use serde::Serialize;
use store::{EntryQuery, Notebook};
use trial::types::PhaseKind;
use trial::{Bench, TrialId};

/// The update of a trial as of a day.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct UpdateView {
    /// The set-up.
    pub bench: Bench,
    /// The tanks as they stand on that day, for drawing.
    pub now: BenchView,
    /// What happened to animals, oldest first.
    pub animals: Vec<EntryLine>,
    /// The day it is as of.
    pub as_of: Date,
    /// Whether the trial is closed.
    pub closed: bool,
    /// First and last day of the records.
    pub whole: Window,
    /// The comparison.
    pub comparison: Comparison,
    /// What was written down in advance.
    pub advance: InAdvance,
    /// All readings.
    pub readings: Readings,
    /// How tanks were treated, phase by phase.
    pub treatment: Vec<(PhaseKind, Treatment)>,
    /// What it cost.
    pub cost: CostAnswer,
    /// Before and after, tank by tank.
    pub pairs: Vec<Pair>,
    /// Pictures of the same day beside each other.
    pub together: Vec<Together>,
    /// Plans and how they went.
    pub plans: PlansAnswer,
    /// Cautions that apply.
    pub cautions: CautionsAnswer,
    /// Entries in the trial, superseded ones included.
    pub entries: u64,
    /// The program's version.
    pub version: &'static str,
}

/// Gathers the update of a trial.
pub fn update_view(
    notebook: &Notebook,
    trial: TrialId,
    today: Date,
) -> Result<UpdateView, AnswerError> {
    let bench = notebook.bench(trial)?;
    let (as_of, closed) = bench::as_of(&bench, today);
    let whole = load::whole(notebook, &bench, today)?;
    let comparison = load::comparison(notebook, &bench, None, today)?;
    let lines = load::pictures(notebook, &bench)?;
    let animals = notebook.entries(&EntryQuery::of(trial).kinds(&["livestock"]))?;
    let format = Format::default();
    Ok(UpdateView {
        now: bench::bench_view(notebook, trial, today)?,
        animals: animals.iter().map(|e| line(e, &bench, &format)).collect(),
        as_of,
        closed,
        whole,
        readings: load::readings(notebook, &bench, whole)?,
        treatment: load::treatment_by_phase(notebook, &bench, today)?,
        cost: load::cost(notebook, &bench, today)?,
        pairs: pictures::pairs(&bench, &lines, comparison.window),
        together: pictures::together(&bench, &lines),
        plans: load::plans(notebook, &bench, today)?,
        cautions: cautions::cautions(&bench),
        entries: notebook
            .trials()?
            .iter()
            .find(|t| t.trial.id == trial)
            .map_or(0, |t| t.entries),
        version: env!("CARGO_PKG_VERSION"),
        advance: load::advance(notebook, &bench)?,
        comparison,
        bench,
    })
}
