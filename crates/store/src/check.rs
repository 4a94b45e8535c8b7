//! Verifying the store, the pictures and the history.

mod lookups;

use self::lookups::Lookups;
use crate::read::{entry_sql, raw_entry, raw_revision, revision_sql};
use crate::{Notebook, StoreError};
use job::Progress;
use rusqlite::{Connection, Row};
use std::collections::{HashMap, HashSet};
use text::t;
use trial::Act;
use trial::finding::{Finding, Severity};

/// What [`Notebook::check`] looked at and found.
#[derive(Debug, Clone, Default, PartialEq, serde::Serialize)]
pub struct CheckReport {
    /// Entries read.
    pub entries: u64,
    /// Revisions of set-up records read.
    pub revisions: u64,
    /// Pictures read.
    pub pictures: u64,
    /// Everything that is not as it should be.
    pub findings: Vec<Finding>,
}

impl CheckReport {
    /// Whether nothing is damaged or lost. What is only good to know, such as a picture nobody
    /// names, does not count.
    pub fn is_sound(&self) -> bool {
        let serious = |f: &Finding| f.severity == Severity::Serious;
        !self.findings.iter().any(serious)
    }

    fn serious(&mut self, code: &'static str, record: impl ToString, what: String) {
        let finding = Finding::new(code, Severity::Serious, what, RESTORE);
        self.findings.push(finding.on(record));
    }
}

const RESTORE: &str = "Restore the notebook from a backup made before.";

impl Notebook {
    /// Reads everything and says what is not as it should be. `Err` means that the check itself
    /// could not run, or was stopped.
    pub fn check(&self, progress: &Progress) -> Result<CheckReport, StoreError> {
        let mut report = CheckReport::default();
        let named = self.read(|db| {
            progress.doing(t!("job.doing_database"));
            check_database(db, &mut report)?;
            progress.doing(t!("job.doing_set_up"));
            check_revisions(db, &mut report)?;
            progress.doing(t!("job.doing_entries"));
            let named = check_entries(db, &mut report, &progress.part(0, 50))?;
            check_numbers(db, &mut report)?;
            check_withdrawn(db, &mut report)?;
            Ok::<_, StoreError>(named)
        })?;
        progress.doing(t!("job.doing_pictures"));
        self.check_pictures(&named, &mut report, &progress.part(50, 100))?;
        Ok(report)
    }

    fn check_pictures(
        &self,
        named: &HashMap<String, String>,
        report: &mut CheckReport,
        progress: &Progress,
    ) -> Result<(), StoreError> {
        let mut hashes: Vec<&String> = named.keys().collect();
        hashes.sort();
        for (n, sha256) in hashes.iter().enumerate() {
            progress.at(n as u64, hashes.len() as u64)?;
            let (code, what) = match self.read_picture(sha256) {
                Ok(_) => {
                    report.pictures += 1;
                    continue;
                }
                Err(e @ StoreError::PictureDamaged { .. }) => ("picture_damaged", e.to_string()),
                Err(e @ StoreError::BadHash(_)) => ("picture_name", e.to_string()),
                Err(StoreError::PictureMissing(_)) => (
                    "picture_missing",
                    format!("The file of picture {sha256} is missing."),
                ),
                Err(e) => ("picture_unreadable", e.to_string()),
            };
            report.serious(code, &named[*sha256], what);
        }
        for (sha256, _) in self.pictures()? {
            if !named.contains_key(&sha256) {
                report.findings.push(
                    Finding::new(
                        "picture_unused",
                        Severity::Note,
                        format!("No entry names picture {sha256}."),
                        "It does no harm; its file can be deleted by hand.",
                    )
                    .on(sha256),
                );
            }
        }
        Ok(progress.at(1, 1)?)
    }
}

fn check_database(db: &Connection, report: &mut CheckReport) -> Result<(), StoreError> {
    let mut pages = db.prepare("PRAGMA integrity_check")?;
    let mut rows = pages.query([])?;
    while let Some(row) = rows.next()? {
        let said: String = row.get(0)?;
        if said != "ok" {
            let what = format!("The database's pages are damaged: {said}.");
            report.serious("database_damaged", "notebook.sqlite", what);
        }
    }
    let mut keys = db.prepare("PRAGMA foreign_key_check")?;
    let mut rows = keys.query([])?;
    while let Some(row) = rows.next()? {
        let (table, parent): (String, String) = (row.get(0)?, row.get(2)?);
        let number: Option<i64> = row.get(1)?;
        let what = format!(
            "Row {} of {table} names a {parent} that is missing.",
            number.unwrap_or(0)
        );
        report.serious("row_unconnected", table, what);
    }
    Ok(())
}

/// Whether a row's texts are still those that were written.
fn digest_matches(row: &Row<'_>, column: usize, digest: [u8; 32]) -> Result<bool, StoreError> {
    let stored: Vec<u8> = row.get(column)?;
    Ok(stored == digest)
}

fn check_revisions(db: &Connection, report: &mut CheckReport) -> Result<(), StoreError> {
    let mut all = db.prepare(revision_sql!("ORDER BY v.seq"))?;
    let mut rows = all.query([])?;
    while let Some(row) = rows.next()? {
        report.revisions += 1;
        let shown: String = row.get(2)?;
        match raw_revision(row) {
            Err(e) => report.serious("revision_unreadable", shown, e.to_string()),
            Ok(raw) if !digest_matches(row, 7, raw.digest())? => report.serious(
                "revision_altered",
                shown,
                format!(
                    "A revision of {} {} is not as it was written.",
                    raw.kind, raw.record
                ),
            ),
            Ok(raw) => {
                if let Err(e) = raw.read() {
                    report.serious("revision_unreadable", shown, e.to_string());
                }
            }
        }
    }
    Ok(())
}

/// Reads every entry; gives the pictures they name, each with the first entry that does.
fn check_entries(
    db: &Connection,
    report: &mut CheckReport,
    progress: &Progress,
) -> Result<HashMap<String, String>, StoreError> {
    let count = db.query_row("SELECT count(*) FROM entry", [], |row| row.get::<_, i64>(0))?;
    let count = count.unsigned_abs();
    let mut named = HashMap::new();
    let mut earlier = HashSet::new();
    let mut lookups = Lookups::new(db)?;
    let mut all_read = true;
    let mut all = db.prepare(entry_sql!("ORDER BY e.seq"))?;
    let mut rows = all.query([])?;
    while let Some(row) = rows.next()? {
        progress.at(report.entries, count)?;
        report.entries += 1;
        let shown: String = row.get(1)?;
        let raw = match raw_entry(row) {
            Ok(raw) => raw,
            Err(e) => {
                report.serious("entry_unreadable", shown, e.to_string());
                all_read = false;
                continue;
            }
        };
        if !digest_matches(row, 14, raw.digest())? {
            let what = format!("Entry {shown} is not as it was written.");
            report.serious("entry_altered", &shown, what);
        }
        if let Some(before) = raw.supersedes
            && !earlier.contains(&before)
        {
            let what = format!("Entry {shown} supersedes {before}, which was not there before it.");
            report.serious("history_broken", &shown, what);
        }
        earlier.insert(raw.id);
        match raw.read() {
            Err(e) => {
                report.serious("entry_unreadable", shown, e.to_string());
                all_read = false;
            }
            Ok(entry) => {
                let filed = (row.get(15)?, row.get(16)?);
                lookups.entry(row.get(0)?, &entry, filed, report)?;
                if let Act::Picture(picture) = entry.act {
                    named.entry(picture.sha256).or_insert(shown);
                }
            }
        }
    }
    if all_read {
        lookups.finish(report)?;
    }
    Ok(named)
}

/// Nothing that stands may name a record that was taken back.
fn check_withdrawn(db: &Connection, report: &mut CheckReport) -> Result<(), StoreError> {
    let mut gone = db.prepare(
        "SELECT r.id FROM record r JOIN revision v ON v.record = r.n
         WHERE v.seq = (SELECT max(seq) FROM revision WHERE record = r.n)
           AND json_extract(v.payload, '$.withdrawn') IS NOT NULL",
    )?;
    let mut rows = gone.query([])?;
    while let Some(row) = rows.next()? {
        let shown: String = row.get(0)?;
        // A record that cannot be read was told of before.
        let Ok(uses) = crate::withdraw::uses(db, crate::read::id(&shown)?) else {
            continue;
        };
        if !uses.is_empty() {
            let (entries, records) = (uses.count, uses.records.len());
            let what = format!(
                "Record {shown} was withdrawn, but {entries} entries and {records} records name it."
            );
            let remedy = "Restore the record on the set-up page, or undo what names it.";
            let finding = Finding::new("withdrawn_named", Severity::Weakens, what, remedy);
            report.findings.push(finding.on(shown));
        }
    }
    Ok(())
}

/// Entries are numbered 1, 2, 3 within their trial: a gap means that one was taken out.
fn check_numbers(db: &Connection, report: &mut CheckReport) -> Result<(), StoreError> {
    let mut gaps = db.prepare(
        "SELECT r.id, max(e.nth), count(*) FROM entry e JOIN record r ON r.n = e.trial
         GROUP BY e.trial HAVING max(e.nth) <> count(*) OR min(e.nth) <> 1",
    )?;
    let mut rows = gaps.query([])?;
    while let Some(row) = rows.next()? {
        let (trial, newest, count): (String, i64, i64) = (row.get(0)?, row.get(1)?, row.get(2)?);
        let what = format!("Trial {trial} has {count} entries but the newest is number {newest}.");
        report.serious("entry_lost", trial, what);
    }
    Ok(())
}
