//! Reading rows: the small look-ups everything else is made of.

use crate::{RawEntry, RawRevision, StoreError};
use rusqlite::{Connection, OptionalExtension, Row};
use std::str::FromStr;
use trial::{EntryId, TankId, TrialId};
use uuid::Uuid;

/// The columns of an entry, in the order [`raw_entry`] takes them; `e` is the entry, `r` its trial's
/// record, `s` the entry it supersedes.
macro_rules! entry_sql {
    ($($rest:tt)*) => {
        concat!(
            "SELECT e.seq, e.id, r.id, e.at, e.written, e.tanks, e.all_tanks, e.who, e.minutes, \
             e.note, e.origin, s.id, e.kind, e.payload, e.digest, e.at_ms, e.analyte \
             FROM entry e JOIN record r ON r.n = e.trial LEFT JOIN entry s ON s.seq = e.supersedes ",
            $($rest)*
        )
    };
}
pub(crate) use entry_sql;

/// The columns of a revision, in the order [`raw_revision`] takes them.
macro_rules! revision_sql {
    ($($rest:tt)*) => {
        concat!(
            "SELECT v.seq, r.kind, r.id, t.id, v.written, v.who, v.payload, v.digest \
             FROM revision v JOIN record r ON r.n = v.record LEFT JOIN record t ON t.n = r.trial ",
            $($rest)*
        )
    };
}
pub(crate) use revision_sql;

/// A row of [`entry_sql`].
pub(crate) fn raw_entry(row: &Row<'_>) -> Result<RawEntry, StoreError> {
    let shown: String = row.get(1)?;
    let tanks: String = row.get(5)?;
    let tanks: Vec<TankId> = serde_json::from_str(&tanks).map_err(|e| StoreError::Unreadable {
        what: "entry",
        id: shown.clone(),
        why: format!("its tanks are not a list of ids ({e})"),
    })?;
    let supersedes: Option<String> = row.get(11)?;
    Ok(RawEntry {
        id: id(&shown).map(EntryId)?,
        trial: id(&row.get::<_, String>(2)?).map(TrialId)?,
        at: row.get(3)?,
        written: row.get(4)?,
        tanks,
        all_tanks: row.get(6)?,
        who: row.get(7)?,
        minutes: row.get(8)?,
        note: row.get(9)?,
        origin: row.get(10)?,
        supersedes: supersedes.map(|s| id(&s).map(EntryId)).transpose()?,
        kind: row.get(12)?,
        payload: row.get(13)?,
    })
}

/// A row of [`revision_sql`].
pub(crate) fn raw_revision(row: &Row<'_>) -> Result<RawRevision, StoreError> {
    let trial: Option<String> = row.get(3)?;
    Ok(RawRevision {
        kind: row.get(1)?,
        record: id(&row.get::<_, String>(2)?)?,
        trial: trial.map(|t| id(&t).map(TrialId)).transpose()?,
        written: row.get(4)?,
        who: row.get(5)?,
        payload: row.get(6)?,
    })
}

/// The entry of this id and its sequence number.
pub(crate) fn entry_of_id(
    db: &Connection,
    id: EntryId,
) -> Result<Option<(i64, RawEntry)>, StoreError> {
    let mut found = db.prepare_cached(entry_sql!("WHERE e.id = ?1"))?;
    let mut rows = found.query([id.to_string()])?;
    rows.next()?
        .map(|row| Ok((row.get(0)?, raw_entry(row)?)))
        .transpose()
}

/// The entry of this sequence number.
pub(crate) fn entry_of_seq(db: &Connection, seq: i64) -> Result<RawEntry, StoreError> {
    let mut found = db.prepare_cached(entry_sql!("WHERE e.seq = ?1"))?;
    let mut rows = found.query([seq])?;
    match rows.next()? {
        Some(row) => raw_entry(row),
        None => Err(StoreError::Damaged {
            what: format!("an index names entry {seq}, which is missing"),
        }),
    }
}

/// The entry that supersedes this one.
pub(crate) fn successor(db: &Connection, of: EntryId) -> Result<Option<EntryId>, StoreError> {
    let found: Option<String> = db
        .prepare_cached(
            "SELECT s.id FROM entry e JOIN entry s ON s.supersedes = e.seq WHERE e.id = ?1",
        )?
        .query_row([of.to_string()], |row| row.get(0))
        .optional()?;
    found.map(|s| id(&s).map(EntryId)).transpose()
}

/// The newest revision of the record of this number.
pub(crate) fn newest_revision(
    db: &Connection,
    record: i64,
) -> Result<Option<RawRevision>, StoreError> {
    let mut found = db.prepare_cached(revision_sql!(
        "WHERE v.record = ?1 ORDER BY v.seq DESC LIMIT 1"
    ))?;
    let mut rows = found.query([record])?;
    rows.next()?.map(raw_revision).transpose()
}

/// The number of a record of this kind in this trial.
pub(crate) fn number_in_trial(
    db: &Connection,
    record: Uuid,
    kind: &'static str,
    trial: TrialId,
) -> Result<i64, StoreError> {
    db.prepare_cached(
        "SELECT r.n FROM record r JOIN record t ON t.n = r.trial
         WHERE r.id = ?1 AND r.kind = ?2 AND t.id = ?3",
    )?
    .query_row([&record.to_string(), kind, &trial.to_string()], |row| {
        row.get(0)
    })
    .optional()?
    .ok_or(StoreError::OtherTrial {
        what: kind,
        id: record,
        trial,
    })
}

/// The number of a trial.
pub(crate) fn trial_number(db: &Connection, trial: TrialId) -> Result<i64, StoreError> {
    db.prepare_cached("SELECT n FROM record WHERE id = ?1 AND kind = 'trial'")?
        .query_row([trial.to_string()], |row| row.get(0))
        .optional()?
        .ok_or(StoreError::NoSuchTrial(trial))
}

/// The tanks of a trial: number and id.
pub(crate) fn tank_numbers(db: &Connection, trial: i64) -> Result<Vec<(i64, TankId)>, StoreError> {
    let mut found = db.prepare_cached(
        "SELECT n, id FROM record WHERE trial = ?1 AND kind = 'tank' ORDER BY id",
    )?;
    let mut rows = found.query([trial])?;
    let mut tanks = Vec::new();
    while let Some(row) = rows.next()? {
        tanks.push((row.get(0)?, id(&row.get::<_, String>(1)?).map(TankId)?));
    }
    Ok(tanks)
}

/// A stored id.
pub(crate) fn id(text: &str) -> Result<Uuid, StoreError> {
    Uuid::from_str(text).map_err(|e| StoreError::Damaged {
        what: format!("\"{text}\" is not an id: {e}"),
    })
}
