//! The whole map on one screen.

use axum::Router;
use axum::routing::{get, post};

use crate::app::App;
use crate::error::{ErrorKind, WebError};
use crate::pages::setup::{self, new_trial};
use crate::pages::{
    bench, cautions, compare, costs, entry, home, log, pictures, plans, readings, treatment, trust,
    update,
};
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
    let entry_form = get(entry::new).post(entry::save);
    let correction = get(entry::correct).post(entry::save_correction);
    let upload = post(entry::keep_picture).layer(guard::upload_limit(entry::LARGEST_FORM));
    let setup_part = get(setup::edit::show_part).post(setup::edit::save_part);
    let setup_record = get(setup::edit::show_record).post(setup::edit::save_record);
    Router::new()
        .route("/", get(home::show))
        .route("/trials/new", get(new_trial::show).post(new_trial::create))
        .route("/trials/{trial}/setup", get(setup::overview::show))
        .route("/trials/{trial}/setup/{form}", setup_part)
        .route("/trials/{trial}/setup/{form}/{id}", setup_record)
        .route(
            "/trials/{trial}/setup/{form}/{id}/earlier",
            get(setup::earlier::show),
        )
        .route("/trials/{trial}/log", get(log::log))
        .route("/trials/{trial}/log/read", get(log::read))
        .route("/trials/{trial}/log/jot", post(log::jot))
        .route("/trials/{trial}/log/again", post(log::again))
        .route("/trials/{trial}/log/{kind}", entry_form)
        .route("/trials/{trial}/entries/{entry}", get(entry::history))
        .route("/trials/{trial}/entries/{entry}/correct", correction)
        .route("/trials/{trial}/entries/{entry}/undo", post(entry::undo))
        .route(
            "/trials/{trial}/entries/{entry}/restore",
            post(entry::restore),
        )
        .route(
            "/trials/{trial}/pictures",
            get(entry::upload_page).merge(upload),
        )
        .route("/pictures/{sha256}", get(pictures::picture))
        .route("/trials/{trial}", get(bench::home))
        .route("/trials/{trial}/bench", get(bench::show))
        .route("/trials/{trial}/readings", get(readings::show))
        .route("/trials/{trial}/compare", get(compare::show))
        .route("/trials/{trial}/treatment", get(treatment::show))
        .route("/trials/{trial}/costs", get(costs::show))
        .route("/trials/{trial}/plans", get(plans::show))
        .route(
            "/trials/{trial}/update",
            get(update::show).post(update::save),
        )
        .route("/trials/{trial}/update/page", get(update::read))
        .route("/trials/{trial}/update/make", post(update::make))
        .route("/trials/{trial}/update/made/{name}", get(update::made))
        .route(
            "/trials/{trial}/update/made/{name}/{file}",
            get(update::made_file),
        )
        .route(
            "/trials/{trial}/update/made/{name}/frames/{file}",
            get(update::made_frame),
        )
        .route("/trials/{trial}/cautions", get(cautions::show))
        .route("/cautions", get(cautions::general))
        .route("/trust", get(trust::show))
}
