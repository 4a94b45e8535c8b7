//! The pages of a notebook, served on this machine only.
//!
//! `router` holds the whole map, `pages` one file per word, `parts` the pieces every page is built
//! from, `guard` what stands between a request and a page, `assets` the files that go with them.
//! This crate draws; it decides nothing.

use std::sync::Arc;

pub mod app;
pub mod assets;
pub mod error;
pub mod form_data;
pub mod guard;
pub mod jobs;
pub mod pages;
pub mod parts;
pub mod router;
pub mod server;
pub mod share;
pub mod trial_page;

pub use app::{App, Config, Reach};
pub use error::{ErrorKind, WebError};
pub use form_data::{Chosen, FieldError, FieldErrors, FormData, FormState};
pub use router::DevicePages;
pub use server::{serve, serve_devices};
pub use trial_page::TrialPage;

/// The pages of a notebook, ready to be served on `port`.
///
/// # Errors
/// When the operating system has no random bytes to give.
pub fn app(notebook: store::Notebook, port: u16) -> Result<axum::Router, getrandom::Error> {
    Ok(router::router(&App::new(Config::new(port), notebook)?))
}

/// The pages of a notebook on `port`, and those that devices paired with it may use on the home
/// network at `address`.
///
/// # Errors
/// When the operating system has no random bytes to give.
pub fn shared_app(
    notebook: store::Notebook,
    port: u16,
    address: std::net::SocketAddr,
) -> Result<(axum::Router, DevicePages), getrandom::Error> {
    let notebook = Arc::new(notebook);
    let share = Some(Arc::new(share::Share::at(address)));
    let own = Config {
        share: share.clone(),
        ..Config::new(port)
    };
    let devices = Config {
        share,
        reach: Reach::Home(address.ip()),
        ..Config::new(address.port())
    };
    let own = App::new(own, notebook.clone())?;
    let devices = App::new(devices, notebook)?;
    Ok((router::router(&own), router::device_pages(&devices)))
}
