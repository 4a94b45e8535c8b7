//! Feeding, cleaning, swaps of equipment, livestock.

use maud::{Markup, html};
use text::t;
use trial::Bench;
use trial::act::{Clean, Feed, LivestockEvent, LivestockHappening, Part, Swap};
use trial::supply::ProductKind;
use trial::tank::Livestock;
use trial::types::Money;

use super::super::kit::{Kit, NAME, Pick, keyed, typed};
use super::super::reader::Reader;
use super::Pairs;
use crate::parts::form::row;

fn foods(bench: &Bench) -> Vec<Pick> {
    let foods = bench.products.iter();
    foods
        .filter(|p| p.kind == ProductKind::Food)
        .map(|p| (p.id.to_string(), p.name.clone()))
        .collect()
}

pub(super) fn draw_feed(kit: Kit<'_>) -> Markup {
    let foods = foods(kit.bench);
    let names: Vec<Pick> = foods
        .iter()
        .map(|(_, name)| (name.clone(), String::new()))
        .collect();
    html! {
        (kit.suggested("food", &names))
        (kit.maybe("grams", "g"))
        (kit.maybe_select("product", &foods))
    }
}

pub(super) fn read_feed(r: &mut Reader<'_>) -> Option<Feed> {
    let food = r.words("food", NAME);
    let grams = r.maybe("grams");
    let product = r.maybe_id("product", &foods(r.bench));
    Some(Feed {
        food: food?,
        product,
        grams,
    })
}

pub(super) fn fill_feed(p: &mut Pairs, feed: &Feed) {
    p.put("food", &feed.food);
    p.number("grams", feed.grams);
    p.maybe("product", feed.product);
}

const PARTS: [(&str, Part); 7] = [
    ("pane", Part::Pane),
    ("filter", Part::Filter),
    ("diffuser", Part::Diffuser),
    ("cover", Part::Cover),
    ("lamp", Part::Lamp),
    ("substrate", Part::Substrate),
    ("hardscape", Part::Hardscape),
];

fn parts() -> Vec<Pick> {
    keyed(&[
        ("pane", t!("log.part_pane")),
        ("filter", t!("log.part_filter")),
        ("diffuser", t!("log.part_diffuser")),
        ("cover", t!("log.part_cover")),
        ("lamp", t!("log.part_lamp")),
        ("substrate", t!("log.part_substrate")),
        ("hardscape", t!("log.part_hardscape")),
    ])
}

const FLOWS: [&str; 2] = ["flow_before_l_h", "flow_after_l_h"];

pub(super) fn draw_clean(kit: Kit<'_>) -> Markup {
    let flows = html! { @for name in FLOWS { (kit.maybe(name, "L/h")) } };
    html! {
        (kit.radio("part", &parts()))
        (kit.more(t!("log.more_flow"), &FLOWS, &row(&flows)))
    }
}

pub(super) fn read_clean(r: &mut Reader<'_>) -> Option<Clean> {
    let part = r.choice("part", &parts());
    let (flow_before_l_h, flow_after_l_h) = (r.maybe(FLOWS[0]), r.maybe(FLOWS[1]));
    let part = part?;
    let part = PARTS.iter().find(|(key, _)| *key == part)?.1;
    Some(Clean {
        part,
        flow_before_l_h,
        flow_after_l_h,
    })
}

pub(super) fn fill_clean(p: &mut Pairs, clean: &Clean) {
    p.maybe("part", key_of(&PARTS, clean.part));
    p.number(FLOWS[0], clean.flow_before_l_h);
    p.number(FLOWS[1], clean.flow_after_l_h);
}

/// The key of a value in a table of keys.
pub(super) fn key_of<T: PartialEq + Copy>(
    table: &[(&'static str, T)],
    value: T,
) -> Option<&'static str> {
    table.iter().find(|(_, v)| *v == value).map(|(key, _)| *key)
}

fn equipment(bench: &Bench) -> Vec<Pick> {
    let all = bench.equipment.iter();
    all.map(|e| (e.id.to_string(), e.name.clone())).collect()
}

/// The currency this trial's prices are in.
pub(super) fn usual_currency(bench: &Bench) -> String {
    let prices = bench.equipment.iter().filter_map(|e| e.price.as_ref());
    let power = bench.trial.electricity_per_kwh.iter();
    let first = power.chain(prices).next();
    first.map(|m| m.currency.clone()).unwrap_or_default()
}

pub(super) fn draw_swap(kit: Kit<'_>) -> Markup {
    html! {
        (row(&html! { (kit.words("left")) (kit.words("came")) }))
        (row(&html! { (kit.maybe("price", "")) (kit.maybe_words("currency")) }))
        (kit.maybe_select("equipment", &equipment(kit.bench)))
    }
}

pub(super) fn read_swap(r: &mut Reader<'_>) -> Option<Swap> {
    let (left, came) = (r.words("left", NAME), r.words("came", NAME));
    let currency = r.maybe_words("currency", 3);
    let price = r.maybe("price").map(|amount| Money {
        amount,
        currency: currency.to_uppercase(),
    });
    let equipment = r.maybe_id("equipment", &equipment(r.bench));
    Some(Swap {
        left: left?,
        came: came?,
        price,
        equipment,
    })
}

pub(super) fn fill_swap(p: &mut Pairs, swap: &Swap) {
    p.put("left", &swap.left);
    p.put("came", &swap.came);
    if let Some(price) = &swap.price {
        p.put("price", typed(price.amount));
        p.put("currency", &price.currency);
    }
    p.maybe("equipment", swap.equipment);
}

const EVENTS: [(&str, LivestockHappening); 5] = [
    ("arrival", LivestockHappening::Arrival),
    ("death", LivestockHappening::Death),
    ("missing", LivestockHappening::Missing),
    ("illness", LivestockHappening::Illness),
    ("departure", LivestockHappening::Departure),
];

fn events() -> Vec<Pick> {
    keyed(&[
        ("arrival", t!("log.event_arrival")),
        ("death", t!("log.event_death")),
        ("missing", t!("log.event_missing")),
        ("illness", t!("log.event_illness")),
        ("departure", t!("log.event_departure")),
    ])
}

fn species(bench: &Bench) -> Vec<Pick> {
    let mut names: Vec<Pick> = Vec::new();
    for animals in bench.tanks.iter().flat_map(|t| &t.livestock) {
        if !names.iter().any(|(name, _)| *name == animals.species) {
            names.push((animals.species.clone(), String::new()));
        }
    }
    names
}

pub(super) fn draw_livestock(kit: Kit<'_>) -> Markup {
    html! {
        (kit.radio("event", &events()))
        (kit.suggested("species", &species(kit.bench)))
        (kit.number("count", ""))
    }
}

pub(super) fn read_livestock(r: &mut Reader<'_>) -> Option<LivestockEvent> {
    let event = r.choice("event", &events());
    let species = r.words("species", NAME);
    let count = r.count("count", 1);
    let event = event?;
    Some(LivestockEvent {
        event: EVENTS.iter().find(|(key, _)| *key == event)?.1,
        who: Livestock {
            species: species?,
            count: count?,
        },
    })
}

pub(super) fn fill_livestock(p: &mut Pairs, l: &LivestockEvent) {
    p.maybe("event", key_of(&EVENTS, l.event));
    p.put("species", &l.who.species);
    p.put("count", l.who.count);
}
