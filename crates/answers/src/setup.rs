//! What the set-up pages ask besides the bench itself.

use crate::line::{EntryLine, line};
use crate::{AnswerError, bench, gaps};
use jiff::Timestamp;
use jiff::civil::Date;
use quantity::Format;
use store::{EntryQuery, Notebook};
use text::t;
use trial::rules::Problem;
use trial::{Bench, Finding, Record, RecordKind, TrialId};
use uuid::Uuid;

/// Kinds of entry that can show that something is there though the set-up does not say so.
const TELLING_KINDS: [&str; 3] = ["livestock", "setting", "reading"];

/// What the set-up of a trial lacks today, weightiest first, with every entry that bears on it.
pub fn gaps_of(
    notebook: &Notebook,
    bench: &Bench,
    today: Date,
) -> Result<Vec<Finding>, AnswerError> {
    let query = EntryQuery::of(bench.trial.id).kinds(&TELLING_KINDS);
    let entries = notebook.entries(&query)?;
    let (as_of, _) = bench::as_of(bench, today);
    Ok(gaps::gaps(bench, &entries, as_of))
}

/// What keeps a record from being withdrawn.
#[derive(Debug, Clone, Default, PartialEq, serde::Serialize)]
pub struct NamedBy {
    /// The newest standing entries that name it, each with its trial.
    pub entries: Vec<(TrialId, EntryLine)>,
    /// How many entries name it.
    pub count: usize,
    /// The standing records that point at it.
    pub records: Vec<Record>,
}

impl NamedBy {
    /// Whether nothing does.
    pub fn is_empty(&self) -> bool {
        self.count == 0 && self.records.is_empty()
    }
}

/// What names a record, of all that stands: it must be gone before the record can be withdrawn.
pub fn named_by(notebook: &Notebook, record: Uuid) -> Result<NamedBy, AnswerError> {
    let uses = notebook.uses(record)?;
    let mut entries = Vec::new();
    for entry in &uses.entries {
        let bench = notebook.bench(entry.trial)?;
        entries.push((entry.trial, line(entry, &bench, &Format::default())));
    }
    Ok(NamedBy {
        entries,
        count: uses.count,
        records: uses.records,
    })
}

/// Brings a withdrawn record back. Refused while a standing one of its kind has its name, which
/// jots and lists go by.
pub fn restore_record(
    notebook: &Notebook,
    bench: &Bench,
    record: Uuid,
    who: &str,
    at: Timestamp,
) -> Result<(), AnswerError> {
    let gone = bench.withdrawn.iter().find(|w| w.record.id() == record);
    if let Some(gone) = gone
        && is_named(gone.record.kind())
        && name_taken(bench, &gone.record)
    {
        let problem = Problem {
            field: "name",
            value: gone.record.title(),
            accepted: t!("setup.accept_restore_name").to_string(),
        };
        return Err(AnswerError::Refused {
            problems: vec![problem],
        });
    }
    Ok(notebook.reinstate(record, who, at)?)
}

/// Kinds whose names jots and lists go by, so that each is given once.
pub fn is_named(kind: RecordKind) -> bool {
    use RecordKind::{Card, Product, Tank, Water};
    matches!(kind, Tank | Card | Product | Water)
}

/// Whether another standing record of its kind has its name, whatever the case.
pub fn name_taken(bench: &Bench, record: &Record) -> bool {
    let name = record.title().trim().to_lowercase();
    let mut others = records(bench, record.kind()).into_iter();
    others.any(|r| r.id() != record.id() && r.title().trim().to_lowercase() == name)
}

/// The standing records of one kind on this bench.
pub fn records(bench: &Bench, kind: RecordKind) -> Vec<Record> {
    let b = bench;
    match kind {
        RecordKind::Trial => vec![Record::Trial(b.trial.clone())],
        RecordKind::Tank => b.tanks.iter().cloned().map(Record::Tank).collect(),
        RecordKind::Planting => b.plantings.iter().cloned().map(Record::Planting).collect(),
        RecordKind::Card => b.cards.iter().cloned().map(Record::Card).collect(),
        RecordKind::Product => b.products.iter().cloned().map(Record::Product).collect(),
        RecordKind::Water => b.waters.iter().cloned().map(Record::Water).collect(),
        RecordKind::Equipment => b.equipment.iter().cloned().map(Record::Equipment).collect(),
        RecordKind::Plan => b.plans.iter().cloned().map(Record::Plan).collect(),
    }
}
