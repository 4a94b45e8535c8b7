//! From the notebook to the pure answers: which entries each question reads.

use crate::advance::{self, InAdvance};
use crate::cautions::{self, CautionsAnswer};
use crate::compare::{self, Comparison, Window};
use crate::cost::{self, CostAnswer};
use crate::pictures::{self, PictureLine};
use crate::readings::{self, Readings};
use crate::unequal::{self, Treatment};
use crate::{AnswerError, bench, days, plans};
use jiff::civil::Date;
use store::{EntryQuery, Notebook};
use trial::{Bench, Entry};

/// Kinds of entry that say how a tank was treated.
pub(crate) const TREATMENT_KINDS: [&str; 9] = [
    "dose", "change", "top_up", "feed", "clean", "setting", "trim", "thin", "swap",
];

/// Whether entries of this kind say how a tank was treated.
pub(crate) fn is_treatment(kind: &str) -> bool {
    TREATMENT_KINDS.contains(&kind)
}

/// Effective entries of these kinds, oldest first.
fn of_kinds(
    notebook: &Notebook,
    bench: &Bench,
    kinds: Vec<&'static str>,
) -> Result<Vec<Entry>, AnswerError> {
    Ok(notebook.entries(&EntryQuery {
        kinds,
        ..EntryQuery::of(bench.trial.id)
    })?)
}

/// What was written down in advance.
pub fn advance(notebook: &Notebook, bench: &Bench) -> Result<InAdvance, AnswerError> {
    Ok(advance::in_advance(
        bench,
        &notebook.revisions(bench.trial.id.0)?,
    ))
}

/// The comparison of a trial; without a window, of its treatment so far.
pub fn comparison(
    notebook: &Notebook,
    bench: &Bench,
    window: Option<Window>,
    today: Date,
) -> Result<Comparison, AnswerError> {
    let mut kinds = compare::KINDS.to_vec();
    kinds.extend(
        TREATMENT_KINDS
            .iter()
            .filter(|k| !compare::KINDS.contains(k)),
    );
    let entries = of_kinds(notebook, bench, kinds)?;
    let (as_of, _) = bench::as_of(bench, today);
    let (default, why) = compare::default_window(bench, &entries, as_of);
    let (window, why) = match window {
        Some(asked) => (asked, text::t!("compare.why_asked").to_string()),
        None => (default, why),
    };
    let mut comparison = compare::compare(bench, &entries, window, why);
    comparison.say_what_came_late(&advance(notebook, bench)?);
    Ok(comparison)
}

/// The readings of a span; without one, of the last twelve weeks.
pub fn readings(
    notebook: &Notebook,
    bench: &Bench,
    window: Window,
) -> Result<Readings, AnswerError> {
    let query = EntryQuery {
        kinds: vec!["reading", "dose", "change", "setting"],
        from: days::start_of(bench, window.from),
        to: days::start_of(bench, window.to),
        ..EntryQuery::of(bench.trial.id)
    };
    let entries = notebook.entries(&query)?;
    Ok(readings::readings(bench, &entries, window.from, window.to))
}

/// What setting up and keeping the trial cost.
pub fn cost(notebook: &Notebook, bench: &Bench, today: Date) -> Result<CostAnswer, AnswerError> {
    let entries = notebook.entries(&EntryQuery::of(bench.trial.id))?;
    let (as_of, _) = bench::as_of(bench, today);
    Ok(cost::cost(bench, &entries, as_of))
}

/// How tanks were treated in each phase so far.
pub fn treatment_by_phase(
    notebook: &Notebook,
    bench: &Bench,
    today: Date,
) -> Result<Vec<(trial::types::PhaseKind, Treatment)>, AnswerError> {
    let entries = of_kinds(notebook, bench, TREATMENT_KINDS.to_vec())?;
    let (as_of, _) = bench::as_of(bench, today);
    let tomorrow = as_of.tomorrow().unwrap_or(as_of);
    let begun = bench.trial.phases.iter().filter(|p| p.from < as_of);
    Ok(begun
        .map(|p| {
            let to = p.to.unwrap_or(tomorrow).min(tomorrow);
            (p.kind, unequal::treatment(bench, &entries, p.from, to))
        })
        .collect())
}

/// All pictures of a trial.
pub fn pictures(notebook: &Notebook, bench: &Bench) -> Result<Vec<PictureLine>, AnswerError> {
    Ok(pictures::pictures(
        bench,
        &of_kinds(notebook, bench, vec!["picture"])?,
    ))
}

/// What the gallery of pictures reads: pictures, and what makes two of them differ though the plants
/// do not, oldest first.
pub fn around_pictures(notebook: &Notebook, bench: &Bench) -> Result<Vec<Entry>, AnswerError> {
    of_kinds(notebook, bench, vec!["picture", "setting", "change"])
}

/// Plans and routines as of today.
pub fn plans(
    notebook: &Notebook,
    bench: &Bench,
    today: Date,
) -> Result<plans::PlansAnswer, AnswerError> {
    let entries = notebook.entries(&EntryQuery::of(bench.trial.id))?;
    let (as_of, _) = bench::as_of(bench, today);
    Ok(plans::plans(bench, &entries, as_of))
}

/// What a trial should be careful about, animals that came after its start included.
pub fn cautions(notebook: &Notebook, bench: &Bench) -> Result<CautionsAnswer, AnswerError> {
    let arrivals = of_kinds(notebook, bench, vec!["livestock"])?;
    Ok(CautionsAnswer {
        conflicts: cautions::conflicts(bench, &arrivals),
        ..cautions::cautions(bench)
    })
}

/// The first and last day of a trial's records, for windows: its start or first entry, and today or
/// its end.
pub fn whole(notebook: &Notebook, bench: &Bench, today: Date) -> Result<Window, AnswerError> {
    let (as_of, _) = bench::as_of(bench, today);
    let first = notebook
        .entries(&EntryQuery {
            limit: Some(1),
            ..EntryQuery::of(bench.trial.id)
        })?
        .first()
        .map(days::of);
    let phases = bench.trial.phases.iter().map(|p| p.from).min();
    let from = [bench.trial.start, first, phases]
        .into_iter()
        .flatten()
        .min()
        .unwrap_or(as_of);
    let to = as_of.tomorrow().unwrap_or(as_of);
    Ok(Window {
        from: from.min(as_of),
        to,
    })
}
