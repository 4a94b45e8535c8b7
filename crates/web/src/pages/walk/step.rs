//! One step: a form that works without scripts, saved before the next one is shown.

use answers::AnswerError;
use answers::walk::{StepView, step_view};
use axum::extract::Path;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use text::t;

use super::{WalkPage, draw, read};
use crate::WebError;
use crate::form_data::{FieldError, FormData, FormState};
use crate::pages::entry::refused;

fn view(at: &WalkPage, number: &str) -> Result<StepView, WebError> {
    let of = at.walking.walk.steps.len();
    let found = number
        .parse()
        .ok()
        .and_then(|n| step_view(&at.page.bench, &at.walking, n));
    found.ok_or_else(|| {
        let shown: String = number.chars().take(12).collect();
        WebError::not_found(t!("walk.no_walk_step", of = of, n = shown))
            .back_to(at.path(), t!("walk.overview"))
    })
}

fn ended(at: &WalkPage) -> WebError {
    WebError::conflict(t!("walk.ended_already")).back_to(at.path(), t!("walk.overview"))
}

/// `{trial}/walk/{walk}/{step}`.
///
/// # Errors
/// When there is no such step; a walk-round that has ended shows itself instead.
pub async fn show_step(
    at: WalkPage,
    Path((_, _, number)): Path<(String, String, String)>,
) -> Result<Response, WebError> {
    if at.walking.walk.end.is_some() {
        return Ok(Redirect::to(&at.path()).into_response());
    }
    let view = view(&at, &number)?;
    let state = read::filled(&view);
    Ok(draw::page(&at, &view, &state).into_response())
}

/// Saves a step and goes to the next one, or to the end.
///
/// # Errors
/// 409 when the walk-round has ended; what cannot be read comes back with the form.
pub async fn save_step(
    at: WalkPage,
    Path((_, _, number)): Path<(String, String, String)>,
    data: FormData,
) -> Result<Response, WebError> {
    if at.walking.walk.end.is_some() {
        return Err(ended(&at));
    }
    let view = view(&at, &number)?;
    let mut state = FormState::filled(data);
    let given = read::read(&view, &mut state);
    if state.errors.is_empty() {
        let stamp = at.page.stamp();
        let notebook = at.page.app.notebook();
        let bench = &at.page.bench;
        let saved =
            answers::walk::record(notebook, bench, &at.walking, view.number, &given, &stamp);
        match saved {
            Ok(()) => return Ok(Redirect::to(&after(&at, &view)).into_response()),
            Err(AnswerError::Refused { problems }) => {
                for p in problems {
                    let accepted = t!("walk.accepted", what = p.accepted);
                    let error = FieldError::new(&read::value(0), view.measure, &p.value, accepted);
                    state.errors.add(error);
                }
            }
            Err(error) => return Err(refused(&at.page, error)),
        }
    }
    let body = draw::page(&at, &view, &state);
    Ok((StatusCode::UNPROCESSABLE_ENTITY, body).into_response())
}

fn after(at: &WalkPage, view: &StepView) -> String {
    match view.number < view.of {
        true => at.step_path(view.number + 1),
        false => format!("{}/end", at.path()),
    }
}
