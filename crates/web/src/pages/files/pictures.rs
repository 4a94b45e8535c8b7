//! Many pictures at once: each kept as it is or refused with its reason, as one job.

use std::sync::Arc;

use axum::extract::Multipart;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};
use text::t;
use trial::TankId;
use trial::act::View;
use uuid::Uuid;

use super::incoming::{Incoming, receive_all};
use super::out::store_failed;
use super::take::{Told, take_in};
use crate::app::App;
use crate::error::WebError;
use crate::form_data::{FieldError, FormData, FormState};
use crate::jobs::{About, Held, id_of, start};
use crate::pages::entry::fresh_id;
use crate::parts::button::{Button, actions};
use crate::parts::fields::{borrowed, tank_picks};
use crate::parts::form::{Field, file_form, hidden};
use crate::trial_page::TrialPage;

const ACCEPT: &str = "image/jpeg,image/png,image/webp";
/// Longest name and longest note, in characters.
const NAME: usize = 80;
const NOTE: usize = 2000;
/// The field with the id under which pictures wait that were sent with a form to be put right.
const WAITING: &str = "waiting";

/// The form before anything was typed.
pub(super) fn fresh(page: &TrialPage) -> Result<FormState, WebError> {
    let who = answers::log::last_who(page.app.notebook(), &page.bench)?;
    let mut pairs = vec![
        ("view".to_owned(), "front".to_owned()),
        (
            "at".to_owned(),
            page.now.strftime("%Y-%m-%dT%H:%M").to_string(),
        ),
        ("who".to_owned(), who),
    ];
    if let [tank] = page.bench.tanks.as_slice() {
        pairs.push(("tank".to_owned(), tank.id.to_string()));
    }
    Ok(FormState::filled(FormData::from_pairs(pairs)))
}

const VIEWS: [(&str, View); 3] = [
    ("front", View::Front),
    ("top", View::Top),
    ("detail", View::Detail),
];

fn views() -> [(&'static str, &'static str); 3] {
    [
        ("front", t!("log.view_front")),
        ("top", t!("log.view_top")),
        ("detail", t!("log.view_detail")),
    ]
}

pub(super) fn card(page: &TrialPage, state: &FormState) -> Markup {
    let action = format!("{}/files/pictures", page.path());
    let (tanks, views) = (tank_picks(&page.bench), views());
    let tanks = borrowed(&tanks);
    let waiting = waiting(&page.app, &state.data);
    let fields = html! {
        (fresh_id())
        @if let Some((id, incoming)) = &waiting {
            (hidden(WAITING, &id.to_string()))
            p.hint { (t!("files.are_here", n = incoming.files.len())) }
        }
        (Field::files("files", t!("files.f_pictures"), ACCEPT).hint(t!("files.h_pictures")).fill(state))
        (Field::radio("tank", t!("files.f_tank"), &tanks).hint(t!("files.h_tank")).fill(state))
        (Field::radio("view", t!("log.f_view"), &views).fill(state))
        (Field::moment("at", t!("files.f_at")).hint(t!("files.h_at")).fill(state))
        details.disclosure open[more_is_open(state)] {
            summary { (t!("files.more")) }
            div.disclosure-body.disclosure-fields {
                (Field::text("who", t!("log.f_who")).optional().fill(state))
                (Field::area("note", t!("log.f_note"), 2).optional().fill(state))
            }
        }
        (actions(&html! { (Button::new(t!("files.pictures_button"))) }))
        div.upload-state data-upload-state hidden {
            progress max="1" value="0" aria-labelledby="upload-said" {}
            p id="upload-said" data-upload-said=(t!("files.sending")) {}
            button.button.button-quiet type="button" { (t!("job.cancel")) }
        }
    };
    html! {
        article.card.span-6 id="pictures" {
            h3 { (t!("files.pictures")) }
            p { (t!("files.pictures_text")) }
            (file_form(&action, page.app.token(), &fields))
        }
    }
}

/// Whether the folded fields hold something that must be seen.
fn more_is_open(state: &FormState) -> bool {
    let noted = !state.data.one("note").unwrap_or_default().is_empty();
    noted
        || ["who", "note"]
            .iter()
            .any(|name| state.errors.of(name).is_some())
}

/// The pictures that were sent with an earlier try of this form.
fn waiting(app: &App, data: &FormData) -> Option<(Uuid, Arc<Incoming>)> {
    let id = Uuid::parse_str(data.one(WAITING)?).ok()?;
    match app.desk().held(id)? {
        Held::Pictures(incoming) => Some((id, incoming)),
        Held::Sheet(_) => None,
    }
}

/// Reads the fields; what is wrong is noted beside them.
fn read(page: &TrialPage, state: &mut FormState) -> Option<Told> {
    let tanks = tank_picks(&page.bench);
    let data = &state.data;
    let tank = data.choice("tank", t!("files.f_tank"), &borrowed(&tanks));
    let tank = tank.map(|id| id.parse::<TankId>().ok());
    let view = data.choice("view", t!("log.f_view"), &views());
    let view = view.map(|word| {
        VIEWS
            .iter()
            .find(|(known, _)| *known == word)
            .map(|(_, v)| *v)
    });
    let at = data.moment("at", t!("files.f_at")).and_then(|moment| {
        let zone = answers::days::zone(&page.bench);
        moment.to_zoned_datetime(zone).map_err(|_| {
            let typed = data.one("at").unwrap_or_default();
            FieldError::new("at", t!("files.f_at"), typed, t!("log.accept_at"))
        })
    });
    let who = data.text_or_empty("who", t!("log.f_who"), NAME);
    let note = data.text_or_empty("note", t!("log.f_note"), NOTE);
    let errors = &mut state.errors;
    let (tank, view, at) = (errors.take(tank), errors.take(view), errors.take(at));
    let (who, note) = (errors.take(who), errors.take(note));
    Some(Told {
        tank: tank??,
        view: view??,
        at: at?,
        who: who?,
        note: note?,
    })
}

/// Takes pictures in, as a job. With a form to be put right they wait on this side.
///
/// # Errors
/// When more was sent than is taken in all, or it broke off.
pub async fn add(page: TrialPage, parts: Multipart) -> Result<Response, WebError> {
    let (pairs, sent) = receive_all(&page.app, parts, "files").await?;
    let mut state = FormState::filled(FormData::from_pairs(pairs));
    let earlier = waiting(&page.app, &state.data);
    let incoming = match (sent.files.is_empty(), &earlier) {
        (true, Some((_, earlier))) => Arc::clone(earlier),
        _ => Arc::new(sent),
    };
    if incoming.files.is_empty() {
        let label = t!("files.f_pictures");
        let accepted = t!("files.accept_pictures").to_owned();
        state
            .errors
            .add(FieldError::new("files", label, "", accepted));
    }
    let told = read(&page, &mut state);
    let told = told.filter(|_| state.errors.is_empty());
    let Some(told) = told else {
        if !incoming.files.is_empty() {
            keep_waiting(&page.app, &mut state, earlier.map(|(id, _)| id), incoming);
        }
        let drawn = super::drawn(&page, &state, &FormState::default());
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, drawn).into_response());
    };
    if let Some((id, _)) = earlier {
        page.app.desk().let_go(id);
    }
    let trial = page.bench.trial.id;
    let about = About {
        what: t!("files.pictures_job", n = incoming.files.len()),
        trial: Some(trial),
        back: (format!("{}/files", page.path()), t!("files.to_files")),
    };
    let to = format!("{}/pictures", page.path());
    let started = start(
        &page.app,
        id_of(&state.data),
        about,
        move |app, progress| {
            let bench = app.notebook().bench(trial).map_err(store_failed)?;
            let taken = take_in(app, &bench, &told, &incoming, progress);
            taken.map(|outcome| outcome.link(to, t!("files.to_pictures")))
        },
    );
    Ok(started.await?.into_response())
}

fn keep_waiting(app: &App, state: &mut FormState, earlier: Option<Uuid>, incoming: Arc<Incoming>) {
    let id = Uuid::now_v7();
    if let Some(earlier) = earlier {
        app.desk().let_go(earlier);
    }
    app.desk().hold(id, Held::Pictures(incoming));
    let others = state.data.iter().filter(|(name, _)| *name != WAITING);
    let mut pairs: Vec<(String, String)> =
        others.map(|(n, v)| (n.to_owned(), v.to_owned())).collect();
    pairs.push((WAITING.to_owned(), id.to_string()));
    state.data = FormData::from_pairs(pairs);
}
