//! Saving a sheet typed in, and what is shown of it afterwards.

use answers::AnswerError;
use answers::sheet::{self, Made, Row, Wrote, id_of};
use axum::extract::RawQuery;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::ToSpan;
use jiff::civil::Date;
use maud::{Markup, html};
use store::StoreError;
use text::t;
use trial::EntryId;
use uuid::Uuid;

use super::enter::{draw, framed};
use super::fields::{self, ROW};
use super::{asked_state, query_of, read_asked};
use crate::form_data::{FormData, FormState};
use crate::pages::entry::{entry_path, fresh_id, refused, stamp};
use crate::pages::words::{capital, said};
use crate::parts::button::{Button, actions, link_button};
use crate::parts::form::form;
use crate::parts::icon::Icon;
use crate::{TrialPage, WebError};

/// Rows of one form; a sheet of two weeks has fewer than 200.
const MOST_ROWS: usize = 400;
/// Entries shown of one sheet.
const MOST_SHOWN: usize = 1000;

/// Writes what was typed in, all of it or nothing.
///
/// # Errors
/// When what was sent is not a sheet's form, or was saved before with other values; what is wrong
/// with its fields comes back with the form.
pub async fn save(
    page: TrialPage,
    RawQuery(query): RawQuery,
    data: FormData,
) -> Result<Response, WebError> {
    let mut asking = asked_state(&page, query.as_deref())?;
    let bad = |why: String| WebError::bad_input(t!("sheet.bad_asked", why = why));
    let asked = read_asked(&page, &mut asking).ok_or_else(|| {
        let all: Vec<String> = asking.errors.iter().map(ToString::to_string).collect();
        bad(all.join(" "))
    })?;
    let rows = rows(&page, &data)?;
    let last = asked
        .from
        .checked_add(i64::from(asked.days - 1).days())
        .unwrap_or(asked.from);
    let span = (asked.from, last);
    let (head, typed) = (fields::head(&data), fields::rows(&data, &rows));
    match sheet::read(&page.bench, span, &rows, (&head, &typed), &page.now) {
        Ok(made) => {
            let stamp = stamp(&page, &data);
            sheet::write(page.app.notebook(), &page.bench, &made, &stamp)
                .map_err(|error| not_written(&page, error))?;
            Ok(Redirect::to(&summary_path(&page, &asked, stamp.id.0, &made)).into_response())
        }
        Err(wrong) => {
            let mut state = FormState::filled(data);
            for one in &wrong {
                state.errors.add(fields::error(&page.bench, &rows, one));
            }
            let body = draw(&page, &asked, span, &rows, &state);
            Ok((StatusCode::UNPROCESSABLE_ENTITY, framed(&page, body)).into_response())
        }
    }
}

/// The rows the form was made with.
fn rows(page: &TrialPage, data: &FormData) -> Result<Vec<Row>, WebError> {
    let keys: Vec<&str> = data.all(ROW).take(MOST_ROWS).collect();
    let mut rows = Vec::new();
    for key in keys {
        match sheet::row_of(page.app.notebook(), &page.bench, key)? {
            Some(row) => rows.push(row),
            None => return Err(WebError::conflict(t!("sheet.row_gone"))),
        }
    }
    Ok(rows)
}

fn not_written(page: &TrialPage, error: AnswerError) -> WebError {
    match error {
        AnswerError::Store(StoreError::Conflict { entry }) => {
            WebError::conflict(t!("sheet.sent_before"))
                .back_to(entry_path(page, entry), t!("log.open_it"))
        }
        other => refused(page, other),
    }
}

/// The address that shows what a sheet wrote: its id, and the rows and boxes with an entry.
fn summary_path(page: &TrialPage, asked: &sheet::Asked, id: Uuid, made: &[Made]) -> String {
    let places: Vec<String> = made
        .iter()
        .map(|m| format!("{}.{}", m.row, m.place))
        .collect();
    format!(
        "{}/sheet/enter?{}&done={id}&wrote={}",
        page.path(),
        query_of(asked),
        places.join("-")
    )
}

fn written_ids(data: &FormData) -> Option<Vec<EntryId>> {
    let sheet = Uuid::parse_str(data.one("done")?).ok()?;
    let places = data.one("wrote")?.split('-').take(MOST_SHOWN);
    let id = |place: &str| {
        let (row, at) = place.split_once('.')?;
        id_of(sheet, row.parse().ok()?, at.parse().ok()?)
    };
    Some(places.filter_map(id).collect())
}

/// What the sheet named in the address wrote, with the way to take each back; none when the address
/// names no sheet.
pub(super) fn summary(page: &TrialPage, data: &FormData) -> Result<Option<Markup>, WebError> {
    let Some(ids) = written_ids(data) else {
        return Ok(None);
    };
    let wrote = sheet::wrote(page.app.notebook(), &page.bench, &ids)?;
    let mut days: Vec<(Date, Vec<&Wrote>)> = Vec::new();
    for one in &wrote {
        match days.last_mut() {
            Some((day, lines)) if *day == one.line.day => lines.push(one),
            _ => days.push((one.line.day, vec![one])),
        }
    }
    let path = page.path();
    Ok(Some(html! {
        div.notice.notice-done role="status" {
            (Icon::Done)
            div.notice-body {
                p { strong { (t!("sheet.saved", n = wrote.len())) } " " (t!("sheet.saved_how")) }
            }
        }
        @for (day, lines) in &days {
            section.log-day {
                h3 { (crate::pages::words::day_heading(*day)) }
                ul.entries { @for one in lines { li.entry { (line(page, one)) } } }
            }
        }
        (actions(&html! {
            (link_button(&format!("{path}/log"), t!("sheet.to_log")))
            (link_button(&format!("{path}/sheet"), t!("sheet.another")))
        }))
    }))
}

fn line(page: &TrialPage, one: &Wrote) -> Markup {
    let line = &one.line;
    let at = entry_path(page, line.id);
    let what = match line.kind {
        "note" => &line.note,
        _ => &line.sentence,
    };
    html! {
        p.entry-said {
            span.entry-time { (line.time.strftime("%H:%M")) }
            span { (capital(&line.tanks)) ": " (said(what, &page.bench)) }
        }
        @for finding in &one.findings { p.entry-note { (finding) } }
        div.entry-foot {
            span.muted.small {
                @if !line.who.is_empty() { (line.who) " " }
                @if !one.stands { (t!("sheet.taken_back")) }
            }
            div.entry-ways {
                @if one.stands && page.may_change(line.device) {
                    a.button.button-quiet href={ (at) "/correct" } { (t!("log.correct")) }
                    (form(&format!("{at}/undo"), page.app.token(), &html! {
                        (fresh_id())
                        (Button::new(t!("log.undo")).quiet())
                    }))
                }
                a.button.button-quiet href=(at) { (t!("log.history")) }
            }
        }
    }
}
