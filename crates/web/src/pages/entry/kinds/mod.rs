//! The kinds of act: what each one's form holds, how it is read, and how a recorded one fills it.

mod cuttings;
mod dose;
mod keep;
mod look;
mod plants;
mod reading;
mod settings;
mod water;

pub(super) use cuttings::{INTO_NEW, new_planting};
pub(super) use reading::{chooser, other_card, prepare};

use maud::Markup;
use quantity::Format;
use trial::act::Picture;
use trial::{Act, Bench, TankId};

use super::kit::Kit;
use super::reader::Reader;
use crate::parts::fields::Pairs;

/// How a form asks for tanks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tanks {
    /// Any number; every tank unless said otherwise.
    Every,
    /// Any number; none ticked beforehand.
    Some,
    /// Exactly one.
    One,
    /// One, or none for a source water, a blank or a standard.
    OneOrNone,
    /// The tank of the planting that is chosen.
    OfPlanting,
}

pub(super) fn tanks(kind: &str) -> Tanks {
    match kind {
        "swap" => Tanks::Some,
        "algae" | "livestock" | "picture" => Tanks::One,
        "reading" => Tanks::OneOrNone,
        "observation" | "plantlets" | "loss" | "move" | "replant" | "harvest" => Tanks::OfPlanting,
        _ => Tanks::Every,
    }
}

/// The fields of a kind.
pub(super) fn draw(kit: Kit<'_>) -> Markup {
    match kit.kind {
        "dose" => dose::draw(kit),
        "change" => water::draw_change(kit),
        "top_up" => water::draw_top_up(kit),
        "feed" => keep::draw_feed(kit),
        "clean" => keep::draw_clean(kit),
        "swap" => keep::draw_swap(kit),
        "livestock" => keep::draw_livestock(kit),
        "setting" => settings::draw(kit),
        "reading" => reading::draw(kit),
        "observation" => look::draw_observation(kit),
        "algae" => look::draw_algae(kit),
        "picture" => look::draw_picture(kit),
        "trim" => plants::draw_trim(kit),
        "thin" => plants::draw_thin(kit),
        "loss" => plants::draw_loss(kit),
        "plantlets" => plants::draw_plantlets(kit),
        "move" => plants::draw_move(kit),
        "harvest" => plants::draw_harvest(kit),
        "replant" => cuttings::draw(kit),
        _ => kit.must("note").area(3),
    }
}

/// What a form says was done, when every field can be read. `picture` is the file of a picture.
pub(super) fn read(r: &mut Reader<'_>, tanks: &[TankId], picture: Option<&Picture>) -> Option<Act> {
    match r.kind {
        "dose" => dose::read(r).map(Act::Dose),
        "change" => water::read_change(r).map(Act::Change),
        "top_up" => water::read_top_up(r).map(Act::TopUp),
        "feed" => keep::read_feed(r).map(Act::Feed),
        "clean" => keep::read_clean(r).map(Act::Clean),
        "swap" => keep::read_swap(r).map(Act::Swap),
        "livestock" => keep::read_livestock(r).map(Act::Livestock),
        "setting" => Some(Act::Setting(settings::read(r))),
        "reading" => reading::read(r).map(Act::Reading),
        "observation" => Some(Act::Observation(look::read_observation(r))),
        "algae" => Some(Act::Algae(look::read_algae(r))),
        "picture" => look::read_picture(r, picture?).map(Act::Picture),
        "trim" => Some(Act::Trim(plants::read_trim(r, tanks))),
        "thin" => Some(Act::Thin(plants::read_thin(r, tanks))),
        "loss" => plants::read_loss(r).map(Act::Loss),
        "plantlets" => plants::read_plantlets(r).map(Act::Plantlets),
        "move" => plants::read_move(r).map(Act::Move),
        "harvest" => plants::read_harvest(r).map(Act::Harvest),
        "replant" => cuttings::read(r).map(Act::Replant),
        "note" => Some(Act::Note),
        _ => None,
    }
}

/// A recorded act as the fields of its form.
pub(super) fn fill(act: &Act, bench: &Bench) -> Pairs {
    let mut p = Pairs::default();
    match act {
        Act::Dose(a) => dose::fill(&mut p, a, bench),
        Act::Change(a) => water::fill_change(&mut p, a),
        Act::TopUp(a) => water::fill_top_up(&mut p, a),
        Act::Feed(a) => keep::fill_feed(&mut p, a),
        Act::Clean(a) => keep::fill_clean(&mut p, a),
        Act::Swap(a) => keep::fill_swap(&mut p, a),
        Act::Livestock(a) => keep::fill_livestock(&mut p, a),
        Act::Setting(a) => settings::fill(&mut p, a),
        Act::Reading(a) => reading::fill(&mut p, a, bench),
        Act::Observation(a) => look::fill_observation(&mut p, a),
        Act::Algae(a) => look::fill_algae(&mut p, a),
        Act::Picture(a) => look::fill_picture(&mut p, a),
        Act::Trim(a) => plants::fill_trim(&mut p, a, bench),
        Act::Thin(a) => plants::fill_thin(&mut p, a, bench),
        Act::Loss(a) => plants::fill_loss(&mut p, a),
        Act::Plantlets(a) => plants::fill_plantlets(&mut p, a),
        Act::Move(a) => plants::fill_move(&mut p, a),
        Act::Harvest(a) => plants::fill_harvest(&mut p, a),
        Act::Replant(a) => cuttings::fill(&mut p, a),
        Act::Walk(_) | Act::Note | Act::Undo => {}
    }
    p
}

/// What a new form of a kind starts from, beyond time and tanks.
pub(super) fn usual(kind: &str, bench: &Bench) -> Pairs {
    let mut p = Pairs::default();
    match kind {
        "dose" => {
            p.put("unit", "ml");
            p.put("into", "water");
        }
        "change" => p.put("measure", "percent"),
        "loss" => p.put("whole", "yes"),
        "picture" => p.put("view", "front"),
        "reading" => {
            p.put("means", "ion");
            p.put("reading_of", "sample");
        }
        "replant" => {
            p.put("into", cuttings::INTO_SAME);
            p.put(cuttings::NEW_ID, uuid::Uuid::now_v7());
        }
        "swap" => p.put("currency", keep::usual_currency(bench)),
        _ => {}
    }
    p
}

/// A number printed as the notebook prints it.
fn printed(value: f64) -> String {
    Format::default().plain(value)
}
