//! The lists of the set-up: plantings, supplies, equipment, plans.

use maud::{Markup, html};
use quantity::Format;
use text::t;
use trial::plan::PlanOutcome;
use trial::types::Money;
use trial::{Bench, Equipment, Plan, Planting, Product, SourceWater, Tank, TankId, describe};

use super::choices::{EQUIPMENT, MEANS, PER, PRODUCT, WATER};
use super::plant_facts::species;
use crate::pages::words::capital;
use crate::parts::table::{Column, Table};

fn plain(value: f64) -> String {
    Format::default().plain(value)
}

fn link(path: &str, word: &str, id: impl std::fmt::Display, label: &Markup) -> Markup {
    html! { a href={ (path) "/setup/" (word) "/" (id) } { (label) } }
}

/// The table, or nothing without rows.
fn filled(caption: &str, columns: &[Column<'_>], rows: Vec<Vec<Markup>>) -> Markup {
    if rows.is_empty() {
        return html! { p.muted { (t!("setup.none_yet")) } };
    }
    let table = rows
        .into_iter()
        .fold(Table::new(caption, columns).stacked(), Table::row);
    html! { div.caption-above { (table) } }
}

/// One row a plant, one column a tank, so that an unequal start is seen.
pub(super) fn plantings(bench: &Bench, path: &str) -> Markup {
    let mut columns = vec![Column::words(t!("setup.f_scientific_name"))];
    columns.extend(bench.tanks.iter().map(|t| Column::words(&t.name)));
    let mut titles: Vec<(&str, &str)> = Vec::new();
    for p in &bench.plantings {
        let title = (p.scientific_name.as_str(), p.label.as_str());
        if !titles.contains(&title) {
            titles.push(title);
        }
    }
    let rows = titles.into_iter().map(|(name, label)| {
        let heading = html! { (species(name)) @if !label.is_empty() { " (" (label) ")" } };
        let cell = |tank: &Tank| {
            let here = bench.plantings_in(tank.id);
            let here =
                here.filter(|p| (p.scientific_name.as_str(), p.label.as_str()) == (name, label));
            html! { @for p in here { (planting(p, &tank.name, path)) } }
        };
        std::iter::once(heading)
            .chain(bench.tanks.iter().map(cell))
            .collect()
    });
    filled(t!("setup.part_plantings"), &columns, rows.collect())
}

/// One planting in its cell: what there was of it at the start, and when.
fn planting(p: &Planting, tank: &str, path: &str) -> Markup {
    let label = t!("setup.plant_in", plant = p.title(), tank = tank);
    html! {
        p.planting-cell {
            a href={ (path) "/setup/plantings/" (p.id) } {
                (start(p)) span.visually-hidden { ": " (label) }
            }
            @if let Some(day) = p.planted { " " span.muted { (day) } }
        }
    }
}

fn nothing() -> String {
    t!("setup.nothing").to_owned()
}

fn start(p: &Planting) -> String {
    let stems = p.stems.map(|n| t!("setup.stems_n", n = n));
    let mass = p.fresh_g.map(|g| format!("{}\u{a0}g", plain(g)));
    let said: Vec<String> = [stems, mass].into_iter().flatten().collect();
    if said.is_empty() {
        t!("setup.planted").to_owned()
    } else {
        said.join(", ")
    }
}

pub(super) fn cards(bench: &Bench, path: &str) -> Markup {
    let columns = [
        Column::words(t!("setup.f_name")),
        Column::words(t!("setup.f_analyte")),
        Column::words(t!("setup.f_means")),
        Column::words(t!("setup.f_steps")),
    ];
    let rows = bench.cards.iter().map(|c| {
        vec![
            link(path, "cards", c.id, &html! { (c.name) }),
            html! { (capital(c.analyte.name())) },
            html! { (MEANS.say(c.means)) },
            html! { (c.steps_text()) " " (c.analyte.unit()) },
        ]
    });
    filled(t!("setup.part_cards"), &columns, rows.collect())
}

pub(super) fn waters(bench: &Bench, path: &str) -> Markup {
    let columns = [
        Column::words(t!("setup.f_name")),
        Column::words(t!("setup.f_water_kind")),
        Column::words(t!("setup.f_disinfectant")),
        Column::words(t!("setup.f_neutraliser")),
    ];
    let rows = bench.waters.iter().map(|w| {
        vec![
            link(path, "waters", w.id, &html! { (w.name) }),
            html! { (water_kind(w, bench)) },
            html! { (or_nothing(&w.disinfectant)) },
            html! { (or_nothing(&w.neutraliser)) },
        ]
    });
    filled(t!("setup.part_waters"), &columns, rows.collect())
}

fn water_kind(w: &SourceWater, bench: &Bench) -> String {
    let parts = w.parts.iter().map(|p| {
        let name = bench
            .water(p.water)
            .map_or_else(nothing, |w| w.name.clone());
        format!("{} {name}", Format::default().percent(p.share))
    });
    let parts: Vec<String> = parts.collect();
    if parts.is_empty() {
        WATER.say(w.kind)
    } else {
        describe::list(&parts)
    }
}

fn or_nothing(text: &str) -> String {
    if text.trim().is_empty() {
        nothing()
    } else {
        text.to_owned()
    }
}

pub(super) fn products(bench: &Bench, path: &str) -> Markup {
    let columns = [
        Column::words(t!("setup.f_name")),
        Column::words(t!("setup.f_product_kind")),
        Column::words(t!("setup.brings_per")),
    ];
    let rows = bench.products.iter().map(|p| {
        vec![
            link(path, "products", p.id, &html! { (p.name) }),
            html! { (PRODUCT.say(p.kind)) },
            html! { (brings(p)) },
        ]
    });
    filled(t!("setup.part_products"), &columns, rows.collect())
}

fn brings(p: &Product) -> String {
    let brought = p.brings_per_measure();
    let each = brought.iter().map(|b| {
        let mg = Format::default().significant(b.mg, 3);
        t!(
            "setup.brings_mg_of",
            mg = mg,
            what = b.analyte.symbol(quantity::Means::Ion)
        )
    });
    let each: Vec<String> = each.collect();
    if each.is_empty() {
        nothing()
    } else {
        t!("setup.in_one", per = PER.say(p.per), what = each.join(", "))
    }
}

pub(super) fn equipment(bench: &Bench, path: &str) -> Markup {
    let columns = [
        Column::words(t!("setup.f_name")),
        Column::words(t!("setup.f_equipment_kind")),
        Column::words(t!("setup.f_tanks")),
        Column::numbers(t!("setup.f_price"), ""),
        Column::words(t!("setup.part_power")),
        Column::words(t!("setup.f_disclosure")),
    ];
    let rows = bench.equipment.iter().map(|e| {
        vec![
            link(path, "equipment", e.id, &html! { (e.name) }),
            html! { (EQUIPMENT.say(e.kind)) },
            html! { (tanks(&e.tanks, bench)) },
            html! { (e.price.as_ref().map_or_else(nothing, price)) },
            html! { (power(e)) },
            html! { (or_nothing(&e.disclosure)) },
        ]
    });
    filled(t!("setup.part_equipment"), &columns, rows.collect())
}

fn tanks(ids: &[TankId], bench: &Bench) -> String {
    describe::tanks_phrase(ids, ids.is_empty(), bench)
}

fn price(money: &Money) -> String {
    format!(
        "{}\u{a0}{}",
        Format::default().fixed(money.amount, 2),
        money.currency
    )
}

fn power(e: &Equipment) -> String {
    let watts = e.power_w.map(|w| format!("{}\u{a0}W", plain(w)));
    let hours = e
        .hours_per_day
        .map(|h| t!("setup.lamp_hours", hours = format!("{}\u{a0}h", plain(h))));
    let said: Vec<String> = [watts, hours].into_iter().flatten().collect();
    if said.is_empty() {
        nothing()
    } else {
        said.join(", ")
    }
}

pub(super) fn plans(bench: &Bench, path: &str) -> Markup {
    let columns = [
        Column::words(t!("setup.f_what")),
        Column::words(t!("setup.f_tanks")),
        Column::words(t!("setup.plan_when")),
        Column::words(t!("setup.f_expects")),
        Column::words(t!("setup.f_plan_is")),
    ];
    let rows = bench.plans.iter().map(|p| {
        vec![
            link(path, "plans", p.id, &html! { (p.what) }),
            html! { (tanks(&p.tanks, bench)) },
            html! { (when(p)) },
            html! { (or_nothing(&p.expects)) },
            html! { (outcome(p)) },
        ]
    });
    filled(t!("setup.part_plans"), &columns, rows.collect())
}

fn when(p: &Plan) -> String {
    match &p.routine {
        None => p.from.to_string(),
        Some(routine) => {
            let kind = describe::kind_name(&routine.act);
            t!(
                "setup.plan_routine",
                act = kind,
                n = routine.every_days,
                from = p.from
            )
        }
    }
}

fn outcome(p: &Plan) -> String {
    match &p.outcome {
        PlanOutcome::Open => t!("setup.plan_open").to_owned(),
        PlanOutcome::Done { on, seen, .. } => {
            t!("setup.plan_done_seen", on = on, seen = or_nothing(seen))
        }
        PlanOutcome::Dropped { why } => t!("setup.plan_given_up_why", why = or_nothing(why)),
    }
}
