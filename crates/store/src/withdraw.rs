//! Taking a set-up record back as never meant, and bringing it back: both are new revisions.
//!
//! What anything that stands points at stays: first the entries are corrected or undone, and the
//! records that name it changed or taken back.

use crate::read::{entry_of_seq, newest_revision, revision_sql};
use crate::records::State;
use crate::write::Writer;
use crate::{Notebook, RawRevision, StoreError, facts};
use jiff::Timestamp;
use rusqlite::{Connection, OptionalExtension, params};
use trial::{Act, Entry, Record, RecordKind, Withdrawn};
use uuid::Uuid;

/// How many of the entries that name a record are read.
const SHOWN: usize = 12;

/// What points at a record, of all that stands.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Uses {
    /// The newest entries that name it, the newest first, at most twelve.
    pub entries: Vec<Entry>,
    /// How many entries name it.
    pub count: usize,
    /// The records that name it, oldest first.
    pub records: Vec<Record>,
}

impl Uses {
    /// Whether nothing points at it.
    pub fn is_empty(&self) -> bool {
        self.count == 0 && self.records.is_empty()
    }
}

impl Notebook {
    /// What points at this record.
    pub fn uses(&self, record: Uuid) -> Result<Uses, StoreError> {
        self.read(|db| uses(db, record))
    }

    /// Takes a record back. Refused for a trial, and while anything that stands points at it; one
    /// that was taken back before stays so, and adds nothing.
    pub fn withdraw(
        &self,
        record: Uuid,
        why: &str,
        who: &str,
        at: Timestamp,
    ) -> Result<(), StoreError> {
        self.write(|writer| {
            let (stored, withdrawn) = state(writer.tx, record)?;
            let what = stored.kind().key();
            if stored.kind() == RecordKind::Trial {
                return Err(StoreError::TrialStays { id: record });
            }
            if withdrawn.is_some() {
                return Ok(());
            }
            let uses = uses(writer.tx, record)?;
            if !uses.is_empty() {
                return Err(StoreError::StillNamed {
                    what,
                    id: record,
                    entries: uses.count,
                    records: uses.records.len(),
                });
            }
            let why = why.to_string();
            let raw = RawRevision::with_state(&stored, Some(&Withdrawn { at, why }), who, at)?;
            writer.revision(&raw, &stored)
        })
    }

    /// Brings a record back as it was; refused while something it points at is taken back. One
    /// that stands adds nothing.
    pub fn reinstate(&self, record: Uuid, who: &str, at: Timestamp) -> Result<(), StoreError> {
        let (stored, _) = self.read(|db| state(db, record))?;
        self.write_record(&stored, who, at)
    }
}

impl Writer<'_> {
    /// Refuses a record that points at one that was taken back.
    pub(crate) fn record_stands(&mut self, record: &Record) -> Result<(), StoreError> {
        self.all_stand(&record.points_at())
    }

    /// Refuses an entry that names a record that was taken back.
    pub(crate) fn entry_stands(&mut self, entry: &Entry) -> Result<(), StoreError> {
        if entry.act == Act::Undo {
            return Ok(());
        }
        let mut named: Vec<Uuid> = entry.tanks.iter().map(|t| t.0).collect();
        named.extend(facts::plantings(entry));
        named.extend(facts::references(&entry.act).iter().map(|(_, id)| *id));
        self.all_stand(&named)
    }

    fn all_stand(&mut self, named: &[Uuid]) -> Result<(), StoreError> {
        for id in named {
            if self.standing.contains(id) {
                continue;
            }
            let db = self.tx;
            let mut found = db.prepare_cached(
                "SELECT json_extract(v.payload, '$.withdrawn') IS NOT NULL FROM revision v
                 JOIN record r ON r.n = v.record WHERE r.id = ?1 ORDER BY v.seq DESC LIMIT 1",
            )?;
            let gone: Option<bool> = found
                .query_row([id.to_string()], |row| row.get(0))
                .optional()?;
            if gone == Some(true) {
                let (record, _) = state(db, *id)?;
                return Err(StoreError::NamesWithdrawn {
                    what: record.kind().key(),
                    name: record.title(),
                    id: *id,
                });
            }
            self.standing.insert(*id);
        }
        Ok(())
    }
}

/// A record as it is now.
fn state(db: &Connection, record: Uuid) -> Result<State, StoreError> {
    let n: Option<i64> = db
        .prepare_cached("SELECT n FROM record WHERE id = ?1")?
        .query_row([record.to_string()], |row| row.get(0))
        .optional()?;
    let newest = n.map(|n| newest_revision(db, n)).transpose()?.flatten();
    newest.ok_or(StoreError::NoSuchRecord(record))?.read_state()
}

pub(crate) fn uses(db: &Connection, record: Uuid) -> Result<Uses, StoreError> {
    let (stored, _) = state(db, record)?;
    let seqs = naming(db, &stored)?;
    let entries = seqs
        .iter()
        .take(SHOWN)
        .map(|seq| entry_of_seq(db, *seq)?.read());
    Ok(Uses {
        entries: entries.collect::<Result<_, _>>()?,
        count: seqs.len(),
        records: pointing(db, record)?,
    })
}

/// The standing entries that name a record, newest first: those whose tanks or act have its id in
/// their text. Every entry is looked through, which is rare enough.
fn naming(db: &Connection, record: &Record) -> Result<Vec<i64>, StoreError> {
    let mut found = db.prepare(
        "SELECT e.seq FROM entry e
         WHERE (instr(e.payload, ?1) > 0 OR instr(e.tanks, ?1) > 0) AND e.kind <> 'undo'
           AND NOT EXISTS (SELECT 1 FROM entry s WHERE s.supersedes = e.seq)
         ORDER BY e.at_ms DESC, e.seq DESC",
    )?;
    let rows = found.query_map(params![record.id().to_string()], |row| row.get(0))?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// The standing records that point at this one.
fn pointing(db: &Connection, record: Uuid) -> Result<Vec<Record>, StoreError> {
    let mut found = db.prepare(revision_sql!(
        "WHERE v.seq = (SELECT max(seq) FROM revision WHERE record = r.n)
           AND r.id <> ?1 AND instr(v.payload, ?1) > 0 ORDER BY r.id"
    ))?;
    let mut rows = found.query([record.to_string()])?;
    let mut pointing = Vec::new();
    while let Some(row) = rows.next()? {
        let (other, withdrawn) = crate::read::raw_revision(row)?.read_state()?;
        if withdrawn.is_none() && other.points_at().contains(&record) {
            pointing.push(other);
        }
    }
    Ok(pointing)
}
