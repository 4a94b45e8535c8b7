//! A table into a trial: looked through first, then added, all of it or nothing.

use std::sync::Arc;

use axum::extract::{Multipart, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::Timestamp;
use job::{JobId, Stop};
use maud::{Markup, html};
use quantity::Format;
use store::import::{ImportFailed, ImportPlan, plan_csv};
use text::t;
use trial::tables::ImportError;
use trial::{Bench, TrialId};
use uuid::Uuid;

use super::incoming::{Part, receive};
use super::out::store_failed;
use crate::app::App;
use crate::error::{ErrorKind, WebError};
use crate::form_data::{FieldError, FormData, FormState};
use crate::jobs::{About, Held, Offer, Outcome, Rows, failed, id_of, start};
use crate::pages::entry::fresh_id;
use crate::pages::words::{capital, day};
use crate::parts::button::{Button, actions};
use crate::parts::disclosure::disclosure;
use crate::parts::form::{Field, file_form};
use crate::trial_page::TrialPage;

/// The largest table taken.
const LARGEST: usize = 8 * 1024 * 1024;
/// The largest form: the table and its fields.
pub const LARGEST_FORM: usize = LARGEST + 1024 * 1024;
/// Entries shown before they are added.
const SHOWN: usize = 50;

/// A table that was sent.
#[derive(Debug)]
pub(crate) struct Sheet {
    trial: TrialId,
    name: String,
    bytes: Vec<u8>,
}

pub(super) fn card(page: &TrialPage, state: &FormState) -> Markup {
    let action = format!("{}/files/table", page.path());
    let fields = html! {
        (fresh_id())
        (Field::file("table", t!("files.f_table"), ".csv,.tsv,.txt,text/csv").hint(t!("files.h_table")).fill(state))
        (actions(&html! { (Button::new(t!("files.table_button"))) }))
    };
    html! {
        article.card.span-6 id="table" {
            h3 { (t!("files.table")) }
            p { (t!("files.table_text")) }
            (file_form(&action, page.app.token(), &fields))
            (columns())
        }
    }
}

/// What a table is told by, for whoever makes one by hand.
fn columns() -> Markup {
    let told = [
        (t!("files.columns_all"), t!("files.columns_all_what")),
        (
            t!("files.columns_readings"),
            t!("files.columns_readings_what"),
        ),
        (t!("files.columns_doses"), t!("files.columns_doses_what")),
        (
            t!("files.columns_changes"),
            t!("files.columns_changes_what"),
        ),
        (t!("files.columns_trims"), t!("files.columns_trims_what")),
        (t!("files.columns_scores"), t!("files.columns_scores_what")),
        (t!("files.columns_note"), t!("files.columns_note_what")),
    ];
    let list = html! {
        dl.facts { @for (names, what) in told { dt { (names) } dd { (what) } } }
    };
    disclosure(t!("files.columns_more"), &list)
}

fn about(page: &TrialPage, what: String) -> About {
    About {
        what,
        trial: Some(page.bench.trial.id),
        back: (format!("{}/files", page.path()), t!("files.to_files")),
    }
}

/// Looks a table through, as a job; nothing is added.
///
/// # Errors
/// When more was sent than is taken; a file that is none comes back with the form.
pub async fn look(page: TrialPage, mut parts: Multipart) -> Result<Response, WebError> {
    let mut pairs = Vec::new();
    let mut sheet = Err((String::new(), t!("files.accept_table").to_owned()));
    while let Some(part) = receive(&mut parts, "table", LARGEST).await? {
        match part {
            Part::Field(name, value) => pairs.push((name, value)),
            Part::File { name, bytes: None } => {
                sheet = Err((name, t!("files.table_too_large").to_owned()))
            }
            Part::File {
                name,
                bytes: Some(bytes),
            } => {
                sheet = match not_text(&bytes) {
                    Some(why) => Err((name, why.to_owned())),
                    None => Ok((name, bytes)),
                };
            }
        }
    }
    let data = FormData::from_pairs(pairs);
    let (name, bytes) = match sheet {
        Ok(sheet) => sheet,
        Err((name, accepted)) => {
            let mut state = FormState::default();
            let label = t!("files.f_table");
            state
                .errors
                .add(FieldError::new("table", label, &name, accepted));
            let drawn = super::drawn(&page, &super::pictures::fresh(&page)?, &state);
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, drawn).into_response());
        }
    };
    let (id, trial) = (id_of(&data), page.bench.trial.id);
    let about = about(&page, t!("files.looking_at", name = name));
    let sheet = Arc::new(Sheet { trial, name, bytes });
    let started = start(&page.app, id, about, move |app, progress| {
        progress.doing(t!("job.doing_reading"));
        let bench = app.notebook().bench(sheet.trial).map_err(store_failed)?;
        let plan = plan(app, &bench, &sheet, progress)?;
        let outcome = preview(&plan, &bench, &sheet.name);
        if plan.entries.is_empty() {
            return Ok(outcome);
        }
        let held = Uuid::from_u128(id.0);
        app.desk().hold(held, Held::Sheet(Arc::clone(&sheet)));
        Ok(Outcome {
            offer: Some(Offer {
                action: format!("/trials/{trial}/files/table/{held}"),
                label: t!("files.add_entries", n = plan.entries.len()),
            }),
            ..outcome
        })
    });
    Ok(started.await?.into_response())
}

/// What surely is no table; what may be one is for the reader of tables to say.
fn not_text(bytes: &[u8]) -> Option<&'static str> {
    match bytes {
        [] => Some(t!("files.table_empty")),
        [b'P', b'K', 3 | 5, 4 | 6, ..] => Some(t!("files.table_is_zip")),
        _ if bytes.contains(&0) => Some(t!("files.table_is_binary")),
        _ => None,
    }
}

fn plan(
    app: &App,
    bench: &Bench,
    sheet: &Sheet,
    progress: &job::Progress,
) -> Result<ImportPlan, Stop<Outcome>> {
    let now = Timestamp::now();
    let planned = plan_csv(
        app.notebook(),
        bench,
        &sheet.name,
        &sheet.bytes,
        now,
        progress,
    );
    planned.map_err(|error| match error {
        ImportFailed::Cancelled(cancelled) => cancelled.into(),
        ImportFailed::Store(error) => store_failed(error),
        ImportFailed::Table(ImportError::Rows { file, problems }) => {
            let rows = problems
                .into_iter()
                .map(|p| vec![p.line.to_string(), p.column, p.value, capital(&p.says)]);
            Stop::failed(
                Outcome::said(t!("files.rows_refused", file = file)).table(Rows {
                    caption: t!("files.rows_caption", file = file),
                    columns: vec![
                        t!("files.c_line"),
                        t!("files.c_column"),
                        t!("files.c_value"),
                        t!("files.c_says"),
                    ],
                    rows: rows.collect(),
                }),
            )
        }
        ImportFailed::Table(other) => failed(other),
    })
}

/// What a table would add.
fn preview(plan: &ImportPlan, bench: &Bench, file: &str) -> Outcome {
    let format = Format::default();
    let zone = answers::days::zone(bench);
    let n = plan.entries.len();
    let rows = plan.entries.iter().take(SHOWN).map(|entry| {
        let at = entry.at.with_time_zone(zone.clone());
        let tanks = trial::describe::tanks_phrase(&entry.tanks, entry.all_tanks, bench);
        let sentence = trial::describe::sentence(&entry.act, bench, &format);
        vec![
            format!("{}, {}", day(at.date()), at.strftime("%H:%M")),
            tanks,
            capital(&sentence),
        ]
    });
    let said = match n {
        0 => t!("files.nothing_new", file = file),
        _ => t!("files.would_add", n = n, file = file),
    };
    let mut outcome = Outcome::said(said).table(Rows {
        caption: t!("files.would_add_caption").to_owned(),
        columns: vec![t!("files.c_when"), t!("files.c_tanks"), t!("files.c_what")],
        rows: rows.collect(),
    });
    outcome
        .said
        .extend(beside(plan.already.len(), plan.other_trials));
    if n > SHOWN {
        outcome.said.push(t!("files.shown_first", n = SHOWN));
    }
    outcome
}

/// What of a table is not added.
fn beside(already: usize, other_trials: u64) -> Vec<String> {
    let already = (already > 0).then(|| t!("files.already", n = already));
    let other = (other_trials > 0).then(|| t!("files.other_trials", n = other_trials));
    already.into_iter().chain(other).collect()
}

/// Adds a table that was looked through, as a job.
///
/// # Errors
/// Not found when it does not wait any more.
pub async fn add(
    State(app): State<App>,
    page: TrialPage,
    Path((_, held)): Path<(String, String)>,
    _data: FormData,
) -> Result<Redirect, WebError> {
    let held = Uuid::parse_str(&held).map_err(|_| WebError::of(ErrorKind::NotFound))?;
    let sheet = match app.desk().held(held) {
        Some(Held::Sheet(sheet)) if sheet.trial == page.bench.trial.id => sheet,
        _ => {
            let back = format!("{}/files", page.path());
            return Err(
                WebError::not_found(t!("files.table_gone")).back_to(back, t!("files.to_files"))
            );
        }
    };
    // One id for each table looked through: pressed twice, it is added once.
    let id = JobId(!held.as_u128());
    let about = about(&page, t!("files.adding", name = sheet.name));
    let log = format!("{}/log", page.path());
    start(&app, id, about, move |app, progress| {
        progress.doing(t!("job.doing_reading"));
        let bench = app.notebook().bench(sheet.trial).map_err(store_failed)?;
        let plan = plan(app, &bench, &sheet, &progress.part(0, 90))?;
        progress.doing(t!("job.doing_writing"));
        progress.check()?;
        let report = plan.write(app.notebook()).map_err(store_failed)?;
        app.desk().let_go(held);
        let mut outcome = Outcome::said(t!("files.added", n = report.written.len()));
        outcome
            .said
            .extend(beside(report.already.len(), report.other_trials));
        Ok(outcome.link(log, t!("files.to_log")))
    })
    .await
}
