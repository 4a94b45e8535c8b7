//! What every page of a trial starts from: its set-up, the clock, the frame around it.

use axum::extract::{FromRequestParts, RawPathParams};
use axum::http::request::Parts;
use jiff::ZonedDateTime;
use jiff::civil::Date;
use maud::Markup;
use store::Device;
use text::t;
use trial::{Bench, DeviceId, EntryId, TrialId};
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
    /// The paired device that asks; `None` on this computer.
    pub device: Option<Device>,
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
            device: None,
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
            device: self.device.as_ref().map(|d| (d.id, d.name.clone())),
        }
    }

    /// Who is most likely to write: whoever the device belongs to, or who wrote last.
    ///
    /// # Errors
    /// When the notebook cannot be read.
    pub fn who(&self) -> Result<String, WebError> {
        let named = self.device.as_ref().map(|d| d.who.clone());
        match named.filter(|who| !who.is_empty()) {
            Some(who) => Ok(who),
            None => Ok(answers::log::last_who(self.app.notebook(), &self.bench)?),
        }
    }

    /// Whether whoever asks may correct or take back this entry: on this computer any, on a paired
    /// device what that device wrote.
    #[must_use]
    pub fn may_change(&self, written_on: Option<DeviceId>) -> bool {
        !self.app.is_for_device()
            || (self.device.as_ref()).is_some_and(|d| written_on == Some(d.id))
    }

    /// The whole page, in the trial's frame.
    #[must_use]
    pub fn page(&self, active: NavItem, title: &str, lead: Option<&str>, body: Markup) -> Markup {
        let head = PageHead {
            title,
            lead,
            active: Some(active),
            ..PageHead::default()
        };
        self.framed(head, body)
    }

    /// The whole page with a head of its own, which gets this trial's frame.
    #[must_use]
    pub fn framed(&self, head: PageHead<'_>, body: Markup) -> Markup {
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
            trial: Some(TrialLink {
                title: &trial.title,
                path: &self.path,
            }),
            on_device: self.app.is_for_device(),
            notice,
            ..head
        };
        page(&head, body)
    }
}

impl FromRequestParts<App> for TrialPage {
    type Rejection = WebError;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, WebError> {
        let trial = id_in_path(parts, app, "trial").await.map(TrialId)?;
        Ok(Self {
            device: parts.extensions.get::<Device>().cloned(),
            ..Self::of(app, trial)?
        })
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
