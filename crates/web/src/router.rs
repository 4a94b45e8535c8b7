//! The whole map on one screen.

use axum::middleware::from_fn_with_state;
use axum::routing::{get, post};
use axum::{Extension, Router};

use crate::app::App;
use crate::error::{ErrorKind, WebError};
use crate::pages::setup::{self, new_trial};
use crate::pages::{
    bench, cautions, compare, costs, entry, files, history, home, jobs, log, pair, pictures, plans,
    plants, readings, share as share_page, sheet, timeline, treatment, trust, update, walk,
};
use crate::share::{self, Remote};
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

/// What a paired device may use. It is a type of its own, so that no other pages can be served on
/// the home network.
#[derive(Debug, Clone)]
pub struct DevicePages(Router);

impl DevicePages {
    /// The pages for one connection.
    pub fn asked_by(&self, remote: Remote) -> Router {
        self.0.clone().layer(Extension(remote))
    }
}

/// The pages of paired devices behind their guard: logging, and nothing else.
#[must_use]
pub fn device_pages(app: &App) -> DevicePages {
    let paired = logging()
        .route("/", get(pair::home))
        .route("/leave", post(pair::leave))
        .route("/cautions", get(cautions::general))
        .fallback(pair::not_here)
        .layer(from_fn_with_state(app.clone(), share::session::require));
    let open = Router::new()
        .route(share::PAIR, get(pair::show).post(pair::pair))
        .route("/assets/{version}/{name}", get(assets::asset));
    let all = open.merge(paired).with_state(app.clone());
    let held = guard::around(all, app).layer(from_fn_with_state(app.clone(), share::hold_back));
    DevicePages(held)
}

/// The pages for writing entries, which a paired device has too.
fn logging() -> Router<App> {
    let entry_form = get(entry::new).post(entry::save);
    let correction = get(entry::correct).post(entry::save_correction);
    let walk_step = get(walk::show_step).post(walk::save_step);
    let walk_end = get(walk::show_end).post(walk::save_end);
    let sheet_entry = get(sheet::enter).post(sheet::save);
    let upload = post(entry::keep_picture).layer(guard::upload_limit(entry::LARGEST_FORM));
    Router::new()
        .route("/trials/{trial}/log", get(log::log))
        .route("/trials/{trial}/log/read", get(log::read))
        .route("/trials/{trial}/log/jot", post(log::jot))
        .route("/trials/{trial}/log/again", post(log::again))
        .route("/trials/{trial}/log/{kind}", entry_form)
        .route("/trials/{trial}/entries/{entry}", get(entry::history))
        .route("/trials/{trial}/entries/{entry}/correct", correction)
        .route("/trials/{trial}/entries/{entry}/undo", post(entry::undo))
        .route(
            "/trials/{trial}/pictures",
            get(entry::upload_page).merge(upload),
        )
        .route("/pictures/{sha256}", get(pictures::picture))
        .route("/trials/{trial}/sheet", get(sheet::show))
        .route("/trials/{trial}/sheet/enter", sheet_entry)
        .route("/trials/{trial}/walk", get(walk::list).post(walk::begin))
        .route("/trials/{trial}/walk/{walk}", get(walk::show))
        .route("/trials/{trial}/walk/{walk}/letters", get(walk::letters))
        .route("/trials/{trial}/walk/{walk}/end", walk_end)
        .route("/trials/{trial}/walk/{walk}/leave", post(walk::leave))
        .route("/trials/{trial}/walk/{walk}/{step}", walk_step)
}

fn pages() -> Router<App> {
    let setup_part = get(setup::edit::show_part).post(setup::edit::save_part);
    let setup_record = get(setup::edit::show_record).post(setup::edit::save_record);
    let withdrawal = get(setup::withdraw::show).post(setup::withdraw::withdraw);
    logging()
        .merge(sharing())
        .merge(files_and_jobs())
        .route("/", get(home::show))
        .route("/trials/new", get(new_trial::show).post(new_trial::create))
        .route("/trials/{trial}/setup", get(setup::overview::show))
        .route("/trials/{trial}/setup/{form}", setup_part)
        .route("/trials/{trial}/setup/{form}/{id}", setup_record)
        .route(
            "/trials/{trial}/setup/{form}/{id}/earlier",
            get(setup::earlier::show),
        )
        .route("/trials/{trial}/setup/{form}/{id}/withdraw", withdrawal)
        .route(
            "/trials/{trial}/setup/{form}/{id}/restore",
            post(setup::withdraw::restore),
        )
        .route(
            "/trials/{trial}/entries/{entry}/restore",
            post(entry::restore),
        )
        .route("/trials/{trial}", get(bench::home))
        .route("/trials/{trial}/bench", get(bench::show))
        .route("/trials/{trial}/plants", get(plants::show))
        .route("/trials/{trial}/plants/catalogue", get(plants::catalogue))
        .route("/trials/{trial}/plants/{planting}", get(plants::life))
        .route("/trials/{trial}/readings", get(readings::show))
        .route("/trials/{trial}/compare", get(compare::show))
        .route(
            "/trials/{trial}/pictures/compare",
            get(pictures::compare::show),
        )
        .route("/trials/{trial}/timeline", get(timeline::show))
        .route("/trials/{trial}/treatment", get(treatment::show))
        .route("/trials/{trial}/costs", get(costs::show))
        .route("/trials/{trial}/plans", get(plans::show))
        .route("/trials/{trial}/history", get(history::show))
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

/// Files in and out, and the long work behind them.
fn files_and_jobs() -> Router<App> {
    let table = post(files::look_at_table).layer(guard::upload_limit(files::LARGEST_FORM));
    let many = post(files::add_pictures).layer(guard::upload_limit(files::LARGEST_UPLOAD));
    Router::new()
        .route("/files", get(files::show))
        .route("/files/export", post(files::export))
        .route("/files/exports/{name}", get(files::download))
        .route("/files/exports/{name}/delete", post(files::delete))
        .route("/files/backup", post(files::backup))
        .route("/files/check", post(files::check))
        .route("/trials/{trial}/files", get(files::of_trial))
        .route("/trials/{trial}/files/table", table)
        .route("/trials/{trial}/files/table/{held}", post(files::add_table))
        .route("/trials/{trial}/files/pictures", many)
        .route("/jobs/{id}", get(jobs::show))
        .route("/jobs/{id}/state", get(jobs::state))
        .route("/jobs/{id}/cancel", post(jobs::cancel))
}

/// Letting paired devices in and out: on this computer alone.
fn sharing() -> Router<App> {
    Router::new()
        .route("/share", get(share_page::show))
        .route("/share/code", post(share_page::code))
        .route("/share/hide", post(share_page::hide))
        .route("/share/devices/{device}/revoke", post(share_page::revoke))
}
