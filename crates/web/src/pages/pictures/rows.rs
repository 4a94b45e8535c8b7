//! One row through time: for each tank, or for each planting of a plant.

use answers::pictures::{Taken, TankRow, by_plant, by_tank};
use maud::{Markup, html};
use text::t;
use trial::Entry;

use super::{clock, compare_path, figure, view_name};
use crate::form_data::{FormData, FormState};
use crate::pages::plants::shot;
use crate::pages::words::day;
use crate::parts::button::{Button, actions};
use crate::parts::empty::empty;
use crate::parts::form::{Choice, Field, hidden, query_form};
use crate::parts::series::tank_name;
use crate::{TrialPage, WebError};

pub(super) fn tanks(page: &TrialPage, entries: &[Entry]) -> Markup {
    html! { @for row in by_tank(&page.bench, entries) { (tank(page, &row)) } }
}

fn tank(page: &TrialPage, row: &TankRow) -> Markup {
    let Some(tank) = page.bench.tank(row.tank) else {
        return html! {};
    };
    let ends = match row.fronts.as_slice() {
        [first, .., last] if !page.app.is_for_device() => Some((first, last)),
        _ => None,
    };
    let shown = |taken: &Taken, other: bool| {
        let when =
            html! { time datetime=(taken.line.day) { (day(taken.line.day)) } " " (clock(taken)) };
        let view = view_name(taken.line.picture.view);
        figure(
            page,
            taken,
            &html! { span { (when) } @if other { " " span.muted { (view) } } },
        )
    };
    html! {
        section.section {
            div.day-head {
                h2 { (tank_name(tank.place, &tank.name)) }
                @if let Some((first, last)) = ends {
                    a href=(compare_path(page, first, last)) aria-label=(t!("pictures.compare_tank_long", tank = tank.name)) {
                        (t!("pictures.compare_tank"))
                    }
                }
            }
            @if row.fronts.is_empty() && row.others.is_empty() { p.muted { (t!("pictures.none_yet")) } }
            @if !row.fronts.is_empty() {
                ul.reel { @for taken in &row.fronts { li { (shown(taken, false)) } } }
            }
            @if !row.others.is_empty() {
                h3 { (t!("pictures.others")) }
                ul.reel { @for taken in &row.others { li { (shown(taken, true)) } } }
            }
        }
    }
}

/// # Errors
/// When the notebook cannot be read; bad input for a plant the trial does not have.
pub(super) fn plants(page: &TrialPage, asked: &FormData) -> Result<Markup, WebError> {
    let names = page.bench.species();
    let offered: Vec<Choice<'_>> = names.iter().map(|name| (*name, *name)).collect();
    let Some(first) = names.first() else {
        return Ok(empty(
            t!("pictures.no_plants"),
            t!("pictures.no_plants_how"),
            &html! {},
        ));
    };
    let given = asked.one("plant").unwrap_or(first);
    let Some(name) = names.iter().find(|name| **name == given) else {
        return Err(WebError::bad_input(t!("pictures.bad_plant")));
    };
    let state = FormState::filled(FormData::from_pairs([("plant", *name)]));
    let rows = by_plant(page.app.notebook(), &page.bench, name, page.today())?;
    let fields = html! {
        (hidden("by", "plant"))
        (Field::select("plant", t!("pictures.f_plant"), &offered).fill(&state))
        (actions(&html! { (Button::new(t!("pictures.show"))) }))
    };
    let strips = rows
        .iter()
        .any(|(.., shots)| shots.iter().any(|s| s.strip.is_some()));
    Ok(html! {
        (query_form(&format!("{}/pictures", page.path()), &fields))
        @if rows.is_empty() { (empty(t!("pictures.none_of_plant"), t!("pictures.none_of_plant_how"), &html! {})) }
        @if strips { p.muted { (t!("plants.strip_note")) } }
        @for (planting, tank, shots) in &rows {
            @let of = page.bench.tank(*tank);
            section.section {
                div.day-head {
                    h2 { (tank_name(of.map_or(0, |t| t.place), of.map_or("", |t| t.name.as_str()))) }
                    @if !page.app.is_for_device() {
                        a href={ (page.path()) "/plants/" (planting) } { (t!("pictures.its_life")) }
                    }
                }
                ul.reel.reel-strips { @for one in shots { li { (shot::with_caption(page, one)) } } }
            }
        }
    })
}
