//! One tank: glass and water, what is in it and over it, who lives there.

use maud::{Markup, html};
use text::t;
use trial::tank::{Filter, Gas, Heater, Lamp, Livestock, SubstrateLayer};
use trial::{RecordKind, Tank};

use crate::pages::setup::cautions;
use crate::pages::setup::choices::{GAS, WALLS};
use crate::pages::setup::kit::{Ink, nth, part};
use crate::pages::setup::reader::Reader;
use crate::parts::fields::{Pairs, short_row};
use crate::parts::form::row;

const LAYER: [&str; 3] = ["material", "depth_cm", "mass_kg"];
const LAMP: [&str; 10] = [
    "lamp_name",
    "lumens",
    "watts",
    "ppf_umol_s",
    "lamp_height_cm",
    "lamp_length_cm",
    "lamp_width_cm",
    "dimming_pct",
    "photoperiod_h",
    "on_at",
];
const ANIMALS: [&str; 2] = ["species", "count"];

pub(in crate::pages::setup) fn fill(r: &Tank) -> Pairs {
    let mut to = Pairs::default();
    to.put("name", &r.name);
    to.put("place", u64::from(r.place) + 1);
    to.maybe("arm", r.arm.as_ref());
    to.number("length_cm", r.length_cm);
    to.number("width_cm", r.width_cm);
    to.number("height_cm", r.height_cm);
    to.number("water_depth_cm", r.water_depth_cm);
    to.number("water_volume_l", r.water_volume_l);
    to.number("hardscape_l", r.hardscape_l);
    to.put("walls", WALLS.key(r.walls));
    for (n, layer) in (1..).zip(&r.substrate) {
        to.put(&nth("material", n), &layer.material);
        to.number(&nth("depth_cm", n), layer.depth_cm);
        to.number(&nth("mass_kg", n), layer.mass_kg);
    }
    for (n, lamp) in (1..).zip(&r.lamps) {
        fill_lamp(&mut to, n, lamp);
    }
    if let Some(filter) = &r.filter {
        to.put("filter_kind", &filter.kind);
        to.number("flow_l_h", filter.flow_l_h);
    }
    to.put("heater", if r.heater.is_some() { "yes" } else { "" });
    if let Some(heater) = &r.heater {
        to.number("heater_watts", heater.watts);
        to.number("set_c", heater.set_c);
    }
    to.put(
        "gas_supply",
        r.gas.as_ref().map_or("", |g| GAS.key(g.supply)),
    );
    to.maybe("gas_note", r.gas.as_ref().map(|g| &g.note));
    for (n, animals) in (1..).zip(&r.livestock) {
        to.put(&nth("species", n), &animals.species);
        to.put(&nth("count", n), animals.count);
    }
    to.put("note", &r.note);
    to
}

fn fill_lamp(to: &mut Pairs, n: usize, lamp: &Lamp) {
    to.put(&nth("lamp_name", n), &lamp.name);
    to.number(&nth("lumens", n), lamp.lumens);
    to.number(&nth("watts", n), lamp.watts);
    to.number(&nth("ppf_umol_s", n), lamp.ppf_umol_s);
    to.number(&nth("lamp_height_cm", n), lamp.height_cm);
    to.number(&nth("lamp_length_cm", n), lamp.length_cm);
    to.number(&nth("lamp_width_cm", n), lamp.width_cm);
    to.number(&nth("dimming_pct", n), lamp.dimming_pct);
    to.number(&nth("photoperiod_h", n), lamp.photoperiod_h);
    to.maybe(
        &nth("on_at", n),
        lamp.on_at.map(|at| at.strftime("%H:%M").to_string()),
    );
}

pub(in crate::pages::setup) fn read(from: &mut Reader<'_>, base: &Tank) -> Tank {
    let place = from.whole("place", 99);
    if place == Some(0) {
        from.refuse("place", t!("setup.accept_place"));
    }
    let mut tank = Tank {
        name: from.text("name"),
        place: place.map_or(base.place, |n| n.saturating_sub(1)),
        arm: from.choice("arm"),
        length_cm: from.number("length_cm"),
        width_cm: from.number("width_cm"),
        height_cm: from.number("height_cm"),
        water_depth_cm: from.number("water_depth_cm"),
        water_volume_l: from.number("water_volume_l"),
        walls: from
            .choice("walls")
            .and_then(|k| WALLS.value(&k))
            .unwrap_or_default(),
        hardscape_l: from.number("hardscape_l"),
        substrate: Vec::new(),
        lamps: Vec::new(),
        filter: None,
        heater: None,
        gas: None,
        livestock: Vec::new(),
        note: from.page("note"),
        ..base.clone()
    };
    for n in from.rows(&LAYER) {
        tank.substrate.push(SubstrateLayer {
            material: from.text(&nth("material", n)),
            depth_cm: from.number(&nth("depth_cm", n)),
            mass_kg: from.number(&nth("mass_kg", n)),
        });
    }
    for n in from.rows(&LAMP) {
        tank.lamps.push(read_lamp(from, n));
    }
    read_devices(from, &mut tank);
    for n in from.rows(&ANIMALS) {
        let count = from.whole(&nth("count", n), 100_000);
        if count.is_none() && from.typed(&nth("count", n)).is_empty() {
            from.refuse(&nth("count", n), t!("setup.accept_count"));
        }
        tank.livestock.push(Livestock {
            species: from.text(&nth("species", n)),
            count: count.unwrap_or(1),
        });
    }
    tank
}

fn read_lamp(from: &mut Reader<'_>, n: usize) -> Lamp {
    Lamp {
        name: from.text(&nth("lamp_name", n)),
        lumens: from.number(&nth("lumens", n)),
        watts: from.number(&nth("watts", n)),
        ppf_umol_s: from.number(&nth("ppf_umol_s", n)),
        height_cm: from.number(&nth("lamp_height_cm", n)),
        length_cm: from.number(&nth("lamp_length_cm", n)),
        width_cm: from.number(&nth("lamp_width_cm", n)),
        dimming_pct: from.number(&nth("dimming_pct", n)),
        photoperiod_h: from.number(&nth("photoperiod_h", n)),
        on_at: from.time(&nth("on_at", n)),
    }
}

fn read_devices(from: &mut Reader<'_>, tank: &mut Tank) {
    let (kind, flow_l_h) = (from.text("filter_kind"), from.number("flow_l_h"));
    if kind.is_empty() && flow_l_h.is_some() {
        from.refuse("filter_kind", t!("setup.accept_filter"));
    }
    tank.filter = (!kind.is_empty()).then_some(Filter { kind, flow_l_h });
    let (watts, set_c) = (from.number("heater_watts"), from.number("set_c"));
    let heated = from.choice("heater").is_some() || watts.is_some() || set_c.is_some();
    tank.heater = heated.then_some(Heater { watts, set_c });
    let (supply, note) = (from.choice("gas_supply"), from.text("gas_note"));
    if supply.is_none() && !note.is_empty() {
        from.refuse("gas_supply", t!("setup.accept_gas"));
    }
    let supply = supply.and_then(|k| GAS.value(&k));
    tank.gas = supply.map(|supply| Gas { supply, note });
}

/// What a tank hands on to the others when the keeper ticked it.
pub(in crate::pages::setup) fn copy(from: &Tank, to: &Tank, ticked: impl Fn(&str) -> bool) -> Tank {
    let mut copy = to.clone();
    if ticked("glass") {
        copy.length_cm = from.length_cm;
        copy.width_cm = from.width_cm;
        copy.height_cm = from.height_cm;
        copy.water_depth_cm = from.water_depth_cm;
        copy.water_volume_l = from.water_volume_l;
        copy.walls = from.walls;
    }
    if ticked("substrate") {
        copy.substrate.clone_from(&from.substrate);
        copy.hardscape_l = from.hardscape_l;
    }
    if ticked("lamps") {
        copy.lamps.clone_from(&from.lamps);
    }
    if ticked("devices") {
        copy.filter.clone_from(&from.filter);
        copy.heater.clone_from(&from.heater);
        copy.gas.clone_from(&from.gas);
    }
    if ticked("livestock") {
        copy.livestock.clone_from(&from.livestock);
    }
    copy
}

pub(in crate::pages::setup) fn fields(ink: &Ink<'_>) -> Markup {
    let at = |code| cautions::of_form(RecordKind::Tank, code);
    html! {
        (row(&html! { (ink.text("name")) (ink.number("place")) (ink.select("arm")) }))
        (part(t!("setup.part_glass"), &html! {
            (at("glass_load"))
            (short_row(&html! {
                (ink.number("length_cm")) (ink.number("width_cm")) (ink.number("height_cm"))
                (ink.number("water_depth_cm")) (ink.number("water_volume_l"))
            }))
            (ink.select("walls"))
        }))
        (part(t!("setup.part_substrate"), &html! {
            (ink.repeated(t!("setup.row_layer"), &LAYER, |n| html! {
                (ink.text(&nth("material", n)))
                (short_row(&html! { (ink.number(&nth("depth_cm", n))) (ink.number(&nth("mass_kg", n))) }))
            }))
            (ink.number("hardscape_l"))
        }))
        (part(t!("setup.part_devices"), &html! {
            (at("electricity"))
            (lamps(ink))
            (row(&html! { (ink.text("filter_kind")) (ink.number("flow_l_h")) }))
            (row(&html! { (ink.select("heater")) (ink.number("heater_watts")) (ink.number("set_c")) }))
        }))
        (part(t!("setup.part_gas"), &html! {
            (at("gas_in_rooms")) (at("gas_cylinder")) (at("yeast"))
            (row(&html! { (ink.select("gas_supply")) (ink.text("gas_note")) }))
        }))
        (part(t!("setup.part_animals"), &html! {
            p.muted { (t!("setup.animals_later")) }
            (ink.repeated(t!("setup.row_animals"), &ANIMALS, |n| row(&html! {
                (ink.text(&nth("species", n))) (ink.number(&nth("count", n)))
            })))
        }))
        (part(t!("setup.part_rest"), &html! {
            (ink.field("note").area(3))
            @if ink.bench.tanks.len() > 1 { (ink.checks("copy")) }
        }))
    }
}

fn lamps(ink: &Ink<'_>) -> Markup {
    ink.repeated(t!("setup.row_lamp"), &LAMP, |n| {
        let number = |base: &str| ink.number(&nth(base, n));
        html! {
            (ink.text(&nth("lamp_name", n)))
            (short_row(&html! {
                (number("lumens")) (number("watts")) (number("ppf_umol_s")) (number("dimming_pct"))
                (number("photoperiod_h")) (ink.text(&nth("on_at", n))) (number("lamp_height_cm"))
                (number("lamp_length_cm")) (number("lamp_width_cm"))
            }))
        }
    })
}
