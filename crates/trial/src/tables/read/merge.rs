//! Several rows of one entry put together again.

use super::union;
use crate::act::{Observation, Trim};
use crate::{Act, Draft};

/// Adds what another row of the same entry says. A cell may be given once or on every row, but not
/// differently; the column that differs is the error.
pub(super) fn merge(into: &mut Draft, more: Draft) -> Result<(), &'static str> {
    if into.at.to_string() != more.at.to_string() {
        return Err("at");
    }
    same_text(&mut into.note, more.note).map_err(|()| "note")?;
    same_text(&mut into.who, more.who).map_err(|()| "who")?;
    same(&mut into.minutes, more.minutes).map_err(|()| "minutes")?;
    union(&mut into.tanks, more.tanks);
    into.all_tanks |= more.all_tanks;
    match (&mut into.act, more.act) {
        (Act::Observation(a), Act::Observation(b)) => observation(a, b),
        (Act::Trim(a), Act::Trim(b)) => trim(a, b),
        (a, b) if *a == b => Ok(()),
        _ => Err("entry"),
    }
}

/// Keeps the one value that is given; two must be equal.
fn same<T: PartialEq>(into: &mut Option<T>, more: Option<T>) -> Result<(), ()> {
    match (&into, &more) {
        (Some(a), Some(b)) if a != b => Err(()),
        (None, Some(_)) => {
            *into = more;
            Ok(())
        }
        _ => Ok(()),
    }
}

fn same_text(into: &mut String, more: String) -> Result<(), ()> {
    if into.is_empty() {
        *into = more;
        return Ok(());
    }
    if more.is_empty() || *into == more {
        Ok(())
    } else {
        Err(())
    }
}

fn add_new<T: PartialEq>(into: &mut Vec<T>, more: Vec<T>) {
    for one in more {
        if !into.contains(&one) {
            into.push(one);
        }
    }
}

fn trim(a: &mut Trim, b: Trim) -> Result<(), &'static str> {
    add_new(&mut a.plantings, b.plantings);
    add_new(&mut a.left_out, b.left_out);
    same(&mut a.kept_share, b.kept_share).map_err(|()| "kept_share")?;
    same(&mut a.out_fresh_g, b.out_fresh_g).map_err(|()| "out_fresh_g")?;
    same(&mut a.dried, b.dried).map_err(|()| "dried_fresh_g")
}

fn observation(a: &mut Observation, b: Observation) -> Result<(), &'static str> {
    add_new(&mut a.plantings, b.plantings);
    add_new(&mut a.signs, b.signs);
    same(&mut a.on_walk, b.on_walk).map_err(|()| "walk")?;
    same(&mut a.emerged, b.emerged).map_err(|()| "value")?;
    let numbers = [
        (&mut a.vigour, b.vigour),
        (&mut a.new_leaf, b.new_leaf),
        (&mut a.density, b.density),
        (&mut a.colour, b.colour),
        (&mut a.height_cm, b.height_cm),
        (&mut a.spread_cm, b.spread_cm),
        (&mut a.node_cm, b.node_cm),
        (&mut a.cover_pct, b.cover_pct),
        (&mut a.fresh_g, b.fresh_g),
    ];
    for (into, more) in numbers {
        same(into, more).map_err(|()| "value")?;
    }
    Ok(())
}
