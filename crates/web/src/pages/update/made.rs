//! Updates that were made: their list, what each holds, and its files.
//!
//! Addresses never become paths: a folder or file is served only when its name is one that we list.

use std::fs;
use std::path::{Path as FsPath, PathBuf};

use axum::extract::Path;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use jiff::civil::Date;
use maud::{Markup, html};
use report::frames::is_frame_name;
use report::update::{DATA, FRAMES, PAGE};
use text::t;

use super::as_readers_see_it;
use crate::error::{ErrorKind, WebError};
use crate::pages::words::{day_heading, size};
use crate::parts::button::link_button;
use crate::parts::shell::NavItem;
use crate::trial_page::TrialPage;

/// The folder of all updates in the notebook's folder.
pub(super) fn updates(page: &TrialPage) -> PathBuf {
    page.app.notebook().folder().join("updates")
}

/// The name of today's update: its day, the trial's title in plain letters, and the end of the
/// trial's id, so that two trials never share a folder.
pub(super) fn folder_name(page: &TrialPage) -> String {
    let mut title = String::new();
    for c in page.bench.trial.title.to_lowercase().chars() {
        if c.is_ascii_alphanumeric() {
            title.push(c);
        } else if !title.is_empty() && !title.ends_with('-') {
            title.push('-');
        }
        if title.len() >= 40 {
            break;
        }
    }
    let title = title.trim_end_matches('-');
    let dash = if title.is_empty() { "" } else { "-" };
    format!("{}-{title}{dash}{}", page.today(), mark(page))
}

/// What the names of this trial's folders end in.
fn mark(page: &TrialPage) -> String {
    let id = page.bench.trial.id.to_string();
    id.chars().skip(id.len().saturating_sub(8)).collect()
}

/// The day in a folder's name, when it is an update of this trial.
fn day_of(page: &TrialPage, name: &str) -> Option<Date> {
    let ours = name.ends_with(&format!("-{}", mark(page)));
    let day = name.get(..10)?.parse().ok()?;
    ours.then_some(day)
}

/// Names in a folder, sorted; none when it cannot be read.
fn names(folder: &FsPath) -> Vec<String> {
    let items = fs::read_dir(folder).into_iter().flatten().flatten();
    let mut names: Vec<String> = items
        .filter_map(|item| item.file_name().into_string().ok())
        .collect();
    names.sort();
    names
}

/// The updates of this trial so far, newest first.
pub(super) fn earlier(page: &TrialPage) -> Markup {
    let found: Vec<(Date, String)> = names(&updates(page))
        .into_iter()
        .rev()
        .filter_map(|name| Some((day_of(page, &name)?, name)))
        .collect();
    html! {
        section.section {
            h2 { (t!("update.made_earlier")) }
            @if found.is_empty() { p.muted { (t!("update.made_nothing_yet")) } }
            ul { @for (day, name) in &found {
                li { a href={ (page.path()) "/update/made/" (name) } { (day_heading(*day)) } }
            } }
        }
    }
}

/// The folder of an update of this trial, by its exact name.
fn folder(page: &TrialPage, name: &str) -> Result<(Date, PathBuf), WebError> {
    let unknown = || {
        WebError::not_found(t!("update.made_none"))
            .back_to(format!("{}/update", page.path()), t!("update.back"))
    };
    let all = updates(page);
    let known = names(&all).into_iter().find(|n| n == name);
    let known = known.ok_or_else(unknown)?;
    let day = day_of(page, &known).ok_or_else(unknown)?;
    Ok((day, all.join(known)))
}

/// `{trial}/update/made/{name}`: what an update holds.
///
/// # Errors
/// Not found for any other name.
pub async fn made(
    page: TrialPage,
    Path((_, name)): Path<(String, String)>,
) -> Result<Markup, WebError> {
    let (day, folder) = folder(&page, &name)?;
    let at = format!("{}/update/made/{name}", page.path());
    let frames: Vec<String> = names(&folder.join(FRAMES))
        .into_iter()
        .filter(|n| is_frame_name(n))
        .collect();
    let line = |file: &str, label: &str| {
        html! { li { a href={ (at) "/" (file) } { (label) } " " span.muted { (size(&folder.join(file))) } } }
    };
    let body = html! {
        p { (t!("update.made_where", folder = format!("updates/{name}"))) }
        section.section {
            ul {
                (line(PAGE, t!("update.made_page")))
                (line(DATA, t!("update.made_data")))
            }
        }
        section.section {
            h2 { (t!("update.made_frames")) }
            ul { @for frame in &frames { (line(&format!("{FRAMES}/{frame}"), frame)) } }
        }
        p { (link_button(&format!("{}/update", page.path()), t!("update.back"))) }
    };
    let title = t!("update.made_title", day = day_heading(day));
    Ok(page.page(NavItem::Update, &title, None, body))
}

/// `{trial}/update/made/{name}/{file}`: the page or the data.
///
/// # Errors
/// Not found for any other name.
pub async fn made_file(
    page: TrialPage,
    Path((_, name, file)): Path<(String, String, String)>,
) -> Result<Response, WebError> {
    let (_, folder) = folder(&page, &name)?;
    let unknown = || WebError::of(ErrorKind::NotFound);
    match file.as_str() {
        PAGE => {
            let text = fs::read_to_string(folder.join(PAGE)).map_err(|_| unknown())?;
            Ok(as_readers_see_it(text))
        }
        DATA => {
            let bytes = fs::read(folder.join(DATA)).map_err(|_| unknown())?;
            let head = [
                (header::CONTENT_TYPE, "application/zip"),
                (
                    header::CONTENT_DISPOSITION,
                    "attachment; filename=\"data.zip\"",
                ),
            ];
            Ok((head, bytes).into_response())
        }
        _ => Err(unknown()),
    }
}

/// `{trial}/update/made/{name}/frames/{file}`: one frame.
///
/// # Errors
/// Not found for any other name.
pub async fn made_frame(
    page: TrialPage,
    Path((_, name, file)): Path<(String, String, String)>,
) -> Result<Response, WebError> {
    let (_, folder) = folder(&page, &name)?;
    let frames = folder.join(FRAMES);
    let unknown = || WebError::of(ErrorKind::NotFound);
    let known = names(&frames).into_iter().find(|n| *n == file);
    let known = known.filter(|n| is_frame_name(n)).ok_or_else(unknown)?;
    let bytes = fs::read(frames.join(known)).map_err(|_| unknown())?;
    Ok(([(header::CONTENT_TYPE, "image/png")], bytes).into_response())
}
