//! The pages of a notebook, served on this machine only.
//!
//! `router` holds the whole map, `pages` one file per word, `parts` the pieces every page is built
//! from, `guard` what stands between a request and a page, `assets` the files that go with them.
//! This crate draws; it decides nothing.

pub mod app;
pub mod assets;
pub mod error;
pub mod form_data;
pub mod guard;
pub mod pages;
pub mod parts;
pub mod router;
pub mod server;
pub mod trial_page;

pub use app::{App, Config};
pub use error::{ErrorKind, WebError};
pub use form_data::{Chosen, FieldError, FieldErrors, FormData, FormState};
pub use server::serve;
pub use trial_page::TrialPage;

/// The pages of a notebook, ready to be served on `port`.
///
/// # Errors
/// When the operating system has no random bytes to give.
pub fn app(notebook: store::Notebook, port: u16) -> Result<axum::Router, getrandom::Error> {
    Ok(router::router(&App::new(Config::new(port), notebook)?))
}
