//! Feeding, cleaning, swaps of equipment, livestock.

use maud::{Markup, html};
use text::t;
use trial::Bench;
use trial::act::{Clean, Feed, LivestockEvent, LivestockHappening, Part, Swap};
use trial::supply::ProductKind;
use trial::tank::Livestock;
use trial::types::Money;

use super::super::kit::{Kit, NAME};
use super::super::reader::Reader;
use crate::parts::fields::{Pairs, Pick, Words};
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
        (kit.may("grams").number("g"))
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

const PARTS: Words<Part> = Words(
    "log.part",
    &[
        (Part::Pane, "pane"),
        (Part::Filter, "filter"),
        (Part::Diffuser, "diffuser"),
        (Part::Cover, "cover"),
        (Part::Lamp, "lamp"),
        (Part::Substrate, "substrate"),
        (Part::Hardscape, "hardscape"),
    ],
);

const FLOWS: [&str; 2] = ["flow_before_l_h", "flow_after_l_h"];

pub(super) fn draw_clean(kit: Kit<'_>) -> Markup {
    let flows = html! { @for name in FLOWS { (kit.may(name).number("L/h")) } };
    html! {
        (kit.must("part").radio(&PARTS.picks()))
        (kit.more(t!("log.more_flow"), &FLOWS, &row(&flows)))
    }
}

pub(super) fn read_clean(r: &mut Reader<'_>) -> Option<Clean> {
    let part = r.choice("part", &PARTS.picks());
    let (flow_before_l_h, flow_after_l_h) = (r.maybe(FLOWS[0]), r.maybe(FLOWS[1]));
    let part = part?;
    let part = PARTS.value(&part)?;
    Some(Clean {
        part,
        flow_before_l_h,
        flow_after_l_h,
    })
}

pub(super) fn fill_clean(p: &mut Pairs, clean: &Clean) {
    p.put("part", PARTS.key(clean.part));
    p.number(FLOWS[0], clean.flow_before_l_h);
    p.number(FLOWS[1], clean.flow_after_l_h);
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
        (row(&html! { (kit.must("left").text()) (kit.must("came").text()) }))
        (row(&html! { (kit.may("price").number("")) (kit.may("currency").text()) }))
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
    p.money("price", "currency", swap.price.as_ref());
    p.maybe("equipment", swap.equipment);
}

const EVENTS: Words<LivestockHappening> = Words(
    "log.event",
    &[
        (LivestockHappening::Arrival, "arrival"),
        (LivestockHappening::Death, "death"),
        (LivestockHappening::Missing, "missing"),
        (LivestockHappening::Illness, "illness"),
        (LivestockHappening::Departure, "departure"),
    ],
);

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
        (kit.must("event").radio(&EVENTS.picks()))
        (kit.suggested("species", &species(kit.bench)))
        (kit.must("count").number(""))
    }
}

pub(super) fn read_livestock(r: &mut Reader<'_>) -> Option<LivestockEvent> {
    let event = r.choice("event", &EVENTS.picks());
    let species = r.words("species", NAME);
    let count = r.count("count", 1);
    let event = event?;
    Some(LivestockEvent {
        event: EVENTS.value(&event)?,
        who: Livestock {
            species: species?,
            count: count?,
        },
    })
}

pub(super) fn fill_livestock(p: &mut Pairs, l: &LivestockEvent) {
    p.put("event", EVENTS.key(l.event));
    p.put("species", &l.who.species);
    p.put("count", l.who.count);
}
