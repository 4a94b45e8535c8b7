//! Entries of one trial: the log's jots and the other tables' rows, in the order they were written.

use crate::DemoError;
use crate::acts::acts;
use crate::ids::id_at;
use crate::log::log;
use crate::table::{Folder, Row};
use jiff::civil::{Date, DateTime, Time};
use jiff::{Timestamp, ZonedDateTime};
use std::collections::HashMap;
use trial::{Act, Bench, Draft, Entry, EntryId, Origin};

/// Entries that other rows refer to, by the key in their row.
pub(crate) type Keys = HashMap<String, EntryId>;

/// The columns every table of acts shares.
pub(crate) struct Shared<'a> {
    pub(crate) day: Date,
    pub(crate) time: &'a str,
    pub(crate) tank: &'a str,
    pub(crate) who: &'a str,
    pub(crate) minutes: Option<f64>,
    pub(crate) note: &'a str,
    pub(crate) key: &'a str,
}

/// An entry before it has its id.
pub(crate) struct Made {
    pub(crate) draft: Draft,
    pub(crate) written: Timestamp,
    /// What it is called by other rows.
    pub(crate) key: String,
    /// The key of the entry it corrects or takes back.
    pub(crate) corrects: String,
    /// Table and line, which name it for its id and for errors.
    pub(crate) row: Row<()>,
}

impl Made {
    /// A row of a table of acts; a row without a tank is about none.
    pub(crate) fn of<T>(
        row: &Row<T>,
        shared: Shared<'_>,
        act: Act,
        bench: &Bench,
    ) -> Result<Made, DemoError> {
        let at = moment(row, shared.day, shared.time, bench)?;
        let tanks = match shared.tank {
            "" => vec![],
            name => vec![row.known(bench.tank_named(name), "tank", name)?.id],
        };
        Ok(Made {
            written: at.timestamp(),
            draft: Draft {
                at,
                tanks,
                all_tanks: false,
                who: shared.who.to_string(),
                minutes: shared.minutes,
                note: shared.note.to_string(),
                act,
            },
            key: shared.key.to_string(),
            corrects: String::new(),
            row: row.place(),
        })
    }
}

/// A day and a time of day in the trial's zone.
pub(crate) fn moment<T>(
    row: &Row<T>,
    day: Date,
    time: &str,
    bench: &Bench,
) -> Result<ZonedDateTime, DemoError> {
    let time: Time = row.known(time.parse().ok(), "time", time)?;
    let local = DateTime::from_parts(day, time);
    row.known(
        local.in_tz(&bench.trial.zone).ok(),
        "zone",
        &bench.trial.zone,
    )
}

/// The entries, with the keys that plans refer to.
pub(crate) fn entries(folder: Folder, bench: &Bench) -> Result<(Vec<Entry>, Keys), DemoError> {
    let mut made = log(folder, bench)?;
    made.extend(acts(folder, bench)?);
    made.sort_by_key(|m| m.written);
    let mut keys = Keys::new();
    let mut entries: Vec<Entry> = Vec::with_capacity(made.len());
    for (order, m) in (0u16..).zip(made) {
        let name = format!("entry {} {}", m.row.table.path, m.row.line);
        let id = EntryId(id_at(m.written, order, &name));
        let supersedes = match m.corrects.as_str() {
            "" => None,
            key => Some(m.row.known(keys.get(key).copied(), "corrects", key)?),
        };
        if !m.key.is_empty() && keys.insert(m.key.clone(), id).is_some() {
            return Err(m.row.problem(format!("key \"{}\" is used twice", m.key)));
        }
        entries.push(
            m.draft
                .into_entry(id, bench.trial.id, m.written, Origin::Demo, supersedes),
        );
    }
    Ok((entries, keys))
}
