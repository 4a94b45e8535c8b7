//! Looking back through everything that was written: all versions of entries, newest first, a
//! bounded stretch at a time, and the revisions of set-up records.

use crate::entries::matching;
use crate::raw::ms;
use crate::read::{entry_of_id, entry_of_seq, raw_revision, revision_sql, trial_number};
use crate::records::{Revision, revision};
use crate::{EntryQuery, Notebook, StoreError};
use jiff::Timestamp;
use rusqlite::{Connection, OptionalExtension, named_params, params};
use trial::{Entry, EntryId, TrialId};

/// What to look for among the versions of entries.
#[derive(Debug, Clone, PartialEq)]
pub struct Search {
    /// The window; its order, limit and choice of versions are set here.
    pub window: EntryQuery,
    /// Only versions that were changed or taken back, and what changed them.
    pub changed: bool,
    /// Only what is older than this entry, from the page before.
    pub before: Option<EntryId>,
    /// Give at most so many.
    pub most: usize,
    /// Look at no more than so many entries.
    pub look: u32,
}

/// One version of an entry with what came after it.
#[derive(Debug, Clone, PartialEq)]
pub struct Version {
    /// The entry as it was written.
    pub entry: Entry,
    /// What superseded it; none while it stands.
    pub after: Option<Entry>,
}

/// What was found in one stretch.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// The versions, newest first.
    pub versions: Vec<Version>,
    /// The last entry looked at, when older ones were not: the next stretch lies before it.
    pub next: Option<EntryId>,
    /// When that entry happened.
    pub looked_to: Option<Timestamp>,
}

impl Notebook {
    /// The versions of entries that `keep` wants, newest first by when they happened, undos left
    /// out: those show as what they took back.
    pub fn search(
        &self,
        search: &Search,
        mut keep: impl FnMut(&Entry) -> bool,
    ) -> Result<Found, StoreError> {
        self.read(|db| {
            let mut found = Found {
                versions: Vec::new(),
                next: None,
                looked_to: None,
            };
            let seqs = stretch(db, search)?;
            for (at, seq) in seqs.iter().enumerate() {
                let after = after(db, *seq)?;
                let raw = entry_of_seq(db, *seq)?;
                let wanted = !search.changed || after.is_some() || raw.supersedes.is_some();
                if raw.kind != "undo" && wanted {
                    let entry = raw.read()?;
                    if keep(&entry) {
                        found.versions.push(Version { entry, after });
                    }
                }
                let full = found.versions.len() == search.most;
                let ended = at + 1 == seqs.len() && seqs.len() == search.look as usize;
                if (full && at + 1 < seqs.len()) || ended {
                    found.next = Some(raw.id);
                    found.looked_to = Some(raw.read()?.at.timestamp());
                }
                if full {
                    break;
                }
            }
            Ok(found)
        })
    }

    /// The revisions of a trial's own set-up records, newest first: each with the one before it.
    /// Revisions of what a notebook's trials share are left out.
    pub fn newest_revisions(
        &self,
        trial: TrialId,
        most: u32,
    ) -> Result<Vec<(Revision, Option<Revision>)>, StoreError> {
        self.read(|db| {
            let n = trial_number(db, trial)?;
            let mut newest = db.prepare_cached(revision_sql!(
                "WHERE r.trial = ?1 ORDER BY v.seq DESC LIMIT ?2"
            ))?;
            let mut before = db.prepare_cached(revision_sql!(
                "WHERE r.id = ?1 AND v.seq < ?2 ORDER BY v.seq DESC LIMIT 1"
            ))?;
            let mut rows = newest.query(params![n, most])?;
            let mut found = Vec::new();
            while let Some(row) = rows.next()? {
                let seq: i64 = row.get(0)?;
                let raw = raw_revision(row)?;
                let mut older = before.query(params![raw.record.to_string(), seq])?;
                let older = match older.next()? {
                    Some(row) => Some(revision(row.get(0)?, raw_revision(row)?)?),
                    None => None,
                };
                found.push((revision(seq, raw)?, older));
            }
            Ok(found)
        })
    }
}

/// The numbers of the entries to look at, newest first.
fn stretch(db: &Connection, search: &Search) -> Result<Vec<i64>, StoreError> {
    let mut query = EntryQuery {
        superseded: true,
        newest_first: true,
        limit: Some(search.look),
        ..search.window.clone()
    };
    let Some(before) = search.before else {
        return matching(db, &query);
    };
    let (seq, raw) = entry_of_id(db, before)?.ok_or(StoreError::NoSuchEntry(before))?;
    let at = raw.read()?.at.timestamp();
    // Those of the same millisecond were looked at down to this one's number.
    let until = jiff::ToSpan::milliseconds(1);
    let past = at.checked_add(until).unwrap_or(at);
    query.to = Some(query.to.map_or(past, |to| to.min(past)));
    let same = same_moment(db, raw.trial, ms(at), seq)?;
    query.limit = Some(search.look.saturating_add(same));
    let mut seqs = matching(db, &query)?;
    let mut moment = db.prepare_cached("SELECT at_ms FROM entry WHERE seq = ?1")?;
    let mut skip = 0;
    for other in &seqs {
        let other_ms: i64 = moment.query_row([other], |row| row.get(0))?;
        if other_ms < ms(at) || *other < seq {
            break;
        }
        skip += 1;
    }
    seqs.drain(..skip);
    seqs.truncate(search.look as usize);
    Ok(seqs)
}

/// How many entries of one millisecond have this number or a later one.
fn same_moment(db: &Connection, trial: TrialId, ms: i64, seq: i64) -> Result<u32, StoreError> {
    let trial = trial_number(db, trial)?;
    let count: i64 = db
        .prepare_cached(
            "SELECT COUNT(*) FROM entry INDEXED BY entry_by_time
             WHERE trial = :trial AND at_ms = :ms AND seq >= :seq",
        )?
        .query_row(
            named_params! {":trial": trial, ":ms": ms, ":seq": seq},
            |row| row.get(0),
        )?;
    Ok(u32::try_from(count).unwrap_or(u32::MAX))
}

/// The entry that supersedes the one of this number.
fn after(db: &Connection, seq: i64) -> Result<Option<Entry>, StoreError> {
    let found: Option<i64> = db
        .prepare_cached("SELECT seq FROM entry INDEXED BY entry_superseded WHERE supersedes = ?1")?
        .query_row([seq], |row| row.get(0))
        .optional()?;
    found.map(|seq| entry_of_seq(db, seq)?.read()).transpose()
}
