//! Entries and revisions as the texts that are stored, and back.

use crate::StoreError;
use jiff::fmt::temporal::DateTimeParser;
use jiff::tz::OffsetConflict;
use jiff::{Timestamp, ZonedDateTime};
use sha2::{Digest, Sha256};
use trial::{Act, Entry, EntryId, Origin, Record, TankId, TrialId, Withdrawn};
use uuid::Uuid;

/// The payload version of set-up records this build writes and the newest it reads.
pub const RECORD_VERSION: u64 = 1;

/// Beside the fields of a record that was taken back, whatever its kind: when and why.
const WITHDRAWN: &str = "withdrawn";

/// An entry as stored: texts exactly as written.
#[derive(Debug, Clone, PartialEq)]
pub struct RawEntry {
    /// Identity.
    pub id: EntryId,
    /// Its trial.
    pub trial: TrialId,
    /// When it happened (RFC 9557).
    pub at: String,
    /// When it was written down (RFC 3339, UTC).
    pub written: String,
    /// Its tanks, in the order given.
    pub tanks: Vec<TankId>,
    /// Whether every tank was meant.
    pub all_tanks: bool,
    /// Who did it.
    pub who: String,
    /// Minutes of work.
    pub minutes: Option<f64>,
    /// Free text.
    pub note: String,
    /// How it came in, as JSON.
    pub origin: String,
    /// What it supersedes.
    pub supersedes: Option<EntryId>,
    /// The kind of its act.
    pub kind: String,
    /// Its act, as JSON with `kind` and `version`.
    pub payload: String,
}

/// A revision of a set-up record as stored: texts exactly as written.
#[derive(Debug, Clone, PartialEq)]
pub struct RawRevision {
    /// The kind of record, as [`trial::RecordKind::key`].
    pub kind: String,
    /// The record.
    pub record: Uuid,
    /// Its trial, when it has one.
    pub trial: Option<TrialId>,
    /// When it was written (RFC 3339, UTC).
    pub written: String,
    /// Who wrote it.
    pub who: String,
    /// What it says, as JSON with `record` and `version`.
    pub payload: String,
}

impl RawEntry {
    /// The texts of an entry; refused when they would not read back as the same entry.
    pub fn of(entry: &Entry) -> Result<RawEntry, StoreError> {
        let raw = RawEntry {
            id: entry.id,
            trial: entry.trial,
            at: entry.at.to_string(),
            written: entry.written.to_string(),
            tanks: entry.tanks.clone(),
            all_tanks: entry.all_tanks,
            who: entry.who.clone(),
            // SQLite keeps no negative zero.
            minutes: entry.minutes.map(|m| m + 0.0),
            note: entry.note.clone(),
            origin: json(&entry.origin, "origin", entry.id.0)?,
            supersedes: entry.supersedes,
            kind: entry.act.kind().to_string(),
            payload: entry.act.to_payload()?,
        };
        let kept = |why: String| StoreError::NotKept {
            what: "entry",
            id: entry.id.0,
            why,
        };
        let back = raw.read().map_err(|e| kept(e.to_string()))?;
        if back.at != entry.at || back.at.to_string() != raw.at {
            return Err(kept(format!(
                "its time {} reads back as {}",
                raw.at, back.at
            )));
        }
        if back != *entry {
            return Err(kept("it differs after storing".to_string()));
        }
        if entry.minutes.is_some_and(|m| !m.is_finite()) {
            return Err(kept("minutes are not a number".to_string()));
        }
        Ok(raw)
    }

    /// The entry these texts say.
    pub fn read(&self) -> Result<Entry, StoreError> {
        let unreadable = |why: String| StoreError::Unreadable {
            what: "entry",
            id: self.id.to_string(),
            why,
        };
        let act = Act::from_payload(&self.payload).map_err(|e| unreadable(e.to_string()))?;
        if act.kind() != self.kind {
            return Err(unreadable(format!(
                "it is filed as \"{}\" but its payload says \"{}\"",
                self.kind,
                act.kind()
            )));
        }
        Ok(Entry {
            id: self.id,
            trial: self.trial,
            at: read_at(&self.at).map_err(|e| unreadable(e.to_string()))?,
            written: read_written(&self.written).map_err(|e| unreadable(e.to_string()))?,
            tanks: self.tanks.clone(),
            all_tanks: self.all_tanks,
            who: self.who.clone(),
            minutes: self.minutes,
            note: self.note.clone(),
            origin: read_origin(&self.origin).map_err(|e| unreadable(e.to_string()))?,
            supersedes: self.supersedes,
            act,
        })
    }

    /// SHA-256 over all its texts.
    pub(crate) fn digest(&self) -> [u8; 32] {
        let id = |id: &Uuid| id.to_string();
        let tanks: Vec<String> = self.tanks.iter().map(|t| id(&t.0)).collect();
        let minutes = self.minutes.map(|m| format!("{:016x}", m.to_bits()));
        digest(&[
            &id(&self.id.0),
            &id(&self.trial.0),
            &self.at,
            &self.written,
            &tanks.join(","),
            if self.all_tanks { "all" } else { "" },
            &self.who,
            &minutes.unwrap_or_default(),
            &self.note,
            &self.origin,
            &self.supersedes.map(|s| id(&s.0)).unwrap_or_default(),
            &self.kind,
            &self.payload,
        ])
    }
}

impl RawRevision {
    /// The texts of a revision; refused when they would not read back as the same record.
    pub fn of(record: &Record, who: &str, at: Timestamp) -> Result<RawRevision, StoreError> {
        RawRevision::with_state(record, None, who, at)
    }

    /// The same for a record that is taken back: what it says stays, with when and why.
    pub(crate) fn with_state(
        record: &Record,
        withdrawn: Option<&Withdrawn>,
        who: &str,
        at: Timestamp,
    ) -> Result<RawRevision, StoreError> {
        let not_kept = |why: String| StoreError::NotKept {
            what: record.kind().key(),
            id: record.id(),
            why,
        };
        let mut value = serde_json::to_value(record).map_err(|e| not_kept(e.to_string()))?;
        if let Some(map) = value.as_object_mut() {
            map.insert("version".to_string(), RECORD_VERSION.into());
            if let Some(withdrawn) = withdrawn {
                let said = serde_json::to_value(withdrawn).map_err(|e| not_kept(e.to_string()))?;
                map.insert(WITHDRAWN.to_string(), said);
            }
        }
        let raw = RawRevision {
            kind: record.kind().key().to_string(),
            record: record.id(),
            trial: record.trial(),
            written: at.to_string(),
            who: who.to_string(),
            payload: value.to_string(),
        };
        let back = raw.read_state().map_err(|e| not_kept(e.to_string()))?;
        if (&back.0, back.1.as_ref()) != (record, withdrawn) {
            return Err(not_kept("it differs after storing".to_string()));
        }
        Ok(raw)
    }

    /// The record this revision says, whether it stands or was taken back.
    pub fn read(&self) -> Result<Record, StoreError> {
        self.read_state().map(|(record, _)| record)
    }

    /// The record this revision says, and when and why it was taken back.
    pub fn read_state(&self) -> Result<(Record, Option<Withdrawn>), StoreError> {
        let unreadable = |why: String| StoreError::Unreadable {
            what: "the revision of record",
            id: self.record.to_string(),
            why,
        };
        let mut value: serde_json::Value =
            serde_json::from_str(&self.payload).map_err(|e| unreadable(e.to_string()))?;
        let version = value.get("version").and_then(serde_json::Value::as_u64);
        if version.is_some_and(|v| v > RECORD_VERSION) {
            return Err(unreadable(
                "it was written by a newer Fairtank; use a newer one".to_string(),
            ));
        }
        let withdrawn = value.as_object_mut().and_then(|map| map.remove(WITHDRAWN));
        let withdrawn: Option<Withdrawn> = withdrawn
            .map(serde_json::from_value)
            .transpose()
            .map_err(|e| unreadable(e.to_string()))?;
        let record: Record =
            serde_json::from_value(value).map_err(|e| unreadable(e.to_string()))?;
        let filed = (self.kind.as_str(), self.record, self.trial);
        if (record.kind().key(), record.id(), record.trial()) != filed {
            return Err(unreadable(
                "its payload is of another record than it is filed under".to_string(),
            ));
        }
        Ok((record, withdrawn))
    }

    /// Whether another revision says the same.
    pub(crate) fn same_state(&self, other: &RawRevision) -> bool {
        matches!((self.read_state(), other.read_state()), (Ok(a), Ok(b)) if a == b)
    }

    /// SHA-256 over all its texts.
    pub(crate) fn digest(&self) -> [u8; 32] {
        digest(&[
            &self.kind,
            &self.record.to_string(),
            &self.trial.map(|t| t.to_string()).unwrap_or_default(),
            &self.written,
            &self.who,
            &self.payload,
        ])
    }
}

/// A past instant stays what it was even when its zone's rules change later: then the written
/// offset decides. It does not decide from the start, since offsets of long ago had seconds, which
/// are rounded away in writing (RFC 9557 knows minutes only).
fn read_at(text: &str) -> Result<ZonedDateTime, jiff::Error> {
    const BY_OFFSET: DateTimeParser =
        DateTimeParser::new().offset_conflict(OffsetConflict::AlwaysOffset);
    text.parse()
        .or_else(|_| BY_OFFSET.parse_zoned_datetime(text))
}

pub(crate) fn read_written(text: &str) -> Result<Timestamp, jiff::Error> {
    text.parse()
}

fn read_origin(text: &str) -> Result<Origin, serde_json::Error> {
    serde_json::from_str(text)
}

fn json(value: &impl serde::Serialize, what: &'static str, id: Uuid) -> Result<String, StoreError> {
    serde_json::to_string(value).map_err(|e| StoreError::NotKept {
        what,
        id,
        why: e.to_string(),
    })
}

/// Milliseconds since 1970 UTC, rounded down, so that order is kept before 1970 as well.
pub(crate) fn ms(at: Timestamp) -> i64 {
    // The whole range of timestamps fits: they end in the year 9999.
    i64::try_from(at.as_nanosecond().div_euclid(1_000_000)).unwrap_or(i64::MAX)
}

/// Each text is preceded by its length, so that no two lists of texts look alike.
fn digest(texts: &[&str]) -> [u8; 32] {
    let mut hash = Sha256::new();
    for text in texts {
        hash.update((text.len() as u64).to_le_bytes());
        hash.update(text.as_bytes());
    }
    hash.finalize().into()
}
