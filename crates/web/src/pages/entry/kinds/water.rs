//! Water changes and top-ups.

use maud::{Markup, html};
use text::t;
use trial::act::{Change, TopUp, WaterAmount};

use super::super::kit::Kit;
use super::super::reader::Reader;
use crate::parts::fields::{Pairs, Pick, picks, short_row, typed, water_picks};

fn measures() -> Vec<Pick> {
    picks(&[
        ("percent", t!("log.measure_percent")),
        ("litres", t!("log.measure_litres")),
    ])
}

pub(super) fn draw_change(kit: Kit<'_>) -> Markup {
    let amount =
        html! { (kit.must("amount").number("")) (kit.must("measure").select(&measures())) };
    html! { (short_row(&amount)) (kit.maybe_select("source", &water_picks(kit.bench))) }
}

pub(super) fn read_change(r: &mut Reader<'_>) -> Option<Change> {
    let value = r.number("amount");
    let measure = r.choice("measure", &measures());
    let source = r.maybe_id("source", &water_picks(r.bench));
    let amount = match measure?.as_str() {
        "litres" => WaterAmount::Litres { litres: value? },
        _ => WaterAmount::Share {
            share: value? / 100.0,
        },
    };
    Some(Change { amount, source })
}

pub(super) fn fill_change(p: &mut Pairs, change: &Change) {
    match change.amount {
        WaterAmount::Share { share } => {
            p.put("amount", typed(share * 100.0));
            p.put("measure", "percent");
        }
        WaterAmount::Litres { litres } => {
            p.put("amount", typed(litres));
            p.put("measure", "litres");
        }
    }
    p.maybe("source", change.source);
}

pub(super) fn draw_top_up(kit: Kit<'_>) -> Markup {
    html! {
        (short_row(&html! { (kit.must("litres").number("L")) (kit.may("level_below_cm").number("cm")) }))
        (kit.maybe_select("source", &water_picks(kit.bench)))
    }
}

pub(super) fn read_top_up(r: &mut Reader<'_>) -> Option<TopUp> {
    let litres = r.number("litres");
    let level_below_cm = r.maybe("level_below_cm");
    let source = r.maybe_id("source", &water_picks(r.bench));
    Some(TopUp {
        litres: litres?,
        source,
        level_below_cm,
    })
}

pub(super) fn fill_top_up(p: &mut Pairs, top_up: &TopUp) {
    p.put("litres", typed(top_up.litres));
    p.number("level_below_cm", top_up.level_below_cm);
    p.maybe("source", top_up.source);
}
