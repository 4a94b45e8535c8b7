//! The timeline: what was done, seen and planned in every tank, from a day to the whole trial.
//!
//! A span is cut into stretches; what lies in one stretch of one tank is one cell per family of act.
//! A short span is read entry by entry; a span with more than [`READ`] entries is only counted, so
//! that the time to answer does not grow with the notebook.

mod cells;
mod list;
mod planned;
mod spans;
#[cfg(test)]
mod tests;
mod unlike;
mod words;

pub use cells::{Cell, Family, Kinds, Lane};
pub use planned::{PlanMark, PlanState};
pub use spans::{Slot, Span, Unit};
pub use unlike::Unlike;
pub use words::{count_words, slot_words};

use crate::compare::Window;
use crate::line::EntryLine;
use crate::plans::PlannedChange;
use crate::{AnswerError, days, load};
use jiff::Timestamp;
use jiff::civil::Date;
use serde::Serialize;
use store::{EntryQuery, Notebook};
use trial::types::PhaseKind;
use trial::{Bench, Entry, EntryId};

/// Up to so many entries a span is read whole; one with more is counted.
pub const READ: u64 = 1_500;
/// Days up to which the whole trial is shown when nothing is asked for.
const SHOWN_WHOLE: f64 = 400.0;

/// What is asked of the timeline.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Asked {
    /// A day in the span; none for today or the trial's last day.
    pub from: Option<Date>,
    /// Which span; none for the whole of a short trial, else the quarter.
    pub span: Option<Span>,
    /// The last entry of the page of the list before; none for its first page.
    pub after: Option<EntryId>,
}

/// A span of the trial.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Timeline {
    /// The day it is shown as of: today, or the last day of a closed trial.
    pub as_of: Date,
    /// Which span.
    pub span: Span,
    /// Its days.
    pub window: Window,
    /// What a stretch measures.
    pub unit: Unit,
    /// Its stretches, in order.
    pub slots: Vec<Slot>,
    /// A day in the span before, when something can lie there.
    pub earlier: Option<Date>,
    /// A day in the span after, when something can lie there.
    pub later: Option<Date>,
    /// The phases that reach into it.
    pub phases: Vec<PhasePart>,
    /// One lane per tank, from the left, and one of the whole trial when it has anything.
    pub lanes: Vec<Lane>,
    /// Where tanks were not treated alike, in order of time.
    pub unlike: Vec<Unlike>,
    /// Whether entries were only counted: then amounts were not compared and missed routines not
    /// looked for.
    pub counted: bool,
    /// Planned changes that were planned for or done in it, by the day they were planned for.
    pub changes: Vec<PlannedChange>,
    /// Entries that stand in it.
    pub entries: u64,
    /// A page of them, oldest first.
    pub list: Vec<EntryLine>,
    /// The last entry of that page, when there are more.
    pub more_after: Option<EntryId>,
}

/// The part of a phase that lies in the window.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct PhasePart {
    /// Which phase.
    pub kind: PhaseKind,
    /// First day in the window.
    pub from: Date,
    /// Day after the last in the window.
    pub to: Date,
    /// Whether it began before the window.
    pub began_before: bool,
}

/// The timeline of a trial as of `today`.
///
/// # Errors
/// When the notebook cannot be read.
pub fn timeline(
    notebook: &Notebook,
    bench: &Bench,
    asked: &Asked,
    today: Date,
) -> Result<Timeline, AnswerError> {
    let whole = load::whole(notebook, bench, today)?;
    let as_of = whole.to.yesterday().unwrap_or(whole.to);
    let span = asked.span.unwrap_or_else(|| usual(whole));
    let window = span.window(asked.from.unwrap_or(as_of), whole);
    let ends = |day| days::start_of(bench, day).unwrap_or(Timestamp::MAX);
    let count = notebook.count(bench.trial.id, ends(window.from), ends(window.to))?;
    let unit = spans::unit(window, bench.tanks.len().max(1), count);
    let (slots, end) = spans::slots(bench, window, unit);
    let stretch = Stretch {
        bench,
        window,
        unit,
        slots: &slots,
        end,
    };
    let counted = count > READ;
    let (mut lanes, unlike, read) = if counted {
        let counts = notebook.counts_between(bench.trial.id, &stretch.bounds())?;
        let lanes = cells::of_counts(&stretch, &counts);
        let unlike = unlike::by_count(&stretch, &counts);
        (lanes, unlike, None)
    } else {
        let entries = notebook.entries(&stretch.query())?;
        let lanes = cells::of_entries(&stretch, &entries);
        let unlike = unlike::by_amount(notebook, &stretch, &entries)?;
        (lanes, unlike, Some(entries))
    };
    let changes = planned::mark(notebook, &stretch, as_of, read.as_deref(), &mut lanes)?;
    let list = list::page(notebook, &stretch, read.as_deref(), asked.after)?;
    let (first, last) = planned::reach(bench, whole);
    Ok(Timeline {
        as_of,
        span,
        window,
        unit,
        earlier: (span != Span::Whole && window.from > first)
            .then(|| window.from.yesterday().ok())
            .flatten(),
        later: (span != Span::Whole && window.to < last).then_some(window.to),
        phases: phases(bench, window),
        lanes,
        unlike,
        counted,
        changes,
        entries: count,
        more_after: list.more.then(|| list.lines.last().map(|l| l.id)).flatten(),
        list: list.lines,
        slots,
    })
}

impl Timeline {
    /// The span that shows one of its stretches in full, with a day in it; none when nothing is
    /// closer.
    pub fn closer(&self, slot: usize) -> Option<(Span, Date)> {
        let slot = self.slots.get(slot)?;
        let span = self.unit.span().unwrap_or(Span::Day);
        (span != self.span).then(|| (span, slot.from.date()))
    }

    /// A day that another span is opened at: inside this one, today when that is in it.
    pub fn anchor(&self) -> Date {
        let last = self.window.to.yesterday().unwrap_or(self.window.to);
        self.as_of
            .clamp(self.window.from, last.max(self.window.from))
    }
}

fn usual(whole: Window) -> Span {
    if days::between(whole.from, whole.to) <= SHOWN_WHOLE {
        Span::Whole
    } else {
        Span::Quarter
    }
}

/// The window and its stretches, for all that fills them.
struct Stretch<'a> {
    bench: &'a Bench,
    window: Window,
    unit: Unit,
    slots: &'a [Slot],
    end: Timestamp,
}

impl Stretch<'_> {
    fn bounds(&self) -> Vec<Timestamp> {
        let starts = self.slots.iter().map(|s| s.start);
        starts.chain([self.end]).collect()
    }

    /// Everything that stands in the window.
    fn query(&self) -> EntryQuery {
        EntryQuery {
            from: self.slots.first().map(|s| s.start),
            to: Some(self.end),
            ..EntryQuery::of(self.bench.trial.id)
        }
    }

    /// The stretch that holds an instant of the window.
    fn slot_at(&self, at: Timestamp) -> Option<usize> {
        let after = self.slots.partition_point(|s| s.start <= at);
        after.checked_sub(1).filter(|_| at < self.end)
    }

    /// The stretch that holds an entry.
    fn slot_of(&self, entry: &Entry) -> Option<usize> {
        self.slot_at(entry.at.timestamp())
    }

    /// The first and last stretch of a day of the window.
    fn slots_of_day(&self, day: Date) -> Option<(usize, usize)> {
        let holds = |s: &Slot| {
            let begins = day.to_datetime(jiff::civil::Time::midnight());
            s.from.date() <= day && begins < s.to
        };
        let first = self.slots.iter().position(holds)?;
        let last = self.slots.iter().rposition(holds)?;
        Some((first, last))
    }
}

fn phases(bench: &Bench, window: Window) -> Vec<PhasePart> {
    let part = |p: &trial::types::Phase| PhasePart {
        kind: p.kind,
        from: p.from.max(window.from),
        to: p.to.unwrap_or(window.to).min(window.to),
        began_before: p.from < window.from,
    };
    let parts = bench.trial.phases.iter().map(part);
    parts.filter(|p| p.from < p.to).collect()
}
