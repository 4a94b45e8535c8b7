//! What every page is given: the settings of this run and the secrets that prove a form is ours.

use std::sync::Arc;
use std::time::Duration;

use store::Notebook;

use crate::guard::Secrets;

/// Settings of one run of the pages.
#[derive(Debug, Clone)]
pub struct Config {
    /// The port the listener is bound to; part of every address we accept.
    pub port: u16,
    /// Largest form without a picture, in bytes.
    pub form_limit: usize,
    /// Longest time from the request's head to the answer's head.
    pub request_time: Duration,
}

impl Config {
    /// The usual settings: forms up to 1 MiB, one minute per request.
    #[must_use]
    pub fn new(port: u16) -> Self {
        Self {
            port,
            form_limit: 1024 * 1024,
            request_time: Duration::from_secs(60),
        }
    }
}

/// The state shared by all pages. Cheap to clone.
#[derive(Clone)]
pub struct App {
    inner: Arc<Inner>,
}

struct Inner {
    config: Config,
    notebook: Notebook,
    secrets: Secrets,
}

impl App {
    /// Draws fresh secrets for this process.
    ///
    /// # Errors
    /// When the operating system has no random bytes to give.
    pub fn new(config: Config, notebook: Notebook) -> Result<Self, getrandom::Error> {
        let secrets = Secrets::draw(config.port)?;
        Ok(Self {
            inner: Arc::new(Inner {
                config,
                notebook,
                secrets,
            }),
        })
    }

    /// The settings of this run.
    #[must_use]
    pub fn config(&self) -> &Config {
        &self.inner.config
    }

    /// The notebook whose pages these are.
    #[must_use]
    pub fn notebook(&self) -> &Notebook {
        &self.inner.notebook
    }

    /// The token each form carries (see [`crate::parts::form::form`]).
    #[must_use]
    pub fn token(&self) -> &str {
        self.inner.secrets.token()
    }

    pub(crate) fn secrets(&self) -> &Secrets {
        &self.inner.secrets
    }
}
