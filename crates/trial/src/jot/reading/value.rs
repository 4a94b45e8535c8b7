//! The value of a reading in all the ways people write it.

use super::super::cursor::Cursor;
use super::super::error::JotError;
use quantity::Analyte;
use text::t;

/// What was typed as the value, before the card is known.
#[derive(Clone, Copy)]
pub(super) enum Typed {
    One(f64, u8),
    Step(f64),
    Between(f64, f64),
    AtLeast(f64),
    AtMost(f64),
    Meter(f64, Option<f64>, u8),
}

/// Units that may stand behind a reading's number.
pub(super) fn take_unit(c: &mut Cursor, analyte: Analyte) {
    let own = analyte.unit().to_lowercase();
    let also: &[&str] = match analyte {
        Analyte::Kh | Analyte::Gh => &["degrees", "\u{b0}dh", "\u{b0}"],
        Analyte::Temperature => &["c", "\u{b0}", "degrees"],
        Analyte::Conductivity => &["\u{b5}s/cm", "\u{3bc}s/cm", "us"],
        _ if own == "mg/l" => &["ppm", "mg"],
        _ => &[],
    };
    let words: Vec<&str> = also.iter().copied().chain([own.as_str()]).collect();
    c.take(&words);
}

/// The value as typed, or nothing when none begins here.
pub(super) fn value(c: &mut Cursor, analyte: Analyte) -> Result<Option<Typed>, JotError> {
    let at_least: &[&[&str]] = &[
        &["at", "least"],
        &["more", "than"],
        &[">="],
        &[">"],
        &["\u{2265}"],
        &["above"],
        &["over"],
    ];
    let at_most: &[&[&str]] = &[
        &["at", "most"],
        &["less", "than"],
        &["up", "to"],
        &["<="],
        &["<"],
        &["\u{2264}"],
        &["below"],
        &["under"],
    ];
    if at_least.iter().any(|p| c.take_phrase(p).is_some()) {
        return Ok(Some(Typed::AtLeast(figure(c, analyte)?.0)));
    }
    if at_most.iter().any(|p| c.take_phrase(p).is_some()) {
        return Ok(Some(Typed::AtMost(figure(c, analyte)?.0)));
    }
    if c.take(&["between"]).is_some() {
        let (low, _) = figure(c, analyte)?;
        if c.take(&["and", "to", "-"]).is_none() {
            return Err(c.missing(t!("act.jot_between")));
        }
        return Ok(Some(Typed::Between(low, figure(c, analyte)?.0)));
    }
    if c.take(&["step"]).is_some() {
        return Ok(Some(Typed::Step(figure(c, analyte)?.0)));
    }
    if c.take(&["meter", "~"]).is_some() {
        let (value, decimals) = figure(c, analyte)?;
        let error = plus_minus(c, analyte)?;
        return Ok(Some(Typed::Meter(value, error, decimals)));
    }
    if !c.is_number() {
        return Ok(None);
    }
    let (first, decimals) = figure(c, analyte)?;
    if c.take(&["-", "to", "\u{2013}", "\u{2212}"]).is_some() {
        return Ok(Some(Typed::Between(first, figure(c, analyte)?.0)));
    }
    if c.take(&["+"]).is_some() {
        return Ok(Some(Typed::AtLeast(first)));
    }
    Ok(Some(match plus_minus(c, analyte)? {
        Some(error) => Typed::Meter(first, Some(error), decimals),
        None => Typed::One(first, decimals),
    }))
}

fn plus_minus(c: &mut Cursor, analyte: Analyte) -> Result<Option<f64>, JotError> {
    if c.take(&["+/-", "+-", "\u{b1}"]).is_none() {
        return Ok(None);
    }
    Ok(Some(figure(c, analyte)?.0))
}

/// A number with its decimals, and its unit if one stands behind it.
fn figure(c: &mut Cursor, analyte: Analyte) -> Result<(f64, u8), JotError> {
    let (value, token) = c.number()?;
    let decimals = quantity::parse::decimals(&token.text).min(12) as u8;
    take_unit(c, analyte);
    Ok((value, decimals))
}
