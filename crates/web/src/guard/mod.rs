//! What stands between a request and a page.
//!
//! The pages are served to one person on one machine, and those for a paired phone to that phone
//! (see [`crate::share`]). Three strangers are kept out: another name
//! that resolves to this machine (the `Host` check), another site open in the same browser (the
//! origin checks and the form token), and a page that would be tricked into running foreign text
//! (the content security policy). Every answer, refusals included, carries the same headers.

mod headers;
mod origin;
mod path;
mod stale;
mod token;

use std::any::Any;

use axum::Router;
use axum::extract::{DefaultBodyLimit, Request, State};
use axum::http::{Method, StatusCode, header};
use axum::middleware::{Next, from_fn, from_fn_with_state};
use axum::response::{IntoResponse, Response};
use tower_http::CompressionLevel;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::compression::predicate::{DefaultPredicate, NotForContentType, Predicate};

use self::token::Checked;
use crate::app::App;
use crate::error::{ErrorKind, WebError};

pub use headers::{CONTENT_SECURITY_POLICY, OwnPolicy};
pub(crate) use stale::typed_back;
pub use token::{Secrets, TOKEN_FIELD, TOKEN_HEADER};
pub(crate) use token::{cookie_in, random_hex, same};

/// Puts the guard around all routes. Outermost first: headers, plain refusals turned into pages,
/// panics caught, time, the checks on the request, the size of its body.
pub fn around(routes: Router, app: &App) -> Router {
    routes
        .layer(DefaultBodyLimit::max(app.config().form_limit))
        .layer(from_fn_with_state(app.clone(), check))
        .layer(from_fn_with_state(app.clone(), in_time))
        .layer(CatchPanicLayer::custom(after_panic))
        .layer(from_fn(dress))
        .layer(from_fn_with_state(app.clone(), headers::add))
        .layer(packed())
}

/// Pages shrink to a fifth and less, most of all their figures, for a phone's sake; the fastest
/// setting, so that the computer's own browser does not wait for it. What is packed already stays.
fn packed() -> CompressionLayer<impl Predicate> {
    let unpacked = DefaultPredicate::new()
        .and(NotForContentType::const_new("application/zip"))
        .and(NotForContentType::const_new("font/"));
    CompressionLayer::new()
        .quality(CompressionLevel::Fastest)
        .compress_when(unpacked)
}

/// The larger body limit of a route that takes pictures: `post(keep).layer(upload_limit(bytes))`.
pub fn upload_limit(bytes: usize) -> DefaultBodyLimit {
    DefaultBodyLimit::max(bytes)
}

async fn check(State(app): State<App>, request: Request, next: Next) -> Result<Response, WebError> {
    path::check(request.uri())?;
    origin::check_host(&request, app.config())?;
    match *request.method() {
        Method::GET | Method::HEAD => {
            origin::check_read(&request)?;
            Ok(next.run(request).await)
        }
        Method::POST => {
            origin::check_write(&request, app.config())?;
            let limit = app.config().form_limit;
            match token::check(request, app.secrets(), limit).await? {
                Checked::Ours(request) => Ok(next.run(request).await),
                Checked::Stale(page) => Ok(page),
            }
        }
        _ => Err(WebError::of(ErrorKind::NotAllowed)),
    }
}

async fn in_time(
    State(app): State<App>,
    request: Request,
    next: Next,
) -> Result<Response, WebError> {
    let sends_files = origin::header_text(&request, "content-type")
        .is_some_and(|kind| kind.to_ascii_lowercase().starts_with("multipart/"));
    let time = match sends_files {
        true => app.config().upload_time,
        false => app.config().request_time,
    };
    tokio::time::timeout(time, next.run(request))
        .await
        .map_err(|_| WebError::of(ErrorKind::TooSlow))
}

/// The panic's text is already on standard error (the default hook); the page does not repeat it.
fn after_panic(_: Box<dyn Any + Send + 'static>) -> Response {
    WebError::of(ErrorKind::Internal).into_response()
}

/// Turns a bare refusal of the framework (plain text or nothing) into a page, unless a script asked.
async fn dress(request: Request, next: Next) -> Response {
    let from_script = origin::header_text(&request, "sec-fetch-dest") == Some("empty");
    let response = next.run(request).await;
    let status = response.status();
    let failed = status.is_client_error() || status.is_server_error();
    let bare = response
        .headers()
        .get(header::CONTENT_TYPE)
        .is_none_or(|kind| kind.as_bytes().starts_with(b"text/plain"));
    if failed && bare && !from_script {
        undressed(status)
    } else {
        response
    }
}

fn undressed(status: StatusCode) -> Response {
    (status, WebError::of_status(status)).into_response()
}
