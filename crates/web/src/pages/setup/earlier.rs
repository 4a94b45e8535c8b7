//! The earlier versions of one record: who wrote what when, and what each changed.

use axum::extract::{Path, State};
use jiff::tz::TimeZone;
use maud::{Markup, html};
use store::Revision;
use text::t;
use trial::{Bench, Record};
use uuid::Uuid;

use super::choices::shown;
use super::forms::{self, Form};
use super::kit::{full_label, split};
use super::overview;
use crate::app::App;
use crate::error::{ErrorKind, WebError};
use crate::parts::fields::Pick;
use crate::parts::shell::NavItem;
use crate::trial_page::TrialPage;

/// Shows the versions, the newest first.
pub async fn show(
    State(app): State<App>,
    page: TrialPage,
    Path((_, word, id)): Path<(String, String, String)>,
) -> Result<Markup, WebError> {
    let unknown = || WebError::of(ErrorKind::NotFound);
    let form = Form::of_word(&word).ok_or_else(unknown)?;
    let id = Uuid::parse_str(&id).map_err(|_| unknown())?;
    let revisions = app.notebook().revisions(id)?;
    let own =
        |r: &Record| r.kind() == form.kind() && r.trial().is_none_or(|t| t == page.bench.trial.id);
    if !revisions.iter().any(|r| own(&r.record)) {
        return Err(unknown());
    }
    let zone = page.now.time_zone();
    // Old versions may name what was withdrawn since.
    let bench = page.bench.with_withdrawn();
    let stands = revisions.last().is_some_and(|r| r.withdrawn.is_none());
    let back = match form.is_of_trial() {
        true => overview::at(page.path(), &word),
        false if !stands => format!("{}/setup#withdrawn", page.path()),
        false => format!("{}/setup/{word}/{id}", page.path()),
    };
    let body = html! {
        ol.versions reversed {
            @for (at, revision) in revisions.iter().enumerate().rev() {
                (version(revision, at.checked_sub(1).and_then(|n| revisions.get(n)), zone, &bench))
            }
        }
        p { a href=(back) { (t!("setup.back")) } }
    };
    let title = t!("setup.earlier_of", what = form.title());
    Ok(page.page(NavItem::SetUp, &title, Some(t!("setup.lead_earlier")), body))
}

fn version(
    revision: &Revision,
    before: Option<&Revision>,
    zone: &TimeZone,
    bench: &Bench,
) -> Markup {
    let when = revision
        .written
        .to_zoned_datetime(zone.clone())
        .strftime("%Y-%m-%d %H:%M")
        .to_string();
    let changes = changes(before.map(|r| &r.record), &revision.record, bench);
    html! {
        li.card {
            h2 {
                (when)
                @if !revision.who.is_empty() { ", " (revision.who) }
            }
            @match (&revision.withdrawn, before.and_then(|b| b.withdrawn.as_ref())) {
                (Some(gone), _) => { p { (t!("setup.version_withdrawn", why = gone.why)) } }
                (None, Some(_)) => { p { (t!("setup.version_restored")) } }
                (None, None) => {}
            }
            @if before.is_none() { p.muted { (t!("setup.version_first")) } }
            @if changes.is_empty() && before.is_some_and(|b| b.withdrawn == revision.withdrawn) { p.muted { (t!("setup.version_same")) } }
            dl.facts {
                @for (label, was, is) in &changes {
                    dt { (label) }
                    dd {
                        @if before.is_some() { del { (was) } " " ins { (is) } } @else { (is) }
                    }
                }
            }
        }
    }
}

/// Label, before and after of each field that differs.
fn changes(
    before: Option<&Record>,
    after: &Record,
    bench: &Bench,
) -> Vec<(String, String, String)> {
    let before = before.map(forms::fill_all).unwrap_or_default().0;
    let after = forms::fill_all(after).0;
    let mut names: Vec<&String> = Vec::new();
    for (name, _) in before.iter().chain(&after) {
        let unseen = !matches!(split(name).0, "arm_key" | "tank_arm");
        if unseen && !names.contains(&name) {
            names.push(name);
        }
    }
    let differing = names.into_iter().filter_map(|name| {
        let (was, is) = (value(&before, name), value(&after, name));
        (was != is).then(|| {
            let words = |values: Vec<&str>| words(split(name).0, &values, bench);
            (full_label(name), words(was), words(is))
        })
    });
    differing.collect()
}

fn value<'a>(pairs: &'a [Pick], name: &str) -> Vec<&'a str> {
    let of_name = pairs.iter().filter(|(n, _)| n == name);
    of_name
        .map(|(_, value)| value.as_str())
        .filter(|value| !value.is_empty())
        .collect()
}

fn words(base: &str, values: &[&str], bench: &Bench) -> String {
    if values.is_empty() {
        return t!("setup.nothing").to_owned();
    }
    let every = |value: &str| value == crate::form_data::FormData::EVERY;
    let said = values.iter().map(|value| match every(value) {
        true => t!("setup.every_tank").to_owned(),
        false => shown(base, value, bench),
    });
    said.collect::<Vec<_>>().join(", ")
}

/// How many changes are listed beside the history of entries.
const NEWEST: u32 = 20;

/// The newest changes of all of a trial's records: which, who, when and what.
pub(in crate::pages) fn newest(page: &TrialPage) -> Result<Markup, WebError> {
    let found = page
        .app
        .notebook()
        .newest_revisions(page.bench.trial.id, NEWEST)?;
    let bench = page.bench.with_withdrawn();
    let zone = page.now.time_zone();
    Ok(html! {
        section.section {
            h2 { (t!("history.setup_title")) }
            p.muted { (t!("history.setup_lead", n = NEWEST)) }
            ul.rows {
                @for (revision, before) in &found {
                    @let record = &revision.record;
                    @let form = Form::of_kind(record.kind());
                    @let name = super::edit::name(&bench, record);
                    li {
                        span.rows-main {
                            strong { (name) } ", " (what(revision, before.as_ref(), &bench)) "."
                        }
                        a.rows-act href={ (page.path()) "/setup/" (form.word()) "/" (record.id()) "/earlier" }
                            aria-label={ (t!("history.setup_versions")) ": " (name) } {
                            (t!("history.setup_versions"))
                        }
                        span.rows-more {
                            (revision.written.to_zoned_datetime(zone.clone()).strftime("%Y-%m-%d %H:%M"))
                            @if !revision.who.is_empty() { ", " (revision.who) }
                        }
                    }
                }
            }
        }
    })
}

/// What a revision did, in a few words.
fn what(revision: &Revision, before: Option<&Revision>, bench: &Bench) -> String {
    let Some(before) = before else {
        return t!("history.setup_first").to_owned();
    };
    match (&revision.withdrawn, &before.withdrawn) {
        (Some(_), _) => t!("history.setup_withdrawn").to_owned(),
        (None, Some(_)) => t!("history.setup_restored").to_owned(),
        (None, None) => {
            let changed = changes(Some(&before.record), &revision.record, bench);
            let labels: Vec<String> = changed.into_iter().map(|(label, ..)| label).collect();
            match labels.as_slice() {
                [] => t!("history.setup_same").to_owned(),
                some => t!("history.setup_changed", what = trial::describe::list(some)),
            }
        }
    }
}
