//! The catalogue of plants: searched by name, with what some list says of each.

use answers::plants::{CatalogueEntry, CatalogueView, Show, catalogue};
use axum::extract::RawQuery;
use maud::{Markup, html};
use quantity::Format;
use text::t;
use trial::describe::tanks_phrase;

use super::said;
use crate::form_data::{FormData, FormState};
use crate::pages::words::capital;
use crate::parts::button::Button;
use crate::parts::empty::empty;
use crate::parts::form::{Choice, Field, query_form};
use crate::parts::notice::{Weight, caution, finding};
use crate::parts::shell::NavItem;
use crate::{TrialPage, WebError};

/// Longest name searched for.
const LONGEST: usize = 80;
/// So many plants or fewer are shown open.
const FEW: usize = 6;

/// `{trial}/plants/catalogue?q=&show=`.
///
/// # Errors
/// When the address cannot be read.
pub async fn show(page: TrialPage, RawQuery(query): RawQuery) -> Result<Markup, WebError> {
    let mut state = FormState::filled(FormData::parse(query.unwrap_or_default().as_bytes())?);
    let shows: [Choice<'_>; 3] = [
        ("all", t!("plants.show_all")),
        ("listed", t!("plants.show_listed")),
        ("here", t!("plants.show_here")),
    ];
    let asked = state.data.text_or_empty("q", t!("plants.search"), LONGEST);
    let asked = state.errors.take(asked).unwrap_or_default();
    let which = state.data.has("show").then(|| {
        let chosen = state.data.choice("show", t!("plants.show"), &shows);
        chosen.map(str::to_string)
    });
    let which = which.and_then(|chosen| state.errors.take(chosen));
    let which = match which.as_deref() {
        Some("listed") => Show::Listed,
        Some("here") => Show::Here,
        _ => Show::All,
    };
    let view = catalogue(&page.bench, &asked, which);
    let body = html! {
        (query_form(&format!("{}/plants/catalogue", page.path()), &html! {
            (Field::text("q", t!("plants.search")).optional().fill(&state))
            (Field::select("show", t!("plants.show"), &shows).value("all").fill(&state))
            (Button::new(t!("plants.find")))
        }))
        (caution(t!("plants.law"), &html! {
            p { (t!("plants.law_text")) }
            p { (t!("plants.never_release")) }
        }))
        (unchecked(&page, &view))
        (found(&page, &view, which == Show::Listed))
        p.muted { (t!("plants.sources")) }
    };
    let lead = Some(t!("plants.catalogue_lead"));
    Ok(page.page(NavItem::Plants, t!("plants.catalogue"), lead, body))
}

fn unchecked(page: &TrialPage, view: &CatalogueView) -> Markup {
    html! {
        @for plant in &view.unchecked {
            @let tanks = tanks_phrase(&plant.tanks, false, &page.bench);
            (finding(
                Weight::Doubt,
                html! { (said::name(&plant.name)) " " (t!("plants.not_here", tanks = tanks)) },
                Some(t!("plants.not_here_remedy")),
            ))
        }
    }
}

/// Few plants stand open, and so do those asked for because a list names them.
fn found(page: &TrialPage, view: &CatalogueView, open: bool) -> Markup {
    let open = open || view.plants.len() <= FEW;
    html! {
        @if view.plants.is_empty() {
            (empty(t!("plants.nothing_found"), t!("plants.nothing_found_how"), &html! {}))
        } @else {
            p.state role="status" { (t!("plants.found", n = view.plants.len(), all = view.all)) }
            ul.catalogue { @for plant in &view.plants { li { (one(page, plant, open)) } } }
        }
    }
}

fn one(page: &TrialPage, plant: &CatalogueEntry, open: bool) -> Markup {
    html! {
        details.disclosure.catalogue-plant open[open] {
            summary {
                h2 {
                    (said::name(&plant.scientific_name)) span.plant-common { ", " (plant.common_name) }
                    @if !plant.listings.is_empty() { " " span.tag { (t!("plants.listed")) } }
                    @if !plant.tanks.is_empty() { " " span.tag { (t!("plants.here")) } }
                }
            }
            div.disclosure-body {
                (facts(plant))
                @if !plant.tanks.is_empty() {
                    p { (t!("plants.in_tanks", tanks = tanks_phrase(&plant.tanks, false, &page.bench))) }
                }
                @if !plant.listings.is_empty() {
                    (caution(t!("plants.regulated"), &said::listings(&plant.listings)))
                }
            }
        }
    }
}

/// What the catalogue knows of growth, with its remarks.
pub(super) fn facts(plant: &CatalogueEntry) -> Markup {
    let cm = |v| Format::default().plain(v);
    let (low, high) = plant.height_cm;
    html! {
        p {
            (capital(&plant.form)) ", "
            (t!("plants.facts",
                speed = plant.speed,
                light = plant.light,
                co2 = plant.co2,
                low = cm(low),
                high = cm(high),
                how = plant.propagation))
        }
        @if !plant.remarks.is_empty() {
            p.muted { (said::with_names(&capital(&plant.remarks.join("; ")))) "." }
        }
    }
}
