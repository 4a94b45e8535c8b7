//! How many entries lie in each stretch of time, counted without reading them: for spans in which
//! there are too many to show one by one.

use crate::raw::ms;
use crate::read::{id, tank_numbers, trial_number};
use crate::{Notebook, StoreError};
use jiff::Timestamp;
use rusqlite::{Connection, named_params, params};
use std::collections::{HashMap, HashSet};
use trial::{Act, TankId, TrialId};

/// How often one kind of act stands in one lane, stretch by stretch.
#[derive(Debug, Clone, PartialEq)]
pub struct KindCounts {
    /// The tank; none for entries of the whole trial.
    pub tank: Option<TankId>,
    /// The kind of act ([`Act::KINDS`]).
    pub kind: &'static str,
    /// Standing entries in each stretch, in the order of the bounds; one fewer than those.
    pub counts: Vec<u32>,
}

/// The kinds that may name no tank ([`trial::Entry::tanks`]).
const WITHOUT_TANKS: [&str; 2] = ["reading", "note"];

/// One lane: a tank's number, or none for the whole trial.
type Lane = Option<i64>;

impl Notebook {
    /// Standing entries from `from` to before `to`, undos left out.
    pub fn count(&self, trial: TrialId, from: Timestamp, to: Timestamp) -> Result<u64, StoreError> {
        self.read(|db| {
            let trial = trial_number(db, trial)?;
            let one = |sql: &str| -> Result<u64, StoreError> {
                let count: i64 = db
                    .prepare_cached(sql)?
                    .query_row(params![trial, ms(from), ms(to)], |row| row.get(0))?;
                Ok(count.unsigned_abs())
            };
            let all = one("SELECT COUNT(*) FROM entry INDEXED BY entry_by_time
                 WHERE trial = ?1 AND at_ms >= ?2 AND at_ms < ?3")?;
            // Few stand corrected: cheaper to take those off than to ask each entry.
            let undos = one("SELECT COUNT(*) FROM entry INDEXED BY entry_by_kind
                 WHERE trial = ?1 AND kind = 'undo' AND at_ms >= ?2 AND at_ms < ?3")?;
            let replaced = one("SELECT COUNT(*) FROM entry s INDEXED BY entry_superseded
                 CROSS JOIN entry o ON o.seq = s.supersedes
                 WHERE s.supersedes IS NOT NULL AND o.trial = ?1 AND o.kind <> 'undo'
                   AND o.at_ms >= ?2 AND o.at_ms < ?3")?;
            Ok(all.saturating_sub(undos).saturating_sub(replaced))
        })
    }

    /// Standing entries between each bound and the next, by tank and kind: tanks in order of id,
    /// then the whole trial, kinds as forms show them, only those of which there are any. `bounds`
    /// rise. An entry of several tanks counts in each.
    pub fn counts_between(
        &self,
        trial: TrialId,
        bounds: &[Timestamp],
    ) -> Result<Vec<KindCounts>, StoreError> {
        let bounds: Vec<i64> = bounds.iter().map(|b| ms(*b)).collect();
        let (Some(first), Some(last)) = (bounds.first(), bounds.last()) else {
            return Ok(Vec::new());
        };
        let stretches = serde_json::json!(bounds.windows(2).collect::<Vec<_>>()).to_string();
        self.read(|db| {
            let trial = trial_number(db, trial)?;
            let tanks = tank_numbers(db, trial)?;
            let replaced = replaced(db, trial, &tanks, &bounds)?;
            let mut found = Vec::new();
            let lanes = tanks.iter().map(|(n, id)| (Some(*n), Some(*id)));
            for (lane, tank) in lanes.chain([(None, None)]) {
                for kind in Act::KINDS.into_iter().filter(|kind| *kind != "undo") {
                    let mut counts = match lane {
                        None if !WITHOUT_TANKS.contains(&kind) => continue,
                        Some(n) if !any(db, n, kind, *first, *last)? => continue,
                        Some(n) => of_tank(db, n, kind, &stretches)?,
                        None => of_trial(db, trial, &tanks, kind, &bounds)?,
                    };
                    for (at, count) in counts.iter_mut().enumerate() {
                        let gone = replaced.get(&(lane, kind.to_string(), at));
                        *count = count.saturating_sub(gone.copied().unwrap_or(0));
                    }
                    if counts.iter().any(|n| *n > 0) {
                        found.push(KindCounts { tank, kind, counts });
                    }
                }
            }
            Ok(found)
        })
    }
}

/// Whether there is anything to count.
fn any(db: &Connection, tank: i64, kind: &str, from: i64, to: i64) -> Result<bool, StoreError> {
    let mut asked = db.prepare_cached(
        "SELECT EXISTS (SELECT 1 FROM entry_tank
         WHERE tank = ?1 AND kind = ?2 AND at_ms >= ?3 AND at_ms < ?4)",
    )?;
    Ok(asked.query_row(params![tank, kind, from, to], |row| row.get(0))?)
}

fn of_tank(
    db: &Connection,
    tank: i64,
    kind: &str,
    stretches: &str,
) -> Result<Vec<u32>, StoreError> {
    let mut counted = db.prepare_cached(
        "SELECT (SELECT COUNT(*) FROM entry_tank k WHERE k.tank = :of AND k.kind = :kind
           AND k.at_ms >= b.value ->> 0 AND k.at_ms < b.value ->> 1)
         FROM json_each(:stretches) b",
    )?;
    let asked = named_params! {":of": tank, ":kind": kind, ":stretches": stretches};
    let counts = counted.query_map(asked, |row| row.get(0))?;
    Ok(counts.collect::<Result<_, _>>()?)
}

/// Entries that name no tank: those of the kind that no tank's index has. Two walks over indexes are
/// much quicker than looking into each entry.
fn of_trial(
    db: &Connection,
    trial: i64,
    tanks: &[(i64, TankId)],
    kind: &str,
    bounds: &[i64],
) -> Result<Vec<u32>, StoreError> {
    let (first, last) = (bounds.first(), bounds.last());
    let mut named: HashSet<i64> = HashSet::new();
    let mut of_tank = db.prepare_cached(
        "SELECT entry FROM entry_tank
         WHERE tank = ?1 AND kind = ?2 AND at_ms >= ?3 AND at_ms < ?4",
    )?;
    for (n, _) in tanks {
        let mut rows = of_tank.query(params![n, kind, first, last])?;
        while let Some(row) = rows.next()? {
            named.insert(row.get(0)?);
        }
    }
    let mut all = db.prepare_cached(
        "SELECT at_ms, seq FROM entry INDEXED BY entry_by_kind
         WHERE trial = ?1 AND kind = ?2 AND at_ms >= ?3 AND at_ms < ?4",
    )?;
    let mut counts = vec![0; bounds.len() - 1];
    let mut rows = all.query(params![trial, kind, first, last])?;
    while let Some(row) = rows.next()? {
        if !named.contains(&row.get(1)?) {
            let at: i64 = row.get(0)?;
            counts[bounds.partition_point(|b| *b <= at) - 1] += 1;
        }
    }
    Ok(counts)
}

/// How many entries of each lane, kind and stretch a later one replaced or took back.
fn replaced(
    db: &Connection,
    trial: i64,
    tanks: &[(i64, TankId)],
    bounds: &[i64],
) -> Result<HashMap<(Lane, String, usize), u32>, StoreError> {
    let mut found = db.prepare_cached(
        "SELECT o.kind, o.at_ms, o.tanks FROM entry s INDEXED BY entry_superseded
         CROSS JOIN entry o ON o.seq = s.supersedes
         WHERE s.supersedes IS NOT NULL AND o.trial = ?1 AND o.at_ms >= ?2 AND o.at_ms < ?3",
    )?;
    let (first, last) = (bounds.first(), bounds.last());
    let mut rows = found.query(params![trial, first, last])?;
    let mut counts = HashMap::new();
    while let Some(row) = rows.next()? {
        let (kind, at, listed): (String, i64, String) = (row.get(0)?, row.get(1)?, row.get(2)?);
        let stretch = bounds.partition_point(|b| *b <= at) - 1;
        let named: Vec<String> =
            serde_json::from_str(&listed).map_err(|e| StoreError::Damaged {
                what: format!("an entry's tanks are not a list of ids ({e})"),
            })?;
        let mut take = |lane| *counts.entry((lane, kind.clone(), stretch)).or_insert(0) += 1;
        if named.is_empty() {
            take(None);
        }
        for name in &named {
            let tank = id(name).map(TankId)?;
            for (n, _) in tanks.iter().filter(|(_, t)| *t == tank) {
                take(Some(*n));
            }
        }
    }
    Ok(counts)
}
