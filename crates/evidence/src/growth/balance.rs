//! Growth of a clump that was trimmed and replanted meanwhile.
//!
//! A trim takes mass out of the clump, so the mass left behind says nothing about growth until
//! the trimmed mass is added back:
//!
//! ```text
//! RGR = ln((W_end + removed - replanted) / W_start) / (t_end - t_start)
//! ```
//!
//! The clump is the **cutting family** in one tank: the parent and all its cuttings planted in
//! the same tank. `W_end` is what the whole family weighs at the end. A cutting that is planted
//! leaves the parent (removed) and comes back into the family (replanted), so that its mass is
//! counted once, within `W_end`. What is thrown away, given away or planted in another tank is
//! removed only.
//!
//! Adding back treats trimmed mass as if it had stopped growing at the trim, so the rate comes
//! out **low**, the more the earlier and larger the trims were. When the clump was weighed before
//! and after each trim, [`over_stretches`] has no such bias.

use serde::Serialize;

use super::{SHORTEST, positive};
use crate::{NoAnswer, Refusal, Unusable};

/// What the numbers of a record are; a rate of one is never called a rate of another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Measure {
    /// Fresh mass, blotted the same way each time.
    FreshMass,
    /// Dry mass.
    DryMass,
    /// Covered area; grows otherwise than mass does.
    CoveredArea,
    /// Summed length of stems.
    StemLength,
}

/// A mass with the bounds it surely lies between, in one unit throughout a record (g for mass).
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Mass {
    /// Lower bound.
    pub low: f64,
    /// Best value.
    pub value: f64,
    /// Upper bound.
    pub high: f64,
}

impl Mass {
    /// A mass taken as exact.
    #[must_use]
    pub fn exact(value: f64) -> Self {
        Self {
            low: value,
            value,
            high: value,
        }
    }

    /// A mass read to within `tolerance` either way; the lower bound is not below zero.
    #[must_use]
    pub fn within(value: f64, tolerance: f64) -> Self {
        Self {
            low: (value - tolerance).max(0.0),
            value,
            high: value + tolerance,
        }
    }
}

/// A mass on a day; days count from any fixed moment.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct DatedMass {
    /// Day, with fractions.
    pub day: f64,
    /// Mass.
    pub mass: Mass,
}

/// The history of one cutting family between two weighings.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GrowthRecord {
    /// What was measured.
    pub measure: Measure,
    /// The family at the start.
    pub start: DatedMass,
    /// The whole family at the end, cuttings planted in the same tank included.
    pub end: DatedMass,
    /// Mass cut off, per trim, between start and end.
    pub removed: Vec<DatedMass>,
    /// The part of it that was planted in the same tank again and stands in `end`.
    pub replanted: Vec<DatedMass>,
}

/// A relative growth rate with its bounds, per day.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct GrowthRate {
    /// What grew.
    pub measure: Measure,
    /// Rate per day from the best values.
    pub rate: f64,
    /// Rate if every mass lay at its least favourable bound.
    pub low: f64,
    /// Rate if every mass lay at its most favourable bound.
    pub high: f64,
    /// Days between the weighings.
    pub days: f64,
    /// Mass added back, removed less replanted.
    pub added_back: f64,
    /// Share of the final reckoning that was added back; the larger, the lower the rate is
    /// biased.
    pub added_share: f64,
}

/// Rate of a record, trimmed mass added back. The bounds are sure bounds, not a confidence
/// interval: the rate rises with the mass at the end and the mass removed and falls with the
/// mass at the start and the mass replanted, so its extremes lie at theirs.
///
/// # Errors
/// Refused when a mass at start or end (with what is added back) is or may be zero, when there
/// is no time between, or when more was replanted than removed; unusable for values that are no
/// numbers, negative masses, crossed bounds, or a trim outside the span.
pub fn added_back(record: &GrowthRecord) -> Result<GrowthRate, NoAnswer> {
    let days = span(record.start, record.end)?;
    for (field, list) in [
        ("removed", &record.removed),
        ("replanted", &record.replanted),
    ] {
        for dated in list {
            check_dated(field, *dated)?;
            if dated.day < record.start.day || dated.day > record.end.day {
                return Err(Unusable::OutOfRange {
                    field: format!("day of {field}"),
                    value: dated.day.to_string(),
                    accepted: format!("a day from {} to {}", record.start.day, record.end.day),
                }
                .into());
            }
        }
    }
    let (out, back) = (total(&record.removed), total(&record.replanted));
    if back.value > out.value * (1.0 + 1e-12) {
        return Err(Refusal::ReplantedMoreThanRemoved {
            removed: out.value,
            replanted: back.value,
        }
        .into());
    }
    // What was replanted is a part of what was removed, so the rest is never negative.
    let rest = Mass {
        low: (out.low - back.high).max(0.0),
        value: (out.value - back.value).max(0.0),
        high: (out.high - back.low).max(0.0),
    };
    let (start, end) = (record.start.mass, record.end.mass);
    let reckoned = Mass {
        low: end.low + rest.low,
        value: end.value + rest.value,
        high: end.high + rest.high,
    };
    positive("the mass at the start", &[start.low])?;
    positive(
        "the mass at the end with what is added back",
        &[reckoned.low],
    )?;
    Ok(GrowthRate {
        measure: record.measure,
        rate: (reckoned.value.ln() - start.value.ln()) / days,
        low: (reckoned.low.ln() - start.high.ln()) / days,
        high: (reckoned.high.ln() - start.low.ln()) / days,
        days,
        added_back: rest.value,
        added_share: rest.value / reckoned.value,
    })
}

/// An undisturbed stretch: from the planting or the weighing after a trim to the weighing before
/// the next trim or at the end.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Stretch {
    /// The family at the start of the stretch.
    pub from: DatedMass,
    /// The family at its end.
    pub to: DatedMass,
}

/// Rate over undisturbed stretches: the growth of ln mass in them, summed, over their days.
///
/// # Errors
/// Refused for no stretch, a mass that is or may be zero, or a stretch without time; unusable
/// for values that are no numbers, crossed bounds, or stretches that overlap or are out of order.
pub fn over_stretches(measure: Measure, stretches: &[Stretch]) -> Result<GrowthRate, NoAnswer> {
    let (mut days, mut gain, mut low, mut high) = (0.0, 0.0, 0.0, 0.0);
    let mut last = f64::NEG_INFINITY;
    for stretch in stretches {
        days += span(stretch.from, stretch.to)?;
        if stretch.from.day < last {
            return Err(Unusable::OutOfRange {
                field: "first day of a stretch".into(),
                value: stretch.from.day.to_string(),
                accepted: format!("a day from {last}, where the stretch before ends"),
            }
            .into());
        }
        last = stretch.to.day;
        let (from, to) = (stretch.from.mass, stretch.to.mass);
        positive("a mass at the start of a stretch", &[from.low])?;
        positive("a mass at the end of a stretch", &[to.low])?;
        gain += to.value.ln() - from.value.ln();
        low += to.low.ln() - from.high.ln();
        high += to.high.ln() - from.low.ln();
    }
    if stretches.is_empty() {
        return Err(Refusal::NoValues {
            what: "the stretches between trims".into(),
        }
        .into());
    }
    Ok(GrowthRate {
        measure,
        rate: gain / days,
        low: low / days,
        high: high / days,
        days,
        added_back: 0.0,
        added_share: 0.0,
    })
}

fn span(start: DatedMass, end: DatedMass) -> Result<f64, NoAnswer> {
    check_dated("start", start)?;
    check_dated("end", end)?;
    if end.day - start.day < SHORTEST {
        return Err(Refusal::NoTimeBetween {
            start: start.day,
            end: end.day,
        }
        .into());
    }
    Ok(end.day - start.day)
}

fn check_dated(field: &str, dated: DatedMass) -> Result<(), Unusable> {
    let Mass { low, value, high } = dated.mass;
    crate::summary::check(field, &[dated.day, low, value, high])?;
    if low < 0.0 || low > value || value > high {
        return Err(Unusable::OutOfRange {
            field: format!("{field} mass"),
            value: format!("{low} to {value} to {high}"),
            accepted: "bounds from 0 with the value between them".into(),
        });
    }
    Ok(())
}

fn total(masses: &[DatedMass]) -> Mass {
    let sum = |part: fn(&Mass) -> f64| crate::summary::sum(masses.iter().map(|m| part(&m.mass)));
    Mass {
        low: sum(|m| m.low),
        value: sum(|m| m.value),
        high: sum(|m| m.high),
    }
}
