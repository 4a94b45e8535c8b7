//! A job: how far it is, the button that stops it, what came of it.

use std::time::SystemTime;

use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::Timestamp;
use jiff::tz::TimeZone;
use job::{Job, JobId};
use maud::{Markup, html};
use text::t;
use trial::{Bench, TrialId};
use uuid::Uuid;

use super::words::{day, said};
use crate::app::App;
use crate::error::{ErrorKind, WebError};
use crate::jobs::{About, Outcome, Rows, path};
use crate::parts::button::{Button, actions, link_button, primary_link};
use crate::parts::findings;
use crate::parts::form::form;
use crate::parts::notice::{self, Weight};
use crate::parts::shell::{NavItem, PageHead, page};
use crate::parts::table::{Column, Table};
use crate::trial_page::TrialPage;

type Found = Job<About, Outcome>;
type State_ = job::State<Outcome>;

/// Seconds after which a page without scripts asks again.
const AGAIN: u32 = 2;
/// Jobs in the list of the page of files.
const LISTED: usize = 10;
/// From so many seconds on a job is told to have ended a while ago.
const LONG_AGO: u64 = 300;

fn find(app: &App, id: &str) -> Result<Found, WebError> {
    let id = Uuid::parse_str(id).map_err(|_| WebError::of(ErrorKind::NotFound))?;
    let found = app.desk().jobs().get(JobId(id.as_u128()));
    found.ok_or_else(|| {
        WebError::not_found(t!("job.forgotten")).back_to("/files", t!("files.to_files"))
    })
}

/// `/jobs/{id}`.
///
/// # Errors
/// Not found for a job that is not remembered.
pub async fn show(State(app): State<App>, Path(id): Path<String>) -> Result<Markup, WebError> {
    let job = find(&app, &id)?;
    let trial = job
        .about
        .trial
        .map(|id| TrialPage::of(&app, id))
        .transpose()?;
    let bench = trial.as_ref().map(|t| &t.bench);
    let running = !job.state.has_ended();
    let body = html! {
        @if running { (under_way(&app, &job)) } @else { (ended(&app, &job, bench)) }
    };
    let head = PageHead {
        title: &job.about.what,
        again_in: running.then_some(AGAIN),
        modules: if running { &["job.js"] } else { &[] },
        ..PageHead::default()
    };
    Ok(match &trial {
        Some(trial) => trial.framed(
            PageHead {
                active: Some(NavItem::Files),
                ..head
            },
            body,
        ),
        None => page(&head, body),
    })
}

/// The bar, what is done now, and the button that stops it.
fn under_way(app: &App, job: &Found) -> Markup {
    let at = path(job.id);
    let stop = form(
        &format!("{at}/cancel"),
        app.token(),
        &actions(&html! { (Button::new(t!("job.cancel"))) }),
    );
    html! {
        section.section.job data-job={ (at) "/state" } {
            div.job-bar {
                progress id="job-bar" max="1000" value=(job.seen.permille) aria-labelledby="job-said" {
                    (percent(job)) " %"
                }
                p.job-percent aria-hidden="true" data-job-percent { (percent(job)) " %" }
            }
            p.job-said id="job-said" role="status" data-job-said { (words(job)) }
            @if job.stopping { p.muted { (t!("job.stopping_text")) } }
            @else { (stop) }
            p.muted { (t!("job.leave")) }
        }
        p { (link_button(&job.about.back.0, job.about.back.1)) }
    }
}

fn percent(job: &Found) -> u32 {
    job.seen.permille / 10
}

/// What is done now, in a few words.
fn words(job: &Found) -> String {
    let seen = &job.seen;
    match &job.state {
        _ if job.stopping => t!("job.stopping").to_owned(),
        State_::Waiting(ahead) => t!("job.waiting", n = ahead),
        _ if seen.doing.is_empty() => t!("job.running").to_owned(),
        _ if seen.of == 0 => seen.doing.clone(),
        _ => t!(
            "job.step",
            doing = seen.doing,
            done = seen.done,
            of = seen.of
        ),
    }
}

/// What came of it.
fn ended(app: &App, job: &Found, bench: Option<&Bench>) -> Markup {
    html! {
        @match &job.state {
            State_::Done(outcome) => {
                @if let Some(first) = outcome.said.first() {
                    @if outcome.offer.is_some() { (notice::finding(Weight::Note, first, None)) }
                    @else { (notice::done(first, None)) }
                }
                (outcome_of(app, outcome, bench))
            }
            State_::Failed(outcome) => {
                @if let Some(first) = outcome.said.first() { (notice::failed(first)) }
                (outcome_of(app, outcome, bench))
            }
            State_::Broken => { (notice::failed(t!("job.broken"))) p.muted { (t!("job.broken_remedy")) } }
            _ => { (notice::finding(Weight::Note, t!("job.cancelled"), None)) }
        }
        p.muted { (when(job)) }
        p { (link_button(&job.about.back.0, job.about.back.1)) }
    }
}

fn outcome_of(app: &App, outcome: &Outcome, bench: Option<&Bench>) -> Markup {
    html! {
        @for sentence in outcome.said.iter().skip(1) { p { (in_words(sentence, bench)) } }
        @if let Some(offer) = &outcome.offer {
            (form(&offer.action, app.token(), &actions(&html! { (Button::new(&offer.label).primary()) })))
        }
        @if !outcome.links.is_empty() {
            (actions(&html! { @for (at, (href, label)) in outcome.links.iter().enumerate() {
                @if at == 0 { (primary_link(href, label)) } @else { (link_button(href, label)) }
            } }))
        }
        @if !outcome.findings.is_empty() {
            div.stack { @for found in &outcome.findings { (findings::plain(found)) } }
        }
        @if let Some(rows) = &outcome.rows { (table(rows, bench)) }
    }
}

fn in_words(text: &str, bench: Option<&Bench>) -> Markup {
    match bench {
        Some(bench) => said(text, bench),
        None => html! { (text) },
    }
}

fn table(rows: &Rows, bench: Option<&Bench>) -> Markup {
    let columns: Vec<Column<'_>> = rows.columns.iter().map(|c| Column::words(c)).collect();
    let table = rows.rows.iter().fold(
        Table::new(&rows.caption, &columns).stacked(),
        |table, row| table.row(row.iter().map(|cell| in_words(cell, bench))),
    );
    html! { (table) }
}

/// When it ended, and how long ago when that is a while.
fn when(job: &Found) -> String {
    let Some(ended) = job.ended else {
        return String::new();
    };
    let moment = moment(ended);
    let ago = SystemTime::now().duration_since(ended).unwrap_or_default();
    let seconds = ago.as_secs();
    if seconds < LONG_AGO {
        return t!("job.ended", moment = moment);
    }
    let ago = match seconds / 60 {
        minutes @ 0..60 => t!("job.minutes", n = minutes),
        minutes @ 60..2880 => t!("job.hours", n = minutes / 60),
        minutes => t!("job.days", n = minutes / 1440),
    };
    t!("job.ended_ago", moment = moment, ago = ago)
}

/// A moment in this machine's zone: jobs are its own business, not the trial's.
fn moment(at: SystemTime) -> String {
    let zone = TimeZone::system();
    match Timestamp::try_from(at) {
        Ok(at) => {
            let at = at.to_zoned_datetime(zone);
            t!(
                "job.moment",
                day = day(at.date()),
                time = at.strftime("%H:%M")
            )
        }
        Err(_) => String::new(),
    }
}

/// `/jobs/{id}/state`: what the script asks for, as JSON: `ended`, `permille`, `said`.
///
/// # Errors
/// Not found for a job that is not remembered.
pub async fn state(State(app): State<App>, Path(id): Path<String>) -> Result<Response, WebError> {
    let job = find(&app, &id)?;
    let state = serde_json::json!({
        "ended": job.state.has_ended(),
        "permille": job.seen.permille,
        "said": words(&job),
    });
    let head = [(header::CONTENT_TYPE, "application/json")];
    Ok((head, state.to_string()).into_response())
}

/// Asks a job to stop and leads back to its page.
///
/// # Errors
/// Not found for a job that is not remembered.
pub async fn cancel(State(app): State<App>, Path(id): Path<String>) -> Result<Redirect, WebError> {
    let job = find(&app, &id)?;
    app.desk().jobs().cancel(job.id);
    Ok(Redirect::to(&path(job.id)))
}

/// The last jobs, newest first; of one trial, with those of the whole notebook, or of all.
pub(crate) fn recent(app: &App, trial: Option<TrialId>) -> Markup {
    let mut jobs = app.desk().jobs().all();
    jobs.retain(|job| trial.is_none() || job.about.trial.is_none() || job.about.trial == trial);
    jobs.truncate(LISTED);
    let columns = [t!("job.c_what"), t!("job.c_state"), t!("job.c_begun")].map(Column::words);
    let caption = t!("job.recent_caption");
    let table = jobs
        .iter()
        .fold(Table::new(caption, &columns).stacked(), |table, job| {
            table.row([
                html! { a href=(path(job.id)) { (job.about.what) } },
                html! { (stands(job)) },
                html! { (moment(job.begun)) },
            ])
        });
    html! {
        section.section id="jobs" {
            h2 { (t!("job.recent")) }
            @if jobs.is_empty() { p.muted { (t!("job.recent_none")) } } @else { (table) }
        }
    }
}

/// Where a job is, in a word or two.
fn stands(job: &Found) -> String {
    match &job.state {
        State_::Waiting(_) => t!("job.s_waiting").to_owned(),
        State_::Running => t!("job.s_running", percent = percent(job)),
        State_::Done(_) => t!("job.s_done").to_owned(),
        State_::Failed(_) | State_::Broken => t!("job.s_failed").to_owned(),
        State_::Cancelled => t!("job.s_cancelled").to_owned(),
    }
}
