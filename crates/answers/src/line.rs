//! One entry as one line of a list.

use jiff::civil::{Date, Time};
use quantity::Format;
use serde::Serialize;
use trial::{Bench, DeviceId, Entry, EntryId};

/// An entry as lists show it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EntryLine {
    /// The entry.
    pub id: EntryId,
    /// Its kind's key.
    pub kind: &'static str,
    /// Its day.
    pub day: Date,
    /// Its time of day.
    pub time: Time,
    /// Which tanks, in words.
    pub tanks: String,
    /// What was done or seen, one sentence.
    pub sentence: String,
    /// Its note.
    pub note: String,
    /// Who.
    pub who: String,
    /// Minutes of work.
    pub minutes: Option<f64>,
    /// Whether it replaced an earlier entry.
    pub corrected: bool,
    /// The paired device it came from.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub device: Option<DeviceId>,
}

/// The line of an entry.
pub fn line(entry: &Entry, bench: &Bench, format: &Format) -> EntryLine {
    EntryLine {
        id: entry.id,
        kind: entry.act.kind(),
        day: entry.at.date(),
        time: entry.at.time(),
        tanks: trial::describe::tanks_phrase(&entry.tanks, entry.all_tanks, bench),
        sentence: trial::describe::sentence(&entry.act, bench, format),
        note: entry.note.clone(),
        who: entry.who.clone(),
        minutes: entry.minutes,
        // The end of a walk-round supersedes its beginning and corrects nothing.
        corrected: entry.supersedes.is_some() && !matches!(entry.act, trial::Act::Walk(_)),
        device: entry.origin.device(),
    }
}
