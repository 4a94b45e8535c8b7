//! Withdrawing a record that was never meant, and restoring it.

use answers::setup::{NamedBy, named_by, restore_record};
use axum::extract::Path;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use text::t;
use trial::{Bench, Record, RecordKind, WithdrawnRecord};
use uuid::Uuid;

use super::edit::name;
use super::forms::Form;
use super::kit::Ink;
use super::reader::Reader;
use crate::error::{ErrorKind, WebError};
use crate::form_data::{FormData, FormState};
use crate::pages::words::said;
use crate::parts::button::{Button, actions, link_button};
use crate::parts::form::{error_summary, form};
use crate::parts::notice::{self, Weight};
use crate::parts::shell::NavItem;
use crate::trial_page::TrialPage;

const WHY: &str = "withdraw_why";

/// A record in the address that stands.
struct Target {
    record: Record,
    path: String,
}

fn target(page: &TrialPage, word: &str, id: &str) -> Result<Target, WebError> {
    let unknown = || WebError::of(ErrorKind::NotFound);
    let form = Form::of_word(word).filter(|f| !f.is_of_trial());
    let form = form.ok_or_else(unknown)?;
    let id = Uuid::parse_str(id).map_err(|_| unknown())?;
    let mut records = answers::setup::records(&page.bench, form.kind()).into_iter();
    let record = records.find(|r| r.id() == id).ok_or_else(|| {
        let sentence = t!("setup.no_such_record", what = form.title());
        WebError::not_found(sentence).back_to(format!("{}/setup", page.path()), t!("setup.back"))
    })?;
    Ok(Target {
        record,
        path: format!("{}/setup/{word}/{id}", page.path()),
    })
}

/// Asks why, or says what keeps the record from being withdrawn.
///
/// # Errors
/// When there is no such record, or the notebook cannot be read.
pub async fn show(
    page: TrialPage,
    Path((_, word, id)): Path<(String, String, String)>,
) -> Result<Markup, WebError> {
    let target = target(&page, &word, &id)?;
    let named = named_by(page.app.notebook(), target.record.id())?;
    Ok(drawn(&page, &target, &named, &FormState::default()))
}

/// Withdraws it; when something names it, the page says what.
///
/// # Errors
/// When there is no such record, or the notebook cannot be written.
pub async fn withdraw(
    page: TrialPage,
    Path((_, word, id)): Path<(String, String, String)>,
    data: FormData,
) -> Result<Response, WebError> {
    let uuid = Uuid::parse_str(&id).unwrap_or_default();
    let to = told_at(&page, "withdrawn", uuid);
    // Sent twice, it is gone already.
    if gone(&page.bench, uuid).is_some() {
        return Ok(Redirect::to(&to).into_response());
    }
    let target = target(&page, &word, &id)?;
    let notebook = page.app.notebook();
    let named = named_by(notebook, uuid)?;
    let mut from = Reader::new(&data, &page.bench, page.today());
    let why = from.text(WHY);
    if why.is_empty() {
        from.refuse(WHY, t!("setup.accept_withdraw_why"));
    }
    let errors = from.into_errors();
    if !errors.is_empty() || !named.is_empty() {
        let shown = drawn(&page, &target, &named, &FormState { data, errors });
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, shown).into_response());
    }
    let who = page.bench.trial.keeper.clone().unwrap_or_default();
    notebook.withdraw(uuid, &why, &who, page.now.timestamp())?;
    Ok(Redirect::to(&to).into_response())
}

/// Brings it back.
///
/// # Errors
/// When what it points at is withdrawn, or its name was given to another meanwhile.
pub async fn restore(
    page: TrialPage,
    Path((_, _, id)): Path<(String, String, String)>,
) -> Result<Response, WebError> {
    let id = Uuid::parse_str(&id).map_err(|_| WebError::of(ErrorKind::NotFound))?;
    let who = page.bench.trial.keeper.clone().unwrap_or_default();
    let known = gone(&page.bench, id).is_some();
    let on_bench = page.bench.with_withdrawn();
    let mut kinds = RecordKind::ALL.into_iter();
    if !known
        && !kinds.any(|k| {
            answers::setup::records(&on_bench, k)
                .iter()
                .any(|r| r.id() == id)
        })
    {
        return Err(WebError::of(ErrorKind::NotFound));
    }
    let notebook = page.app.notebook();
    restore_record(notebook, &page.bench, id, &who, page.now.timestamp()).map_err(|error| {
        WebError::from(error).back_to(format!("{}/setup#withdrawn", page.path()), t!("setup.back"))
    })?;
    Ok(Redirect::to(&told_at(&page, "restored", id)).into_response())
}

fn told_at(page: &TrialPage, what: &str, id: Uuid) -> String {
    format!("{}/setup?{what}={id}#withdrawn", page.path())
}

fn gone(bench: &Bench, id: Uuid) -> Option<&WithdrawnRecord> {
    bench.withdrawn.iter().find(|w| w.record.id() == id)
}

fn drawn(page: &TrialPage, target: &Target, named: &NamedBy, state: &FormState) -> Markup {
    let bench = &page.bench;
    let ink = Ink { state, bench };
    let what = name(bench, &target.record);
    let arm = match &target.record {
        Record::Tank(tank) => tank.arm.as_ref().filter(|_| bench.trial.lot.is_some()),
        _ => None,
    };
    let body = html! {
        @if named.is_empty() {
            (error_summary(&state.errors))
            @if arm.is_some() {
                (notice::finding(Weight::Doubt, t!("setup.withdraw_after_lot"), None))
            }
            (form(&format!("{}/withdraw", target.path), page.app.token(), &html! {
                (ink.required(WHY).text())
                (actions(&html! {
                    (Button::new(t!("setup.withdraw_do")).danger())
                    (link_button(&target.path, t!("setup.cancel")))
                }))
            }))
        } @else {
            (notice::finding(Weight::Note, t!("setup.withdraw_named", what = what), None))
            (names(page, named))
            p { (link_button(&target.path, t!("setup.cancel"))) }
        }
    };
    let title = t!("setup.withdraw_title", what = what);
    page.page(
        NavItem::SetUp,
        &title,
        Some(t!("setup.lead_withdraw")),
        body,
    )
}

/// What names the record, each with the way to it.
fn names(page: &TrialPage, named: &NamedBy) -> Markup {
    let more = named.count.saturating_sub(named.entries.len());
    html! {
        @if named.count > 0 {
            p { (t!("setup.withdraw_named_entries", n = named.count)) }
            ul.links {
                @for (trial, line) in &named.entries {
                    li {
                        a href={ "/trials/" (trial) "/entries/" (line.id) } {
                            (line.day) " " (line.time.strftime("%H:%M")) ", " (line.tanks)
                        }
                        ": " (said(&line.sentence, &page.bench))
                    }
                }
                @if more > 0 { li { (t!("setup.withdraw_more", n = more)) } }
            }
        }
        @if !named.records.is_empty() {
            p { (t!("setup.withdraw_named_records", n = named.records.len())) }
            ul.links {
                @for record in &named.records {
                    @let form = Form::of_kind(record.kind());
                    li { a href={ (page.path()) "/setup/" (form.word()) "/" (record.id()) } { (of_kind(&page.bench, record)) } }
                }
            }
        }
    }
}

fn of_kind(bench: &Bench, record: &Record) -> String {
    let kind = Form::of_kind(record.kind()).title();
    t!(
        "setup.withdrawn_of",
        kind = kind,
        name = name(bench, record)
    )
}

/// What was withdrawn or restored just now, as the address says.
pub(super) fn told(bench: &Bench, query: &[(String, String)]) -> Markup {
    let whole = bench.with_withdrawn();
    let asked = |what: &str| {
        let (_, id) = query.iter().find(|(name, _)| name == what)?;
        let id = Uuid::parse_str(id).ok()?;
        let mut all = RecordKind::ALL.into_iter();
        all.find_map(|kind| {
            answers::setup::records(&whole, kind)
                .into_iter()
                .find(|r| r.id() == id)
        })
    };
    html! {
        @if let Some(record) = asked("withdrawn") {
            (notice::done(&t!("setup.withdrawn_done", what = name(&whole, &record)), None))
        }
        @if let Some(record) = asked("restored") {
            (notice::done(&t!("setup.restored_done", what = name(&whole, &record)), None))
        }
    }
}

/// The withdrawn records, each with its versions and the way back; nothing when there are none.
pub(super) fn list(page: &TrialPage) -> Markup {
    let gone = &page.bench.withdrawn;
    let whole = page.bench.with_withdrawn();
    let zone = answers::days::zone(&page.bench);
    html! {
        @if !gone.is_empty() {
            details.fold id="withdrawn" {
                summary {
                    h2 { (t!("setup.part_withdrawn")) }
                    span.fold-glance { (t!("setup.withdrawn_n", n = gone.len())) }
                }
                div.fold-body {
                    @for gone in gone {
                        @let at = format!("{}/setup/{}/{}", page.path(), Form::of_kind(gone.record.kind()).word(), gone.record.id());
                        @let day = gone.withdrawn.at.to_zoned_datetime(zone.clone()).date();
                        p {
                            (of_kind(&whole, &gone.record)) br;
                            span.muted { (t!("setup.withdrawn_on", day = day, why = gone.withdrawn.why)) }
                        }
                        div.actions {
                            (form(&format!("{at}/restore"), page.app.token(), &html! {
                                (Button::new(t!("setup.withdraw_restore")))
                            }))
                            a.button.button-quiet href={ (at) "/earlier" } { (t!("setup.earlier")) }
                        }
                    }
                }
            }
        }
    }
}
