//! The headers every answer carries.

use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, header};
use axum::middleware::Next;
use axum::response::Response;

use crate::app::App;

/// Nothing from elsewhere, nothing inline, nobody may frame us.
pub const CONTENT_SECURITY_POLICY: &str = "default-src 'none'; script-src 'self'; \
    style-src 'self'; img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; \
    form-action 'self'; base-uri 'none'; frame-ancestors 'none'; manifest-src 'self'";

/// The referrer stays inside these pages. `no-referrer` would tell other sites no less, and it
/// makes browsers send `Origin: null` with our own forms, which the origin check must refuse.
const REFERRER_POLICY: &str = "same-origin";

const FIXED: [(HeaderName, &str); 8] = [
    (header::CONTENT_SECURITY_POLICY, CONTENT_SECURITY_POLICY),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, REFERRER_POLICY),
    (header::X_FRAME_OPTIONS, "DENY"),
    (
        HeaderName::from_static("cross-origin-opener-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("cross-origin-embedder-policy"),
        "require-corp",
    ),
    (
        HeaderName::from_static("permissions-policy"),
        "camera=(), microphone=(), geolocation=(), payment=(), usb=()",
    ),
];

/// A policy that a page brings along instead of [`CONTENT_SECURITY_POLICY`], put among the
/// extensions of its answer. For pages that must stand alone as a file and so carry their style
/// within them; such a policy still allows nothing from elsewhere and no script.
#[derive(Debug, Clone)]
pub struct OwnPolicy(pub HeaderValue);

pub(super) async fn add(State(app): State<App>, request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    let is_page = response
        .headers()
        .get(header::CONTENT_TYPE)
        .is_some_and(|kind| kind.as_bytes().starts_with(b"text/html"));
    let own_policy = response.extensions_mut().remove::<OwnPolicy>();
    let headers = response.headers_mut();
    for (name, value) in FIXED {
        headers.insert(name, HeaderValue::from_static(value));
    }
    if let Some(OwnPolicy(policy)) = own_policy {
        headers.insert(header::CONTENT_SECURITY_POLICY, policy);
    }
    // Hashed assets set their own; whatever shows a notebook is kept nowhere.
    keep_nothing_unless_said(headers);
    if is_page {
        headers.append(header::SET_COOKIE, app.secrets().set_cookie().clone());
    }
    response
}

fn keep_nothing_unless_said(headers: &mut HeaderMap) {
    headers
        .entry(header::CACHE_CONTROL)
        .or_insert(HeaderValue::from_static("no-store"));
}
