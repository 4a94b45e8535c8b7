//! Set-up records: their newest revisions, and all of them.

use crate::raw::read_written;
use crate::read::{id, raw_revision, revision_sql, trial_number};
use crate::{Notebook, RawRevision, StoreError};
use jiff::Timestamp;
use rusqlite::{Connection, Params};
use std::collections::HashMap;
use trial::{Bench, Record, Tank, Trial, TrialId, Withdrawn, WithdrawnRecord};
use uuid::Uuid;

/// One trial in a list.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialLine {
    /// The trial.
    pub trial: Trial,
    /// Its tanks, from the left.
    pub tanks: Vec<Tank>,
    /// How many entries it has, superseded ones included.
    pub entries: u64,
}

/// One state of a set-up record.
#[derive(Debug, Clone, PartialEq)]
pub struct Revision {
    /// Order of writing over the whole notebook.
    pub seq: i64,
    /// When it was written.
    pub written: Timestamp,
    /// Who wrote it.
    pub who: String,
    /// What it said.
    pub record: Record,
    /// When and why it was taken back; none while it stood.
    pub withdrawn: Option<Withdrawn>,
}

/// A record as it is now, and when and why it was taken back.
pub(crate) type State = (Record, Option<Withdrawn>);

/// Only the newest revision of each record.
macro_rules! newest_sql {
    ($($rest:tt)*) => {
        revision_sql!(concat!(
            "WHERE v.seq = (SELECT max(seq) FROM revision WHERE record = r.n) AND ",
            $($rest)*
        ))
    };
}

impl Notebook {
    /// The trials, oldest first, each with its tanks and number of entries.
    pub fn trials(&self) -> Result<Vec<TrialLine>, StoreError> {
        self.read(|db| {
            let counts = entry_counts(db)?;
            let records = standing(
                db,
                newest_sql!("r.kind IN ('trial', 'tank') ORDER BY r.id"),
                [],
            )?;
            let mut lines: Vec<TrialLine> = Vec::new();
            let mut tanks: Vec<Tank> = Vec::new();
            for record in records {
                match record {
                    Record::Trial(trial) => lines.push(TrialLine {
                        entries: counts.get(&trial.id.0).copied().unwrap_or(0),
                        trial,
                        tanks: Vec::new(),
                    }),
                    Record::Tank(tank) => tanks.push(tank),
                    _ => {}
                }
            }
            for line in &mut lines {
                let own = tanks.iter().filter(|t| t.trial == line.trial.id);
                line.tanks = own.cloned().collect();
                line.tanks.sort_by_key(|t| (t.place, t.id));
            }
            Ok(lines)
        })
    }

    /// Everything set up for one trial, with the notebook's cards, products and waters. Tanks from
    /// the left, everything else oldest first; what was taken back stands apart.
    pub fn bench(&self, trial: TrialId) -> Result<Bench, StoreError> {
        self.read(|db| {
            let n = trial_number(db, trial)?;
            let own = current(db, newest_sql!("r.trial = ?1 ORDER BY r.id"), [n])?;
            let shared = current(
                db,
                newest_sql!("r.kind IN ('card', 'product', 'water') ORDER BY r.id"),
                [],
            )?;
            let (mut found, mut rest) = (None, Vec::new());
            for state in own.into_iter().chain(shared) {
                match state {
                    (Record::Trial(trial), _) => found = Some(trial),
                    other => rest.push(other),
                }
            }
            let mut bench = Bench::new(found.ok_or(StoreError::NoSuchTrial(trial))?);
            for (record, withdrawn) in rest {
                match withdrawn {
                    None => bench.put(record),
                    Some(withdrawn) => bench.withdrawn.push(WithdrawnRecord { record, withdrawn }),
                }
            }
            bench.tanks.sort_by_key(|t| (t.place, t.id));
            Ok(bench)
        })
    }

    /// Every record as it is now, oldest first, with when and why it was taken back.
    pub fn all_records(&self) -> Result<Vec<(Record, Option<Withdrawn>)>, StoreError> {
        self.read(|db| current(db, newest_sql!("1 ORDER BY r.id"), []))
    }

    /// The record of this id as it is now; none when it was taken back.
    pub fn record(&self, record: Uuid) -> Result<Option<Record>, StoreError> {
        self.read(|db| {
            let found = standing(db, newest_sql!("r.id = ?1"), [record.to_string()])?;
            Ok(found.into_iter().next())
        })
    }

    /// All states of one record, oldest first.
    pub fn revisions(&self, record: Uuid) -> Result<Vec<Revision>, StoreError> {
        self.read(|db| {
            let mut found = db.prepare_cached(revision_sql!("WHERE r.id = ?1 ORDER BY v.seq"))?;
            let mut rows = found.query([record.to_string()])?;
            let mut revisions = Vec::new();
            while let Some(row) = rows.next()? {
                revisions.push(revision(row.get(0)?, raw_revision(row)?)?);
            }
            Ok(revisions)
        })
    }

    /// Every revision of every record as stored, in the order of writing.
    pub fn all_revisions(&self) -> Result<Vec<RawRevision>, StoreError> {
        self.read(|db| raw(db, revision_sql!("ORDER BY v.seq"), []))
    }

    /// How many entries the notebook has, superseded ones included.
    pub fn count_entries(&self) -> Result<u64, StoreError> {
        self.read(|db| Ok(entry_counts(db)?.values().sum()))
    }
}

fn raw(db: &Connection, sql: &str, params: impl Params) -> Result<Vec<RawRevision>, StoreError> {
    let mut found = db.prepare_cached(sql)?;
    let mut rows = found.query(params)?;
    let mut revisions = Vec::new();
    while let Some(row) = rows.next()? {
        revisions.push(raw_revision(row)?);
    }
    Ok(revisions)
}

fn current(db: &Connection, sql: &str, params: impl Params) -> Result<Vec<State>, StoreError> {
    raw(db, sql, params)?
        .iter()
        .map(RawRevision::read_state)
        .collect()
}

/// Only what was not taken back.
fn standing(db: &Connection, sql: &str, params: impl Params) -> Result<Vec<Record>, StoreError> {
    let states = current(db, sql, params)?.into_iter();
    Ok(states
        .filter(|(_, withdrawn)| withdrawn.is_none())
        .map(|(record, _)| record)
        .collect())
}

pub(crate) fn revision(seq: i64, raw: RawRevision) -> Result<Revision, StoreError> {
    let (record, withdrawn) = raw.read_state()?;
    Ok(Revision {
        seq,
        written: read_written(&raw.written).map_err(|e| StoreError::Unreadable {
            what: "the revision of record",
            id: raw.record.to_string(),
            why: e.to_string(),
        })?,
        record,
        withdrawn,
        who: raw.who,
    })
}

/// The number of entries per trial: entries are numbered without gaps, so the newest number says.
fn entry_counts(db: &Connection) -> Result<HashMap<Uuid, u64>, StoreError> {
    let mut found = db.prepare_cached(
        "SELECT r.id, (SELECT max(nth) FROM entry WHERE trial = r.n)
         FROM record r WHERE r.kind = 'trial'",
    )?;
    let mut rows = found.query([])?;
    let mut counts = HashMap::new();
    while let Some(row) = rows.next()? {
        let count: Option<i64> = row.get(1)?;
        let count = count.and_then(|n| u64::try_from(n).ok()).unwrap_or(0);
        counts.insert(id(&row.get::<_, String>(0)?)?, count);
    }
    Ok(counts)
}
