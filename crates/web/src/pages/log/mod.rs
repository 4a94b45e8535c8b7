//! The log: a jot box, what was used last, a form for each kind, and what was written lately.

mod draw;

pub use draw::brings;

use answers::AnswerError;
use axum::extract::RawQuery;
use axum::http::StatusCode;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use jiff::Timestamp;
use maud::{Markup, html};
use text::t;
use trial::EntryId;

use super::entry::{done, refused, stamp};
use crate::form_data::FormData;
use crate::parts::notice;
use crate::parts::shell::NavItem;
use crate::{TrialPage, WebError};

/// Entries on one page.
const ON_A_PAGE: u32 = 25;

/// A jot as it was sent and what was wrong with it.
#[derive(Default)]
struct Sent {
    line: String,
    reading: String,
    refused: bool,
    id: Option<String>,
}

/// `{trial}/log`.
///
/// # Errors
/// When the notebook cannot be read, or `before` is not a time.
pub async fn log(page: TrialPage, RawQuery(query): RawQuery) -> Result<Markup, WebError> {
    let asked = FormData::parse(query.unwrap_or_default().as_bytes())?;
    draw_log(&page, &asked, &Sent::default())
}

fn draw_log(page: &TrialPage, asked: &FormData, sent: &Sent) -> Result<Markup, WebError> {
    let notebook = page.app.notebook();
    let before = asked.one("before").map(str::parse::<Timestamp>).transpose();
    let before = before.map_err(|_| WebError::bad_input(t!("log.bad_before")))?;
    let view = answers::log::log_view(notebook, &page.bench, before, ON_A_PAGE)?;
    let body = draw::body(page, &view, sent, before.is_some(), confirmed(page, asked)?);
    Ok(page.page(NavItem::Log, t!("log.title"), None, body))
}

/// What was just written, as a band that can take it back.
fn confirmed(page: &TrialPage, asked: &FormData) -> Result<Option<Markup>, WebError> {
    let Some(id) = asked.one("done").and_then(|id| id.parse::<EntryId>().ok()) else {
        return Ok(None);
    };
    let notebook = page.app.notebook();
    let Some(entry) = notebook.entry(id)? else {
        return Ok(None);
    };
    if entry.trial != page.bench.trial.id {
        return Ok(None);
    }
    let logged = answers::log::logged(notebook, &page.bench, id)?;
    let stands = notebook.superseded_by(id)?.is_none();
    let band = draw::confirmation(page, &logged, stands);
    Ok(Some(html! {
        (band)
        @if asked.has("all_tanks") { (notice::done(t!("log.round_all_done"), None)) }
    }))
}

/// The band for the entry that `?done=` names, for other pages that write entries.
///
/// # Errors
/// When the notebook cannot be read.
pub fn confirmation(page: &TrialPage, asked: &FormData) -> Result<Option<Markup>, WebError> {
    confirmed(page, asked)
}

/// `{trial}/log/read?line=`: the line read back as plain text, or where and why it was refused.
///
/// # Errors
/// When the address has too many parts.
pub async fn read(page: TrialPage, RawQuery(query): RawQuery) -> Result<Response, WebError> {
    let asked = FormData::parse(query.unwrap_or_default().as_bytes())?;
    let line = asked.one("line").unwrap_or_default();
    let (text, _) = read_back(&page, line);
    let head = [(header::CONTENT_TYPE, "text/plain; charset=utf-8")];
    Ok((head, text).into_response())
}

/// The line said back, and whether it was refused.
fn read_back(page: &TrialPage, line: &str) -> (String, bool) {
    match answers::log::read_jot(&page.bench, line, &page.now) {
        Ok(read) => {
            let mut text = read.read_back;
            for finding in &read.findings {
                text.push('\n');
                text.push_str(finding);
            }
            (text, false)
        }
        Err(error) => (error.to_string(), true),
    }
}

/// Writes a jot; a refused one comes back with its line and the place of the fault.
///
/// # Errors
/// When the notebook cannot be written.
pub async fn jot(
    page: TrialPage,
    RawQuery(query): RawQuery,
    data: FormData,
) -> Result<Response, WebError> {
    // The form's own id stands in its address, where the jot box has room for it.
    let asked = FormData::parse(query.unwrap_or_default().as_bytes())?;
    let stamp = stamp(&page, &asked);
    let line = data.one("line").unwrap_or_default();
    match answers::log::write_jot(page.app.notebook(), &page.bench, line, &stamp) {
        Ok(logged) => Ok(done(&page, logged.line.id)),
        Err(error @ (AnswerError::Jot(_) | AnswerError::Refused { .. })) => {
            let sent = Sent {
                line: line.to_owned(),
                reading: error.to_string(),
                refused: true,
                id: Some(stamp.id.to_string()),
            };
            let body = draw_log(&page, &FormData::default(), &sent)?;
            Ok((StatusCode::UNPROCESSABLE_ENTITY, body).into_response())
        }
        Err(error) => Err(refused(&page, error)),
    }
}

/// Logs an earlier entry again, now.
///
/// # Errors
/// When there is no such entry, or what it names is no longer set up.
pub async fn again(page: TrialPage, data: FormData) -> Result<Response, WebError> {
    let stamp = stamp(&page, &data);
    let notebook = page.app.notebook();
    let unknown = || WebError::bad_input(t!("log.again_unknown"));
    let earlier: EntryId = data
        .one("entry")
        .and_then(|id| id.parse().ok())
        .ok_or_else(unknown)?;
    let known = notebook.entry(earlier)?;
    known
        .filter(|e| e.trial == page.bench.trial.id)
        .ok_or_else(unknown)?;
    let logged = answers::log::again(notebook, &page.bench, earlier, &stamp);
    let logged = logged.map_err(|error| refused(&page, error))?;
    Ok(done(&page, logged.line.id))
}
