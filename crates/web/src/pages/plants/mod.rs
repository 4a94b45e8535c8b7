//! Every planting of a trial, species by species with the tanks beside each other.

mod catalogue;
mod life;
mod life_lists;
mod said;
pub(in crate::pages) mod shot;

pub use catalogue::show as catalogue;
pub use life::show as life;

use answers::compare::LineMasses;
use answers::plants::{PlantingRow, PlantsView, Species, plants_view};
use maud::{Markup, html};
use quantity::{Basis, Format};
use text::t;
use trial::PlantingId;

use crate::pages::words::day;
use crate::parts::button::link_button;
use crate::parts::disclosure::method;
use crate::parts::empty::empty;
use crate::parts::notice::caution;
use crate::parts::series::tank_name;
use crate::parts::shell::NavItem;
use crate::{TrialPage, WebError};

/// `{trial}/plants`.
///
/// # Errors
/// When the notebook cannot be read.
pub async fn show(page: TrialPage) -> Result<Markup, WebError> {
    let view = plants_view(page.app.notebook(), &page.bench, page.today())?;
    let path = page.path();
    let body = html! {
        @if view.species.is_empty() {
            (empty(t!("plants.none"), t!("plants.none_how"), &link_button(
                &format!("{path}/setup/plantings/new"),
                t!("plants.add"),
            )))
        } @else {
            p.state {
                (t!("plants.count", all = view.all, species = view.species.len(), standing = view.standing, day = day(view.as_of)))
            }
            @for species in &view.species { (section(&page, species)) }
            (method(&basis(&view)))
        }
        nav.section aria-label=(t!("plants.further")) {
            ul.links {
                li { a href={ (path) "/plants/catalogue" } { (t!("plants.to_catalogue")) } }
                li { a href={ (path) "/setup/plantings/new" } { (t!("plants.add")) } }
                li { a href={ (path) "/compare" } { (t!("plants.to_compare")) } }
            }
        }
    };
    let lead = Some(t!("plants.lead"));
    Ok(page.page(NavItem::Plants, t!("plants.title"), lead, body))
}

/// The address of one planting's page.
pub(crate) fn planting_path(page: &TrialPage, id: PlantingId) -> String {
    format!("{}/plants/{id}", page.path())
}

fn section(page: &TrialPage, species: &Species) -> Markup {
    html! {
        section.section {
            h2 {
                (said::name(&species.name))
                @if !species.common_name.is_empty() { span.plant-common { ", " (species.common_name) } }
            }
            @if !species.in_catalogue { p.muted { (t!("plants.unchecked", name = species.name)) } }
            @if !species.listings.is_empty() {
                (caution(t!("plants.regulated"), &said::listings(&species.listings)))
            }
            ul.plantings {
                @for rows in species.plantings.chunk_by(|a, b| a.tank == b.tank) {
                    li { @for row in rows { (planting(page, row)) } }
                }
            }
        }
    }
}

fn planting(page: &TrialPage, row: &PlantingRow) -> Markup {
    let tank = page.bench.tank(row.tank);
    let name = tank.map_or("", |t| t.name.as_str());
    let label = &row.planting.label;
    html! {
        article.planting {
            @match &row.shot {
                Some(shot) => { (shot::small(page, shot)) }
                None => { p.planting-none.muted.small { (t!("plants.no_picture")) } }
            }
            div.planting-said {
                h3 {
                    a href=(planting_path(page, row.planting.id)) {
                        (tank_name(tank.map_or(0, |t| t.place), name))
                        @if !label.is_empty() { ", " (label) }
                        span.visually-hidden { ", " (row.planting.scientific_name) }
                    }
                }
                p { (said::state(&row.state, row.age_days)) }
                dl.planting-facts {
                    div { dt { (t!("plants.looked")) } dd { (looked(row)) } }
                    div { dt { (t!("plants.weighed")) } dd { (weighed(row)) } }
                    div {
                        dt { (t!("plants.growth")) }
                        dd { @match &row.line { Some(line) => (rate(line)), None => (t!("plants.growth_in_line")) } }
                    }
                }
            }
        }
    }
}

fn looked(row: &PlantingRow) -> Markup {
    html! {
        @match &row.looked {
            None => { (t!("plants.never_looked")) },
            Some(look) => {
                @let values = said::values(&look.values);
                @if !values.is_empty() { (values) ", " } (day(look.day))
            },
        }
    }
}

fn weighed(row: &PlantingRow) -> Markup {
    html! {
        @match &row.weighed {
            None => { (t!("plants.never_weighed")) },
            Some(w) if w.entry.is_none() => { (said::grams(w.grams)) " " (t!("plants.at_planting", day = day(w.day))) },
            Some(w) => { (said::grams(w.grams)) ", " (day(w.day)) },
        }
    }
}

/// The growth rate between its bounds; a refusal as words.
fn rate(line: &LineMasses) -> Markup {
    html! {
        @if line.growth.refusal().is_some() { (t!("plants.growth_refused")) }
        @else {
            span.interval { (Format::default().estimate(&line.growth, 2)) "\u{a0}" (t!("plants.per_day")) }
        }
    }
}

/// The growth rate with its days.
fn growth(line: &LineMasses) -> Markup {
    html! {
        (rate(line))
        @if let (Some(start), Some(end)) = (line.start, line.end) {
            ", " (t!("plants.from_to", from = day(start.from), to = day(end.to)))
        }
    }
}

/// How growth is reckoned, each formula and source once.
fn basis(view: &PlantsView) -> Markup {
    let rows = view.species.iter().flat_map(|s| &s.plantings);
    let lines = rows.filter_map(|r| r.line.as_ref());
    let all: Vec<&Basis> = lines.map(|l| &l.growth.basis).collect();
    html! {
        p { (t!("plants.growth_note")) }
        (said::formulas(&all))
        p.muted { (t!("plants.strip_note")) }
    }
}
