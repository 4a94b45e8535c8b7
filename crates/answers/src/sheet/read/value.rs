//! Single values of a sheet: other amounts, and what stands in a box.

use super::super::rows::step_of;
use super::super::{Row, TankBox, What};
use crate::walk::act_of;
use jiff::ZonedDateTime;
use quantity::parse::{parse_amount, parse_number};
use quantity::{Amount, Unit};
use text::t;
use trial::act::{Change, Dose, Feed, TopUp, WaterAmount};
use trial::{Act, Bench};

/// The same act with another amount; a bare number is in the unit that is usual. None when the text
/// is no such amount, or the act has none.
pub(super) fn other_amount(act: &Act, said: &str) -> Option<Act> {
    let amount = |unit| parse_amount(said, Some(unit)).ok();
    Some(match act {
        Act::Dose(d) => Act::Dose(Dose {
            amount: amount(d.amount.unit)?,
            ..d.clone()
        }),
        Act::Change(c) => {
            let usual = match c.amount {
                WaterAmount::Share { .. } => Unit::Percent,
                WaterAmount::Litres { .. } => Unit::Litre,
            };
            Act::Change(Change {
                amount: water(amount(usual)?)?,
                ..c.clone()
            })
        }
        Act::TopUp(t) => Act::TopUp(TopUp {
            litres: amount(Unit::Litre)?.to(Unit::Litre).ok()?,
            // How far the level stood was another time's.
            level_below_cm: None,
            ..t.clone()
        }),
        Act::Feed(f) => Act::Feed(Feed {
            grams: Some(amount(Unit::Gram)?.to(Unit::Gram).ok()?),
            ..f.clone()
        }),
        _ => return None,
    })
}

fn water(amount: Amount) -> Option<WaterAmount> {
    Some(match amount.unit {
        Unit::Percent => WaterAmount::Share {
            share: amount.value / 100.0,
        },
        _ => WaterAmount::Litres {
            litres: amount.to(Unit::Litre).ok()?,
        },
    })
}

/// What a box says, or what it accepts.
pub(super) fn of_box(
    bench: &Bench,
    row: &Row,
    tank_box: &TankBox,
    said: &str,
    now: &ZonedDateTime,
) -> Result<Act, String> {
    match &row.what {
        What::Reading { .. } => reading(bench, row, tank_box, said, now),
        What::Look { .. } => look(row, tank_box, said),
        _ => Err(String::new()),
    }
}

/// A reading is read as a jot reads it: a step, a pair, `3+`, `<0.06`, a meter's value.
fn reading(
    bench: &Bench,
    row: &Row,
    tank_box: &TankBox,
    said: &str,
    now: &ZonedDateTime,
) -> Result<Act, String> {
    let What::Reading {
        card,
        analyte,
        means,
        steps,
        ..
    } = &row.what
    else {
        return Err(String::new());
    };
    let accepted = || match steps.is_empty() {
        true => t!("sheet.accept_meter").to_string(),
        false => t!("sheet.accept_steps", steps = steps.join(", ")),
    };
    // Only what reads as one value: the rest of the grammar belongs into free lines.
    let plain = |c: char| c.is_ascii_digit() || " .,-+<>~/=\u{2013}\u{b1}".contains(c);
    let words = said
        .split(|c: char| plain(c) || c.is_control())
        .filter(|w| !w.is_empty());
    if !words
        .map(str::to_lowercase)
        .all(|w| ["to", "at", "least", "most", "between", "and"].contains(&w.as_str()))
    {
        return Err(accepted());
    }
    let said = said.replace('\u{2013}', "-").replace('\u{b1}', "+/-");
    let tank = bench.tank(tank_box.tank).map_or("", |t| t.name.as_str());
    let on = card.and_then(|id| bench.card(id));
    let line = match on {
        Some(card) => format!("{tank}: read {} {said} on \"{}\"", analyte.key(), card.name),
        None => {
            let what = analyte.symbol(*means).to_lowercase();
            let what = match means {
                quantity::Means::Ion => analyte.key().to_string(),
                quantity::Means::Element => what,
            };
            format!("{tank}: read {what} meter {said}")
        }
    };
    let read = trial::jot::read(&line, bench, now).map_err(|_| accepted())?;
    match &read.draft.act {
        Act::Reading(r) if r.card == *card && r.analyte == *analyte && r.means == *means => {
            Ok(read.draft.act)
        }
        _ => Err(accepted()),
    }
}

/// A score, a length or a cover.
fn look(row: &Row, tank_box: &TankBox, said: &str) -> Result<Act, String> {
    let accepted = || match &row.what {
        What::Look {
            scale: crate::walk::Scale::Score { most, .. },
            ..
        } => t!("sheet.accept_score", most = most),
        What::Look {
            scale: crate::walk::Scale::Number { unit },
            ..
        } => t!("sheet.accept_length", unit = unit),
        _ => String::new(),
    };
    let step = row
        .key
        .strip_prefix("look/")
        .and_then(|rest| rest.split_once('/'));
    let step = step.and_then(|(measure, on)| step_of(measure, on));
    let unit = match &row.what {
        What::Look {
            scale: crate::walk::Scale::Number { unit },
            ..
        } => unit,
        _ => "",
    };
    let number = said.strip_suffix(unit).unwrap_or(said).trim_end();
    match (step, parse_number(number)) {
        (Some(step), Ok(value)) => Ok(act_of(&step, tank_box.planting, value)),
        _ => Err(accepted()),
    }
}
