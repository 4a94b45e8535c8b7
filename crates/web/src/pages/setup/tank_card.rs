//! The tanks of the set-up, each on a card.

use maud::{Markup, html};
use quantity::Format;
use text::t;
use trial::tank::Lamp;
use trial::{Bench, Tank, describe};

use super::choices::{GAS, WALLS};
use super::overview::fact;
use crate::parts::series::tank_name;

/// Every tank, from the left.
pub(super) fn all(bench: &Bench, path: &str) -> Markup {
    html! {
        div.grid {
            @for tank in &bench.tanks { div.card.span-6 { (card(tank, bench, path)) } }
        }
    }
}

fn plain(value: f64) -> String {
    Format::default().plain(value)
}

fn with(value: Option<f64>, unit: &str) -> Option<String> {
    value.map(|v| format!("{}\u{a0}{unit}", plain(v)))
}

fn joined(parts: impl IntoIterator<Item = Option<String>>) -> String {
    let said: Vec<String> = parts
        .into_iter()
        .flatten()
        .filter(|p| !p.is_empty())
        .collect();
    said.join(", ")
}

fn card(tank: &Tank, bench: &Bench, path: &str) -> Markup {
    let arm = tank
        .arm
        .as_deref()
        .map(|key| bench.trial.arm(key).map_or(key, |a| a.name.as_str()));
    // What a refused volume lacks stands under the cards.
    let water = tank.water_l();
    let water = water
        .refusal()
        .is_none()
        .then(|| Format::default().estimate(&water, 3));
    // The unit stands by the number, ahead of what is said about its error.
    let water = water.map(|l| match l.split_once(" (") {
        Some((number, error)) => format!("{number}\u{a0}L ({error}"),
        None => format!("{l}\u{a0}L"),
    });
    let layers = tank.substrate.iter().map(|l| {
        joined([
            Some(l.material.clone()),
            with(l.depth_cm, "cm"),
            with(l.mass_kg, "kg"),
        ])
    });
    let lamps: Vec<String> = tank.lamps.iter().map(lamp).collect();
    let filter = tank
        .filter
        .as_ref()
        .map(|f| joined([Some(f.kind.clone()), with(f.flow_l_h, "L/h")]));
    let heater = tank.heater.as_ref().map(|h| {
        let said = joined([with(h.watts, "W"), with(h.set_c, "\u{b0}C")]);
        if said.is_empty() {
            t!("setup.heater_yes").to_owned()
        } else {
            said
        }
    });
    let gas = tank
        .gas
        .as_ref()
        .map(|g| joined([Some(GAS.say(g.supply)), Some(g.note.clone())]));
    let animals = tank
        .livestock
        .iter()
        .map(|l| format!("{} {}", l.count, l.species));
    let animals: Vec<String> = animals.collect();
    html! {
        h3 { (tank_name(tank.place, &tank.name)) }
        dl.facts {
            (fact(t!("setup.f_arm"), arm))
            (fact(t!("setup.tank_size"), Some(&size(tank))))
            (fact(t!("setup.tank_water"), water.as_deref()))
            (fact(t!("setup.f_walls"), Some(&WALLS.say(tank.walls))))
            (fact(t!("setup.part_substrate"), Some(&layers.collect::<Vec<_>>().join("; "))))
            (fact(t!("setup.f_hardscape_l"), with(tank.hardscape_l, "L").as_deref()))
            (fact(t!("setup.part_lamps"), Some(&lamps.join("; "))))
            (fact(t!("setup.f_filter_kind"), filter.as_deref()))
            (fact(t!("setup.f_heater"), heater.as_deref()))
            (fact(t!("setup.f_gas_supply"), gas.as_deref()))
            (fact(t!("setup.part_animals"), Some(&describe::list(&animals))))
            (fact(t!("setup.f_note"), Some(&tank.note)))
        }
        div.actions {
            a.button href={ (path) "/setup/tanks/" (tank.id) } { (t!("setup.edit_what", what = tank.name)) }
        }
    }
}

fn size(tank: &Tank) -> String {
    let box_cm = match (tank.length_cm, tank.width_cm, tank.height_cm) {
        (None, None, None) => None,
        (l, w, h) => {
            let side = |s: Option<f64>| s.map_or("?".to_owned(), plain);
            let sides = [side(l), side(w), side(h)].join(" \u{d7} ");
            Some(format!("{sides}\u{a0}cm"))
        }
    };
    let depth = with(tank.water_depth_cm, "cm").map(|d| t!("setup.water_deep", depth = d));
    joined([box_cm, depth])
}

fn lamp(lamp: &Lamp) -> String {
    let name = if lamp.name.is_empty() {
        t!("setup.row_lamp").to_owned()
    } else {
        lamp.name.clone()
    };
    let height = with(lamp.height_cm, "cm").map(|h| t!("setup.lamp_above", height = h));
    let size = match (lamp.length_cm, lamp.width_cm) {
        (Some(l), Some(w)) => Some(format!("{} \u{d7} {}\u{a0}cm", plain(l), plain(w))),
        _ => None,
    };
    let dimmed = with(lamp.dimming_pct, "%").map(|p| t!("setup.lamp_dimmed", percent = p));
    let hours = with(lamp.photoperiod_h, "h").map(|h| t!("setup.lamp_hours", hours = h));
    let on = lamp
        .on_at
        .map(|at| t!("setup.lamp_on", at = at.strftime("%H:%M")));
    joined([
        Some(name),
        with(lamp.lumens, "lm"),
        with(lamp.ppf_umol_s, "\u{b5}mol/s"),
        with(lamp.watts, "W"),
        height,
        size,
        dimmed,
        hours,
        on,
    ])
}
