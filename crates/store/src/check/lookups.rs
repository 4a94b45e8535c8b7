//! Whether the look-up columns and tables say what the entries say.

use super::CheckReport;
use crate::read::id;
use crate::{StoreError, facts};
use rusqlite::{Connection, ToSql, params};
use std::collections::HashMap;
use trial::finding::{Finding, Severity};
use trial::{Entry, RecordKind};
use uuid::Uuid;

/// Follows a reading of all entries, and counts what the look-up tables must hold.
pub(super) struct Lookups<'d> {
    db: &'d Connection,
    /// Number and kind of every record.
    records: HashMap<Uuid, (i64, String)>,
    tanks: i64,
    readings: i64,
    plantings: i64,
}

impl<'d> Lookups<'d> {
    pub(super) fn new(db: &'d Connection) -> Result<Self, StoreError> {
        let mut records = HashMap::new();
        let mut all = db.prepare("SELECT id, n, kind FROM record")?;
        let mut rows = all.query([])?;
        while let Some(row) = rows.next()? {
            let shown: String = row.get(0)?;
            records.insert(id(&shown)?, (row.get(1)?, row.get(2)?));
        }
        Ok(Lookups {
            db,
            records,
            tanks: 0,
            readings: 0,
            plantings: 0,
        })
    }

    /// Checks one entry, filed under `at_ms` and `analyte`.
    pub(super) fn entry(
        &mut self,
        seq: i64,
        entry: &Entry,
        filed: (i64, Option<String>),
        report: &mut CheckReport,
    ) -> Result<(), StoreError> {
        let at = facts::at_ms(entry);
        let reading = facts::reading(entry);
        let mut right = filed.0 == at && filed.1.as_deref() == reading.map(|(analyte, _)| analyte);
        for tank in &entry.tanks {
            let n = self.number(tank.0, RecordKind::Tank);
            let kind = entry.act.kind();
            self.tanks += 1;
            right &= self.holds(
                "SELECT 1 FROM entry_tank
                 WHERE tank = ?1 AND kind = ?2 AND at_ms = ?3 AND entry = ?4",
                params![n, kind, at, seq],
            )?;
            if let Some((analyte, sample)) = reading {
                self.readings += 1;
                right &= self.holds(
                    "SELECT 1 FROM tank_reading WHERE tank = ?1 AND analyte = ?2 AND sample = ?3
                     AND at_ms = ?4 AND entry = ?5",
                    params![n, analyte, sample, at, seq],
                )?;
            }
        }
        for planting in facts::plantings(entry) {
            let n = self.number(planting, RecordKind::Planting);
            self.plantings += 1;
            right &= self.holds(
                "SELECT 1 FROM entry_planting WHERE planting = ?1 AND at_ms = ?2 AND entry = ?3",
                params![n, at, seq],
            )?;
        }
        if !right {
            let what = format!(
                "Entry {} is filed wrongly, so windows may miss it.",
                entry.id
            );
            report.serious("lookup_wrong", entry.id, what);
        }
        self.references(entry, report);
        Ok(())
    }

    /// Records an act names that were never written: the entry stands, but says less.
    fn references(&self, entry: &Entry, report: &mut CheckReport) {
        for (kind, named) in facts::references(&entry.act) {
            if self.number(named, kind).is_none() {
                let kind = kind.key();
                report.findings.push(
                    Finding::new(
                        "reference_missing",
                        Severity::Weakens,
                        format!("Entry {} names {kind} {named}, which is missing.", entry.id),
                        "Write an entry that supersedes it and names a record that is there.",
                    )
                    .on(entry.id),
                );
            }
        }
    }

    /// After all entries: the tables must hold nothing else.
    pub(super) fn finish(self, report: &mut CheckReport) -> Result<(), StoreError> {
        let expected = [
            ("entry_tank", self.tanks),
            ("tank_reading", self.readings),
            ("entry_planting", self.plantings),
        ];
        for (table, expected) in expected {
            let sql = format!("SELECT count(*) FROM {table}");
            let found: i64 = self.db.query_row(&sql, [], |row| row.get(0))?;
            if found != expected {
                let what =
                    format!("Look-up {table} has {found} rows; the entries make {expected}.");
                report.serious("lookup_wrong", table, what);
            }
        }
        Ok(())
    }

    fn number(&self, record: Uuid, kind: RecordKind) -> Option<i64> {
        let known = self.records.get(&record);
        known.and_then(|(n, known)| (known == kind.key()).then_some(*n))
    }

    fn holds(&self, sql: &str, params: &[&dyn ToSql]) -> Result<bool, StoreError> {
        Ok(self.db.prepare_cached(sql)?.exists(params)?)
    }
}
