//! Days: all windows are whole days in the trial's zone.

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use trial::{Bench, Entry, PlantingId};

/// Days from `a` to `b`, negative when `b` is earlier.
pub fn between(a: Date, b: Date) -> f64 {
    b.duration_since(a).as_hours() as f64 / 24.0
}

/// The trial's zone, UTC when its name is not known.
pub fn zone(bench: &Bench) -> TimeZone {
    TimeZone::get(&bench.trial.zone).unwrap_or(TimeZone::UTC)
}

/// The instant at which `day` begins in the trial's zone.
pub fn start_of(bench: &Bench, day: Date) -> Option<Timestamp> {
    day.to_zoned_datetime(zone(bench))
        .ok()
        .map(|z| z.timestamp())
}

/// The civil day of an entry, in its own zone.
pub fn of(entry: &Entry) -> Date {
    entry.at.date()
}

/// Whether the entry lies from `from` to before `to`.
pub fn within(entry: &Entry, from: Date, to: Date) -> bool {
    let day = of(entry);
    from <= day && day < to
}

/// The day a planting came in: as recorded, else the trial's start.
pub fn planted(bench: &Bench, planting: PlantingId) -> Option<Date> {
    bench
        .planting(planting)
        .and_then(|p| p.planted)
        .or(bench.trial.start)
}
