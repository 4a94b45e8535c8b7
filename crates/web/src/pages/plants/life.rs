//! The page of one planting.

use answers::plants::{Life, life_view};
use axum::extract::Path;
use maud::{Markup, html};
use quantity::Format;
use text::t;
use trial::{PlantingId, RecordKind};
use uuid::Uuid;

use super::{catalogue, life_lists as lists, said};
use crate::pages::setup::{GROWN, ORIGIN};
use crate::pages::words::{capital, day};
use crate::parts::button::{actions, link_button};
use crate::parts::figure::{WIDE, figure};
use crate::parts::findings;
use crate::parts::notice::{Weight, caution, finding};
use crate::parts::series::tank_name;
use crate::parts::shell::{NavItem, PageHead};
use crate::{TrialPage, WebError};

/// `{trial}/plants/{planting}`.
///
/// # Errors
/// When there is no such planting, or the notebook cannot be read.
pub async fn show(
    page: TrialPage,
    Path((_, id)): Path<(String, String)>,
) -> Result<Markup, WebError> {
    let asked = Uuid::parse_str(&id).ok().map(PlantingId);
    let found = match asked {
        Some(id) => life_view(page.app.notebook(), &page.bench, id, page.today())?,
        None => None,
    };
    let back = format!("{}/plants", page.path());
    let life = found.ok_or_else(|| {
        let id: String = id.chars().take(40).collect();
        WebError::not_found(t!("plants.no_planting", id = id))
            .back_to(&back, t!("plants.to_plants"))
    })?;
    let planting = &life.planting;
    let head = PageHead {
        title: &planting.title(),
        heading: Some(html! {
            (said::name(&planting.scientific_name))
            @if !planting.label.is_empty() { " (" (planting.label) ")" }
        }),
        lead: Some(planting.common_name.as_str()).filter(|n| !n.is_empty()),
        active: Some(NavItem::Plants),
        ..PageHead::default()
    };
    Ok(page.framed(head, body(&page, &life)))
}

fn body(page: &TrialPage, life: &Life) -> Markup {
    html! {
        (head(page, life))
        (findings::all(&life.findings, &page.bench))
        @if report::figures::plants::life(life, &page.bench, WIDE).is_some() {
            section.section {
                h2 { (t!("plants.life_line")) }
                (figure("life", WIDE, &html! { (t!("plants.life_caption")) }, |width| {
                    report::figures::plants::life(life, &page.bench, width).unwrap_or_default()
                }))
            }
        }
        div.grid {
            section.section.span-5 { h2 { (t!("plants.origin")) } (origin(life)) }
            section.section.span-7 { h2 { (t!("plants.descent")) } (lists::descent(page, life)) }
        }
        section.section { h2 { (t!("plants.masses")) } (lists::masses(page, life)) }
        section.section { h2 { (t!("plants.done")) } (lists::events(page, life)) }
        section.section { h2 { (t!("plants.looks")) } (lists::looks(page, life)) }
        section.section { h2 { (t!("plants.pictures")) } (lists::pictures(page, life)) }
        section.section { h2 { (t!("plants.cautions")) } (cautions(page, life)) }
        p { a href={ (page.path()) "/plants" } { (t!("plants.to_plants")) } }
    }
}

fn head(page: &TrialPage, life: &Life) -> Markup {
    let tank = page.bench.tank(life.tank);
    let path = page.path();
    html! {
        div.stack {
            p.state {
                @if let Some(tank) = tank { (tank_name(tank.place, &tank.name)) ". " }
                (said::state(&life.state, life.age_days)) "."
                @if let Some(entry) = life.state.entry() {
                    " " a href={ (path) "/entries/" (entry) } { (t!("plants.entry")) }
                }
            }
            @if let Some(gone) = &life.withdrawn {
                @let on = gone.at.to_zoned_datetime(answers::days::zone(&page.bench)).date();
                @let what = t!("plants.withdrawn", day = day(on));
                (finding(Weight::Doubt, html! { (what) @if !gone.why.is_empty() { " " (gone.why) } }, None))
            } @else if life.state.stands() {
                (actions(&html! {
                    (link_button(&format!("{path}/log/observation?plantings={}", life.planting.id), t!("plants.log_look")))
                    (link_button(&format!("{path}/log/trim?plants={}&tanks={}", encoded(&life.planting.title()), life.tank), t!("plants.log_trim")))
                    a.button.button-quiet href={ (path) "/setup/plantings/" (life.planting.id) } { (t!("plants.change_record")) }
                }))
            } @else {
                p { a href={ (path) "/setup/plantings/" (life.planting.id) } { (t!("plants.change_record")) } }
            }
        }
    }
}

fn encoded(value: &str) -> String {
    form_urlencoded::byte_serialize(value.as_bytes()).collect()
}

/// Facts of the record; what was never written is said so once, at the end.
fn origin(life: &Life) -> Markup {
    let p = &life.planting;
    let filled = |text: &str| Some(text.to_string()).filter(|t| !t.is_empty());
    let facts = [
        (t!("plants.planted"), p.planted.map(day)),
        (t!("plants.came_as"), p.origin.form.map(|v| ORIGIN.say(v))),
        (t!("plants.grown"), p.origin.grown_in.map(|v| GROWN.say(v))),
        (t!("plants.batch"), filled(&p.origin.batch)),
        (t!("plants.quarantine"), filled(&p.origin.quarantine)),
        (
            t!("plants.stems"),
            p.stems.map(|n| Format::default().plain(f64::from(n))),
        ),
        (t!("plants.fresh"), p.fresh_g.map(said::grams)),
        (t!("plants.divided"), filled(&p.divided)),
    ];
    let missing: Vec<String> = facts
        .iter()
        .filter(|(_, value)| value.is_none())
        .map(|(name, _)| name.to_lowercase())
        .collect();
    html! {
        dl.facts {
            @for (name, value) in &facts {
                @if let Some(value) = value { dt { (name) } dd { (value) } }
            }
        }
        @if !missing.is_empty() {
            p.muted { (t!("plants.not_recorded", what = trial::describe::list(&missing))) }
        }
    }
}

fn cautions(page: &TrialPage, life: &Life) -> Markup {
    let format = Format::default();
    let codes = answers::cautions::for_record(RecordKind::Planting, None);
    let all = codes
        .iter()
        .filter_map(|c| answers::cautions::caution(c, &format));
    let name = &life.planting.scientific_name;
    html! {
        @match &life.catalogue {
            Some(plant) => {
                @if plant.listings.is_empty() {
                    p { (t!("plants.not_listed")) " " (t!("plants.check_law")) }
                } @else {
                    (caution(t!("plants.regulated"), &said::listings(&plant.listings)))
                }
                (catalogue::facts(plant))
                p {
                    a href={ (page.path()) "/plants/catalogue?q=" (encoded(&plant.scientific_name)) } {
                        (t!("plants.in_catalogue"))
                    }
                }
            }
            None => { (finding(Weight::Doubt, t!("plants.unchecked", name = name), Some(t!("plants.not_here_remedy")))) },
        }
        div.grid {
            @for one in all { div.span-6 { (caution(&one.title, &html! { p { (said::with_names(&capital(&one.text))) } })) } }
        }
    }
}
