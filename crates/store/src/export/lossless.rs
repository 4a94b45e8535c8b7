//! The two tables a notebook is restored from, row by row and back.

use super::PackageError;
use crate::{RawEntry, RawRevision};
use csv::StringRecord;
use std::str::FromStr;
use trial::tables::{Column, ColumnKind};
use trial::{Act, EntryId, Origin, TankId, TrialId};
use uuid::Uuid;

pub(crate) const ENTRIES: &str = "entries";
pub(crate) const REVISIONS: &str = "revisions";

pub(super) const ENTRIES_ABOUT: &str =
    "Every entry as it was stored, in the order of writing, with those that were superseded";
pub(super) const REVISIONS_ABOUT: &str =
    "Every revision of every set-up record as it was stored, in the order of writing";

const fn word(name: &'static str, about: &'static str) -> Column {
    Column {
        name,
        kind: ColumnKind::Word,
        unit: "",
        about,
    }
}

/// The columns of `data/entries.csv`. No cell is guarded here: texts stand as they were stored.
pub(crate) const ENTRY_COLUMNS: [Column; 13] = [
    word("id", "Id of the entry"),
    word("trial", "Id of its trial"),
    word("at", "When it happened, with its zone (RFC 9557)"),
    word("written", "When it was written down (RFC 3339)"),
    word("tanks", "Ids of its tanks, apart by spaces"),
    Column {
        name: "all_tanks",
        kind: ColumnKind::YesNo,
        unit: "",
        about: "Whether every tank of the trial was meant",
    },
    word("who", "Who did it"),
    Column {
        name: "minutes",
        kind: ColumnKind::Number,
        unit: "min",
        about: "Minutes of work, for all its tanks together",
    },
    word("note", "Free text"),
    word("origin", "How it came into the notebook, as JSON"),
    word("supersedes", "Id of the entry it corrects or takes back"),
    word("kind", "Kind of act"),
    word("payload", "The act, as JSON with its kind and version"),
];

/// The columns of `data/revisions.csv`.
pub(crate) const REVISION_COLUMNS: [Column; 7] = [
    word("kind", "Kind of record"),
    word("record", "Id of the record"),
    Column {
        name: "seq",
        kind: ColumnKind::Count,
        unit: "",
        about: "Order of writing, from 1",
    },
    word("trial", "Id of its trial, when it has one"),
    word("written", "When it was written (RFC 3339)"),
    word("who", "Who wrote it"),
    word("payload", "The record, as JSON with its version"),
];

pub(super) fn entry_row(raw: &RawEntry) -> [String; 13] {
    let tanks: Vec<String> = raw.tanks.iter().map(TankId::to_string).collect();
    [
        raw.id.to_string(),
        raw.trial.to_string(),
        raw.at.clone(),
        raw.written.clone(),
        tanks.join(" "),
        raw.all_tanks.to_string(),
        raw.who.clone(),
        raw.minutes.map(|m| m.to_string()).unwrap_or_default(),
        raw.note.clone(),
        raw.origin.clone(),
        raw.supersedes.map(|s| s.to_string()).unwrap_or_default(),
        raw.kind.clone(),
        raw.payload.clone(),
    ]
}

pub(super) fn revision_row(seq: u64, raw: &RawRevision) -> [String; 7] {
    [
        raw.kind.clone(),
        raw.record.to_string(),
        seq.to_string(),
        raw.trial.map(|t| t.to_string()).unwrap_or_default(),
        raw.written.clone(),
        raw.who.clone(),
        raw.payload.clone(),
    ]
}

/// A row being read back, with its place for errors.
pub(crate) struct RawLine<'a> {
    pub(crate) file: &'a str,
    pub(crate) line: u64,
    pub(crate) columns: &'a [Column],
    pub(crate) cells: &'a StringRecord,
}

impl RawLine<'_> {
    fn cell(&self, column: &str) -> &str {
        let place = self.columns.iter().position(|c| c.name == column);
        place.and_then(|i| self.cells.get(i)).unwrap_or("")
    }

    pub(crate) fn problem(&self, column: &str, says: impl Into<String>) -> PackageError {
        PackageError::row(self.file, self.line, column, self.cell(column), says)
    }

    fn parsed<T: FromStr>(&self, column: &str, accepted: &str) -> Result<T, PackageError> {
        let says = || self.problem(column, format!("accepted is {accepted}"));
        self.cell(column).parse().map_err(|_| says())
    }

    fn optional<T: FromStr>(
        &self,
        column: &str,
        accepted: &str,
    ) -> Result<Option<T>, PackageError> {
        match self.cell(column) {
            "" => Ok(None),
            _ => self
                .parsed(column, &format!("{accepted}, or nothing"))
                .map(Some),
        }
    }

    /// The entry of this row, checked to be readable.
    pub(crate) fn entry(&self) -> Result<RawEntry, PackageError> {
        let tanks: Result<Vec<TankId>, _> = self
            .cell("tanks")
            .split_whitespace()
            .map(str::parse)
            .collect();
        let minutes: Option<f64> = self.optional("minutes", "a number")?;
        if minutes.is_some_and(|m| !m.is_finite()) {
            return Err(self.problem("minutes", "accepted is a finite number"));
        }
        let raw = RawEntry {
            id: self.parsed::<EntryId>("id", ID)?,
            trial: self.parsed::<TrialId>("trial", ID)?,
            at: self.cell("at").to_string(),
            written: self.cell("written").to_string(),
            tanks: tanks.map_err(|_| self.problem("tanks", "accepted are ids apart by spaces"))?,
            all_tanks: self.parsed("all_tanks", "true or false")?,
            who: self.cell("who").to_string(),
            minutes,
            note: self.cell("note").to_string(),
            origin: self.cell("origin").to_string(),
            supersedes: self.optional("supersedes", ID)?,
            kind: self.cell("kind").to_string(),
            payload: self.cell("payload").to_string(),
        };
        match raw.read() {
            Ok(_) => Ok(raw),
            Err(_) => Err(self.unreadable(&raw)),
        }
    }

    /// Which text of an entry cannot be read.
    fn unreadable(&self, raw: &RawEntry) -> PackageError {
        match Act::from_payload(&raw.payload) {
            Err(e) => return self.problem("payload", format!("accepted is an act as JSON ({e})")),
            Ok(act) if act.kind() != raw.kind => {
                let says = format!("the payload says {}; accepted is the same", act.kind());
                return self.problem("kind", says);
            }
            Ok(_) => {}
        }
        if serde_json::from_str::<Origin>(&raw.origin).is_err() {
            return self.problem(
                "origin",
                "accepted is an origin as JSON, such as {\"by\":\"form\"}",
            );
        }
        if raw.written.parse::<jiff::Timestamp>().is_err() {
            return self.problem("written", "accepted is a time such as 2026-05-01T18:30:00Z");
        }
        self.problem(
            "at",
            "accepted is a time with its zone such as 2026-05-01T18:30:00+02:00[Europe/Berlin]",
        )
    }

    /// The revision of this row, checked to be readable; `seq` is the number it must have.
    pub(crate) fn revision(&self, seq: u64) -> Result<RawRevision, PackageError> {
        if self.parsed::<u64>("seq", "a whole number")? != seq {
            return Err(self.problem(
                "seq",
                format!("accepted is {seq}: a row is missing or moved"),
            ));
        }
        let raw = RawRevision {
            kind: self.cell("kind").to_string(),
            record: self.parsed::<Uuid>("record", ID)?,
            trial: self.optional("trial", ID)?,
            written: self.cell("written").to_string(),
            who: self.cell("who").to_string(),
            payload: self.cell("payload").to_string(),
        };
        if raw.written.parse::<jiff::Timestamp>().is_err() {
            return Err(self.problem("written", "accepted is a time such as 2026-05-01T18:30:00Z"));
        }
        match raw.read() {
            Ok(_) => Ok(raw),
            Err(e) => Err(self.problem("payload", format!("accepted is a record as JSON ({e})"))),
        }
    }
}

const ID: &str = "an id such as 0190b5a2-7c1e-7000-8000-000000000001";
