//! Water tests: `read no3 6-12`, `read tap no3 6-12`, `read ph 6.8`.

mod value;

use super::cursor::{Cursor, Span, sentence};
use super::error::JotError;
use super::lex::Kind;
use super::nearest::nearest;
use super::when;
use crate::act::{Reading, ReadingOf};
use crate::card::CardError;
use crate::{Act, Card, Seen, WaterId};
use jiff::civil::Date;
use quantity::{Analyte, Interval, Means, Unit};
use text::t;
use value::{Typed, take_unit, value};

/// Which card the keeper means.
enum Which<'a> {
    /// The only one for the analyte, if there is one.
    Usual,
    Named(&'a Card),
    None,
}

struct Draft<'a> {
    analyte: Analyte,
    element: bool,
    water: Option<WaterId>,
    typed: Option<(Typed, Span)>,
    which: Which<'a>,
    dilution: Option<f64>,
    of: ReadingOf,
    lot: Option<String>,
    opened: Option<Date>,
    expires: Option<Date>,
    waited_min: Option<f64>,
    viewing_light: Option<String>,
}

const OPTIONS: &[&str] = &[
    "on", "diluted", "meter", "step", "blank", "standard", "lot", "opened", "expires", "waited",
    "light", "between", "at", "no",
];

pub(super) fn read(c: &mut Cursor) -> Result<Act, JotError> {
    let (water, analyte, element) = subject(c)?;
    c.known = OPTIONS.iter().map(|w| w.to_string()).collect();
    let mut d = Draft {
        analyte,
        element,
        water,
        typed: None,
        which: Which::Usual,
        dilution: None,
        of: ReadingOf::Sample,
        lot: None,
        opened: None,
        expires: None,
        waited_min: None,
        viewing_light: None,
    };
    loop {
        c.skip_joints();
        if c.peek().is_none() || !detail(c, &mut d)? {
            break;
        }
    }
    c.expect_end()?;
    tanks(c, &d)?;
    let Some((typed, span)) = d.typed else {
        return Err(c.missing(t!("act.jot_value_missing")));
    };
    finish(c, d, typed, span)
}

/// A water's name if one stands first, then what was tested.
fn subject(c: &mut Cursor) -> Result<(Option<WaterId>, Analyte, bool), JotError> {
    if let Some((analyte, element)) = take_analyte(c) {
        return Ok((None, analyte, element));
    }
    let bench = c.bench;
    let water = match c.peek() {
        Some(_) => c.one_named(&bench.waters, |w| w.name.clone(), |_| true)?,
        None => None,
    };
    if let Some((water, _)) = water {
        c.take(&["water"]);
        c.understood.push(water.name.clone());
        if let Some((analyte, element)) = take_analyte(c) {
            return Ok((Some(water.id), analyte, element));
        }
    }
    let word = c.peek().map_or(String::new(), |t| t.text.clone());
    let mut known: Vec<&str> = Analyte::all().flat_map(|a| [a.key(), a.name()]).collect();
    known.extend(bench.waters.iter().map(|w| w.name.as_str()));
    let near = nearest(&word, known);
    let problem = match word.as_str() {
        "" => t!("act.jot_analyte_missing").to_string(),
        word => t!("act.jot_analyte", word = word),
    };
    Err(c.error(c.here(), problem, near))
}

/// An analyte, and whether its element is meant (`no3-n`, `po4-p`).
fn take_analyte(c: &mut Cursor) -> Option<(Analyte, bool)> {
    let word = c.peek().filter(|t| t.kind == Kind::Word)?.lower.clone();
    let plain = Analyte::from_word(&word).map(|a| (a, false));
    let as_element = || {
        let (ion, element) = word.rsplit_once('-')?;
        let analyte = Analyte::from_word(ion)?;
        let fits = match analyte {
            Analyte::No3 | Analyte::No2 | Analyte::Nh4 => element == "n",
            Analyte::Po4 => element == "p",
            _ => false,
        };
        fits.then_some((analyte, true))
    };
    let found = plain.or_else(as_element)?;
    c.pos += 1;
    c.understood.push(found.0.name().to_string());
    Some(found)
}

fn tanks(c: &mut Cursor, d: &Draft) -> Result<(), JotError> {
    match (d.water, d.of) {
        (Some(_), _) if c.named => {
            let problem = t!("act.jot_water_no_tank").to_string();
            Err(c.error(c.marked("tanks"), problem, vec![]))
        }
        (Some(_), _) => Ok(()),
        (None, ReadingOf::Sample) => c.need_one_tank("reading").map(|_| ()),
        (None, _) if c.named => c.need_one_tank("reading").map(|_| ()),
        (None, _) => Ok(()),
    }
}

/// One detail of a reading; false when nothing known stands here.
fn detail<'a>(c: &mut Cursor<'a>, d: &mut Draft<'a>) -> Result<bool, JotError> {
    let span = c.here();
    if let Some(typed) = value(c, d.analyte)? {
        if d.typed.is_some() {
            let first = d.typed.as_ref().map(|(_, span)| *span);
            let nearest = first.and_then(|first| between(c, first, span));
            return Err(c.error(
                span,
                t!("act.jot_twice").to_string(),
                nearest.into_iter().collect(),
            ));
        }
        let last = Span::of(&c.tokens[c.pos - 1]);
        let span = span.through(last);
        for field in ["value", "interval", "error"] {
            c.mark(field, span);
        }
        d.typed = Some((typed, span));
    } else if c.take_phrase(&["no", "card"]).is_some() || c.take(&["bare"]).is_some() {
        d.which = Which::None;
    } else if c.take(&["on"]).is_some() {
        d.which = Which::Named(card(c, d.analyte)?);
    } else if let Some(factor) = dilution(c)? {
        c.mark("dilution", span);
        c.once(&mut d.dilution, factor, span)?;
    } else if c.take(&["blank"]).is_some() {
        d.of = ReadingOf::Blank;
    } else if c.take(&["standard"]).is_some() {
        let (value, token) = c.number()?;
        c.mark("standard", Span::of(&token));
        take_unit(c, d.analyte);
        d.of = ReadingOf::Standard { value };
    } else {
        return kit(c, d);
    }
    Ok(true)
}

/// Two numbers beside each other, as the interval that was probably meant: `5 10` as `5-10`.
fn between(c: &Cursor, first: Span, second: Span) -> Option<String> {
    let last = Span::of(c.tokens.get(c.pos.checked_sub(1)?)?);
    let text = |span: Span| c.raw(span.at, span.at + span.width);
    let (low, high) = (text(first), text(second.through(last)));
    let number = |text: &str| quantity::parse::parse_number(text).ok();
    (number(&low)? < number(&high)?).then(|| format!("{low}-{high}"))
}

/// Details of the kit: its lot, its age, the wait, the light.
fn kit(c: &mut Cursor, d: &mut Draft) -> Result<bool, JotError> {
    let span = c.here();
    if c.take(&["waited"]).is_some() {
        let minutes = c.in_unit("waited_min", Unit::Minute, false)?;
        c.once(&mut d.waited_min, minutes, span)?;
    } else if c.take(&["lot"]).is_some() {
        let text = unspaced(c);
        if text.is_empty() {
            return Err(c.missing(t!("act.jot_lot")));
        }
        c.once(&mut d.lot, text, span)?;
    } else if c.take(&["opened"]).is_some() {
        let day = day(c, "opened")?;
        c.once(&mut d.opened, day, span)?;
    } else if c.take(&["expires"]).is_some() {
        let day = day(c, "expires")?;
        c.once(&mut d.expires, day, span)?;
    } else if c.take(&["light"]).is_some() {
        let token = c
            .next()
            .filter(|t| matches!(t.kind, Kind::Word | Kind::Quoted));
        let text = token
            .map(|t| t.text)
            .ok_or_else(|| c.missing(t!("act.jot_viewing_light")))?;
        c.once(&mut d.viewing_light, text, span)?;
    } else {
        return Ok(false);
    }
    Ok(true)
}

/// The characters up to the next space.
fn unspaced(c: &mut Cursor) -> String {
    let first = c.here().at;
    let mut end = first;
    while let Some(token) = c.peek() {
        if token.at != end {
            break;
        }
        end = token.end();
        c.pos += 1;
    }
    if end == first {
        String::new()
    } else {
        c.raw(first, end).replace('"', "")
    }
}

fn day(c: &mut Cursor, field: &'static str) -> Result<Date, JotError> {
    let from = c.here();
    let text = unspaced(c);
    let span = Span::new(from.at, text.chars().count().max(1));
    c.mark(field, span);
    when::iso_day(&text).ok_or_else(|| c.error(span, t!("act.jot_day").to_string(), vec![]))
}

/// `diluted 1:4` (1 part sample, 4 parts water), `1+4`, `1 in 5`, `x5`.
fn dilution(c: &mut Cursor) -> Result<Option<f64>, JotError> {
    let said = c.take(&["diluted", "dilution"]).is_some();
    let times = c
        .peek()
        .and_then(|t| t.lower.strip_prefix('x'))
        .map(str::to_string);
    if let Some(factor) = times.and_then(|n| quantity::parse_number(&n).ok()) {
        c.pos += 1;
        return Ok(Some(factor));
    }
    if !said {
        return Ok(None);
    }
    let (first, token) = c.number()?;
    if c.take(&["x", "times"]).is_some() {
        return Ok(Some(first));
    }
    let joint = c.take(&[":", "+", "in"]);
    let Some(joint) = joint.filter(|_| first == 1.0) else {
        let problem = t!("act.jot_dilution").to_string();
        return Err(c.error(Span::of(&token), problem, vec![]));
    };
    let (second, _) = c.number()?;
    let factor = if joint.lower == "in" {
        second
    } else {
        1.0 + second
    };
    if joint.lower == ":" {
        c.findings
            .push(t!("act.jot_diluted", second = second, factor = factor));
    }
    Ok(Some(factor))
}

fn card<'a>(c: &mut Cursor<'a>, analyte: Analyte) -> Result<&'a Card, JotError> {
    c.take(&["card"]);
    let bench = c.bench;
    if let Some((card, span)) =
        c.one_named(&bench.cards, |k| k.name.clone(), |k| k.analyte == analyte)?
    {
        c.mark("card", span);
        c.take(&["card"]);
        return Ok(card);
    }
    let word = c.peek().map_or(String::new(), |t| t.text.clone());
    let fitting = bench.cards.iter().filter(|k| k.analyte == analyte);
    let names: Vec<&str> = fitting.map(|k| k.name.as_str()).collect();
    let known = match names.as_slice() {
        [] => t!("act.jot_no_cards").to_string(),
        names => names.join(", "),
    };
    let problem = t!(
        "act.jot_card",
        word = word,
        what = analyte.name(),
        known = known
    );
    Err(c.unknown(problem, &names))
}

/// The card that counts for this value; a meter has none.
fn chosen<'a>(
    c: &Cursor<'a>,
    d: &Draft<'a>,
    typed: Typed,
    span: Span,
) -> Result<Option<&'a Card>, JotError> {
    match d.which {
        Which::None => return Ok(None),
        Which::Named(card) => return Ok(Some(card)),
        Which::Usual => {}
    }
    if matches!(typed, Typed::Meter(..)) {
        return Ok(None);
    }
    let fits = |k: &&Card| k.analyte == d.analyte && (!d.element || k.means == Means::Element);
    let cards: Vec<&Card> = c.bench.cards.iter().filter(fits).collect();
    match cards.as_slice() {
        [] => Ok(None),
        [one] => Ok(Some(one)),
        several => {
            let names: Vec<String> = several.iter().map(|k| k.name.clone()).collect();
            let what = d.analyte.name();
            let problem = t!("act.jot_which_card", what = what, cards = names.join(", "));
            Err(c.error(span, problem, vec![]))
        }
    }
}

/// What was seen, in the terms of the records.
fn seen(c: &mut Cursor, typed: Typed, card: Option<&Card>) -> Seen {
    match (typed, card) {
        (Typed::One(step, _), Some(_)) | (Typed::Step(step), _) => Seen::Step { step },
        (Typed::One(value, decimals), None) => {
            c.findings.push(t!("act.jot_meter_error").to_string());
            Seen::Meter {
                value,
                error: None,
                decimals,
            }
        }
        (Typed::Between(low, high), _) => Seen::Between { low, high },
        (Typed::AtLeast(value), _) => Seen::AtLeast { value },
        (Typed::AtMost(value), _) => Seen::AtMost { value },
        (Typed::Meter(value, error, decimals), _) => {
            if error.is_none() {
                c.findings.push(t!("act.jot_meter_error").to_string());
            }
            Seen::Meter {
                value,
                error,
                decimals,
            }
        }
    }
}

fn finish(c: &mut Cursor, d: Draft, typed: Typed, span: Span) -> Result<Act, JotError> {
    let card = chosen(c, &d, typed, span)?;
    let seen = seen(c, typed, card);
    let means = match card {
        Some(card) => card.means,
        None if d.element => Means::Element,
        None => Means::Ion,
    };
    if let Some(card) = card.filter(|k| d.element && k.means != Means::Element) {
        let problem = t!("act.jot_card_ion", card = card.name);
        return Err(c.error(c.marked("card"), problem, vec![]));
    }
    let factor = d.dilution.unwrap_or(1.0);
    let interval = interval(seen, card).and_then(|i| {
        i.map_increasing(|v| v * factor)
            .map_err(|e| CardError::Impossible(e.to_string()))
    });
    let interval = interval.map_err(|why| {
        let advice = match why {
            CardError::NoSuchStep { .. } => t!("act.jot_step_advice"),
            _ => "",
        };
        let problem = format!("{} {advice}", sentence(&why.to_string()));
        c.error(span, problem.trim().to_string(), vec![])
    })?;
    Ok(Act::Reading(Reading {
        analyte: d.analyte,
        seen,
        card: card.map(|k| k.id),
        means,
        interval,
        water: d.water,
        dilution: d.dilution,
        of: d.of,
        lot: d.lot.unwrap_or_default(),
        opened: d.opened,
        expires: d.expires,
        waited_min: d.waited_min,
        viewing_light: d.viewing_light.unwrap_or_default(),
    }))
}

/// Every number read on a card must be printed on it, `at least` and `at most` included.
fn interval(seen: Seen, card: Option<&Card>) -> Result<Interval, CardError> {
    match (card, seen) {
        (_, Seen::Between { low, high }) if low >= high => {
            Err(CardError::Impossible(t!("act.jot_reversed").to_string()))
        }
        (None, seen) => seen.interval(),
        (Some(card), Seen::AtLeast { value } | Seen::AtMost { value }) if !card.has_step(value) => {
            card.interval(Seen::Step { step: value })
        }
        (Some(card), seen) => card.interval(seen),
    }
}
