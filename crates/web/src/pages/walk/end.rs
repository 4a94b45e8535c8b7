//! The end of a walk-round: behind a mask, first what the letters were taken for.

use answers::AnswerError;
use answers::walk::step_view;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use text::t;
use trial::TankId;

use super::WalkPage;
use crate::WebError;
use crate::form_data::{FieldError, FormData, FormState};
use crate::pages::entry::{ID_FIELD, fresh_id, refused, stamp};
use crate::pages::words::{capital, said};
use crate::parts::button::{Button, actions, link_button};
use crate::parts::disclosure::disclosure;
use crate::parts::fields::Pick;
use crate::parts::form::{Choice, Field, error_summary, form, hidden};
use crate::parts::shell::NavItem;

/// The value of a guess that means "could not tell".
const UNKNOWN: &str = "-";
/// A day: more minutes on one walk-round are a slip.
const MOST_MINUTES: f64 = 1440.0;

/// `{trial}/walk/{walk}/end`.
///
/// # Errors
/// Never by itself; a walk-round that has ended shows itself instead.
pub async fn show_end(at: WalkPage) -> Result<Response, WebError> {
    if at.walking.walk.end.is_some() {
        return Ok(Redirect::to(&at.path()).into_response());
    }
    let id = (ID_FIELD, uuid::Uuid::now_v7().to_string());
    let state = FormState::filled(FormData::from_pairs([id]));
    Ok(page(&at, &state).into_response())
}

/// Ends it; behind a mask with what the letters were taken for.
///
/// # Errors
/// When the notebook cannot be written; what is missing comes back with the form.
pub async fn save_end(at: WalkPage, data: FormData) -> Result<Response, WebError> {
    let mut state = FormState::filled(data);
    let guesses = guesses(&at, &mut state);
    let minutes = state
        .data
        .number_if_any("minutes", t!("walk.f_minutes"), 0.0..=MOST_MINUTES);
    let minutes = state.errors.take(minutes).flatten();
    if !state.errors.is_empty() {
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&at, &state)).into_response());
    }
    close(&at, true, &guesses, minutes, &state.data)
}

/// Leaves it for good: what is saved stays, the letters are not told apart.
///
/// # Errors
/// When the notebook cannot be written.
pub async fn leave(at: WalkPage, data: FormData) -> Result<Response, WebError> {
    close(&at, false, &[], None, &data)
}

fn close(
    at: &WalkPage,
    finished: bool,
    guesses: &[Option<TankId>],
    minutes: Option<f64>,
    data: &FormData,
) -> Result<Response, WebError> {
    let stamp = stamp(&at.page, data);
    let (notebook, bench) = (at.page.app.notebook(), &at.page.bench);
    let end = answers::walk::Ending {
        finished,
        guesses,
        minutes,
    };
    match answers::walk::end(notebook, bench, &at.walking, &end, &stamp) {
        Ok(()) => Ok(Redirect::to(&at.path()).into_response()),
        Err(error @ AnswerError::Refused { .. }) => {
            Err(WebError::from(error).back_to(at.path(), t!("walk.overview")))
        }
        Err(error) => Err(refused(&at.page, error)),
    }
}

fn field(letter: &str) -> String {
    format!("guess-{letter}")
}

/// The tanks in the order of the bench, whatever the lot gave.
fn tanks(at: &WalkPage) -> Vec<Pick> {
    let walked = |t: &&trial::Tank| at.walking.walk.order.contains(&t.id);
    let tanks = at.page.bench.tanks.iter().filter(walked);
    let mut picks: Vec<Pick> = tanks.map(|t| (t.id.to_string(), t.name.clone())).collect();
    picks.push((UNKNOWN.to_owned(), t!("walk.guess_unknown").to_owned()));
    picks
}

fn letters(at: &WalkPage) -> Vec<String> {
    let walk = &at.walking.walk;
    walk.order.iter().filter_map(|t| walk.letter(*t)).collect()
}

fn guesses(at: &WalkPage, state: &mut FormState) -> Vec<Option<TankId>> {
    if at.walking.walk.masked.is_none() {
        return vec![];
    }
    let picks = tanks(at);
    let offered = crate::parts::fields::borrowed(&picks);
    let mut all = Vec::new();
    for letter in letters(at) {
        let name = field(&letter);
        let label = t!("walk.f_guess", letter = letter);
        match state.data.choice(&name, &label, &offered) {
            Ok(tank) => all.push(tank.parse().ok()),
            Err(error) => state.errors.add(FieldError::new(
                &name,
                &error.label,
                &error.value,
                error.accepted.clone(),
            )),
        }
    }
    all
}

fn page(at: &WalkPage, state: &FormState) -> Markup {
    let masked = at.walking.walk.masked.is_some();
    let id = state.data.one(ID_FIELD).unwrap_or_default();
    let minutes = html! {
        (Field::number("minutes", t!("walk.f_minutes")).unit("min").hint(t!("walk.h_minutes"))
            .optional().fill(state))
    };
    let save = match masked {
        true => t!("walk.guess_save"),
        false => t!("walk.end_open"),
    };
    let fields = html! {
        (hidden(ID_FIELD, id))
        @if masked { (guess_fields(at, state)) }
        (minutes)
        (actions(&html! {
            (Button::new(save).primary())
            (link_button(&at.step_path(at.walking.walk.steps.len()), t!("walk.back")))
        }))
    };
    let body = html! {
        (error_summary(&state.errors))
        (empty_steps(at))
        (form(&format!("{}/end", at.path()), at.page.app.token(), &fields))
        (way_out(at))
    };
    let (title, lead) = match masked {
        true => (t!("walk.guess_title"), t!("walk.guess_lead")),
        false => (t!("walk.end_title"), t!("walk.end_lead")),
    };
    at.page.page(NavItem::Log, title, Some(lead), body)
}

fn guess_fields(at: &WalkPage, state: &FormState) -> Markup {
    let picks = tanks(at);
    let choices: Vec<Choice> = crate::parts::fields::borrowed(&picks);
    html! {
        @for letter in letters(at) {
            (Field::radio(&field(&letter), &t!("walk.f_guess", letter = letter), &choices).fill(state))
        }
        p.hint { (t!("walk.guess_why")) }
    }
}

/// Steps without any value, to go back to.
fn empty_steps(at: &WalkPage) -> Markup {
    let steps = 1..=at.walking.walk.steps.len();
    let views = steps.filter_map(|n| step_view(&at.page.bench, &at.walking, n));
    let empty: Vec<_> = views
        .filter(|v| v.rows.iter().all(|r| r.saved.is_none()))
        .collect();
    let list = html! {
        p.hint { (t!("walk.end_again_hint")) }
        ul.rows {
            @for view in &empty {
                li {
                    a.rows-main href=(at.step_path(view.number)) {
                        (said(&t!("walk.step_title", about = capital(&view.about), measure = view.measure), &at.page.bench))
                    }
                }
            }
        }
    };
    html! {
        @if !empty.is_empty() {
            (disclosure(&t!("walk.end_again", n = empty.len()), &list))
        }
    }
}

/// Leaving for good, folded away: going on later needs nothing.
pub(super) fn way_out(at: &WalkPage) -> Markup {
    let fields = html! {
        (fresh_id())
        p.hint { (t!("walk.leave_hint")) }
        (actions(&html! { (Button::new(t!("walk.leave")).danger()) }))
    };
    disclosure(
        t!("walk.leave"),
        &form(
            &format!("{}/leave", at.path()),
            at.page.app.token(),
            &fields,
        ),
    )
}
