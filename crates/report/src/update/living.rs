//! What lives in the tanks: plants by lot, animals at the start and since.

use super::html::{Table, plant, short_day};
use answers::line::EntryLine;
use answers::update::UpdateView;
use maud::{Markup, html};
use quantity::Format;
use text::t;
use trial::Planting;
use trial::planting::{GrownIn, OriginForm};

/// One row for each plant and lot, however many tanks it went into.
pub(super) fn plants(view: &UpdateView) -> Markup {
    if view.bench.plantings.is_empty() {
        return html! { h3 { (t!("update.plants")) } p { (t!("update.no_plants")) } };
    }
    let mut lots: Vec<Vec<&Planting>> = Vec::new();
    for planting in &view.bench.plantings {
        let same = |lot: &&mut Vec<&Planting>| {
            lot.first().is_some_and(|p| {
                p.scientific_name == planting.scientific_name
                    && p.label == planting.label
                    && p.origin == planting.origin
                    && p.parent.is_some() == planting.parent.is_some()
            })
        };
        match lots.iter_mut().find(same) {
            Some(lot) => lot.push(planting),
            None => lots.push(vec![planting]),
        }
    }
    let mut table = Table::new(t!("update.plants"))
        .stacked()
        .words(t!("update.plant"))
        .words(t!("update.plant_tanks"))
        .words(t!("update.plant_origin"))
        .words(t!("update.plant_mass"))
        .words(t!("update.plant_divided"));
    for lot in &lots {
        if let Some(first) = lot.first() {
            table.row([
                name(first),
                html! { (trial::describe::list(&in_tanks(view, lot))) },
                html! { (origin(first)) },
                html! { (masses(view, lot)) },
                html! { (first.divided) },
            ]);
        }
    }
    html! { (table) }
}

fn name(planting: &Planting) -> Markup {
    html! {
        (plant(&planting.scientific_name))
        @if !planting.common_name.is_empty() { br; span.plain { (planting.common_name) } }
        @if !planting.label.is_empty() { br; span.plain { (planting.label) } }
    }
}

/// The tanks of a lot, with the day of planting where tanks differ in it.
fn in_tanks(view: &UpdateView, lot: &[&Planting]) -> Vec<String> {
    let days: Vec<_> = lot.iter().map(|p| p.planted).collect();
    let same = days.windows(2).all(|w| w[0] == w[1]);
    let mut names: Vec<String> = lot
        .iter()
        .map(|p| {
            let tank = view.bench.tank(p.tank).map_or("", |t| t.name.as_str());
            match p.planted {
                Some(day) if !same => format!("{tank} ({})", short_day(day)),
                _ => tank.to_string(),
            }
        })
        .collect();
    if let (true, Some(day), Some(last)) = (same, days.first().copied().flatten(), names.last_mut())
    {
        *last = format!("{last} ({})", short_day(day));
    }
    names
}

fn origin(planting: &Planting) -> String {
    if planting.parent.is_some() {
        return t!("update.cuttings_of").to_string();
    }
    let form = planting.origin.form.map(|f| match f {
        OriginForm::Pot => t!("update.origin_pot"),
        OriginForm::Cuttings => t!("update.origin_cuttings"),
        OriginForm::Culture => t!("update.origin_culture"),
        OriginForm::Division => t!("update.origin_division"),
    });
    let grown = planting.origin.grown_in.map(|g| match g {
        GrownIn::Air => t!("update.grown_air"),
        GrownIn::Water => t!("update.grown_water"),
    });
    let known: Vec<&str> = [form, grown].into_iter().flatten().collect();
    if known.is_empty() {
        t!("update.unknown").to_string()
    } else {
        known.join(", ")
    }
}

fn masses(view: &UpdateView, lot: &[&Planting]) -> String {
    let weighed: Vec<String> = lot
        .iter()
        .filter_map(|p| {
            let tank = view.bench.tank(p.tank)?;
            let grams = Format::default().significant(p.fresh_g?, 3);
            Some(format!("{} {grams}\u{a0}g", tank.name))
        })
        .collect();
    if weighed.is_empty() {
        t!("update.unknown").to_string()
    } else {
        weighed.join(", ")
    }
}

pub(super) fn animals(view: &UpdateView) -> Markup {
    let at_start: Vec<(String, String)> = view
        .bench
        .tanks
        .iter()
        .filter(|t| !t.livestock.is_empty())
        .map(|t| {
            let kinds: Vec<String> = t
                .livestock
                .iter()
                .map(|l| t!("update.animals_one", n = l.count, species = l.species))
                .collect();
            (t.name.clone(), trial::describe::list(&kinds))
        })
        .collect();
    html! {
        h3 { (t!("update.animals")) }
        @if at_start.is_empty() && view.animals.is_empty() { p { (t!("update.no_animals")) } }
        @if !at_start.is_empty() {
            ul { @for (tank, what) in &at_start { li { strong { (tank) } ": " (what) } } }
        }
        @if !view.animals.is_empty() {
            ul { @for (lines, tanks) in same_day_same_thing(&view.animals) {
                li {
                    (short_day(lines.day)) ", " (tanks) ": " (lines.sentence) "."
                    @if !lines.note.is_empty() { " " span.faint { (lines.note) "." } }
                }
            } }
        }
    }
}

/// Lines that say the same of several tanks on one day, as one with its tanks.
fn same_day_same_thing(lines: &[EntryLine]) -> Vec<(&EntryLine, String)> {
    let mut groups: Vec<(&EntryLine, Vec<String>)> = Vec::new();
    for line in lines {
        let same = |(first, _): &&mut (&EntryLine, Vec<String>)| {
            (first.day, &first.sentence, &first.note) == (line.day, &line.sentence, &line.note)
        };
        match groups.iter_mut().find(same) {
            Some((_, tanks)) => tanks.push(line.tanks.clone()),
            None => groups.push((line, vec![line.tanks.clone()])),
        }
    }
    groups
        .into_iter()
        .map(|(line, tanks)| (line, trial::describe::list(&tanks)))
        .collect()
}
