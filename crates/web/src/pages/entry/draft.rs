//! What every entry form has: tanks, time, who, minutes, note; and the draft it makes.

use jiff::ZonedDateTime;
use jiff::civil::DateTime;
use maud::{Markup, html};
use text::t;
use trial::act::Picture;
use trial::{Act, Bench, Draft, Entry, TankId};

use super::kinds::{self, Tanks};
use super::kit::{Kit, NAME, NOTE, label};
use super::reader::Reader;
use crate::form_data::{Chosen, FormData};
use crate::parts::fields::{Pairs, Pick, borrowed, short_row, tank_picks};

/// The value that means "no tank" where one may be left out.
const NO_TANK: &str = "-";

/// A moment as forms send it, to the minute.
pub(super) fn minute(at: &ZonedDateTime) -> String {
    at.strftime("%Y-%m-%dT%H:%M").to_string()
}

/// The fields every form shares, below those of its kind.
pub(super) fn draw(kit: Kit<'_>, when_optional: bool) -> Markup {
    let rest = html! {
        (short_row(&html! { (kit.may("who").text()) (kit.may("minutes").number("min")) }))
        @if kit.kind != "note" { (kit.may("note").area(3)) }
    };
    html! {
        (tanks(kit))
        @if when_optional { (kit.may("at").moment()) } @else { (kit.must("at").moment()) }
        details.disclosure open[kit.touched(&["minutes", "note"]) || kit.state.errors.of("who").is_some()] {
            summary { (t!("log.more_who")) }
            div.disclosure-body.disclosure-fields { (rest) }
        }
    }
}

fn one_tank(bench: &Bench, or_none: bool) -> Vec<Pick> {
    let mut options = tank_picks(bench);
    if or_none {
        options.push((NO_TANK.to_owned(), t!("log.no_tank").to_owned()));
    }
    options
}

fn tanks(kit: Kit<'_>) -> Markup {
    match kinds::tanks(kit.kind) {
        Tanks::Every | Tanks::Some => kit.must("tanks").tanks(kit.bench),
        Tanks::One => kit.must("tanks").radio(&one_tank(kit.bench, false)),
        Tanks::OneOrNone => kit.must("tanks").radio(&one_tank(kit.bench, true)),
        Tanks::OfPlanting => html! {},
    }
}

/// The fields of a new entry.
pub(super) fn fresh(kind: &str, bench: &Bench, who: &str, now: &ZonedDateTime) -> Pairs {
    let mut p = kinds::usual(kind, bench);
    if kinds::tanks(kind) == Tanks::Every {
        p.put("tanks", FormData::EVERY);
    }
    if kind != "picture" {
        p.put("at", minute(now));
    }
    p.put("who", who);
    p
}

/// The fields of a recorded entry, its time in the trial's zone.
pub(super) fn filled(entry: &Entry, bench: &Bench) -> Pairs {
    let mut p = kinds::fill(&entry.act, bench);
    match kinds::tanks(entry.act.kind()) {
        Tanks::OfPlanting => {}
        Tanks::OneOrNone if entry.tanks.is_empty() => p.put("tanks", NO_TANK),
        _ if entry.all_tanks => p.put("tanks", FormData::EVERY),
        _ => {
            for tank in &entry.tanks {
                p.put("tanks", tank);
            }
        }
    }
    p.put("at", minute(&in_zone(entry, bench)));
    p.put("who", &entry.who);
    p.number("minutes", entry.minutes);
    p.put("note", &entry.note);
    p
}

fn in_zone(entry: &Entry, bench: &Bench) -> ZonedDateTime {
    entry.at.with_time_zone(answers::days::zone(bench))
}

/// What a form is read against.
#[derive(Clone, Copy, Default)]
pub(super) struct Against<'a> {
    /// The entry it corrects.
    pub(super) corrected: Option<&'a Entry>,
    /// The file of a picture.
    pub(super) picture: Option<&'a Picture>,
    /// The time when the form leaves it empty.
    pub(super) otherwise: Option<&'a ZonedDateTime>,
}

/// The draft a form makes; what cannot be read is noted in the reader.
pub(super) fn read(r: &mut Reader<'_>, against: Against<'_>) -> Option<Draft> {
    let chosen = read_tanks(r, against.corrected);
    let (mut tanks, mut all_tanks) = chosen.clone().unwrap_or_default();
    let act = kinds::read(r, &tanks, against.picture);
    let at = read_at(r, against);
    let who = r.maybe_words("who", NAME);
    let minutes = r.maybe("minutes");
    let note = if r.kind == "note" {
        r.words("note", NOTE).unwrap_or_default()
    } else {
        r.maybe_words("note", NOTE)
    };
    let (act, at) = (act?, at?);
    match kinds::tanks(r.kind) {
        Tanks::OfPlanting => tanks = tank_of(&act, r.bench),
        _ => {
            chosen?;
            if all_tanks {
                all_tanks = leave_out_tanks_without(&act, &mut tanks, r.bench);
            }
        }
    }
    Some(Draft {
        at,
        tanks,
        all_tanks,
        who,
        minutes,
        note,
        act,
    })
}

fn tank_of(act: &Act, bench: &Bench) -> Vec<TankId> {
    let first = act.plantings().first().copied();
    let planting = first.and_then(|id| bench.planting(id));
    planting.map(|p| p.tank).into_iter().collect()
}

/// A plant that stands in some tanks only is cut in those; then not every tank was meant.
fn leave_out_tanks_without(act: &Act, tanks: &mut Vec<TankId>, bench: &Bench) -> bool {
    let plantings = match act {
        Act::Trim(t) => &t.plantings,
        Act::Thin(t) => &t.plantings,
        _ => return true,
    };
    let stands = |tank: &TankId| {
        let mut here = plantings.iter().filter_map(|id| bench.planting(*id));
        here.any(|p| p.tank == *tank)
    };
    // None at all: the rules then ask for a planting.
    if plantings.is_empty() || tanks.iter().all(stands) {
        return true;
    }
    tanks.retain(stands);
    false
}

fn read_tanks(r: &mut Reader<'_>, corrected: Option<&Entry>) -> Option<(Vec<TankId>, bool)> {
    let mode = kinds::tanks(r.kind);
    match mode {
        Tanks::OfPlanting => Some((vec![], false)),
        Tanks::One | Tanks::OneOrNone => {
            let options = one_tank(r.bench, mode == Tanks::OneOrNone);
            let chosen = r.choice("tanks", &options)?;
            let tanks = chosen.parse().ok().into_iter().collect();
            Some((tanks, false))
        }
        Tanks::Every | Tanks::Some => {
            let options = tank_picks(r.bench);
            let label = label(r.kind, "tanks");
            let chosen = r.data.tanks("tanks", &label, &borrowed(&options));
            match r.errors.take(chosen)? {
                // Every tank of then: one that came later was not treated.
                Chosen::Every => match corrected.filter(|e| e.all_tanks) {
                    Some(entry) => Some((entry.tanks.clone(), true)),
                    None => Some((r.bench.tank_ids(), true)),
                },
                Chosen::Only(ids) => {
                    Some((ids.iter().filter_map(|id| id.parse().ok()).collect(), false))
                }
            }
        }
    }
}

fn read_at(r: &mut Reader<'_>, against: Against<'_>) -> Option<ZonedDateTime> {
    if let (true, Some(otherwise)) = (r.typed("at").is_empty(), against.otherwise) {
        return Some(otherwise.clone());
    }
    let label = label(r.kind, "at");
    let moment: DateTime = r.errors.take(r.data.moment("at", &label))?;
    // Left as it was shown, the time keeps its seconds and its own zone.
    let shown = |entry: &&Entry| r.typed("at") == minute(&in_zone(entry, r.bench));
    if let Some(entry) = against.corrected.filter(shown) {
        return Some(entry.at.clone());
    }
    let zoned = moment.to_zoned_datetime(answers::days::zone(r.bench)).ok();
    if zoned.is_none() {
        r.refuse("at", t!("log.accept_at"));
    }
    zoned
}
