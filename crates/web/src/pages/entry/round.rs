//! Going from tank to tank with one form: what was chosen stays, what was seen is cleared, and the
//! next tank from the left is chosen, until every tank had its turn.

use jiff::ZonedDateTime;
use jiff::civil::DateTime;
use maud::{Markup, html};
use text::t;
use trial::{Bench, Planting, Tank, TankId};

use super::ID_FIELD;
use super::kit::Kit;
use crate::form_data::{FormData, FormState};
use crate::parts::button::Button;
use crate::parts::form::hidden;

/// The button that saves and goes on to the next tank.
const NEXT: &str = "next_tank";
/// The tanks that had their turn, one field each.
const DONE: &str = "tank_done";
/// A time this far from now was typed, and stays.
const TYPED_MINUTES: i64 = 10;

/// What is seen anew in each tank; empty for kinds that do not go from tank to tank.
fn cleared(kind: &str) -> &'static [&'static str] {
    match kind {
        "reading" => &["saw", "value", "error", "low", "high"],
        "observation" => &[
            "vigour",
            "new_leaf",
            "density",
            "colour",
            "height_cm",
            "spread_cm",
            "node_cm",
            "cover_pct",
            "fresh_g",
            "emerged",
            "signs",
        ],
        "algae" => &[
            "film_pane",
            "film_plants",
            "film_hardscape",
            "film_substrate",
            "thread_pane",
            "thread_plants",
            "thread_hardscape",
            "thread_substrate",
        ],
        "picture" => &["file"],
        _ => &[],
    }
}

/// The button, where there is another tank to go to, and the tanks that had their turn.
pub(super) fn button(kit: Kit<'_>) -> Markup {
    let offered = !cleared(kit.kind).is_empty() && kit.bench.tanks.len() > 1;
    html! {
        @for tank in kit.state.data.all(DONE) { (hidden(DONE, tank)) }
        @if offered { (Button::new(t!("log.save_next")).sends(NEXT, "1")) }
    }
}

/// Whether a form goes on with a round.
pub(super) fn goes_on(state: &FormState) -> bool {
    state.data.has(DONE)
}

/// How far the round is, above a form that goes on with it.
pub(super) fn so_far(bench: &Bench, state: &FormState) -> Markup {
    let done = state.data.all(DONE).count();
    html! {
        @if done > 0 { p.muted { (t!("log.round_so_far", done = done, all = bench.tanks.len())) } }
    }
}

/// Where a form that was saved leads.
pub(super) enum Then {
    /// Not asked to go on.
    Stop,
    /// To the next tank, with these fields filled in.
    Next(Vec<(String, String)>),
    /// Every tank had its turn.
    AllDone,
}

/// What comes after `data` was saved for `tank`.
pub(super) fn then(
    kind: &str,
    bench: &Bench,
    data: &FormData,
    tank: Option<TankId>,
    now: &ZonedDateTime,
) -> Then {
    let (true, Some(tank)) = (data.has(NEXT), tank) else {
        return Then::Stop;
    };
    let mut done: Vec<TankId> = data.all(DONE).filter_map(|id| id.parse().ok()).collect();
    done.retain(|id| *id != tank);
    done.push(tank);
    let field = match kind {
        "observation" => "plantings",
        _ => "planting",
    };
    let here = data.one(field).and_then(|id| id.parse().ok());
    let here = here.and_then(|id| bench.planting(id));
    let Some((next, planting)) = next_tank(bench, tank, &done, here) else {
        return Then::AllDone;
    };
    let dropped = [NEXT, DONE, ID_FIELD, "tanks", "note", "minutes", field];
    let mut kept: Vec<(String, String)> = data
        .iter()
        .filter(|(name, value)| {
            let typed = *name != "at" || was_typed(value, now);
            typed && !value.is_empty() && !dropped.contains(name) && !cleared(kind).contains(name)
        })
        .map(|(name, value)| (name.to_owned(), value.to_owned()))
        .collect();
    kept.extend(done.iter().map(|id| (DONE.to_owned(), id.to_string())));
    if kind != "observation" {
        kept.push(("tanks".to_owned(), next.id.to_string()));
    }
    kept.extend(planting.map(|p| (field.to_owned(), p.id.to_string())));
    Then::Next(kept)
}

/// The next tank from the left, and round again, that had no turn yet; with a planting, the next that
/// holds the same plant.
fn next_tank<'b>(
    bench: &'b Bench,
    tank: TankId,
    done: &[TankId],
    here: Option<&Planting>,
) -> Option<(&'b Tank, Option<&'b Planting>)> {
    let at = bench.tanks.iter().position(|t| t.id == tank)?;
    let (before, after) = bench.tanks.split_at(at);
    let open = after.iter().chain(before).filter(|t| !done.contains(&t.id));
    let alike = |tank: &Tank| {
        let here = here?;
        let mut same: Vec<&Planting> = bench
            .plantings_in(tank.id)
            .filter(|p| p.scientific_name == here.scientific_name)
            .collect();
        same.sort_by_key(|p| p.label != here.label);
        same.first().copied()
    };
    let mut open = open.map(|t| (t, alike(t)));
    open.find(|(_, planting)| here.is_none() || planting.is_some())
}

/// Whether a time in a form is not just the moment it was shown.
fn was_typed(at: &str, now: &ZonedDateTime) -> bool {
    let typed = at.trim().parse::<DateTime>().ok();
    let zoned = typed.and_then(|t| t.to_zoned_datetime(now.time_zone().clone()).ok());
    zoned.is_some_and(|z| {
        (now.timestamp().as_second() - z.timestamp().as_second()).abs() > TYPED_MINUTES * 60
    })
}
