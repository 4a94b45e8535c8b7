//! Files: everything that goes out of the notebook and into it, and the check of what is in it.

mod incoming;
mod out;
mod pictures;
mod stream;
mod table;
mod take;

pub(crate) use incoming::Incoming;
pub use incoming::LARGEST_UPLOAD;
pub use out::{backup, check, delete, download, export};
pub use pictures::add as add_pictures;
pub(crate) use table::Sheet;
pub use table::{LARGEST_FORM, add as add_table, look as look_at_table};

use axum::extract::State;
use maud::{Markup, html};
use text::t;

use super::jobs;
use crate::app::App;
use crate::error::WebError;
use crate::form_data::FormState;
use crate::parts::empty::empty;
use crate::parts::form::error_summary;
use crate::parts::shell::{NavItem, PageHead, page};
use crate::trial_page::TrialPage;

/// `/files`: what concerns the whole notebook, and the way to each trial's.
///
/// # Errors
/// When the notebook cannot be read.
pub async fn show(State(app): State<App>) -> Result<Markup, WebError> {
    let trials = app.notebook().trials()?;
    let body = html! {
        (out::sections(&app, None))
        section.section {
            h2 { (t!("files.into")) }
            @if trials.is_empty() { (empty(t!("files.no_trial"), t!("files.no_trial_how"), &html! {})) }
            @else {
                p { (t!("files.into_text")) }
                ul.files { @for line in &trials {
                    li { a href={ "/trials/" (line.trial.id) "/files" } { (line.trial.title) } }
                } }
            }
        }
        (out::check_section(&app, None))
        (jobs::recent(&app, None))
    };
    let head = PageHead {
        title: t!("files.title"),
        lead: Some(t!("files.lead")),
        ..PageHead::default()
    };
    Ok(page(&head, body))
}

/// `{trial}/files`: the same with what goes into this trial, first.
///
/// # Errors
/// When the notebook cannot be read.
pub async fn of_trial(page: TrialPage) -> Result<Markup, WebError> {
    let fresh = pictures::fresh(&page)?;
    Ok(drawn(&page, &fresh, &FormState::default()))
}

/// The page of a trial with what its two forms hold.
fn drawn(page: &TrialPage, pictures: &FormState, table: &FormState) -> Markup {
    let trial = page.bench.trial.id;
    let body = html! {
        (error_summary(&pictures.errors))
        (error_summary(&table.errors))
        section.section {
            h2 { (t!("files.into_this")) }
            div.grid.grid-start {
                (table::card(page, table))
                (pictures::card(page, pictures))
            }
        }
        (out::sections(&page.app, Some(trial)))
        (out::check_section(&page.app, Some(trial)))
        (jobs::recent(&page.app, Some(trial)))
    };
    let head = PageHead {
        title: t!("files.title"),
        lead: Some(t!("files.lead_trial")),
        active: Some(NavItem::Files),
        modules: &["upload.js"],
        ..PageHead::default()
    };
    page.framed(head, body)
}
