//! The rules of a reading: its interval is what its card and dilution give.

use super::Found;
use crate::act::{Reading, ReadingOf};
use crate::{Bench, Seen};
use quantity::{Analyte, Interval};
use text::t;

pub(super) fn check(r: &Reading, bench: &Bench, found: &mut Found) {
    found.within("dilution", r.dilution, 1.0, 1e4, "");
    let factor = r.dilution.unwrap_or(1.0);
    let dilutes = factor == 1.0 || r.analyte.is_amount();
    found.require(dilutes, "dilution", factor, t!("act.rule_no_dilution"));
    found.not_negative("waited_min", r.waited_min, "min");
    if let (Some(opened), Some(expires)) = (r.opened, r.expires) {
        let accepted = t!("act.rule_expires", opened = opened);
        found.require(opened <= expires, "expires", expires, accepted);
    }
    if let Some(id) = r.water {
        let known: Vec<&str> = bench.waters.iter().map(|w| w.name.as_str()).collect();
        let accepted = t!("act.rule_known_water", known = known.join(", "));
        found.require(bench.water(id).is_some(), "water", id, accepted);
    }
    let (low, high) = range(r.analyte);
    for value in numbers(&r.seen) {
        found.within("value", Some(value), low, high, r.analyte.unit());
    }
    if let Seen::Meter { error, .. } = r.seen {
        found.positive("error", error, r.analyte.unit());
    }
    if let ReadingOf::Standard { value } = r.of {
        found.within("standard", Some(value), low, high, r.analyte.unit());
    }
    check_interval(r, bench, found);
}

/// What a reading can be: pH by the scale's usual ends, temperature that of water in a room, and
/// no more of anything in a litre than the litre weighs (1,000,000 mg).
fn range(analyte: Analyte) -> (f64, f64) {
    match analyte {
        Analyte::Ph => (0.0, 14.0),
        Analyte::Temperature => (0.0, 50.0),
        _ => (0.0, 1e6),
    }
}

fn numbers(seen: &Seen) -> Vec<f64> {
    match *seen {
        Seen::Step { step } => vec![step],
        Seen::Between { low, high } => vec![low, high],
        Seen::AtLeast { value } | Seen::AtMost { value } | Seen::Meter { value, .. } => vec![value],
    }
}

fn check_interval(r: &Reading, bench: &Bench, found: &mut Found) {
    if let Seen::Between { low, high } = r.seen {
        let given = format!("{low} to {high}");
        found.require(low < high, "value", given, t!("act.rule_low_high"));
    }
    let said = match r.card {
        None => r.seen.interval(),
        Some(id) => {
            let Some(card) = bench.card(id) else {
                let known: Vec<&str> = bench.cards.iter().map(|c| c.name.as_str()).collect();
                let accepted = t!("act.rule_known_card", known = known.join(", "));
                found.add("card", id, accepted);
                return;
            };
            let same = card.analyte == r.analyte && card.means == r.means;
            let accepted = t!("act.rule_card_fits", what = r.analyte.symbol(r.means));
            found.require(same, "card", &card.name, accepted);
            if let Seen::AtLeast { value } | Seen::AtMost { value } = r.seen {
                let accepted = t!("act.rule_steps", steps = card.steps_text());
                found.require(card.has_step(value), "value", value, accepted);
            }
            card.interval(r.seen)
        }
    };
    match said {
        Err(error) => found.add("value", text(&r.seen), error),
        Ok(undiluted) => {
            let factor = r.dilution.unwrap_or(1.0);
            match undiluted.map_increasing(|v| v * factor) {
                Ok(expected) if same(&expected, &r.interval) => {}
                Ok(expected) => found.add("interval", r.interval, expected),
                // A dilution that is not finite has its own problem already.
                Err(_) => {}
            }
        }
    }
}

fn text(seen: &Seen) -> String {
    let all: Vec<String> = numbers(seen).iter().map(f64::to_string).collect();
    all.join(" to ")
}

/// Equal but for rounding on the way through a file.
fn same(a: &Interval, b: &Interval) -> bool {
    let near = |x: Option<f64>, y: Option<f64>| match (x, y) {
        (Some(x), Some(y)) => (x - y).abs() <= 1e-9 * x.abs().max(y.abs()).max(1e-3),
        (x, y) => x == y,
    };
    near(a.low(), b.low()) && near(a.high(), b.high())
}
