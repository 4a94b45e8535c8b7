//! Entry forms: a new entry of any kind, a correction, an undo; and the history of an entry.

mod draft;
mod history;
mod kinds;
mod kit;
mod reader;
mod round;
mod upload;

pub use history::history;
pub use upload::{LARGEST_FORM, keep as keep_picture, page as upload_page};

use answers::AnswerError;
use axum::extract::{FromRequestParts, Path, RawQuery};
use axum::http::StatusCode;
use axum::http::request::Parts;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use quantity::Format;
use store::StoreError;
use text::t;
use trial::{Act, Draft, Entry, EntryId, TankId};
use uuid::Uuid;

use self::draft::Against;
use self::kit::Kit;
use self::reader::Reader;
use super::words::{capital, said};
use crate::form_data::{FormData, FormState};
use crate::parts::button::{Button, actions, link_button};
use crate::parts::disclosure::disclosure;
use crate::parts::form::{error_summary, form, hidden};
use crate::parts::notice;
use crate::parts::shell::NavItem;
use crate::trial_page::id_in_path;
use crate::{App, ErrorKind, TrialPage, WebError};

/// The hidden field with a form's own id: the id of the entry it writes, so that a form sent twice
/// writes once.
pub const ID_FIELD: &str = "entry_id";

/// A fresh hidden id for a form.
pub fn fresh_id() -> Markup {
    hidden(ID_FIELD, &Uuid::now_v7().to_string())
}

/// The stamp of what a form writes: under the form's own id when it has one.
pub fn stamp(page: &TrialPage, data: &FormData) -> answers::log::Stamp {
    let mut stamp = page.stamp();
    let sent = data.one(ID_FIELD).and_then(|id| Uuid::parse_str(id).ok());
    // Only ids as we make them: another version would not sort by time.
    if let Some(id) = sent.filter(|id| id.get_version_num() == 7) {
        stamp.id = EntryId(id);
    }
    stamp
}

/// Back to the log, with a band that confirms what was written.
pub fn done(page: &TrialPage, id: EntryId) -> Response {
    Redirect::to(&format!("{}/log?done={id}", page.path())).into_response()
}

/// An answer's refusal as a page of this trial: what has changed meanwhile leads to the newest.
pub fn refused(page: &TrialPage, error: AnswerError) -> WebError {
    match error {
        AnswerError::Store(StoreError::AlreadySuperseded { target, .. }) => {
            superseded(page, target)
        }
        AnswerError::Store(StoreError::Conflict { entry }) => {
            WebError::conflict(t!("log.sent_before"))
                .back_to(entry_path(page, entry), t!("log.open_it"))
        }
        other => WebError::from(other).back_to(format!("{}/log", page.path()), t!("log.to_log")),
    }
}

/// 409 for an entry that no longer stands, with the way to its newest version.
fn superseded(page: &TrialPage, entry: EntryId) -> WebError {
    let newest = answers::log::newest(page.app.notebook(), entry).unwrap_or(entry);
    WebError::conflict(t!("log.superseded"))
        .back_to(entry_path(page, newest), t!("log.open_newest"))
}

/// The address of an entry's history.
pub fn entry_path(page: &TrialPage, entry: EntryId) -> String {
    format!("{}/entries/{entry}", page.path())
}

/// An entry of the trial in the address.
pub struct EntryPage {
    /// The trial.
    pub page: TrialPage,
    /// The entry.
    pub entry: Entry,
}

impl FromRequestParts<App> for EntryPage {
    type Rejection = WebError;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, WebError> {
        let page = TrialPage::from_request_parts(parts, app).await?;
        let id = EntryId(id_in_path(parts, app, "entry").await?);
        let found = app.notebook().entry(id)?;
        match found.filter(|e| e.trial == page.bench.trial.id) {
            Some(entry) => Ok(Self { page, entry }),
            None => Err(WebError::not_found(t!("log.no_entry", id = id))
                .back_to(format!("{}/log", page.path()), t!("log.to_log"))),
        }
    }
}

fn known_kind(kind: &str) -> Result<&'static str, WebError> {
    let kinds = Act::KINDS.into_iter().filter(|k| *k != "undo");
    kinds
        .into_iter()
        .find(|k| *k == kind)
        .ok_or_else(|| WebError::not_found(t!("log.no_kind", kind = kind)))
}

/// The form of a kind, `{trial}/log/{kind}`; what the address asks for is filled in.
///
/// # Errors
/// When there is no such kind, or the notebook cannot be read.
pub async fn new(
    page: TrialPage,
    Path((_, kind)): Path<(String, String)>,
    RawQuery(query): RawQuery,
) -> Result<Response, WebError> {
    let kind = known_kind(&kind)?;
    let asked = FormData::parse(query.unwrap_or_default().as_bytes())?;
    if kind == "walk" {
        return Ok(Redirect::to(&format!("{}/walk", page.path())).into_response());
    }
    if kind == "picture" {
        return Ok(Redirect::to(&format!("{}/pictures", page.path())).into_response());
    }
    if kind == "reading" && !kinds::prepare(&asked, &page.bench) {
        let action = format!("{}/log/reading", page.path());
        let body = kinds::chooser(&page.bench, &action);
        return Ok(page
            .page(NavItem::Log, t!("log.title_reading"), None, body)
            .into_response());
    }
    let who = page.who()?;
    let mut pairs = draft::fresh(kind, &page.bench, &who, &page.now).0;
    pairs.retain(|(name, _)| !asked.has(name));
    let filled = asked.iter().filter(|(name, _)| *name != "done");
    pairs.extend(filled.map(|(n, v)| (n.to_owned(), v.to_owned())));
    pairs.push((ID_FIELD.to_owned(), Uuid::now_v7().to_string()));
    let state = FormState::filled(FormData::from_pairs(pairs));
    let band = super::log::confirmation(&page, &asked)?;
    Ok(form_page(&page, kind, &state, None, band).into_response())
}

/// Writes a new entry.
///
/// # Errors
/// What cannot be written for another reason than its fields; those come back with the form.
pub async fn save(
    page: TrialPage,
    Path((_, kind)): Path<(String, String)>,
    data: FormData,
) -> Result<Response, WebError> {
    let kind = known_kind(&kind)?;
    let stamp = stamp(&page, &data);
    let mut reader = Reader::new(kind, &page.bench, &data);
    let draft = draft::read(&mut reader, Against::default());
    let draft = draft.filter(|_| reader.errors.is_empty());
    if let Some(draft) = draft {
        let tank = draft.tanks.first().copied();
        match write(&page, &mut reader, draft, &stamp) {
            Ok(Some(id)) => return Ok(onward(&page, kind, &data, tank, id)),
            Ok(None) => {}
            Err(AnswerError::Refused { problems }) => reader.add_problems(&problems),
            Err(error) => return Err(refused(&page, error)),
        }
    }
    Ok(again(&page, kind, reader, None))
}

/// After a form of its kind was saved as `id`: the log, or the same form for the next tank.
fn onward(
    page: &TrialPage,
    kind: &str,
    data: &FormData,
    tank: Option<TankId>,
    id: EntryId,
) -> Response {
    let (form, end) = match kind {
        "picture" => (
            format!("{}/pictures", page.path()),
            format!("{}/pictures", page.path()),
        ),
        _ => (
            format!("{}/log/{kind}", page.path()),
            format!("{}/log", page.path()),
        ),
    };
    let to = match round::then(kind, &page.bench, data, tank, &page.now) {
        round::Then::Stop => format!("{end}?done={id}"),
        round::Then::AllDone => format!("{end}?done={id}&all_tanks=1"),
        round::Then::Next(fields) => {
            let mut query = form_urlencoded::Serializer::new(String::new());
            query
                .extend_pairs(fields)
                .append_pair("done", &id.to_string());
            format!("{form}?{}", query.finish())
        }
    };
    Redirect::to(&to).into_response()
}

/// Writes a draft, with the planting that cuttings become; `None` when the form is at fault.
fn write(
    page: &TrialPage,
    reader: &mut Reader<'_>,
    draft: Draft,
    stamp: &answers::log::Stamp,
) -> Result<Option<EntryId>, AnswerError> {
    let notebook = page.app.notebook();
    let logged = match &draft.act {
        Act::Replant(replant) if reader.typed("into") == kinds::INTO_NEW => {
            let Some(planting) = kinds::new_planting(reader, replant, draft.at.date()) else {
                return Ok(None);
            };
            answers::log::write_form_with_planting(notebook, &page.bench, draft, planting, stamp)
        }
        _ => answers::log::write_form(notebook, &page.bench, draft, stamp),
    };
    logged.map(|logged| Some(logged.line.id))
}

/// A paired device changes what it wrote, and nothing else.
fn may_change(page: &TrialPage, entry: &Entry) -> Result<(), WebError> {
    match page.may_change(entry.origin.device()) {
        true => Ok(()),
        false => Err(WebError::new(ErrorKind::Refused, t!("share.not_yours"))
            .back_to(format!("{}/log", page.path()), t!("log.to_log"))),
    }
}

/// The form of a correction.
///
/// # Errors
/// 409 when the entry no longer stands.
pub async fn correct(EntryPage { page, entry }: EntryPage) -> Result<Response, WebError> {
    may_change(&page, &entry)?;
    let replaced = page.app.notebook().superseded_by(entry.id)?;
    if replaced.is_some() || entry.act == Act::Undo {
        return Err(superseded(&page, entry.id));
    }
    if let Act::Walk(walk) = &entry.act {
        let walk = format!("{}/walk/{}", page.path(), walk.walk);
        return Ok(Redirect::to(&walk).into_response());
    }
    let mut pairs = draft::filled(&entry, &page.bench).0;
    pairs.push((ID_FIELD.to_owned(), Uuid::now_v7().to_string()));
    let state = FormState::filled(FormData::from_pairs(pairs));
    Ok(form_page(&page, entry.act.kind(), &state, Some(&entry), None).into_response())
}

/// Writes a correction.
///
/// # Errors
/// 409 when the entry no longer stands; bad fields come back with the form.
pub async fn save_correction(
    EntryPage { page, entry }: EntryPage,
    data: FormData,
) -> Result<Response, WebError> {
    may_change(&page, &entry)?;
    let kind = entry.act.kind();
    let stamp = stamp(&page, &data);
    let mut reader = Reader::new(kind, &page.bench, &data);
    let against = Against {
        corrected: Some(&entry),
        picture: match &entry.act {
            Act::Picture(picture) => Some(picture),
            _ => None,
        },
        otherwise: None,
    };
    let draft = draft::read(&mut reader, against).filter(|_| reader.errors.is_empty());
    if let Some(draft) = draft {
        let notebook = page.app.notebook();
        match answers::log::correct(notebook, &page.bench, entry.id, draft, &stamp) {
            Ok(logged) => return Ok(done(&page, logged.line.id)),
            Err(AnswerError::Refused { problems }) => reader.add_problems(&problems),
            Err(error) => return Err(refused(&page, error)),
        }
    }
    Ok(again(&page, kind, reader, Some(&entry)))
}

/// The form again, with what was typed and what is wrong.
fn again(page: &TrialPage, kind: &str, reader: Reader<'_>, corrected: Option<&Entry>) -> Response {
    let state = FormState {
        data: reader.data.clone(),
        errors: reader.errors,
    };
    let body = form_page(page, kind, &state, corrected, None);
    (StatusCode::UNPROCESSABLE_ENTITY, body).into_response()
}

fn form_page(
    page: &TrialPage,
    kind: &str,
    state: &FormState,
    corrected: Option<&Entry>,
    band: Option<Markup>,
) -> Markup {
    let bench = &page.bench;
    let kit = Kit { kind, bench, state };
    let action = match corrected {
        Some(entry) => format!("{}/correct", entry_path(page, entry.id)),
        None => format!("{}/log/{kind}", page.path()),
    };
    let id = state.data.one(ID_FIELD).unwrap_or_default();
    let save = match corrected {
        Some(_) => t!("log.save_correction"),
        None => t!("log.save"),
    };
    let fields = html! {
        (hidden(ID_FIELD, id))
        (kinds::draw(kit))
        (draft::draw(kit, false))
        (cautions(kind, corrected.map(|e| &e.act)))
        (actions(&html! {
            (Button::new(save).primary())
            @if corrected.is_none() { (round::button(kit)) }
            (link_button(&format!("{}/log", page.path()), t!("log.cancel")))
        }))
    };
    let body = html! {
        @if let Some(band) = band { (band) }
        (round::so_far(bench, state))
        (error_summary(&state.errors))
        @if let Some(entry) = corrected {
            p { (t!("log.correcting")) " " (said(&capital(&trial::describe::sentence(&entry.act, bench, &Format::default())), bench)) "." }
        }
        @if kind == "reading" && corrected.is_none() {
            p { (kinds::other_card(&action)) }
        }
        (form(&action, page.app.token(), &fields))
    };
    let name = capital(trial::describe::kind_name(kind));
    let title = match corrected {
        Some(_) => t!("log.title_correct", what = trial::describe::kind_name(kind)),
        None => name,
    };
    page.page(NavItem::Log, &title, None, body)
}

/// Where people or animals can be hurt by this kind of act: the weightiest in full, the others a
/// tap away.
fn cautions(kind: &str, act: Option<&Act>) -> Markup {
    let format = Format::default();
    let codes = answers::cautions::for_act(kind, act);
    let all: Vec<_> = codes
        .iter()
        .filter_map(|code| answers::cautions::caution(code, &format))
        .collect();
    let Some((first, rest)) = all.split_first() else {
        return html! {};
    };
    let body = html! {
        p { (first.text) }
        @for caution in rest { (disclosure(&caution.title, &html! { p { (caution.text) } })) }
    };
    notice::caution(&first.title, &body)
}

/// Takes an entry back.
///
/// # Errors
/// 409 when it no longer stands.
pub async fn undo(
    EntryPage { page, entry }: EntryPage,
    data: FormData,
) -> Result<Response, WebError> {
    may_change(&page, &entry)?;
    let stamp = stamp(&page, &data);
    let undone = answers::log::undo(page.app.notebook(), &page.bench, entry.id, &stamp);
    let undone = undone.map_err(|error| refused(&page, error))?;
    Ok(done(&page, undone.line.id))
}

/// Brings an earlier version back into force.
///
/// # Errors
/// When the notebook cannot be written, or what it names is no longer set up.
pub async fn restore(
    EntryPage { page, entry }: EntryPage,
    data: FormData,
) -> Result<Response, WebError> {
    let stamp = stamp(&page, &data);
    let notebook = page.app.notebook();
    // Sent twice, the newest version is already the one the first sending wrote.
    if notebook
        .entry(stamp.id)?
        .is_some_and(|e| e.trial == entry.trial)
    {
        return Ok(done(&page, stamp.id));
    }
    let restored = answers::log::restore(notebook, &page.bench, entry.id, &stamp);
    let restored = restored.map_err(|error| refused(&page, error))?;
    Ok(done(&page, restored.line.id))
}
