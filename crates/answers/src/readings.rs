//! What the water tests say, tank beside tank, each as the interval it is.

use crate::days;
use jiff::Timestamp;
use jiff::civil::Date;
use quantity::{Analyte, Format, Interval, Means};
use serde::Serialize;
use trial::act::{Reading, ReadingOf};
use trial::card::Seen;
use trial::types::KeptRange;
use trial::{Act, Bench, Entry, EntryId, TankId};

/// The readings of a span of days.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Readings {
    /// First day.
    pub from: Date,
    /// Day after the last.
    pub to: Date,
    /// One series per analyte that was read.
    pub analytes: Vec<AnalyteReadings>,
    /// Doses, water changes and settings in the span.
    pub marks: Vec<Mark>,
}

/// All readings of one analyte.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AnalyteReadings {
    /// Which.
    pub analyte: Analyte,
    /// The unit of the numbers; concentrations are of the ion.
    pub unit: &'static str,
    /// The range this trial is kept in.
    pub kept: Option<KeptRange>,
    /// One series per tank, from the left.
    pub tanks: Vec<TankReadings>,
    /// Readings of source waters.
    pub waters: Vec<WaterReadings>,
}

/// One tank's readings of one analyte.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TankReadings {
    /// The tank.
    pub tank: TankId,
    /// Its name.
    pub name: String,
    /// Its readings, oldest first.
    pub points: Vec<ReadingPoint>,
}

/// One source water's readings of one analyte.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WaterReadings {
    /// Its name.
    pub name: String,
    /// Its readings, oldest first.
    pub points: Vec<ReadingPoint>,
}

/// One reading.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReadingPoint {
    /// Its entry.
    pub entry: EntryId,
    /// When.
    pub at: Timestamp,
    /// Its day.
    pub day: Date,
    /// What it says, as the ion.
    pub interval: Interval,
    /// What a meter showed; none for cards and bare intervals.
    pub meter: Option<MeterValue>,
    /// What was seen, in words.
    pub seen: String,
    /// The entry's note.
    pub note: String,
    /// Why the record itself casts doubt on it, one sentence: a reagent past its date.
    pub doubt: Option<String>,
}

/// What a meter showed, as the ion and with a dilution reckoned in.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct MeterValue {
    /// The value.
    pub value: f64,
    /// The stated error, plus or minus; none when it was not stated.
    pub error: Option<f64>,
}

impl MeterValue {
    /// What a meter showed; none when it was no meter.
    pub fn of(reading: &Reading) -> Option<Self> {
        let Seen::Meter { value, error, .. } = reading.seen else {
            return None;
        };
        let parts = reading.dilution.unwrap_or(1.0);
        let ion = |v: f64| reading.analyte.as_ion(v * parts, reading.means);
        Some(MeterValue {
            value: ion(value),
            error: error.map(|e| (ion(value + e) - ion(value)).abs()),
        })
    }

    /// In words: `6.8 \u{b1} 0.1`, or the value with that its error was not stated.
    pub fn words(&self, format: &Format) -> String {
        let value = format.significant(self.value, 4);
        match self.error {
            Some(error) => format!("{value} \u{b1} {}", format.significant(error, 2)),
            None => text::t!("readings.meter_no_error", value = value),
        }
    }
}

impl ReadingPoint {
    /// What it says in words: a meter's value with its error, or between which ends.
    pub fn words(&self, format: &Format) -> String {
        match &self.meter {
            Some(meter) => meter.words(format),
            None => format.interval(&self.interval, 3),
        }
    }
}

/// Something done that readings are looked at against.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Mark {
    /// When.
    pub at: Timestamp,
    /// Its day.
    pub day: Date,
    /// The kind of act.
    pub kind: &'static str,
    /// In which tanks, in words.
    pub tanks: String,
    /// What, one sentence.
    pub what: String,
}

/// The readings in `entries` from `from` to before `to`. Blanks and standards are left out.
pub fn readings(bench: &Bench, entries: &[Entry], from: Date, to: Date) -> Readings {
    let format = Format::default();
    let inside = |e: &&Entry| days::within(e, from, to);
    let samples: Vec<(&Entry, &Reading)> = entries
        .iter()
        .filter(inside)
        .filter_map(|e| match &e.act {
            Act::Reading(r) if r.of == ReadingOf::Sample => Some((e, r)),
            _ => None,
        })
        .collect();
    let analytes = Analyte::all()
        .filter(|a| samples.iter().any(|(_, r)| r.analyte == *a))
        .map(|a| of_analyte(bench, &samples, a, &format))
        .collect();
    let marks = entries
        .iter()
        .filter(inside)
        .filter(|e| matches!(e.act, Act::Dose(_) | Act::Change(_) | Act::Setting(_)))
        .map(|e| Mark {
            at: e.at.timestamp(),
            day: days::of(e),
            kind: e.act.kind(),
            tanks: trial::describe::tanks_phrase(&e.tanks, e.all_tanks, bench),
            what: trial::describe::sentence(&e.act, bench, &format),
        })
        .collect();
    Readings {
        from,
        to,
        analytes,
        marks,
    }
}

fn of_analyte(
    bench: &Bench,
    samples: &[(&Entry, &Reading)],
    analyte: Analyte,
    format: &Format,
) -> AnalyteReadings {
    let point = |e: &Entry, r: &Reading| ReadingPoint {
        entry: e.id,
        at: e.at.timestamp(),
        day: days::of(e),
        interval: r.as_ion(),
        meter: MeterValue::of(r),
        seen: trial::describe::sentence(&e.act, bench, format),
        note: e.note.clone(),
        doubt: doubt(days::of(e), r),
    };
    let of = |keep: &dyn Fn(&Entry, &Reading) -> bool| -> Vec<ReadingPoint> {
        samples
            .iter()
            .filter(|(e, r)| r.analyte == analyte && keep(e, r))
            .map(|(e, r)| point(e, r))
            .collect()
    };
    let tanks = bench.tanks.iter().map(|t| TankReadings {
        tank: t.id,
        name: t.name.clone(),
        points: of(&|e, r| r.water.is_none() && e.tanks.contains(&t.id)),
    });
    let waters = bench.waters.iter().map(|w| WaterReadings {
        name: w.name.clone(),
        points: of(&|_, r| r.water == Some(w.id)),
    });
    AnalyteReadings {
        analyte,
        unit: analyte.unit(),
        kept: bench
            .trial
            .kept_ranges
            .iter()
            .find(|k| k.analyte == analyte)
            .cloned(),
        tanks: tanks.collect(),
        waters: waters.filter(|w| !w.points.is_empty()).collect(),
    }
}

fn doubt(day: Date, reading: &Reading) -> Option<String> {
    let expired = reading.expires.filter(|expires| *expires < day)?;
    Some(text::t!("readings.doubt_expired", day = expired))
}

/// The symbol of an analyte as the ion, for labels.
pub fn symbol(analyte: Analyte) -> &'static str {
    analyte.symbol(Means::Ion)
}
