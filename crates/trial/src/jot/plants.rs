//! Trimming, replanting, thinning, losses, plantlets, moves and the closing harvest.

use super::cursor::{Cursor, Span};
use super::error::JotError;
use super::names::Plants;
use super::nearest::nearest;
use crate::act::{DriedSample, Fate, Harvest, Loss, Move, Plantlets, Replant, Thin, Trim};
use crate::{Act, PlantingId};
use quantity::Unit;
use text::t;

const TRIM: &[&str] = &["keep", "kept", "out", "dried", "leave"];

fn knows(c: &mut Cursor, words: &[&str]) {
    c.known = words.iter().map(|w| w.to_string()).collect();
}

/// A share in percent, as 0 to 1.
fn share(c: &mut Cursor, field: &'static str) -> Result<f64, JotError> {
    Ok(c.in_unit(field, Unit::Percent, false)? / 100.0)
}

/// What trims and thinnings have in common.
#[derive(Default)]
struct Taken {
    kept_share: Option<f64>,
    out_fresh_g: Option<f64>,
}

impl Taken {
    /// Takes `keep 50%` or `out 32 g` when one stands here.
    fn take(&mut self, c: &mut Cursor) -> Result<bool, JotError> {
        let span = c.here();
        if c.take(&["keep", "kept", "left"]).is_some() {
            let kept = share(c, "kept_share")?;
            c.once(&mut self.kept_share, kept, span)?;
        } else if c.take(&["out", "removed"]).is_some() {
            let grams = c.in_unit("out_fresh_g", Unit::Gram, false)?;
            // A mass belongs to one tank: when it has none, the mass is what is wrong.
            if !c.named {
                c.mark("tanks", span);
            }
            c.once(&mut self.out_fresh_g, grams, span)?;
        } else {
            return Ok(false);
        }
        Ok(true)
    }
}

/// `trim bacopa keep 50% out 32 g dried 12 g to 1.1 g leave "second lot"`.
pub(super) fn trim(c: &mut Cursor) -> Result<Act, JotError> {
    let plants = c.plants("plantings")?;
    knows(c, TRIM);
    let mut taken = Taken::default();
    let (mut dried, mut left_out) = (None, Vec::new());
    loop {
        c.skip_joints();
        let span = c.here();
        if taken.take(c)? {
            continue;
        }
        if c.take(&["dried", "dry"]).is_some() {
            let sample = dried_sample(c)?;
            if !c.named {
                c.mark("tanks", span);
            }
            c.once(&mut dried, sample, span)?;
        } else if c.take(&["leave", "except"]).is_some() {
            left_out.extend(left(c, &plants)?);
        } else {
            break;
        }
    }
    Ok(Act::Trim(Trim {
        plantings: plants.ids,
        kept_share: taken.kept_share,
        out_fresh_g: taken.out_fresh_g,
        dried,
        left_out,
    }))
}

/// Lots left uncut, looked for in the tanks already settled.
fn left(c: &mut Cursor, plants: &Plants) -> Result<Vec<PlantingId>, JotError> {
    let (named, all) = (c.named, c.all_tanks);
    c.named = true;
    let found = c.plants("left_out");
    c.named = named;
    c.all_tanks = all;
    let found = found?;
    if found.ids.iter().any(|id| plants.ids.contains(id)) {
        let problem = t!("act.jot_cut_and_left").to_string();
        return Err(c.error(found.span, problem, vec![]));
    }
    Ok(found.ids)
}

/// `12 g to 1.1 g`, fresh first; or `1.1 g of 12 g`, dry first.
fn dried_sample(c: &mut Cursor) -> Result<DriedSample, JotError> {
    let first = c.in_unit("dried_fresh_g", Unit::Gram, false)?;
    let Some(joint) = c.take(&["to", "of"]) else {
        return Err(c.missing(t!("act.jot_dried")));
    };
    let second = c.in_unit("dried_dry_g", Unit::Gram, false)?;
    let (fresh_g, dry_g) = if joint.lower == "to" {
        (first, second)
    } else {
        (second, first)
    };
    Ok(DriedSample { fresh_g, dry_g })
}

/// `replant bacopa 6 stems 10 g`, `replant bacopa 6 into "second lot"`.
pub(super) fn replant(c: &mut Cursor) -> Result<Act, JotError> {
    c.need_one_tank("replant")?;
    let (from, _) = c.plant("from")?;
    knows(c, &["stems", "cuttings", "into"]);
    let (mut count, mut fresh_g, mut into) = (None, None, None);
    loop {
        c.skip_joints();
        let span = c.here();
        if c.is_number() {
            if is_mass(c) {
                let grams = c.in_unit("fresh_g", Unit::Gram, false)?;
                c.once(&mut fresh_g, grams, span)?;
            } else {
                let n = c.count("count")?;
                c.take(&["stems", "stem", "cuttings", "cutting", "plants"]);
                c.once(&mut count, n, span)?;
            }
        } else if c.take(&["into"]).is_some() {
            let (id, _) = c.plant("into")?;
            c.once(&mut into, id, span)?;
        } else {
            break;
        }
    }
    Ok(Act::Replant(Replant {
        from,
        into: into.unwrap_or(from),
        count,
        fresh_g,
    }))
}

/// Whether the number here carries a unit of mass.
fn is_mass(c: &Cursor) -> bool {
    c.peek_at(1)
        .and_then(|t| Unit::from_word(&t.lower))
        .is_some_and(|u| u.dimension() == quantity::Dimension::Mass)
}

/// `thin salvinia keep 30% out 12 g`.
pub(super) fn thin(c: &mut Cursor) -> Result<Act, JotError> {
    let plants = c.plants("plantings")?;
    knows(c, &["keep", "kept", "out"]);
    let mut taken = Taken::default();
    loop {
        c.skip_joints();
        if !taken.take(c)? {
            break;
        }
    }
    Ok(Act::Thin(Thin {
        plantings: plants.ids,
        kept_share: taken.kept_share,
        out_fresh_g: taken.out_fresh_g,
    }))
}

/// `lost bacopa`, `lost bacopa 2 stems`.
pub(super) fn loss(c: &mut Cursor) -> Result<Act, JotError> {
    c.need_one_tank("loss")?;
    let (planting, _) = c.plant("planting")?;
    knows(c, &["stems", "all", "part"]);
    let mut stems = None;
    let mut whole = true;
    if c.is_number() {
        stems = Some(c.count("stems")?);
        c.take(&["stems", "stem", "plants"]);
        whole = false;
    } else if c.take(&["part", "partly"]).is_some() {
        whole = false;
    } else {
        c.take(&["all", "whole"]);
    }
    Ok(Act::Loss(Loss {
        planting,
        whole,
        stems,
    }))
}

/// `plantlets eleocharis 12`.
pub(super) fn plantlets(c: &mut Cursor) -> Result<Act, JotError> {
    c.need_one_tank("plantlets")?;
    let (planting, _) = c.plant("planting")?;
    let count = c.count("count")?;
    Ok(Act::Plantlets(Plantlets { planting, count }))
}

/// `ash: move salvinia 10 g to elm`, `move salvinia 50% to out`.
pub(super) fn moved(c: &mut Cursor) -> Result<Act, JotError> {
    c.need_one_tank("move")?;
    let (planting, _) = c.plant("planting")?;
    knows(c, &["to", "out"]);
    let (mut part, mut fresh_g, mut to) = (None, None, None);
    loop {
        c.skip_joints();
        let span = c.here();
        if c.is_number() {
            if is_mass(c) {
                let grams = c.in_unit("fresh_g", Unit::Gram, false)?;
                c.once(&mut fresh_g, grams, span)?;
            } else {
                let moved = share(c, "share")?;
                c.once(&mut part, moved, span)?;
            }
        } else if c.take(&["to"]).is_some() {
            let place = destination(c)?;
            c.once(&mut to, place, span)?;
        } else if c.take(&["out"]).is_some() {
            c.once(&mut to, None, span)?;
        } else {
            break;
        }
    }
    if c.peek().is_none() && to.is_none() {
        return Err(c.missing(t!("act.jot_move_to")));
    }
    Ok(Act::Move(Move {
        planting,
        to: to.flatten(),
        share: part,
        fresh_g,
    }))
}

fn destination(c: &mut Cursor) -> Result<Option<crate::TankId>, JotError> {
    if c.take(&["out"]).is_some() {
        return Ok(None);
    }
    let Some(token) = c.peek().cloned() else {
        return Err(c.missing(t!("act.jot_move_to")));
    };
    let span = Span::of(&token);
    let Some(tank) = c.bench.tank_named(&token.text) else {
        let names = c.bench.tanks.iter().map(|t| t.name.as_str()).chain(["out"]);
        let near = nearest(&token.lower, names);
        return Err(c.error(span, t!("act.jot_tank", word = token.text), near));
    };
    c.mark("to", span);
    c.pos += 1;
    Ok(Some(tank.id))
}

const FATES: &[(&[&str], Fate)] = &[
    (&["planted", "back"], Fate::PlantedBack),
    (&["replanted"], Fate::PlantedBack),
    (&["given", "away"], Fate::Rehomed),
    (&["given"], Fate::Rehomed),
    (&["rehomed"], Fate::Rehomed),
    (&["disposed"], Fate::Disposed),
    (&["waste"], Fate::Disposed),
];

/// `harvest bacopa 64 g dry 5.1 g disposed`.
pub(super) fn harvest(c: &mut Cursor) -> Result<Act, JotError> {
    c.need_one_tank("harvest")?;
    let (planting, _) = c.plant("planting")?;
    knows(c, &["fresh", "dry", "planted back", "rehomed", "disposed"]);
    let (mut fresh_g, mut dry_g, mut fate) = (None, None, None);
    loop {
        c.skip_joints();
        let span = c.here();
        if c.take(&["dry"]).is_some() {
            let grams = c.in_unit("dry_g", Unit::Gram, false)?;
            c.once(&mut dry_g, grams, span)?;
        } else if c.take(&["fresh"]).is_some() || c.is_number() {
            let grams = c.in_unit("fresh_g", Unit::Gram, false)?;
            c.once(&mut fresh_g, grams, span)?;
        } else if let Some(said) = FATES
            .iter()
            .find_map(|(words, fate)| c.take_phrase(words).map(|_| *fate))
        {
            c.once(&mut fate, said, span)?;
        } else {
            break;
        }
    }
    let Some(fate) = fate else {
        c.expect_end()?;
        return Err(c.missing(t!("act.jot_fate")));
    };
    Ok(Act::Harvest(Harvest {
        planting,
        fresh_g,
        dry_g,
        fate,
    }))
}
