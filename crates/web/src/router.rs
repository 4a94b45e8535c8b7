//! The whole map on one screen.

use axum::Router;
use axum::routing::get;

use crate::app::App;
use crate::error::{ErrorKind, WebError};
use crate::{assets, guard};

/// The pages of a notebook behind their guard.
pub fn router(app: &App) -> Router {
    with_pages(app, pages())
}

/// Puts assets, the page for unknown addresses and the guard around any set of pages.
pub fn with_pages(app: &App, pages: Router<App>) -> Router {
    let routes = pages
        .route("/assets/{version}/{name}", get(assets::asset))
        .fallback(async || WebError::of(ErrorKind::NotFound))
        .method_not_allowed_fallback(async || WebError::of(ErrorKind::NotAllowed))
        .with_state(app.clone());
    guard::around(routes, app)
}

fn pages() -> Router<App> {
    Router::new()
}
