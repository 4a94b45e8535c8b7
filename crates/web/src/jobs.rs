//! Jobs as pages know them: what they are about, what they have to say at their end, and files that
//! were sent and wait for a second step.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use axum::response::Redirect;
use job::{JobId, NotStarted, Progress, Stop};
use trial::{Finding, TrialId};
use uuid::Uuid;

use crate::app::App;
use crate::error::WebError;
use crate::form_data::FormData;
use crate::pages::entry::ID_FIELD;
use crate::pages::files::{Incoming, Sheet};

/// The runner of jobs of pages.
pub type Jobs = job::Jobs<About, Outcome>;

/// Rows of an outcome that are kept; the sentences say how many there are.
pub(crate) const MOST_ROWS: usize = 400;
/// Files that were sent and wait, at most; the oldest go.
const MOST_HELD: usize = 4;
/// How long an answer waits for its job, so that a short one is over when its page comes.
const MOMENT: Duration = Duration::from_millis(400);

/// What a job is about.
#[derive(Debug, Clone)]
pub struct About {
    /// What is done, as a heading.
    pub what: String,
    /// The trial it belongs to, when it does.
    pub trial: Option<TrialId>,
    /// The page it was started from, and the words of the link there.
    pub back: (String, &'static str),
}

/// What a job has to say at its end.
#[derive(Debug, Clone, Default)]
pub struct Outcome {
    /// Sentences, the first one the outcome itself.
    pub said: Vec<String>,
    /// What should be looked at.
    pub findings: Vec<Finding>,
    /// One row for each thing that was dealt with.
    pub rows: Option<Arc<Rows>>,
    /// Where to find what was made.
    pub links: Vec<(String, String)>,
    /// A further step that may be taken now.
    pub offer: Option<Offer>,
}

/// A table of an outcome.
#[derive(Debug, Clone, Default)]
pub struct Rows {
    /// Its caption.
    pub caption: String,
    /// The headings of its columns.
    pub columns: Vec<&'static str>,
    /// Its rows, a cell for each column.
    pub rows: Vec<Vec<String>>,
}

/// A step that a form on the job's page offers.
#[derive(Debug, Clone)]
pub struct Offer {
    /// Where its form is sent.
    pub action: String,
    /// Its button.
    pub label: String,
}

impl Outcome {
    /// An outcome of one sentence.
    #[must_use]
    pub fn said(sentence: impl Into<String>) -> Self {
        Self {
            said: vec![sentence.into()],
            ..Self::default()
        }
    }

    /// The same with a link to what was made.
    #[must_use]
    pub fn link(mut self, href: impl Into<String>, label: impl Into<String>) -> Self {
        self.links.push((href.into(), label.into()));
        self
    }

    /// The same with a table; nothing when it has no rows.
    #[must_use]
    pub fn table(mut self, mut rows: Rows) -> Self {
        rows.rows.truncate(MOST_ROWS);
        self.rows = (!rows.rows.is_empty()).then(|| Arc::new(rows));
        self
    }
}

/// A job that could not do what it was for.
pub(crate) fn failed(sentence: impl ToString) -> Stop<Outcome> {
    let text = sentence.to_string();
    let mut chars = text.chars();
    let first = chars.next().map(|c| c.to_uppercase().collect::<String>());
    let capital = first.unwrap_or_default() + chars.as_str();
    let stop = if capital.ends_with(['.', '!', '?']) {
        ""
    } else {
        "."
    };
    Stop::failed(Outcome::said(capital + stop))
}

/// A file that was sent and waits for a second step.
#[derive(Debug, Clone)]
pub(crate) enum Held {
    /// A table that was looked through and may be added.
    Sheet(Arc<Sheet>),
    /// Pictures whose form is to be put right first.
    Pictures(Arc<Incoming>),
}

/// The jobs of one run of the pages, and what waits for them.
#[derive(Debug, Default)]
pub struct Desk {
    jobs: Jobs,
    held: Mutex<VecDeque<(Uuid, Held)>>,
}

impl Desk {
    /// The runner.
    #[must_use]
    pub fn jobs(&self) -> &Jobs {
        &self.jobs
    }

    fn all_held(&self) -> MutexGuard<'_, VecDeque<(Uuid, Held)>> {
        self.held.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Keeps something for a second step; when too much waits, the oldest goes.
    pub(crate) fn hold(&self, id: Uuid, what: Held) {
        let mut held = self.all_held();
        held.push_back((id, what));
        let gone = (held.len() > MOST_HELD).then(|| held.pop_front());
        drop(held);
        // Files on disk go with it, outside the lock.
        drop(gone);
    }

    /// What waits under an id.
    pub(crate) fn held(&self, id: Uuid) -> Option<Held> {
        let held = self.all_held();
        let found = held.iter().find(|(known, _)| *known == id);
        found.map(|(_, what)| what.clone())
    }

    /// Lets go of what waits under an id.
    pub(crate) fn let_go(&self, id: Uuid) {
        let mut held = self.all_held();
        let place = held.iter().position(|(known, _)| *known == id);
        let gone = place.and_then(|at| held.remove(at));
        drop(held);
        drop(gone);
    }
}

/// The id a form's job gets: the form's own, so that sending it twice starts one job.
pub(crate) fn id_of(data: &FormData) -> JobId {
    let sent = data.one(ID_FIELD).and_then(|id| Uuid::parse_str(id).ok());
    let own = sent.filter(|id| id.get_version_num() == 7);
    JobId(own.unwrap_or_else(Uuid::now_v7).as_u128())
}

/// The address of a job's page.
pub(crate) fn path(id: JobId) -> String {
    format!("/jobs/{}", Uuid::from_u128(id.0))
}

/// Starts a job and leads to its page.
///
/// # Errors
/// When too many wait or there is no thread to be had.
pub(crate) async fn start(
    app: &App,
    id: JobId,
    about: About,
    work: impl FnOnce(&App, &Progress) -> Result<Outcome, Stop<Outcome>> + Send + 'static,
) -> Result<Redirect, WebError> {
    let (own, back) = (app.clone(), about.back.clone());
    let jobs = app.desk().jobs();
    jobs.start(id, about, move |progress| work(&own, progress))
        .map_err(|error| match error {
            NotStarted::Full(_) | NotStarted::Closing => {
                WebError::conflict(text::t!("job.full")).back_to(back.0, back.1)
            }
            NotStarted::Thread(_) => WebError::internal(&error),
        })?;
    let (step, mut waited) = (Duration::from_millis(25), Duration::ZERO);
    while waited < MOMENT && jobs.get(id).is_some_and(|job| !job.state.has_ended()) {
        tokio::time::sleep(step).await;
        waited += step;
    }
    Ok(Redirect::to(&path(id)))
}
