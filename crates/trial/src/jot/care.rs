//! Feeding, cleaning, settings, equipment and livestock.

use super::cursor::{Cursor, Span};
use super::error::JotError;
use super::lex::{Kind, Token};
use super::when;
use super::words;
use crate::Act;
use crate::act::{Clean, Feed, LivestockEvent, LivestockHappening, Part, Setting, Swap};
use crate::tank::Livestock;
use crate::types::Money;
use quantity::Unit;
use text::t;

/// More words than this are no name of a food or an animal.
const NAME_WORDS: usize = 4;

/// `feed flakes 0.3 g`, `fed 0.3 g flakes`.
pub(super) fn feed(c: &mut Cursor) -> Result<Act, JotError> {
    c.take_all_if_unnamed();
    let mut grams = None;
    let first = c.is_number();
    if first {
        grams = Some(c.in_unit("grams", Unit::Gram, false)?);
        c.take(&["of"]);
    }
    let food = plain_name(c, "food", t!("act.jot_feed_what"))?;
    if c.is_number() {
        let span = c.here();
        let mass = c.in_unit("grams", Unit::Gram, false)?;
        c.once(&mut grams, mass, span)?;
    }
    let named = |p: &&crate::Product| p.name.to_lowercase() == food.to_lowercase();
    let product = c.bench.products.iter().find(named).map(|p| p.id);
    if grams.is_none() {
        c.findings.push(t!("act.jot_feed_amount").to_string());
    }
    Ok(Act::Feed(Feed {
        food,
        product,
        grams,
    }))
}

/// A few words, or any in quotes; words of the grammar are none, so that a slip is not eaten.
fn plain_name(c: &mut Cursor, field: &'static str, missing: &str) -> Result<String, JotError> {
    let from = c.here();
    if let Some(token) = c.peek().filter(|t| t.kind == Kind::Quoted).cloned() {
        c.pos += 1;
        c.mark(field, from);
        return Ok(token.text);
    }
    let plain = |t: &Token| {
        t.kind == Kind::Word && !words::is_grammar(&t.lower) && Unit::from_word(&t.lower).is_none()
    };
    let run = c.tokens[c.pos..].iter().take_while(|t| plain(t)).count();
    let taken = c.tokens[c.pos..c.pos + run.min(NAME_WORDS)].to_vec();
    let Some(last) = taken.last() else {
        return Err(c.missing(missing));
    };
    c.pos += taken.len();
    c.mark(field, from.through(Span::of(last)));
    let names: Vec<&str> = taken.iter().map(|t| t.text.as_str()).collect();
    Ok(names.join(" "))
}

const PARTS: &[(&str, Part)] = &[
    ("pane", Part::Pane),
    ("panes", Part::Pane),
    ("glass", Part::Pane),
    ("filter", Part::Filter),
    ("diffuser", Part::Diffuser),
    ("cover", Part::Cover),
    ("lid", Part::Cover),
    ("lamp", Part::Lamp),
    ("light", Part::Lamp),
    ("substrate", Part::Substrate),
    ("sand", Part::Substrate),
    ("gravel", Part::Substrate),
    ("hardscape", Part::Hardscape),
    ("stones", Part::Hardscape),
    ("wood", Part::Hardscape),
];

/// `clean pane`, `clean filter flow 220 to 300 l/h`.
pub(super) fn clean(c: &mut Cursor) -> Result<Act, JotError> {
    c.take_all_if_unnamed();
    c.known = vec!["flow".to_string()];
    c.take(&["the", "front"]);
    let part = c
        .peek()
        .and_then(|t| PARTS.iter().find(|(w, _)| *w == t.lower))
        .map(|(_, p)| *p);
    let Some(part) = part else {
        let known: Vec<&str> = PARTS.iter().map(|(w, _)| *w).collect();
        return Err(c.unknown(t!("act.jot_clean", parts = known.join(", ")), &known));
    };
    c.pos += 1;
    let (mut before, mut after) = (None, None);
    if c.take(&["flow"]).is_some() {
        let first = flow(c, "flow_before_l_h")?;
        if c.take(&["to", "-"]).is_some() {
            before = Some(first);
            after = Some(flow(c, "flow_after_l_h")?);
        } else if c.take(&["before"]).is_some() {
            before = Some(first);
        } else {
            c.take(&["after", "now"]);
            after = Some(first);
        }
    }
    Ok(Act::Clean(Clean {
        part,
        flow_before_l_h: before,
        flow_after_l_h: after,
    }))
}

/// Litres an hour, with or without the unit.
fn flow(c: &mut Cursor, field: &'static str) -> Result<f64, JotError> {
    let (value, token) = c.number()?;
    c.mark(field, Span::of(&token));
    c.take(&["l/h", "l/hr", "lph"]);
    Ok(value)
}

const SETTINGS: &[&str] = &[
    "on",
    "height",
    "gas",
    "temp",
    "flow",
    "surface",
    "clock",
    "light",
    "dimming",
    "photoperiod",
];

/// Whether a word names something that `set` sets.
pub(super) fn is_setting(word: &str) -> bool {
    SETTINGS.contains(&word) || matches!(word, "temperature" | "heater")
}

/// `light 7.5 h 60% on 11:00`, `set temp 24 flow 300`, `set gas on -60 min`.
/// `lamp` says that the lamp is meant, so that hours and percent need no word of their own.
pub(super) fn setting(c: &mut Cursor, mut lamp: bool) -> Result<Act, JotError> {
    c.take_all_if_unnamed();
    c.known = SETTINGS.iter().map(|w| w.to_string()).collect();
    let mut s = Setting::default();
    loop {
        c.skip_joints();
        if c.peek().is_none() {
            break;
        }
        if c.take(&["light", "lights", "lamp"]).is_some() {
            lamp = true;
            if c.peek().is_none() {
                return Err(c.missing(t!("act.jot_setting_missing")));
            }
        }
        if !(lamp && of_lamp(c, &mut s)?) {
            one_setting(c, &mut s)?;
        }
    }
    if s == Setting::default() {
        return Err(c.missing(t!("act.jot_setting_missing")));
    }
    Ok(Act::Setting(s))
}

/// A setting of the lamp; false when none stands here.
fn of_lamp(c: &mut Cursor, s: &mut Setting) -> Result<bool, JotError> {
    let span = c.here();
    if c.is_number() {
        bare_light(c, s)?;
    } else if c.take(&["on", "from"]).is_some() {
        let time = clock_time(c)?;
        c.once(&mut s.light_on_at, time, span)?;
    } else if c.take(&["at", "power"]).is_some() {
        bare_light(c, s)?;
    } else if c.take(&["height"]).is_some() {
        let cm = c.in_unit("lamp_height_cm", Unit::Centimetre, false)?;
        c.once(&mut s.lamp_height_cm, cm, span)?;
    } else {
        return Ok(false);
    }
    Ok(true)
}

fn one_setting(c: &mut Cursor, s: &mut Setting) -> Result<(), JotError> {
    let span = c.here();
    if c.take(&["photoperiod", "dimming"]).is_some() {
        return bare_light(c, s);
    }
    if c.take(&["temp", "temperature", "heater"]).is_some() {
        c.take(&["to", "at"]);
        let celsius = c.in_unit("temperature_c", Unit::Celsius, true)?;
        return c.once(&mut s.temperature_c, celsius, span);
    }
    if c.take(&["flow"]).is_some() {
        c.take(&["to", "at"]);
        let l_h = flow(c, "flow_l_h")?;
        return c.once(&mut s.flow_l_h, l_h, span);
    }
    if c.take(&["surface"]).is_some() {
        let token = c
            .next()
            .filter(|t| matches!(t.kind, Kind::Word | Kind::Quoted));
        let token = token.ok_or_else(|| c.missing(t!("act.jot_surface")))?;
        return c.once(&mut s.surface, token.text, span);
    }
    if c.take(&["clock", "timer"]).is_some() {
        let token = c.next().ok_or_else(|| c.missing(t!("act.jot_clock")))?;
        c.mark("timer_clock", Span::of(&token));
        return c.once(&mut s.timer_clock, token.text, span);
    }
    if c.take(&["gas", "co2"]).is_some() {
        return gas(c, s);
    }
    let word = c.peek().map_or(String::new(), |t| t.text.clone());
    Err(c.unknown(t!("act.jot_setting", word = word), SETTINGS))
}

/// Hours and percent need no word of their own.
fn bare_light(c: &mut Cursor, s: &mut Setting) -> Result<(), JotError> {
    let span = c.here();
    let unit = c.peek_at(1).and_then(|t| Unit::from_word(&t.lower));
    match unit {
        Some(Unit::Hour | Unit::Minute) => {
            let h = c.in_unit("photoperiod_h", Unit::Hour, false)?;
            c.once(&mut s.photoperiod_h, h, span)
        }
        Some(Unit::Percent) => {
            let pct = c.in_unit("dimming_pct", Unit::Percent, false)?;
            c.once(&mut s.dimming_pct, pct, span)
        }
        _ => {
            let (_, token) = c.number()?;
            let problem = t!("act.jot_light_unit", number = token.text);
            Err(c.error(span, problem, vec!["h".into(), "%".into()]))
        }
    }
}

/// A clock time in the details: the characters up to the next space.
fn clock_time(c: &mut Cursor) -> Result<jiff::civil::Time, JotError> {
    c.take(&["at"]);
    let span = c.here();
    let first = c.pos;
    let mut end = first;
    while let Some(token) = c.tokens.get(end) {
        if end > first && c.tokens[end - 1].end() != token.at {
            break;
        }
        end += 1;
    }
    let text = match end {
        e if e > first => c.raw(span.at, c.tokens[e - 1].end()),
        _ => String::new(),
    };
    let time = when::a_time(&text.to_lowercase());
    let time = time.ok_or_else(|| c.error(span, t!("act.jot_clock_time").to_string(), vec![]))?;
    c.pos = end;
    Ok(time)
}

/// `gas on -60 min`, `gas on 60 min before`, `gas off 0`.
fn gas(c: &mut Cursor, s: &mut Setting) -> Result<(), JotError> {
    let span = c.here();
    let on = c.take(&["on"]).is_some();
    if !on && c.take(&["off"]).is_none() {
        return Err(c.unknown(t!("act.jot_gas").to_string(), &["on", "off"]));
    }
    if !c.is_number() {
        return Err(c.missing(t!("act.jot_gas_minutes")));
    }
    let field = if on {
        "gas_on_after_light_min"
    } else {
        "gas_off_after_light_min"
    };
    let mut minutes = c.in_unit(field, Unit::Minute, true)?;
    let side = c.take(&["before", "after"]);
    if side.as_ref().is_some_and(|t| t.lower == "before") {
        minutes = -minutes.abs();
    }
    if side.is_some() {
        c.take(&["light", "lamp", "lights"]);
        c.take(&["on", "off"]);
    }
    let slot = if on {
        &mut s.gas_on_after_light_min
    } else {
        &mut s.gas_off_after_light_min
    };
    c.once(slot, minutes, span)
}

/// `swap "old lamp" for "new lamp" 35 EUR`.
pub(super) fn swap(c: &mut Cursor) -> Result<Act, JotError> {
    c.need_tanks("swap")?;
    let between =
        |t: &Token| t.kind == Kind::Word && ["for", "with", "by"].contains(&t.lower.as_str());
    let Some(middle) = (c.pos..c.tokens.len()).find(|k| between(&c.tokens[*k])) else {
        return Err(c.missing(t!("act.jot_swap")));
    };
    let left = things(c, middle, "left")?;
    c.pos = middle + 1;
    let price_at = (c.pos..c.tokens.len()).rev().find(|k| {
        let currency = c.tokens.get(k + 1).filter(|t| t.kind == Kind::Word);
        c.tokens[*k].kind == Kind::Number
            && k + 2 == c.tokens.len()
            && currency.is_some_and(|t| t.width == 3)
    });
    let came = things(c, price_at.unwrap_or(c.tokens.len()), "came")?;
    let price = match price_at {
        Some(_) => {
            let (amount, number) = c.number()?;
            let currency = c.next().map(|t| t.text.to_uppercase()).unwrap_or_default();
            let last = Span::of(&c.tokens[c.pos - 1]);
            c.mark("price", Span::of(&number).through(last));
            Some(Money { amount, currency })
        }
        None => None,
    };
    let named = |e: &&crate::Equipment| e.name.to_lowercase() == came.to_lowercase();
    let equipment = c.bench.equipment.iter().find(named).map(|e| e.id);
    Ok(Act::Swap(Swap {
        left,
        came,
        price,
        equipment,
    }))
}

/// The words up to token `end`, quotes taken off when they are all of it.
fn things(c: &mut Cursor, end: usize, field: &'static str) -> Result<String, JotError> {
    let tokens = &c.tokens[c.pos..end];
    let text = match tokens {
        [] => return Err(c.missing(t!("act.jot_swap"))),
        [one] => one.text.clone(),
        [first, .., last] => c.raw(first.at, last.end()),
    };
    c.mark(field, c.here());
    c.pos = end;
    Ok(text)
}

/// `arrived 3 snails`, `died 1 fish`.
pub(super) fn livestock(c: &mut Cursor, event: LivestockHappening) -> Result<Act, JotError> {
    c.need_one_tank("livestock")?;
    if !c.is_number() {
        return Err(c.missing(t!("act.jot_livestock_count")));
    }
    let count = c.count("count")?;
    let species = plain_name(c, "species", t!("act.jot_livestock_who"))?;
    Ok(Act::Livestock(LivestockEvent {
        event,
        who: Livestock { species, count },
    }))
}
