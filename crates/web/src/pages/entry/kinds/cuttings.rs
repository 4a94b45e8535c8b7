//! Replanted cuttings, which may become a planting of their own in the same act.

use jiff::civil::Date;
use maud::{Markup, html};
use text::t;
use trial::act::Replant;
use trial::planting::{GrownIn, OriginForm, PlantOrigin};
use trial::{Planting, PlantingId};

use super::super::kit::{Kit, NAME};
use super::super::reader::Reader;
use crate::parts::fields::{Pairs, Pick, planting_picks, short_row};
use crate::parts::form::hidden;

/// The cuttings join the planting they were cut from.
pub(super) const INTO_SAME: &str = "same";
/// They become a planting of their own.
pub(in super::super) const INTO_NEW: &str = "new";
/// The hidden field with the id of a planting to be made, so that a form sent twice makes one.
pub(super) const NEW_ID: &str = "new_planting";

/// A correction cannot make a planting: the form then offers those there are.
fn targets(kit_has_id: bool, bench: &trial::Bench) -> Vec<Pick> {
    let mut all = vec![(INTO_SAME.to_owned(), t!("log.into_same").to_owned())];
    if kit_has_id {
        all.push((INTO_NEW.to_owned(), t!("log.into_new").to_owned()));
    }
    all.extend(planting_picks(bench));
    all
}

pub(super) fn draw(kit: Kit<'_>) -> Markup {
    let id = kit.state.data.one(NEW_ID);
    html! {
        (kit.select("from", &planting_picks(kit.bench)))
        (kit.select("into", &targets(id.is_some(), kit.bench)))
        @if let Some(id) = id {
            (hidden(NEW_ID, id))
            (kit.may("label").text())
        }
        (short_row(&html! { (kit.may("count").number("")) (kit.may("fresh_g").number("g")) }))
    }
}

pub(super) fn read(r: &mut Reader<'_>) -> Option<Replant> {
    let from: Option<PlantingId> = r.id("from", &planting_picks(r.bench));
    let new = r.data.one(NEW_ID).and_then(|id| id.parse().ok());
    let into = r.choice("into", &targets(new.is_some(), r.bench));
    let (count, fresh_g) = (r.maybe_count("count"), r.maybe("fresh_g"));
    let from = from?;
    Some(Replant {
        from,
        into: match into?.as_str() {
            INTO_SAME => from,
            INTO_NEW => new?,
            other => other.parse().ok()?,
        },
        count,
        fresh_g,
    })
}

pub(super) fn fill(p: &mut Pairs, replant: &Replant) {
    p.put("from", replant.from);
    if replant.into == replant.from {
        p.put("into", INTO_SAME);
    } else {
        p.put("into", replant.into);
    }
    p.maybe("count", replant.count);
    p.number("fresh_g", replant.fresh_g);
}

/// The planting that cuttings become on `day`: their parent's plant in their parent's tank.
pub(in super::super) fn new_planting(
    r: &mut Reader<'_>,
    replant: &Replant,
    day: Date,
) -> Option<Planting> {
    let parent = r.bench.planting(replant.from)?;
    let label = r.maybe_words("label", NAME);
    let taken = |p: &&Planting| {
        p.id != replant.into
            && p.tank == parent.tank
            && p.scientific_name == parent.scientific_name
            && p.label.trim().eq_ignore_ascii_case(&label)
    };
    // Two lots of one plant in one tank without a label could not be told apart.
    if r.bench.plantings.iter().any(|p| taken(&p)) {
        r.refuse("label", t!("log.accept_label"));
        return None;
    }
    Some(Planting {
        common_name: parent.common_name.clone(),
        label,
        planted: Some(day),
        origin: PlantOrigin {
            form: Some(OriginForm::Cuttings),
            grown_in: Some(GrownIn::Water),
            ..PlantOrigin::default()
        },
        stems: replant.count,
        fresh_g: replant.fresh_g,
        parent: Some(replant.from),
        floating: parent.floating,
        ..Planting::new(
            replant.into,
            parent.trial,
            parent.tank,
            parent.scientific_name.clone(),
        )
    })
}
