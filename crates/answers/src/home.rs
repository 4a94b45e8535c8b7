//! The trials of a notebook, each on a card.

use crate::line::{EntryLine, line};
use crate::{AnswerError, bench, days};
use jiff::Timestamp;
use jiff::civil::Date;
use quantity::Format;
use serde::Serialize;
use store::{EntryQuery, Notebook};
use trial::types::PhaseKind;
use trial::{Tank, Trial};

/// One trial at a glance.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TrialCard {
    /// The trial.
    pub trial: Trial,
    /// Its tanks, from the left.
    pub tanks: Vec<Tank>,
    /// Today in its zone, or the day it was closed.
    pub as_of: Date,
    /// Whether it is closed.
    pub closed: bool,
    /// The phase on that day.
    pub phase: Option<PhaseKind>,
    /// Days since its start, negative before it.
    pub day: Option<i64>,
    /// Entries, superseded ones included.
    pub entries: u64,
    /// The newest entry that stands.
    pub last: Option<EntryLine>,
}

/// Every trial of the notebook at the instant `now`: the newest first, invented ones after the
/// keeper's own.
pub fn home(notebook: &Notebook, now: Timestamp) -> Result<Vec<TrialCard>, AnswerError> {
    let format = Format::default();
    let mut cards = Vec::new();
    for listed in notebook.trials()?.into_iter().rev() {
        let bench = notebook.bench(listed.trial.id)?;
        let today = now.to_zoned_datetime(days::zone(&bench)).date();
        let (as_of, closed) = bench::as_of(&bench, today);
        let newest = notebook.entries(&EntryQuery::of(listed.trial.id).newest(1))?;
        cards.push(TrialCard {
            as_of,
            closed,
            phase: listed.trial.phase_on(as_of).map(|p| p.kind),
            day: listed.trial.start.map(|s| days::between(s, as_of) as i64),
            entries: listed.entries,
            last: newest.first().map(|e| line(e, &bench, &format)),
            trial: listed.trial,
            tanks: listed.tanks,
        });
    }
    cards.sort_by_key(|card| card.trial.invented);
    Ok(cards)
}
