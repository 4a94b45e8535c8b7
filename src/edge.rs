//! What only the edge may do: read the clock, make identities, print.

use answers::log::Stamp;
use jiff::ZonedDateTime;
use jiff::tz::TimeZone;
use serde::Serialize;
use std::io::Write;
use trial::{Bench, EntryId};
use uuid::Uuid;

/// Now, in the trial's zone.
pub(crate) fn now(bench: &Bench) -> ZonedDateTime {
    let zone = TimeZone::get(&bench.trial.zone).unwrap_or_else(|_| TimeZone::system());
    ZonedDateTime::now().with_time_zone(zone)
}

/// A fresh stamp for one entry.
pub(crate) fn stamp(now: ZonedDateTime) -> Stamp {
    Stamp {
        device: None,
        id: EntryId(Uuid::now_v7()),
        now,
    }
}

/// Prints one JSON document.
pub(crate) fn print_json(value: &impl Serialize) -> anyhow::Result<()> {
    let mut out = std::io::stdout().lock();
    serde_json::to_writer_pretty(&mut out, value)?;
    writeln!(out)?;
    Ok(())
}
