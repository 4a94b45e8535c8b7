//! Out of the notebook: the export, backups; and the check.
//!
//! Addresses never become paths: a file is served or deleted only when its name is one that we list.

use std::fs;
use std::path::{Path as FsPath, PathBuf};
use std::time::{Duration, SystemTime};

use axum::extract::{Path, State};
use axum::response::{Redirect, Response};
use jiff::ZonedDateTime;
use job::Stop;
use maud::{Markup, html};
use store::export::{PackageError, export_to};
use store::{BACKUPS, StoreError};
use text::t;
use trial::TrialId;

use super::stream;
use crate::app::App;
use crate::error::{ErrorKind, WebError};
use crate::form_data::FormData;
use crate::jobs::{About, Outcome, failed, id_of, start};
use crate::pages::entry::fresh_id;
use crate::pages::words::size;
use crate::parts::button::{Button, actions};
use crate::parts::form::{form, hidden};

/// The folder of exports in the notebook's folder.
const EXPORTS: &str = "exports";
/// Exports and backups listed.
const LISTED: usize = 5;
/// What was begun longer ago is of no use to anybody.
const STALE: Duration = Duration::from_secs(24 * 3600);

/// Names in a folder that are not hidden, newest first: they begin with their day.
fn names(folder: &FsPath) -> Vec<String> {
    let items = fs::read_dir(folder).into_iter().flatten().flatten();
    let mut names: Vec<String> = items
        .filter_map(|item| item.file_name().into_string().ok())
        .filter(|name| !name.starts_with('.'))
        .collect();
    names.sort();
    names.reverse();
    names
}

/// Clears away what a run that was cut short left half-made in a folder of ours.
pub(super) fn clear_stale(folder: &FsPath) {
    let items = fs::read_dir(folder).into_iter().flatten().flatten();
    for item in items {
        let name = item.file_name();
        let ours = name
            .to_str()
            .is_some_and(|n| n.starts_with('.') && n.ends_with(".part"));
        let begun = item.metadata().and_then(|about| about.modified());
        let old = begun.is_ok_and(|at| {
            SystemTime::now()
                .duration_since(at)
                .is_ok_and(|d| d > STALE)
        });
        if ours && old {
            // Best effort: it lies hidden and harms nobody.
            let _gone = fs::remove_dir_all(item.path()).or_else(|_| fs::remove_file(item.path()));
        }
    }
}

/// The name of something made now: sorted by name is sorted by time.
fn name_of_now() -> String {
    ZonedDateTime::now().strftime("%Y-%m-%d-%H%M%S").to_string()
}

fn exports(app: &App) -> PathBuf {
    app.notebook().folder().join(EXPORTS)
}

/// What is sent with the buttons of this part: a fresh id, and the trial whose page it is.
fn fields(trial: Option<TrialId>, label: &str) -> Markup {
    html! {
        (fresh_id())
        @if let Some(trial) = trial { (hidden("trial", &trial.to_string())) }
        (actions(&html! { (Button::new(label)) }))
    }
}

/// Export and backup.
pub(super) fn sections(app: &App, trial: Option<TrialId>) -> Markup {
    let made = names(&exports(app));
    let backups = names(&app.notebook().folder().join(BACKUPS));
    html! {
        section.section {
            h2 { (t!("files.out")) }
            div.grid {
                article.card.span-6 {
                    h3 { (t!("files.export")) }
                    p { (t!("files.export_text")) }
                    p.muted { (t!("files.export_place")) }
                    (form("/files/export", app.token(), &fields(trial, t!("files.export_button"))))
                    @if !made.is_empty() {
                        ul.files { @for name in made.iter().take(LISTED) { (export_line(app, name, trial)) } }
                    }
                    @if made.len() > LISTED { p.muted { (t!("files.more_exports", n = made.len() - LISTED)) } }
                }
                article.card.span-6 {
                    h3 { (t!("files.backup")) }
                    p { (t!("files.backup_text")) }
                    p.muted { (t!("files.backup_disk")) }
                    (form("/files/backup", app.token(), &fields(trial, t!("files.backup_button"))))
                    @if !backups.is_empty() {
                        ul.files { @for name in backups.iter().take(LISTED) { li { (BACKUPS) "/" (name) } } }
                    }
                    @if backups.len() > LISTED { p.muted { (t!("files.more_backups", n = backups.len() - LISTED)) } }
                }
            }
        }
    }
}

fn export_line(app: &App, name: &str, trial: Option<TrialId>) -> Markup {
    let at = format!("/files/exports/{name}");
    html! {
        li {
            span { a href=(at) download { (name) } " " span.muted { (size(&exports(app).join(name))) } }
            (form(&format!("{at}/delete"), app.token(), &html! {
                @if let Some(trial) = trial { (hidden("trial", &trial.to_string())) }
                (Button::new(t!("files.delete")).quiet().confirm(t!("files.delete_sure")))
            }))
        }
    }
}

/// The check.
pub(super) fn check_section(app: &App, trial: Option<TrialId>) -> Markup {
    html! {
        section.section {
            h2 { (t!("files.check")) }
            p { (t!("files.check_text")) }
            (form("/files/check", app.token(), &fields(trial, t!("files.check_button"))))
        }
    }
}

/// The trial a form was sent from and the way back there.
fn about(app: &App, data: &FormData, what: &str) -> About {
    let trial = data.one("trial").and_then(|id| id.parse::<TrialId>().ok());
    let trial = trial.filter(|id| app.notebook().bench(*id).is_ok());
    let back = match trial {
        Some(id) => format!("/trials/{id}/files"),
        None => "/files".to_owned(),
    };
    About {
        what: what.to_owned(),
        trial,
        back: (back, t!("files.to_files")),
    }
}

/// An error of the store as the end of a job.
pub(super) fn store_failed(error: StoreError) -> Stop<Outcome> {
    match error {
        StoreError::Cancelled(cancelled) => cancelled.into(),
        other => failed(other),
    }
}

/// Starts an export.
///
/// # Errors
/// When it cannot be started.
pub async fn export(State(app): State<App>, data: FormData) -> Result<Redirect, WebError> {
    let about = about(&app, &data, t!("files.export"));
    let name = format!("{}.zip", name_of_now());
    start(&app, id_of(&data), about, move |app, progress| {
        let folder = exports(app);
        clear_stale(&folder);
        let report = export_to(app.notebook(), &folder.join(&name), progress);
        let report = report.map_err(|error| match error {
            PackageError::Cancelled(cancelled) => cancelled.into(),
            other => failed(other),
        })?;
        let mut outcome = Outcome::said(t!(
            "files.exported",
            entries = report.entries,
            revisions = report.revisions,
            pictures = report.pictures
        ));
        let missing = report.missing_pictures.iter();
        outcome.said.push(t!(
            "files.export_where",
            name = name,
            size = size(&folder.join(&name))
        ));
        outcome
            .said
            .extend(missing.map(|sha256| t!("files.export_missing", hash = sha256)));
        Ok(outcome.link(format!("/files/exports/{name}"), t!("files.download")))
    })
    .await
}

/// Starts a backup.
///
/// # Errors
/// When it cannot be started.
pub async fn backup(State(app): State<App>, data: FormData) -> Result<Redirect, WebError> {
    let about = about(&app, &data, t!("files.backup"));
    let name = name_of_now();
    start(&app, id_of(&data), about, move |app, progress| {
        let folder = app.notebook().folder().join(BACKUPS);
        clear_stale(&folder);
        let backed_up = app.notebook().backup(&folder.join(&name), progress);
        backed_up.map_err(store_failed)?;
        let mut outcome = Outcome::said(t!("files.backed_up", name = format!("{BACKUPS}/{name}")));
        outcome.said.push(t!("files.backup_disk").to_owned());
        Ok(outcome)
    })
    .await
}

/// Starts a check.
///
/// # Errors
/// When it cannot be started.
pub async fn check(State(app): State<App>, data: FormData) -> Result<Redirect, WebError> {
    let about = about(&app, &data, t!("files.check"));
    start(&app, id_of(&data), about, move |app, progress| {
        let report = app.notebook().check(progress).map_err(store_failed)?;
        let verdict = if report.is_sound() {
            t!("files.sound")
        } else {
            t!("files.unsound")
        };
        let mut outcome = Outcome::said(verdict);
        outcome.said.push(t!(
            "files.checked",
            entries = report.entries,
            revisions = report.revisions,
            pictures = report.pictures
        ));
        let sound = report.is_sound();
        outcome.findings = report.findings;
        match sound {
            true => Ok(outcome),
            false => Err(Stop::failed(outcome)),
        }
    })
    .await
}

/// The file of an export, by its exact name.
fn exported(app: &App, name: &str) -> Result<(String, PathBuf), WebError> {
    let folder = exports(app);
    let known = names(&folder).into_iter().find(|known| known == name);
    let known = known.filter(|name| FsPath::new(name).extension().is_some_and(|e| e == "zip"));
    let path = known.as_ref().map(|name| folder.join(name));
    match (known, path) {
        // A link could lead anywhere.
        (Some(name), Some(path)) if fs::symlink_metadata(&path).is_ok_and(|m| m.is_file()) => {
            Ok((name, path))
        }
        _ => {
            Err(WebError::not_found(t!("files.no_export")).back_to("/files", t!("files.to_files")))
        }
    }
}

/// `/files/exports/{name}`: an export, as a download.
///
/// # Errors
/// Not found for any other name.
pub async fn download(
    State(app): State<App>,
    Path(name): Path<String>,
) -> Result<Response, WebError> {
    let (name, path) = exported(&app, &name)?;
    let gone = |_| WebError::of(ErrorKind::NotFound);
    stream::attachment(&path, &format!("fairtank-{name}"), "application/zip")
        .await
        .map_err(gone)
}

/// Deletes an export: the notebook holds everything that was in it.
///
/// # Errors
/// Not found for any other name; when the file cannot be deleted.
pub async fn delete(
    State(app): State<App>,
    Path(name): Path<String>,
    data: FormData,
) -> Result<Redirect, WebError> {
    let (_, path) = exported(&app, &name)?;
    fs::remove_file(&path).map_err(|error| WebError::internal(&error))?;
    Ok(Redirect::to(&about(&app, &data, "").back.0))
}
