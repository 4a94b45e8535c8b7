//! A form of an earlier run: refused, and what was typed in it given back.
//!
//! Its token is of no use any more, so nothing is written. The page lists what was typed, to be
//! read, copied or sent again on purpose. Sending again is offered only when the browser itself
//! says (`Origin`, checked before) that the form stood on a page of this address: another site
//! cannot have filled it.

use axum::http::HeaderMap;
use axum::http::{StatusCode, Uri, header};
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};
use text::t;

use super::TOKEN_FIELD;
use crate::error::{ErrorKind, WebError};
use crate::form_data::FormData;
use crate::parts::button::{Button, actions, link_button};
use crate::parts::form::{form, hidden};
use crate::parts::shell::{PageHead, page};

/// The refusal without anything to give back.
pub(super) fn refusal() -> WebError {
    WebError::new(ErrorKind::Refused, t!("shell.stale"))
}

/// The refusal of a form with its fields.
pub(super) fn page_of(uri: &Uri, headers: &HeaderMap, body: &[u8], token: &str) -> Response {
    let Ok(data) = FormData::parse(body) else {
        return refusal().into_response();
    };
    let typed = typed_in(&data);
    let (back, back_label) = back(headers);
    if typed.is_empty() {
        return refusal().back_to(back, back_label).into_response();
    }
    let way_back = link_button(&back, back_label);
    let body = if headers.contains_key(header::ORIGIN) {
        let fields = html! {
            @for (name, value) in data.iter() { (hidden(name, value)) }
            (listed(&typed))
            p { (t!("shell.stale_again_hint")) }
            (actions(&html! { (Button::new(t!("shell.stale_again")).primary()) (way_back) }))
        };
        form(&address(uri), token, &fields)
    } else {
        html! { (listed(&typed)) (actions(&way_back)) }
    };
    let head = PageHead {
        title: t!("shell.stale_title"),
        lead: Some(t!("shell.stale_lead")),
        ..PageHead::default()
    };
    (StatusCode::FORBIDDEN, page(&head, body)).into_response()
}

fn typed_in(data: &FormData) -> Vec<(&str, &str)> {
    data.iter().filter(|(_, value)| is_typed(value)).collect()
}

/// What was typed in a form, to be read and copied; `None` when nothing was.
pub(crate) fn typed_back(data: &FormData) -> Option<Markup> {
    let typed = typed_in(data);
    (!typed.is_empty()).then(|| listed(&typed))
}

/// Whether a value tells a reader something: not an id that the form carries along.
fn is_typed(value: &str) -> bool {
    !value.trim().is_empty() && uuid::Uuid::try_parse(value.trim()).is_err()
}

fn listed(typed: &[(&str, &str)]) -> Markup {
    let lines = typed.iter().map(|(_, value)| value.lines().count().max(1));
    let rows = lines.sum::<usize>().clamp(2, 16);
    let text: Vec<String> = typed
        .iter()
        .map(|(name, value)| format!("{}: {value}", label(name)))
        .collect();
    // A line end straight after the tag is dropped by HTML: one is added so that none is lost.
    html! {
        div.field {
            label for="stale" { (t!("shell.stale_typed")) }
            textarea id="stale" rows=(rows) readonly { "\n" (text.join("\n")) }
        }
    }
}

/// The label that most forms show for a field of that name; without one the name itself.
fn label(name: &str) -> String {
    let (base, row) = match name.rsplit_once('-') {
        Some((base, row)) if row.parse::<usize>().is_ok() => (base, format!(" {row}")),
        _ => (name, String::new()),
    };
    let known = ["log.f_", "setup.f_"].map(|prefix| format!("{prefix}{base}"));
    let found = known.iter().find(|key| text::has(key));
    let said = found.map_or(base, |key| text::raw(key));
    format!("{said}{row}")
}

/// The form's address without a token in it.
fn address(uri: &Uri) -> String {
    let query = uri.query().unwrap_or_default();
    let mut kept = form_urlencoded::Serializer::new(String::new());
    kept.extend_pairs(
        form_urlencoded::parse(query.as_bytes()).filter(|(name, _)| name != TOKEN_FIELD),
    );
    match kept.finish() {
        query if query.is_empty() => uri.path().to_owned(),
        query => format!("{}?{query}", uri.path()),
    }
}

/// The page the form stood on, as the browser names it, and the words of the link: of its address
/// only the path is taken.
fn back(headers: &HeaderMap) -> (String, &'static str) {
    let referrer = headers.get(header::REFERER).and_then(|v| v.to_str().ok());
    let uri = referrer.and_then(|text| text.parse::<Uri>().ok());
    let path = uri.as_ref().and_then(Uri::path_and_query);
    // Two slashes would begin another machine's name.
    let path = path
        .map(|p| p.as_str())
        .filter(|p| p.starts_with('/') && !p.starts_with("//"));
    match path {
        Some(path) if path != "/" => (path.to_owned(), t!("shell.stale_back")),
        _ => ("/".to_owned(), t!("shell.to_notebook")),
    }
}
