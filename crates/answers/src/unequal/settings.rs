//! Settings that hold until they are changed: what each tank had on average.

use super::{TreatmentRow, each_tank, row};
use crate::days;
use jiff::civil::Date;
use text::t;
use trial::act::Setting;
use trial::{Act, Bench, Entry, Tank};

/// A setting that holds until it is changed.
struct Held {
    text: fn() -> &'static str,
    unit: &'static str,
    at_start: fn(&Tank) -> Option<f64>,
    set_by: fn(&Setting) -> Option<f64>,
}

const SETTINGS: [Held; 5] = [
    Held {
        text: || t!("unequal.photoperiod"),
        unit: "h",
        at_start: |t| t.lamps.first().and_then(|l| l.photoperiod_h),
        set_by: |s| s.photoperiod_h,
    },
    Held {
        text: || t!("unequal.dimming"),
        unit: "%",
        at_start: |t| t.lamps.first().and_then(|l| l.dimming_pct),
        set_by: |s| s.dimming_pct,
    },
    Held {
        text: || t!("unequal.lamp_height"),
        unit: "cm",
        at_start: |t| t.lamps.first().and_then(|l| l.height_cm),
        set_by: |s| s.lamp_height_cm,
    },
    Held {
        text: || t!("unequal.temperature"),
        unit: "\u{b0}C",
        at_start: |t| t.heater.as_ref().and_then(|h| h.set_c),
        set_by: |s| s.temperature_c,
    },
    Held {
        text: || t!("unequal.flow"),
        unit: "L/h",
        at_start: |t| t.filter.as_ref().and_then(|f| f.flow_l_h),
        set_by: |s| s.flow_l_h,
    },
];

/// A row for each setting that any tank has.
pub(super) fn rows(
    bench: &Bench,
    entries: &[Entry],
    from: Date,
    to: Date,
) -> impl Iterator<Item = TreatmentRow> {
    SETTINGS
        .iter()
        .filter_map(move |s| setting_row(bench, entries, s, from, to))
}

/// Mean of a held setting over the span, weighted by days.
fn setting_row(
    bench: &Bench,
    entries: &[Entry],
    held: &Held,
    from: Date,
    to: Date,
) -> Option<TreatmentRow> {
    let tanks = each_tank(bench, |tank| mean(tank, entries, held, from, to));
    tanks
        .iter()
        .any(|t| t.value.is_some())
        .then(|| TreatmentRow {
            counted: false,
            ..row(bench, (held.text)().to_string(), held.unit, tanks, vec![])
        })
}

/// The mean of one tank over the days on which the setting is known.
fn mean(tank: &Tank, entries: &[Entry], held: &Held, from: Date, to: Date) -> Option<f64> {
    let set = entries
        .iter()
        .filter(|e| e.tanks.contains(&tank.id))
        .filter_map(|e| match &e.act {
            Act::Setting(setting) => Some((days::of(e), (held.set_by)(setting)?)),
            _ => None,
        });
    // Each value holds until the next is set, and the last until the span ends.
    let mut value = (held.at_start)(tank);
    let (mut sum, mut known_days, mut since) = (0.0, 0.0, from);
    let until = set.take_while(|(day, _)| *day < to);
    let until = until.map(|(day, new)| (day, Some(new)));
    for (day, new) in until.chain([(to, None)]) {
        if day > since {
            if let Some(v) = value {
                sum += v * days::between(since, day);
                known_days += days::between(since, day);
            }
            since = day;
        }
        value = new;
    }
    (known_days > 0.0).then(|| sum / known_days)
}
