//! One planting, or the same one in several tanks.

use maud::{Markup, html};
use text::t;
use trial::planting::PlantOrigin;
use trial::{Planting, PlantingId, RecordKind, TankId, catalogue};

use crate::pages::setup::cautions;
use crate::pages::setup::choices::{GROWN, ORIGIN};
use crate::pages::setup::kit::{AGAIN, Ink, part};
use crate::pages::setup::plant_facts;
use crate::pages::setup::reader::Reader;
use crate::pages::setup::zone;
use crate::parts::button::Button;
use crate::parts::fields::{Pairs, suggestions};
use crate::parts::form::row;

const PLANTS: &str = "plants-known";

pub(in crate::pages::setup) fn fill(r: &Planting) -> Pairs {
    let mut to = Pairs::default();
    to.put("scientific_name", &r.scientific_name);
    to.put("common_name", &r.common_name);
    to.put("label", &r.label);
    to.put("tank", r.tank);
    to.maybe("planted", r.planted);
    to.put("origin_form", r.origin.form.map_or("", |v| ORIGIN.key(v)));
    to.put("grown_in", r.origin.grown_in.map_or("", |v| GROWN.key(v)));
    to.put("batch", &r.origin.batch);
    to.put("quarantine", &r.origin.quarantine);
    to.maybe("stems", r.stems);
    to.number("fresh_g", r.fresh_g);
    to.put("divided", &r.divided);
    to.maybe("parent", r.parent);
    to.put("zone_cm", zone::text(&r.zone_cm));
    if r.floating {
        to.put("floating", "yes");
    }
    to
}

/// The planting as typed; its tank is read apart, since a new one may go into several.
pub(in crate::pages::setup) fn read(from: &mut Reader<'_>, base: &Planting) -> Planting {
    let typed = from.text("scientific_name");
    let known = catalogue::find(&typed);
    let mut common_name = from.text("common_name");
    if let Some(plant) = known.filter(|_| common_name.is_empty()) {
        common_name.clone_from(&plant.common_name);
    }
    let tank = match from.form.has("tank") {
        true => from.id("tank").map_or(base.tank, TankId),
        false => base.tank,
    };
    Planting {
        scientific_name: known.map_or(typed, |plant| plant.scientific_name.clone()),
        common_name,
        label: from.text("label"),
        tank,
        planted: from.date("planted"),
        origin: PlantOrigin {
            form: from.choice("origin_form").and_then(|k| ORIGIN.value(&k)),
            grown_in: from.choice("grown_in").and_then(|k| GROWN.value(&k)),
            batch: from.text("batch"),
            quarantine: from.text("quarantine"),
        },
        stems: from.whole("stems", 100_000),
        fresh_g: from.number("fresh_g"),
        divided: from.text("divided"),
        parent: from.id("parent").map(PlantingId),
        zone_cm: zone::read(from),
        floating: from.ticked("floating", "yes"),
        ..base.clone()
    }
}

/// `base` as it is recorded, or none for a new planting.
pub(in crate::pages::setup) fn fields(ink: &Ink<'_>, base: Option<&Planting>) -> Markup {
    let plants = catalogue::all().iter();
    let names = plants.map(|p| (p.scientific_name.as_str(), p.common_name.as_str()));
    let at = |code| cautions::of_form(RecordKind::Planting, code);
    html! {
        (suggestions(PLANTS, names))
        (row(&html! { (ink.field("scientific_name").suggested(PLANTS)) (ink.text("common_name")) (ink.text("label")) }))
        (plant_facts::chosen(ink.state.data.one("scientific_name").unwrap_or_default(), ink.bench.trial.id))
        (plant_facts::regulated())
        @match base {
            None => { (ink.tanks("tanks")) }
            Some(_) => { (ink.select("tank")) }
        }
        (part(t!("setup.part_start"), &html! {
            (row(&html! { (ink.field("planted").date()) (ink.number("stems")) (ink.number("fresh_g")) }))
            (ink.text("divided"))
        }))
        (part(t!("setup.part_origin"), &html! {
            (row(&html! { (ink.select("origin_form")) (ink.select("grown_in")) }))
            (row(&html! { (ink.text("batch")) (ink.text("quarantine")) }))
            (ink.select("parent"))
        }))
        (part(t!("setup.part_zone"), &html! {
            (ink.text("zone_cm"))
            (zone::preview(ink))
            div.actions { (Button::new(t!("setup.zone_show")).quiet().sends(AGAIN, "1")) }
            (ink.checks("floating"))
        }))
        (at("release"))
        (at("skin"))
    }
}
