//! Plants and algae looked at: scores, measures, signs.

use super::cursor::{Cursor, Span};
use super::error::JotError;
use super::lex::Kind;
use crate::Act;
use crate::act::{Algae, Observation, Surfaces};
use quantity::Unit;
use text::t;

/// What a number of a score is.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Of {
    Vigour,
    NewLeaf,
    Density,
    Colour,
    Height,
    Spread,
    Node,
    Cover,
    Mass,
}

const MEASURES: &[(&str, Of)] = &[
    ("vigour", Of::Vigour),
    ("vigor", Of::Vigour),
    ("leaf", Of::NewLeaf),
    ("leaves", Of::NewLeaf),
    ("density", Of::Density),
    ("colour", Of::Colour),
    ("color", Of::Colour),
    ("height", Of::Height),
    ("spread", Of::Spread),
    ("node", Of::Node),
    ("nodes", Of::Node),
    ("cover", Of::Cover),
    ("weigh", Of::Mass),
    ("weighed", Of::Mass),
    ("weighs", Of::Mass),
    ("mass", Of::Mass),
];

/// Signs that need no quotes.
const SIGNS: &[&str] = &[
    "pale",
    "yellow",
    "yellowing",
    "brown",
    "black",
    "reddish",
    "transparent",
    "glassy",
    "crumpled",
    "curled",
    "twisted",
    "stunted",
    "melting",
    "rotting",
    "holes",
    "pinholes",
    "spots",
    "torn",
    "bent",
    "leggy",
    "flowering",
    "pearling",
];

fn known() -> Vec<&'static str> {
    let measures = MEASURES.iter().map(|(w, _)| *w);
    measures
        .chain(["emerged", "submerged"])
        .chain(SIGNS.iter().copied())
        .collect()
}

fn take_measure(c: &mut Cursor) -> Option<Of> {
    let new = usize::from(c.peek().is_some_and(|t| t.lower == "new"));
    let word = c.peek_at(new).filter(|t| t.kind == Kind::Word)?;
    let of = MEASURES.iter().find(|(w, _)| *w == word.lower)?.1;
    if new == 1 && of != Of::NewLeaf {
        return None;
    }
    c.pos += 1 + new;
    Some(of)
}

/// `score bacopa 7`, `score bacopa vigour 7 leaves 6`, `height bacopa 22 cm`, `bacopa pale`.
pub(super) fn score(c: &mut Cursor) -> Result<Act, JotError> {
    c.need_one_tank("observation")?;
    c.known = known().into_iter().map(String::from).collect();
    let leading = take_measure(c);
    let (planting, _) = c.plant("plantings")?;
    let mut o = Observation {
        plantings: vec![planting],
        ..Observation::default()
    };
    if let Some(of) = leading {
        value(c, &mut o, of)?;
    }
    loop {
        c.skip_joints();
        let Some(token) = c.peek().cloned() else {
            break;
        };
        let span = Span::of(&token);
        if token.kind == Kind::Number {
            value(c, &mut o, Of::Vigour)?;
        } else if token.kind == Kind::Quoted || SIGNS.contains(&token.lower.as_str()) {
            c.mark("signs", span);
            c.pos += 1;
            o.signs.push(token.text);
        } else if c.take(&["emerged"]).is_some() {
            c.once(&mut o.emerged, true, span)?;
        } else if c.take(&["submerged"]).is_some() {
            c.once(&mut o.emerged, false, span)?;
        } else if let Some(of) = take_measure(c) {
            value(c, &mut o, of)?;
        } else {
            break;
        }
    }
    if c.peek().is_none() && o.signs.is_empty() && is_bare(&o) {
        return Err(c.missing(t!("act.jot_score_missing")));
    }
    Ok(Act::Observation(o))
}

fn is_bare(o: &Observation) -> bool {
    *o == Observation {
        plantings: o.plantings.clone(),
        ..Observation::default()
    }
}

fn value(c: &mut Cursor, o: &mut Observation, of: Of) -> Result<(), JotError> {
    c.take(&["is", "="]);
    let span = c.here();
    match of {
        Of::Vigour => scored(c, "vigour", 10, &mut o.vigour),
        Of::NewLeaf => scored(c, "new_leaf", 10, &mut o.new_leaf),
        Of::Density => scored(c, "density", 10, &mut o.density),
        Of::Colour => scored(c, "colour", 10, &mut o.colour),
        Of::Height => {
            let v = c.in_unit("height_cm", Unit::Centimetre, false)?;
            c.once(&mut o.height_cm, v, span)
        }
        Of::Spread => {
            let v = c.in_unit("spread_cm", Unit::Centimetre, false)?;
            c.once(&mut o.spread_cm, v, span)
        }
        Of::Node => {
            let v = c.in_unit("node_cm", Unit::Centimetre, false)?;
            c.once(&mut o.node_cm, v, span)
        }
        Of::Cover => {
            let v = c.in_unit("cover_pct", Unit::Percent, false)?;
            c.once(&mut o.cover_pct, v, span)
        }
        Of::Mass => {
            let v = c.in_unit("fresh_g", Unit::Gram, false)?;
            c.once(&mut o.fresh_g, v, span)
        }
    }
}

/// A score, with `/10` behind it if the keeper likes. A unit shows that something else was meant.
fn scored(
    c: &mut Cursor,
    field: &'static str,
    most: u8,
    slot: &mut Option<f64>,
) -> Result<(), JotError> {
    let (score, token) = c.number()?;
    let span = Span::of(&token);
    c.mark(field, span);
    if c.take(&["/"]).is_some() {
        let (of, whole) = c.number()?;
        if of != f64::from(most) {
            let problem = t!("act.jot_scale", most = most);
            return Err(c.error(Span::of(&whole), problem, vec![]));
        }
    } else if c
        .peek()
        .is_some_and(|t| Unit::from_word(&t.lower).is_some())
    {
        let known = MEASURES
            .iter()
            .map(|(w, _)| *w)
            .collect::<Vec<_>>()
            .join(", ");
        let problem = t!("act.jot_score_unit", number = token.text, known = known);
        return Err(c.error(span.through(c.here()), problem, vec![]));
    }
    c.once(slot, score, span)
}

const FILM: &[&str] = &["film"];
const THREAD: &[&str] = &["thread", "threads"];
const PANE: &[&str] = &["pane", "panes", "glass", "front"];
const PLANTS: &[&str] = &["plants", "plant", "leaves"];
const HARDSCAPE: &[&str] = &["hardscape", "stones", "stone", "wood"];
const SUBSTRATE: &[&str] = &["substrate", "sand", "gravel"];

/// `film 2`, `film pane 2 plants 1`, `film 2 thread 1`.
pub(super) fn algae(c: &mut Cursor) -> Result<Act, JotError> {
    c.need_one_tank("algae")?;
    let all = [FILM, THREAD].concat().into_iter().chain(surfaces());
    c.known = all.map(String::from).collect();
    let mut a = Algae::default();
    let mut threads = None;
    loop {
        c.skip_joints();
        if c.take(FILM).is_some() {
            threads = Some(false);
        } else if c.take(THREAD).is_some() {
            threads = Some(true);
        } else if let Some(place) = threads.filter(|_| c.peek().is_some()) {
            if !surface(c, &mut a, place)? {
                break;
            }
        } else {
            break;
        }
    }
    if a == Algae::default() {
        let what = if threads.is_none() {
            c.unknown(t!("act.jot_algae_which").to_string(), &["film", "thread"])
        } else {
            c.missing(t!("act.jot_number_missing"))
        };
        return Err(what);
    }
    Ok(Act::Algae(a))
}

fn surfaces() -> Vec<&'static str> {
    [PANE, PLANTS, HARDSCAPE, SUBSTRATE].concat()
}

/// One surface's score; a bare number is the pane's for film and the plants' for threads.
fn surface(c: &mut Cursor, a: &mut Algae, threads: bool) -> Result<bool, JotError> {
    let on = c.take(&["on"]).is_some();
    c.take(&["the"]);
    let (field, s): (_, &mut Surfaces) = if threads {
        ("thread", &mut a.thread)
    } else {
        ("film", &mut a.film)
    };
    let slot = if c.take(PANE).is_some() {
        &mut s.pane
    } else if c.take(PLANTS).is_some() {
        &mut s.plants
    } else if c.take(HARDSCAPE).is_some() {
        &mut s.hardscape
    } else if c.take(SUBSTRATE).is_some() {
        &mut s.substrate
    } else if c.is_number() {
        let finding = if threads {
            t!("act.jot_thread_plants")
        } else {
            t!("act.jot_film_pane")
        };
        c.findings.push(finding.to_string());
        if threads { &mut s.plants } else { &mut s.pane }
    } else if on {
        return Err(c.unknown(t!("act.jot_surface_missing").to_string(), &surfaces()));
    } else {
        return Ok(false);
    };
    scored(c, field, 5, slot)?;
    Ok(true)
}
