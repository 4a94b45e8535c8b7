//! The newest of everything: one index look-up each, whatever the notebook's size.

use crate::entries::matching;
use crate::read::{entry_of_seq, tank_numbers, trial_number};
use crate::{EntryQuery, Notebook, StoreError};
use jiff::Timestamp;
use quantity::Analyte;
use rusqlite::{OptionalExtension, params};
use std::collections::HashSet;
use trial::{Act, Entry, EntryId, TankId, TrialId};

/// When a kind of thing was last done in a tank.
#[derive(Debug, Clone, PartialEq)]
pub struct LastDone {
    /// The tank.
    pub tank: TankId,
    /// The kind of act ([`Act::KINDS`]).
    pub kind: &'static str,
    /// When.
    pub at: Timestamp,
    /// The entry that says so.
    pub entry: EntryId,
}

/// Kinds that are done again and again in the same way, so that "last used" buttons help.
pub const REPEATED: [&str; 6] = ["dose", "change", "top_up", "feed", "clean", "setting"];

/// How many of the newest entries are searched for different ones.
const SEARCHED: u32 = 2_000;

impl Notebook {
    /// The newest standing reading of every tank and analyte (samples of the tank; blanks,
    /// standards and source waters are left out), tanks in order of id, analytes in table order.
    pub fn latest_readings(&self, trial: TrialId) -> Result<Vec<(TankId, Entry)>, StoreError> {
        self.read(|db| {
            let mut newest = db.prepare_cached(
                "SELECT k.entry FROM tank_reading k
                 WHERE k.tank = ?1 AND k.analyte = ?2 AND k.sample = 1
                   AND NOT EXISTS (SELECT 1 FROM entry s INDEXED BY entry_superseded
                     WHERE s.supersedes = k.entry)
                 ORDER BY k.at_ms DESC, k.entry DESC LIMIT 1",
            )?;
            let mut found = Vec::new();
            for (n, tank) in tank_numbers(db, trial_number(db, trial)?)? {
                for analyte in Analyte::all() {
                    let seq: Option<i64> = newest
                        .query_row(params![n, analyte.key()], |row| row.get(0))
                        .optional()?;
                    if let Some(seq) = seq {
                        found.push((tank, entry_of_seq(db, seq)?.read()?));
                    }
                }
            }
            Ok(found)
        })
    }

    /// The newest standing entry of every tank and kind, tanks in order of id, kinds as forms show
    /// them. Undos are left out.
    pub fn last_done(&self, trial: TrialId) -> Result<Vec<LastDone>, StoreError> {
        self.read(|db| {
            let mut newest = db.prepare_cached(
                "SELECT k.entry FROM entry_tank k
                 WHERE k.tank = ?1 AND k.kind = ?2
                   AND NOT EXISTS (SELECT 1 FROM entry s INDEXED BY entry_superseded
                     WHERE s.supersedes = k.entry)
                 ORDER BY k.at_ms DESC, k.entry DESC LIMIT 1",
            )?;
            let mut found = Vec::new();
            for (n, tank) in tank_numbers(db, trial_number(db, trial)?)? {
                for kind in Act::KINDS.into_iter().filter(|kind| *kind != "undo") {
                    let seq: Option<i64> = newest
                        .query_row(params![n, kind], |row| row.get(0))
                        .optional()?;
                    if let Some(seq) = seq {
                        let entry = entry_of_seq(db, seq)?.read()?;
                        found.push(LastDone {
                            tank,
                            kind,
                            at: entry.at.timestamp(),
                            entry: entry.id,
                        });
                    }
                }
            }
            Ok(found)
        })
    }

    /// The newest standing entries of the [`REPEATED`] kinds whose acts differ, newest first, at
    /// most `limit`: what "last used" buttons offer. Searches the newest 2,000 of those kinds.
    pub fn last_act_variants(
        &self,
        trial: TrialId,
        limit: usize,
    ) -> Result<Vec<Entry>, StoreError> {
        let query = EntryQuery::of(trial).kinds(&REPEATED).newest(SEARCHED);
        self.read(|db| {
            let mut seen = HashSet::new();
            let mut found = Vec::new();
            for seq in matching(db, &query)? {
                if found.len() >= limit {
                    break;
                }
                let raw = entry_of_seq(db, seq)?;
                if seen.insert(raw.payload.clone()) {
                    found.push(raw.read()?);
                }
            }
            Ok(found)
        })
    }

    /// The instants of a trial's first and last entries, when it has any.
    pub fn span(&self, trial: TrialId) -> Result<Option<(Timestamp, Timestamp)>, StoreError> {
        let first = self.entries(&EntryQuery::of(trial).limit(1))?;
        let last = self.entries(&EntryQuery::of(trial).newest(1))?;
        let at = |entries: &[Entry]| entries.first().map(|e| e.at.timestamp());
        Ok(at(&first).zip(at(&last)))
    }
}
