//! Which device asks: a cookie only it has, of which the notebook keeps the hash.

use axum::body::to_bytes;
use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::{SignedDuration, Timestamp};
use maud::html;
use sha2::{Digest, Sha256};
use store::Device;
use text::t;

use crate::app::App;
use crate::error::{ErrorKind, WebError};
use crate::form_data::FormData;
use crate::guard::{cookie_in, random_hex, typed_back};
use crate::parts::button::primary_link;
use crate::parts::shell::{PageHead, page};

/// Where a device is let in.
pub const PAIR: &str = "/pair";

/// How long a browser keeps the cookie of a device that is not used.
const KEPT: SignedDuration = SignedDuration::from_hours(24 * 180);
/// How stale the time a device was last heard of may be.
const HEARD: SignedDuration = SignedDuration::from_mins(10);

/// A fresh secret and what the notebook keeps of it.
pub(crate) fn draw_secret() -> Result<(String, [u8; 32]), getrandom::Error> {
    let secret = random_hex()?;
    let hash = hash_of(&secret);
    Ok((secret, hash))
}

fn hash_of(secret: &str) -> [u8; 32] {
    Sha256::digest(secret.as_bytes()).into()
}

/// The cookie that makes a browser a paired device. Over plain HTTP it cannot be `Secure`.
pub(crate) fn cookie(app: &App, secret: &str) -> Result<HeaderValue, WebError> {
    let name = name(app);
    let seconds = KEPT.as_secs();
    let text = format!("{name}={secret}; Path=/; Max-Age={seconds}; HttpOnly; SameSite=Strict");
    HeaderValue::from_str(&text).map_err(|e| WebError::internal(&e))
}

fn name(app: &App) -> String {
    format!("fairtank_device_{}", app.config().port)
}

/// The device that asks, if it is paired.
pub(crate) fn device(app: &App, headers: &HeaderMap) -> Result<Option<Device>, WebError> {
    let name = name(app);
    let Some(secret) = cookie_in(headers, &name) else {
        return Ok(None);
    };
    Ok(app.notebook().device_of(&hash_of(secret))?)
}

/// Lets only paired devices through, each known to the pages behind.
pub(crate) async fn require(
    State(app): State<App>,
    mut request: Request,
    next: Next,
) -> Result<Response, WebError> {
    let Some(device) = device(&app, request.headers())? else {
        return unknown(&app, request).await;
    };
    let now = Timestamp::now();
    if now.duration_since(device.seen) > HEARD {
        app.notebook().saw_device(device.id, now)?;
    }
    request.extensions_mut().insert(device);
    Ok(next.run(request).await)
}

/// A device that is not let in: a reader is led to the pairing page, a form gets back what was
/// typed in it.
async fn unknown(app: &App, request: Request) -> Result<Response, WebError> {
    if *request.method() != Method::POST {
        return Ok(Redirect::to(PAIR).into_response());
    }
    let body = to_bytes(request.into_body(), app.config().form_limit).await;
    let data = body.ok().and_then(|body| FormData::parse(&body).ok());
    let Some(typed) = data.as_ref().and_then(typed_back) else {
        return Err(
            WebError::new(ErrorKind::Refused, t!("share.unknown")).back_to(PAIR, t!("share.pair"))
        );
    };
    let head = PageHead {
        title: t!("share.unknown_title"),
        lead: Some(t!("share.unknown")),
        ..PageHead::default()
    };
    let body = html! { (typed) p { (primary_link(PAIR, t!("share.pair"))) } };
    Ok((StatusCode::FORBIDDEN, page(&head, body)).into_response())
}
