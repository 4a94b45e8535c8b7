//! The tanks as a table: one row for each thing, one column for each tank, so that what is equal
//! reads across.

use super::html::Table;
use super::sources::Sources;
use answers::update::UpdateView;
use maud::{Markup, html};
use quantity::Format;
use text::t;
use trial::Tank;
use trial::tank::{GasSupply, Lamp, Walls};

pub(super) fn tanks(view: &UpdateView, sources: &mut Sources) -> Markup {
    let bench = &view.bench;
    let mut table = Table::new(t!("update.tanks")).words(t!("update.tank"));
    for tank in &bench.tanks {
        table = table.words(&tank.name);
    }
    let volumes: Vec<_> = bench.tanks.iter().map(Tank::water_l).collect();
    let cite = sources.cite(volumes.iter().map(|v| &v.basis));
    let row = |table: &mut Table, label: Markup, of: &dyn Fn(&Tank) -> String| {
        let cells = bench.tanks.iter().map(|t| html! { (of(t)) });
        table.row(std::iter::once(label).chain(cells));
    };
    let arm = |t: &Tank| super::gallery::arm_name(view, t.id);
    row(&mut table, html! { (t!("update.arm")) }, &arm);
    row(&mut table, html! { (t!("update.size")) }, &size);
    row(&mut table, html! { (t!("update.water")) (cite) }, &water);
    row(&mut table, html! { (t!("update.walls")) }, &walls);
    row(&mut table, html! { (t!("update.substrate")) }, &substrate);
    row(&mut table, html! { (t!("update.lamp")) }, &lamps);
    row(&mut table, html! { (t!("update.filter")) }, &filter);
    row(&mut table, html! { (t!("update.heater")) }, &heater);
    row(&mut table, html! { (t!("update.gas")) }, &gas);
    if bench.tanks.iter().any(|t| !t.note.is_empty()) {
        row(&mut table, html! { (t!("update.note")) }, &|t| {
            t.note.clone()
        });
    }
    html! { (table.class("things")) }
}

fn n(value: f64) -> String {
    Format::default().significant(value, 4)
}

/// The parts that are known, or that nothing is.
fn joined(parts: Vec<Option<String>>) -> String {
    let known: Vec<String> = parts.into_iter().flatten().collect();
    if known.is_empty() {
        t!("update.unknown").to_string()
    } else {
        known.join(", ")
    }
}

fn size(tank: &Tank) -> String {
    match (
        tank.length_cm,
        tank.width_cm,
        tank.height_cm.or(tank.water_depth_cm),
    ) {
        (Some(l), Some(w), Some(h)) => {
            t!(
                "update.size_text",
                length = n(l),
                width = n(w),
                height = n(h)
            )
        }
        _ => t!("update.unknown").to_string(),
    }
}

fn water(tank: &Tank) -> String {
    let format = Format::default();
    let litres = match (tank.water_l().interval(), tank.water_l().value) {
        (Some(within), _) => Some(format.interval(&within, 3)),
        (None, Some(value)) => Some(format.significant(value, 3)),
        (None, None) => None,
    };
    joined(vec![
        litres.map(|l| t!("update.litres", litres = l)),
        tank.water_depth_cm
            .map(|d| t!("update.depth_text", depth = n(d))),
    ])
}

fn walls(tank: &Tank) -> String {
    match tank.walls {
        Walls::Glass => t!("update.walls_glass"),
        Walls::Black => t!("update.walls_black"),
        Walls::White => t!("update.walls_white"),
        Walls::Film => t!("update.walls_film"),
    }
    .to_string()
}

/// From the top down, as it is seen.
fn substrate(tank: &Tank) -> String {
    let layers = tank.substrate.iter().rev().map(|layer| {
        Some(match layer.depth_cm {
            Some(d) => t!("update.layer_text", material = layer.material, depth = n(d)),
            None => layer.material.clone(),
        })
    });
    joined(layers.collect())
}

fn lamps(tank: &Tank) -> String {
    let lamps = tank.lamps.iter().map(|l| Some(lamp(l)));
    joined(lamps.collect())
}

fn lamp(lamp: &Lamp) -> String {
    let name = (!lamp.name.is_empty()).then(|| lamp.name.clone());
    joined(vec![
        name,
        lamp.lumens.map(|v| t!("update.lamp_lumens", n = n(v))),
        lamp.ppf_umol_s.map(|v| t!("update.lamp_ppf", n = n(v))),
        lamp.watts.map(|v| t!("update.lamp_watts", n = n(v))),
        lamp.dimming_pct
            .map(|v| t!("update.lamp_dimming", n = n(v))),
        lamp.height_cm.map(|v| t!("update.lamp_height", n = n(v))),
        lamp.photoperiod_h
            .map(|v| t!("update.lamp_hours", n = n(v))),
        lamp.on_at
            .map(|v| t!("update.lamp_on_at", time = v.strftime("%H:%M"))),
    ])
}

fn filter(tank: &Tank) -> String {
    match &tank.filter {
        None => t!("update.unknown").to_string(),
        Some(f) => match f.flow_l_h {
            Some(flow) => t!("update.flow_text", kind = f.kind, n = n(flow)),
            None => f.kind.clone(),
        },
    }
}

fn heater(tank: &Tank) -> String {
    match &tank.heater {
        None => t!("update.none").to_string(),
        Some(h) => joined(vec![
            h.watts.map(|v| t!("update.heater_watts", n = n(v))),
            h.set_c.map(|v| t!("update.heater_set", n = n(v))),
        ]),
    }
}

fn gas(tank: &Tank) -> String {
    let Some(gas) = &tank.gas else {
        return t!("update.none").to_string();
    };
    let supply = match gas.supply {
        GasSupply::Cylinder => t!("update.gas_cylinder"),
        GasSupply::Fermenting => t!("update.gas_fermenting"),
        GasSupply::Other => t!("update.gas_other"),
    };
    let note = (!gas.note.is_empty()).then(|| gas.note.clone());
    joined(vec![Some(supply.to_string()), note])
}
