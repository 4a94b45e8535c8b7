//! Reading entries in windows, one by one, or all of them in the order of writing.

use crate::raw::ms;
use crate::read::{
    entry_of_id, entry_of_seq, entry_sql, number_in_trial, raw_entry, successor, trial_number,
};
use crate::{EntryQuery, Notebook, RawEntry, StoreError};
use rusqlite::types::Value;
use rusqlite::{CachedStatement, Connection};
use trial::{Entry, EntryId};

impl Notebook {
    /// The entries of a window, in order of time; those of one millisecond in order of writing.
    pub fn entries(&self, query: &EntryQuery) -> Result<Vec<Entry>, StoreError> {
        self.read(|db| {
            let seqs = matching(db, query)?;
            seqs.into_iter()
                .map(|seq| entry_of_seq(db, seq)?.read())
                .collect()
        })
    }

    /// The entry of this id, superseded or not.
    pub fn entry(&self, id: EntryId) -> Result<Option<Entry>, StoreError> {
        self.read(|db| match entry_of_id(db, id)? {
            Some((_, raw)) => Ok(Some(raw.read()?)),
            None => Ok(None),
        })
    }

    /// The entry that supersedes this one, when one does.
    pub fn superseded_by(&self, id: EntryId) -> Result<Option<EntryId>, StoreError> {
        self.read(|db| successor(db, id))
    }

    /// All versions of an entry, oldest first, from any of them.
    pub fn history(&self, id: EntryId) -> Result<Vec<Entry>, StoreError> {
        self.read(|db| {
            let get = |id| {
                entry_of_id(db, id)?
                    .map(|(_, raw)| raw)
                    .ok_or(StoreError::NoSuchEntry(id))
            };
            let mut chain = vec![get(id)?];
            // An entry supersedes only what was written before it, so both walks end.
            while let Some(before) = chain.last().and_then(|raw: &RawEntry| raw.supersedes) {
                chain.push(get(before)?);
            }
            chain.reverse();
            let mut newest = id;
            while let Some(after) = successor(db, newest)? {
                chain.push(get(after)?);
                newest = after;
            }
            chain.iter().map(RawEntry::read).collect()
        })
    }

    /// Every entry of the notebook as stored, in the order of writing.
    pub fn for_each_entry(&self, each: &mut dyn FnMut(RawEntry)) -> Result<(), StoreError> {
        self.try_each_entry(|raw| {
            each(raw);
            Ok(())
        })
    }

    /// Like [`Notebook::for_each_entry`], but stops at the first error of `each`.
    pub fn try_each_entry<E: From<StoreError>>(
        &self,
        mut each: impl FnMut(RawEntry) -> Result<(), E>,
    ) -> Result<(), E> {
        self.read(|db| {
            let mut all = db
                .prepare_cached(entry_sql!("ORDER BY e.seq"))
                .map_err(StoreError::from)?;
            let mut rows = all.query([]).map_err(StoreError::from)?;
            while let Some(row) = rows.next().map_err(StoreError::from)? {
                each(raw_entry(row)?)?;
            }
            Ok(())
        })
    }
}

/// The sequence numbers of a window's entries, in its order.
pub(crate) fn matching(db: &Connection, query: &EntryQuery) -> Result<Vec<i64>, StoreError> {
    let trial = trial_number(db, query.trial)?;
    let in_trial = |id, kind| number_in_trial(db, id, kind, query.trial);
    let tank = query.tank.map(|t| in_trial(t.0, "tank")).transpose()?;
    let planting = query
        .planting
        .map(|p| in_trial(p.0, "planting"))
        .transpose()?;
    let Some(sql) = query.sql() else {
        return Ok(Vec::new());
    };
    let mut found = db.prepare_cached(&sql)?;
    let analyte = query.analyte.map(|a| a.key().to_string());
    for (name, value) in [
        (":trial", Value::from(trial)),
        (":tank", tank.into()),
        (":planting", planting.into()),
        (":analyte", analyte.into()),
        (":from", query.from.map(ms).into()),
        (":to", query.to.map(ms).into()),
        (":limit", query.limit.map(i64::from).into()),
    ] {
        bind(&mut found, name, &value)?;
    }
    let mut rows = found.raw_query();
    let mut seqs = Vec::new();
    while let Some(row) = rows.next()? {
        seqs.push(row.get(1)?);
    }
    Ok(seqs)
}

/// Binds a parameter when the text has it.
fn bind(statement: &mut CachedStatement<'_>, name: &str, value: &Value) -> Result<(), StoreError> {
    if let Some(i) = statement.parameter_index(name)? {
        statement.raw_bind_parameter(i, value)?;
    }
    Ok(())
}
