//! Writing rows, inside one transaction.

use crate::read::{entry_of_id, newest_revision, successor};
use crate::{RawEntry, RawRevision, StoreError, facts};
use jiff::Timestamp;
use rusqlite::{OptionalExtension, Transaction, params};
use std::collections::{HashMap, HashSet};
use trial::{Act, Entry, Record, RecordKind, TrialId};
use uuid::Uuid;

/// What became of an entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Written {
    /// It is in the notebook now.
    New,
    /// The same entry was in it before.
    Already,
}

/// What [`crate::Notebook::write_all`] writes, all or none.
#[derive(Debug, Clone, Default)]
pub struct Batch {
    /// Record, who wrote it, when: in the order of writing.
    pub records: Vec<(Record, String, Timestamp)>,
    /// Entries in the order of writing.
    pub entries: Vec<Entry>,
}

/// A record the database knows.
#[derive(Debug, Clone)]
struct Known {
    n: i64,
    kind: String,
    trial: Option<i64>,
}

/// One write transaction, with what it has looked up so far.
pub(crate) struct Writer<'t> {
    pub(crate) tx: &'t Transaction<'t>,
    known: HashMap<Uuid, Known>,
    /// Records found to stand, none of them taken back.
    pub(crate) standing: HashSet<Uuid>,
    /// The number of the newest entry of each trial.
    nth: HashMap<i64, i64>,
}

impl<'t> Writer<'t> {
    pub(crate) fn new(tx: &'t Transaction<'t>) -> Self {
        Writer {
            tx,
            known: HashMap::new(),
            standing: HashSet::new(),
            nth: HashMap::new(),
        }
    }

    /// Revisions in their order; their records are introduced first, parents before children.
    pub(crate) fn revisions<'a>(
        &mut self,
        revisions: impl Iterator<Item = (&'a RawRevision, &'a Record)> + Clone,
    ) -> Result<(), StoreError> {
        for kind in RecordKind::ALL {
            for (_, record) in revisions.clone().filter(|(_, r)| r.kind() == kind) {
                self.introduce(record)?;
            }
        }
        for (raw, record) in revisions {
            self.revision(raw, record)?;
        }
        Ok(())
    }

    /// Makes a record's identity known; its kind and trial never change.
    pub(crate) fn introduce(&mut self, record: &Record) -> Result<(), StoreError> {
        let (id, kind) = (record.id(), record.kind().key());
        let own_trial = record.kind() == RecordKind::Trial;
        let trial = match record.trial() {
            Some(trial) if !own_trial => Some(self.known(trial.0, RecordKind::Trial)?.n),
            _ => None,
        };
        if let Some(known) = self.look_up(id)? {
            let trial = if own_trial { Some(known.n) } else { trial };
            if known.kind != kind || known.trial != trial {
                return Err(StoreError::RecordMoved {
                    id,
                    was: known.kind,
                    now: kind,
                });
            }
            return Ok(());
        }
        let n: i64 = self
            .tx
            .prepare_cached("SELECT coalesce(max(n), 0) + 1 FROM record")?
            .query_row([], |row| row.get(0))?;
        let trial = if own_trial { Some(n) } else { trial };
        self.tx
            .prepare_cached("INSERT INTO record (n, id, kind, trial) VALUES (?1, ?2, ?3, ?4)")?
            .execute(params![n, id.to_string(), kind, trial])?;
        Ok(())
    }

    /// Adds a revision unless the newest one says the same.
    pub(crate) fn revision(
        &mut self,
        raw: &RawRevision,
        record: &Record,
    ) -> Result<(), StoreError> {
        let n = self.known(record.id(), record.kind())?.n;
        if let Some(newest) = newest_revision(self.tx, n)?
            && (newest.payload == raw.payload || newest.same_state(raw))
        {
            return Ok(());
        }
        self.tx
            .prepare_cached(
                "INSERT INTO revision (record, written, who, payload, digest)
                 VALUES (?1, ?2, ?3, ?4, ?5)",
            )?
            .execute(params![n, raw.written, raw.who, raw.payload, raw.digest()])?;
        Ok(())
    }

    /// Adds an entry after checking everything it names.
    pub(crate) fn entry(&mut self, raw: &RawEntry, entry: &Entry) -> Result<Written, StoreError> {
        if let Some((_, stored)) = entry_of_id(self.tx, entry.id)? {
            let same = stored == *raw
                || stored
                    .read()
                    .is_ok_and(|e| e == *entry && stored.at == raw.at);
            return match same {
                true => Ok(Written::Already),
                false => Err(StoreError::Conflict { entry: entry.id }),
            };
        }
        let trial = self.known(entry.trial.0, RecordKind::Trial)?.n;
        let mut tanks = Vec::with_capacity(entry.tanks.len());
        for tank in &entry.tanks {
            let n = self.member(tank.0, RecordKind::Tank, trial, entry.trial)?;
            if tanks.contains(&n) {
                return Err(StoreError::TankTwice {
                    entry: entry.id,
                    tank: tank.0,
                });
            }
            tanks.push(n);
        }
        let mut plantings = Vec::new();
        for planting in facts::plantings(entry) {
            plantings.push(self.member(planting, RecordKind::Planting, trial, entry.trial)?);
        }
        let supersedes = self.superseded(entry)?;
        let seq = self.insert(raw, entry, trial, supersedes)?;
        self.index(seq, entry, &tanks, &plantings)?;
        Ok(Written::New)
    }

    fn superseded(&self, entry: &Entry) -> Result<Option<i64>, StoreError> {
        let Some(target) = entry.supersedes else {
            return match entry.act {
                Act::Undo => Err(StoreError::UndoOfNothing { entry: entry.id }),
                _ => Ok(None),
            };
        };
        let entry_id = entry.id;
        let Some((seq, stored)) = entry_of_id(self.tx, target)? else {
            return Err(StoreError::SupersedesUnknown {
                entry: entry_id,
                target,
            });
        };
        if stored.trial != entry.trial {
            return Err(StoreError::SupersedesOtherTrial {
                entry: entry_id,
                target,
            });
        }
        match successor(self.tx, target)? {
            Some(by) => Err(StoreError::AlreadySuperseded {
                entry: entry_id,
                target,
                by,
            }),
            None => Ok(Some(seq)),
        }
    }

    fn insert(
        &mut self,
        raw: &RawEntry,
        entry: &Entry,
        trial: i64,
        supersedes: Option<i64>,
    ) -> Result<i64, StoreError> {
        let nth = self.next_nth(trial)?;
        let tanks = tanks_text(&raw.tanks.iter().map(|t| t.0).collect::<Vec<_>>());
        let analyte = facts::reading(entry).map(|(analyte, _)| analyte);
        self.tx
            .prepare_cached(
                "INSERT INTO entry (id, trial, nth, at, at_ms, written, tanks, all_tanks, who,
                   minutes, note, origin, supersedes, kind, analyte, payload, digest)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17)",
            )?
            .execute(params![
                raw.id.to_string(),
                trial,
                nth,
                raw.at,
                facts::at_ms(entry),
                raw.written,
                tanks,
                raw.all_tanks,
                raw.who,
                raw.minutes,
                raw.note,
                raw.origin,
                supersedes,
                raw.kind,
                analyte,
                raw.payload,
                raw.digest(),
            ])?;
        self.nth.insert(trial, nth);
        Ok(self.tx.last_insert_rowid())
    }

    fn index(
        &self,
        seq: i64,
        entry: &Entry,
        tanks: &[i64],
        plantings: &[i64],
    ) -> Result<(), StoreError> {
        let (kind, at) = (entry.act.kind(), facts::at_ms(entry));
        for tank in tanks {
            self.tx
                .prepare_cached(
                    "INSERT INTO entry_tank (tank, kind, at_ms, entry) VALUES (?1, ?2, ?3, ?4)",
                )?
                .execute(params![tank, kind, at, seq])?;
            if let Some((analyte, sample)) = facts::reading(entry) {
                self.tx
                    .prepare_cached(
                        "INSERT INTO tank_reading (tank, analyte, sample, at_ms, entry)
                         VALUES (?1, ?2, ?3, ?4, ?5)",
                    )?
                    .execute(params![tank, analyte, sample, at, seq])?;
            }
        }
        for planting in plantings {
            self.tx
                .prepare_cached(
                    "INSERT INTO entry_planting (planting, at_ms, entry) VALUES (?1, ?2, ?3)",
                )?
                .execute(params![planting, at, seq])?;
        }
        Ok(())
    }

    fn next_nth(&self, trial: i64) -> Result<i64, StoreError> {
        if let Some(nth) = self.nth.get(&trial) {
            return Ok(nth + 1);
        }
        Ok(self
            .tx
            .prepare_cached("SELECT coalesce(max(nth), 0) + 1 FROM entry WHERE trial = ?1")?
            .query_row([trial], |row| row.get(0))?)
    }

    /// The number of a record of this kind that must belong to the trial.
    fn member(
        &mut self,
        id: Uuid,
        kind: RecordKind,
        trial: i64,
        trial_id: TrialId,
    ) -> Result<i64, StoreError> {
        let known = self.known(id, kind)?;
        match known.trial == Some(trial) {
            true => Ok(known.n),
            false => Err(StoreError::OtherTrial {
                what: kind.key(),
                id,
                trial: trial_id,
            }),
        }
    }

    /// A record that must be there and of this kind.
    fn known(&mut self, id: Uuid, kind: RecordKind) -> Result<Known, StoreError> {
        match self.look_up(id)? {
            Some(known) if known.kind == kind.key() => Ok(known),
            _ => Err(StoreError::UnknownRecord {
                what: kind.key(),
                id,
            }),
        }
    }

    fn look_up(&mut self, id: Uuid) -> Result<Option<Known>, StoreError> {
        if let Some(known) = self.known.get(&id) {
            return Ok(Some(known.clone()));
        }
        let found = self
            .tx
            .prepare_cached("SELECT n, kind, trial FROM record WHERE id = ?1")?
            .query_row([id.to_string()], |row| {
                Ok(Known {
                    n: row.get(0)?,
                    kind: row.get(1)?,
                    trial: row.get(2)?,
                })
            })
            .optional()?;
        if let Some(known) = &found {
            self.known.insert(id, known.clone());
        }
        Ok(found)
    }
}

/// Tanks as a JSON list.
fn tanks_text(tanks: &[Uuid]) -> String {
    let quoted: Vec<String> = tanks.iter().map(|t| format!("\"{t}\"")).collect();
    format!("[{}]", quoted.join(","))
}
