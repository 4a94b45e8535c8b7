//! What a phone on the home network sees besides the log: being let in, its first page, leaving.

use axum::extract::{Extension, RawQuery, State};
use axum::http::{Extensions, HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use jiff::Timestamp;
use maud::{Markup, html};
use store::Device;
use text::t;
use trial::DeviceId;
use uuid::Uuid;

use crate::app::App;
use crate::error::{ErrorKind, WebError};
use crate::form_data::{FieldError, FieldErrors, FormData, FormState};
use crate::parts::button::{Button, actions, primary_link};
use crate::parts::empty::empty;
use crate::parts::form::{Field, error_summary, form};
use crate::parts::shell::{PageHead, page};
use crate::share::pairing::NotTaken;
use crate::share::session::{cookie, device, draw_secret};
use crate::share::{Refusal, Remote, too_often};

/// Characters of a device's name and of who logs with it.
const LONGEST: usize = 60;

fn head<'a>(title: &'a str, lead: &'a str) -> PageHead<'a> {
    PageHead {
        title,
        lead: Some(lead),
        on_device: true,
        ..PageHead::default()
    }
}

/// `/pair`: the form of the code; an address from the square code has it filled in.
///
/// # Errors
/// When the notebook cannot be read.
pub async fn show(
    State(app): State<App>,
    headers: HeaderMap,
    RawQuery(query): RawQuery,
) -> Result<Response, WebError> {
    if let Some(device) = device(&app, &headers)? {
        let already = t!("share.already", name = device.name);
        let body = html! { p { (primary_link("/", t!("share.to_log"))) } };
        return Ok(page(&head(t!("share.pair_title"), &already), body).into_response());
    }
    let asked = FormData::parse(query.unwrap_or_default().as_bytes())?;
    Ok(pair_form(&app, &FormState::filled(asked)).into_response())
}

fn pair_form(app: &App, state: &FormState) -> Markup {
    let code = Field::text("code", t!("share.f_code")).hint(t!("share.f_code_hint"));
    let name = Field::text("name", t!("share.f_name")).hint(t!("share.f_name_hint"));
    let who = Field::text("who", t!("share.f_who")).hint(t!("share.f_who_hint"));
    let fields = html! {
        (code.fill(state))
        (name.fill(state))
        (who.optional().fill(state))
        (actions(&html! { (Button::new(t!("share.enter")).primary()) }))
    };
    let body = html! {
        (error_summary(&state.errors))
        (form(crate::share::PAIR, app.token(), &fields))
    };
    page(&head(t!("share.pair_title"), t!("share.pair_lead")), body)
}

/// Lets the device in when the code is right.
///
/// # Errors
/// When the notebook cannot be written; bad fields come back with the form.
pub async fn pair(
    State(app): State<App>,
    extensions: Extensions,
    data: FormData,
) -> Result<Response, WebError> {
    let mut errors = FieldErrors::default();
    let code = errors.take(data.text("code", t!("share.f_code"), LONGEST));
    let name = errors.take(data.text("name", t!("share.f_name"), LONGEST));
    let who = errors.take(data.text_or_empty("who", t!("share.f_who"), LONGEST));
    // A code is used up only when everything else is right.
    if let (Some(code), Some(name), Some(who)) = (code, name, who) {
        let share = app
            .share()
            .ok_or_else(|| WebError::of(ErrorKind::NotFound))?;
        match share.take(Remote::of(&extensions), &code) {
            Ok(()) => return let_in(&app, name, who),
            Err(Refusal::Wait(wait)) => return Ok(too_often(wait)),
            Err(Refusal::NotTaken(why)) => errors.add(not_taken(&code, why)),
        }
    }
    let state = FormState { data, errors };
    let body = pair_form(&app, &state);
    Ok((StatusCode::UNPROCESSABLE_ENTITY, body).into_response())
}

fn not_taken(code: &str, why: NotTaken) -> FieldError {
    let accepted = match why {
        NotTaken::NoCode => t!("share.code_none").to_owned(),
        NotTaken::Wrong { left: 0 } => t!("share.code_void").to_owned(),
        NotTaken::Wrong { left } => t!("share.code_wrong", left = left),
    };
    FieldError::new("code", t!("share.f_code"), code, accepted)
}

fn let_in(app: &App, name: String, who: String) -> Result<Response, WebError> {
    let (secret, hash) = draw_secret().map_err(|e| WebError::internal(&e))?;
    let now = Timestamp::now();
    let device = Device {
        id: DeviceId(Uuid::now_v7()),
        name,
        who,
        paired: now,
        seen: now,
        revoked: None,
    };
    app.notebook().add_device(&device, &hash)?;
    let mut response = Redirect::to("/").into_response();
    let cookie = cookie(app, &secret)?;
    response.headers_mut().append(header::SET_COOKIE, cookie);
    Ok(response)
}

/// The first page of a device that is in: the logs it may write to.
///
/// # Errors
/// When the notebook cannot be read.
pub async fn home(
    State(app): State<App>,
    Extension(device): Extension<Device>,
) -> Result<Markup, WebError> {
    let cards = answers::home::home(app.notebook(), Timestamp::now())?;
    let body = html! {
        @if cards.is_empty() { (empty(t!("share.home_title"), t!("share.home_none"), &html! {})) }
        div.grid {
            @for card in &cards {
                article.card.span-6.trial-card {
                    h2 { (card.trial.title) }
                    p { (primary_link(&format!("/trials/{}/log", card.trial.id), t!("share.open_log"))) }
                }
            }
        }
        section.section {
            h2 { (t!("share.this_device")) }
            p { (device.name) @if !device.who.is_empty() { ", " (device.who) } }
            (form("/leave", app.token(), &html! {
                p.hint { (t!("share.leave_hint")) }
                (Button::new(t!("share.leave")))
            }))
        }
    };
    Ok(page(
        &head(t!("share.home_title"), t!("share.home_lead")),
        body,
    ))
}

/// Shuts the asking device out.
///
/// # Errors
/// When the notebook cannot be written.
pub async fn leave(
    State(app): State<App>,
    Extension(device): Extension<Device>,
) -> Result<Markup, WebError> {
    app.notebook().revoke_device(device.id, Timestamp::now())?;
    Ok(page(
        &head(t!("share.left_title"), t!("share.left")),
        html! {},
    ))
}

/// A page that a device may not use.
pub async fn not_here() -> Response {
    let body = html! { p { (primary_link("/", t!("share.to_log"))) } };
    let said = page(
        &head(t!("share.not_here_title"), t!("share.not_here")),
        body,
    );
    (StatusCode::FORBIDDEN, said).into_response()
}
