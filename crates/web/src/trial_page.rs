//! What every page of a trial starts from: its set-up, the clock, the frame around it.

use axum::extract::{FromRequestParts, RawPathParams};
use axum::http::request::Parts;
use jiff::ZonedDateTime;
use jiff::civil::Date;
use maud::Markup;
use text::t;
use trial::{Bench, EntryId, TrialId};
use uuid::Uuid;

use crate::app::App;
use crate::error::{ErrorKind, WebError};
use crate::parts::notice;
use crate::parts::shell::{NavItem, PageHead, TrialLink, page};

/// A page of the trial named in the address (`/trials/{trial}/...`).
pub struct TrialPage {
    /// The app.
    pub app: App,
    /// The trial's set-up.
    pub bench: Bench,
    /// Now, in the trial's zone: pages are an edge, so they may read the clock.
    pub now: ZonedDateTime,
    path: String,
}

impl TrialPage {
    /// The page's starting point for a known trial.
    ///
    /// # Errors
    /// When there is no such trial, or the notebook cannot be read.
    pub fn of(app: &App, trial: TrialId) -> Result<Self, WebError> {
        let bench = app.notebook().bench(trial)?;
        let zone = answers::days::zone(&bench);
        Ok(Self {
            app: app.clone(),
            path: format!("/trials/{trial}"),
            bench,
            now: ZonedDateTime::now().with_time_zone(zone),
        })
    }

    /// The trial's address, without a slash at the end.
    #[must_use]
    pub fn path(&self) -> &str {
        &self.path
    }

    /// Today in the trial's zone.
    #[must_use]
    pub fn today(&self) -> Date {
        self.now.date()
    }

    /// A fresh stamp for one entry.
    #[must_use]
    pub fn stamp(&self) -> answers::log::Stamp {
        answers::log::Stamp {
            id: EntryId(Uuid::now_v7()),
            now: self.now.clone(),
        }
    }

    /// The whole page, in the trial's frame.
    #[must_use]
    pub fn page(&self, active: NavItem, title: &str, lead: Option<&str>, body: Markup) -> Markup {
        let trial = &self.bench.trial;
        let notice = trial.invented.then(|| {
            notice::invented(
                trial
                    .made_by
                    .as_deref()
                    .unwrap_or(t!("shell.invented_plain")),
            )
        });
        let head = PageHead {
            title,
            lead,
            trial: Some(TrialLink {
                title: &trial.title,
                path: &self.path,
            }),
            active: Some(active),
            notice,
            ..PageHead::default()
        };
        page(&head, body)
    }
}

impl FromRequestParts<App> for TrialPage {
    type Rejection = WebError;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, WebError> {
        Self::of(app, id_in_path(parts, app, "trial").await.map(TrialId)?)
    }
}

/// The UUID of the path parameter `name`; anything else is an unknown address.
pub(crate) async fn id_in_path(parts: &mut Parts, app: &App, name: &str) -> Result<Uuid, WebError> {
    let unknown = || WebError::of(ErrorKind::NotFound);
    let params = RawPathParams::from_request_parts(parts, app)
        .await
        .map_err(|_| unknown())?;
    params
        .iter()
        .find(|(key, _)| *key == name)
        .and_then(|(_, value)| Uuid::parse_str(value).ok())
        .ok_or_else(unknown)
}
