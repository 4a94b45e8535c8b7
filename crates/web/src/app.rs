//! What every page is given: the settings of this run and the secrets that prove a form is ours.

use std::net::IpAddr;
use std::sync::Arc;
use std::time::Duration;

use store::Notebook;

use crate::guard::Secrets;
use crate::jobs::Desk;
use crate::share::Share;

/// Who the pages are served to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// The person at this machine, on its loopback interface.
    ThisMachine,
    /// Paired devices on the home network, under this address.
    Home(IpAddr),
}

/// Settings of one run of the pages.
#[derive(Debug, Clone)]
pub struct Config {
    /// The port the listener is bound to; part of every address we accept.
    pub port: u16,
    /// Who they are served to.
    pub reach: Reach,
    /// The sharing on the home network, if there is any.
    pub share: Option<Arc<Share>>,
    /// Largest form without a picture, in bytes.
    pub form_limit: usize,
    /// Longest time from the request's head to the answer's head.
    pub request_time: Duration,
    /// The same for a request that brings files.
    pub upload_time: Duration,
}

impl Config {
    /// The usual settings: forms up to 1 MiB, one minute per request, half an hour for files.
    #[must_use]
    pub fn new(port: u16) -> Self {
        Self {
            port,
            reach: Reach::ThisMachine,
            share: None,
            form_limit: 1024 * 1024,
            request_time: Duration::from_secs(60),
            upload_time: Duration::from_secs(30 * 60),
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
    notebook: Arc<Notebook>,
    secrets: Secrets,
    desk: Desk,
}

impl App {
    /// Draws fresh secrets for this process.
    ///
    /// # Errors
    /// When the operating system has no random bytes to give.
    pub fn new(
        config: Config,
        notebook: impl Into<Arc<Notebook>>,
    ) -> Result<Self, getrandom::Error> {
        let secrets = Secrets::draw(config.port)?;
        Ok(Self {
            inner: Arc::new(Inner {
                config,
                notebook: notebook.into(),
                secrets,
                desk: Desk::default(),
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

    /// The sharing on the home network, if there is any.
    #[must_use]
    pub fn share(&self) -> Option<&Share> {
        self.inner.config.share.as_deref()
    }

    /// Whether these are the pages of a paired device.
    #[must_use]
    pub fn is_for_device(&self) -> bool {
        matches!(self.inner.config.reach, Reach::Home(_))
    }

    /// The jobs of this run.
    #[must_use]
    pub fn desk(&self) -> &Desk {
        &self.inner.desk
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
