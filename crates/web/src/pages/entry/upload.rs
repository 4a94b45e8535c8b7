//! Taking a picture in: its file is kept as it is, its header says when, the form says what.

use axum::body::Bytes;
use axum::extract::{Multipart, RawQuery};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use jiff::ZonedDateTime;
use maud::{Markup, html};
use picture::Probe;
use text::t;
use trial::act::{Picture, View};
use trial::{Act, EntryId};
use uuid::Uuid;

use super::draft::{self, Against};
use super::kinds;
use super::kit::Kit;
use super::reader::Reader;
use super::{ID_FIELD, onward, refused, round, stamp};
use crate::error::ErrorKind;
use crate::form_data::{FormData, FormState};
use crate::pages::log;
use crate::pages::pictures::{self, Look};
use crate::parts::button::Button;
use crate::parts::form::{error_summary, file_form, hidden};
use crate::parts::notice::{Weight, finding};
use crate::parts::shell::NavItem;
use crate::{TrialPage, WebError};

/// The largest file taken.
const LARGEST: usize = 40 * 1024 * 1024;
/// The largest form: the file and its fields.
pub const LARGEST_FORM: usize = LARGEST + 1024 * 1024;
const ACCEPT: &str = "image/jpeg,image/png,image/webp";
/// The copy made at once: it shows that the file can be decoded whole, and the page wants it next.
const FIRST_COPY: u32 = 640;

/// `{trial}/pictures`.
///
/// # Errors
/// When the notebook cannot be read, or `before` is not a day.
pub async fn page(page: TrialPage, RawQuery(query): RawQuery) -> Result<Markup, WebError> {
    let asked = FormData::parse(query.unwrap_or_default().as_bytes())?;
    let who = page.who()?;
    let mut pairs = draft::fresh("picture", &page.bench, &who, &page.now).0;
    pairs.push((ID_FIELD.to_owned(), Uuid::now_v7().to_string()));
    let round = asked
        .iter()
        .filter(|(name, _)| !matches!(*name, "done" | "before" | "all_tanks"));
    let round: Vec<_> = round.map(|(n, v)| (n.to_owned(), v.to_owned())).collect();
    pairs.retain(|(name, _)| !round.iter().any(|(n, _)| n == name));
    pairs.extend(round);
    if let [tank] = page.bench.tanks.as_slice() {
        pairs.push(("tanks".to_owned(), tank.id.to_string()));
    }
    let state = FormState::filled(FormData::from_pairs(pairs));
    draw(&page, &state, &asked)
}

fn draw(page: &TrialPage, state: &FormState, asked: &FormData) -> Result<Markup, WebError> {
    let look = Look::asked(asked)?;
    let first = look == Look::Day && asked.one("before").is_none();
    let any = !answers::load::pictures(page.app.notebook(), &page.bench)?.is_empty();
    let body = html! {
        @if let Some(band) = log::confirmation(page, asked)? { (band) }
        @if let Some(warning) = place_warning(page, asked)? { (warning) }
        (error_summary(&state.errors))
        @if first {
            div.stack {
                (add(page, state, any))
                (pictures::reminders(!any))
            }
        }
        (pictures::gallery(page, asked, look)?)
    };
    Ok(page.page(NavItem::Pictures, t!("pictures.title"), None, body))
}

fn add(page: &TrialPage, state: &FormState, closed: bool) -> Markup {
    let kit = Kit {
        kind: "picture",
        bench: &page.bench,
        state,
    };
    let id = state.data.one(ID_FIELD).unwrap_or_default();
    let action = format!("{}/pictures", page.path());
    let fields = html! {
        (hidden(ID_FIELD, id))
        (kit.must("file").file(ACCEPT))
        @if !state.errors.is_empty() { p.hint { (t!("pictures.choose_again")) } }
        (kinds::draw(kit))
        (draft::draw(kit, true))
        div.actions { (Button::new(t!("pictures.add")).primary()) (round::button(kit)) }
    };
    let open = !closed || !state.errors.is_empty() || round::goes_on(state);
    html! {
        details.disclosure.add-picture open[open] {
            summary { h2 { (t!("pictures.add_heading")) } }
            div.disclosure-body {
                (round::so_far(&page.bench, state))
                (file_form(&action, page.app.token(), &fields))
                @if !page.app.is_for_device() {
                    p { a href={ (page.path()) "/files#pictures" } { (t!("pictures.many")) } }
                }
            }
        }
    }
}

/// A warning when the picture just kept says where it was taken.
fn place_warning(page: &TrialPage, asked: &FormData) -> Result<Option<Markup>, WebError> {
    let Some(id) = asked.one("done").and_then(|id| id.parse::<EntryId>().ok()) else {
        return Ok(None);
    };
    let notebook = page.app.notebook();
    let entry = notebook.entry(id)?;
    let entry = entry.filter(|e| e.trial == page.bench.trial.id);
    let Some(Act::Picture(kept)) = entry.map(|e| e.act) else {
        return Ok(None);
    };
    let facts = picture::probe(&notebook.read_picture(&kept.sha256)?);
    let placed = facts.is_ok_and(|f| f.has_location);
    Ok(placed.then(|| {
        finding(
            Weight::Serious,
            t!("pictures.has_place"),
            Some(t!("pictures.has_place_remedy")),
        )
    }))
}

/// A file as it was sent.
struct Sent {
    name: String,
    bytes: Bytes,
}

/// Keeps a picture and writes its entry.
///
/// # Errors
/// When more was sent than is taken, or the notebook cannot be written; what is wrong with file or
/// fields comes back with the form.
pub async fn keep(page: TrialPage, parts: Multipart) -> Result<Response, WebError> {
    let (data, file) = receive(parts).await?;
    let stamp = stamp(&page, &data);
    let mut reader = Reader::new("picture", &page.bench, &data);
    let checked = check(&mut reader, file).await?;
    let base = checked.as_ref().map(|(_, picture, _)| picture);
    let taken = checked
        .as_ref()
        .and_then(|(_, _, facts)| taken(&page, facts));
    // Without a good file the fields are still read, so that every error is named at once.
    let stand_in = stand_in();
    let against = Against {
        corrected: None,
        picture: Some(base.unwrap_or(&stand_in)),
        otherwise: Some(taken.as_ref().unwrap_or(&page.now)),
    };
    let draft = draft::read(&mut reader, against).filter(|_| reader.errors.is_empty());
    if let (Some(draft), Some((bytes, picture, _))) = (draft, &checked) {
        let problems = trial::rules::check_draft(&draft, &page.bench);
        if problems.is_empty() {
            let tank = draft.tanks.first().copied();
            let (app, bytes, media) = (page.app.clone(), bytes.clone(), picture.media_type.clone());
            pictures::in_turn(move || app.notebook().add_picture(&bytes, &media)).await??;
            let logged = answers::log::write_form(page.app.notebook(), &page.bench, draft, &stamp);
            let logged = logged.map_err(|error| refused(&page, error))?;
            return Ok(onward(&page, "picture", &data, tank, logged.line.id));
        }
        reader.add_problems(&problems);
    }
    let state = FormState {
        data: reader.data.clone(),
        errors: reader.errors,
    };
    let body = draw(&page, &state, &FormData::default())?;
    Ok((StatusCode::UNPROCESSABLE_ENTITY, body).into_response())
}

/// The fields in order and the file, when one was chosen.
async fn receive(mut parts: Multipart) -> Result<(FormData, Option<Sent>), WebError> {
    let unreadable = |error: axum::extract::multipart::MultipartError| {
        if error.status() == StatusCode::PAYLOAD_TOO_LARGE {
            WebError::new(ErrorKind::TooLarge, t!("pictures.too_large_page"))
        } else {
            WebError::of(ErrorKind::BadInput)
        }
    };
    let (mut pairs, mut file) = (Vec::new(), None);
    while let Some(part) = parts.next_field().await.map_err(unreadable)? {
        let name = part.name().unwrap_or_default().to_owned();
        if name == "file" {
            let file_name = part.file_name().unwrap_or_default().to_owned();
            let bytes = part.bytes().await.map_err(unreadable)?;
            // A browser sends an empty part when no file was chosen.
            if !bytes.is_empty() || !file_name.is_empty() {
                file = Some(Sent {
                    name: file_name,
                    bytes,
                });
            }
        } else {
            let value = part.text().await.map_err(unreadable)?;
            pairs.push((name, value.replace("\r\n", "\n")));
        }
    }
    Ok((FormData::from_pairs(pairs), file))
}

/// The file as a picture that can be kept; what is wrong with it is noted.
async fn check(
    r: &mut Reader<'_>,
    file: Option<Sent>,
) -> Result<Option<(Bytes, Picture, Probe)>, WebError> {
    let Some(file) = file else {
        r.refuse("file", t!("pictures.accept_file"));
        return Ok(None);
    };
    if file.bytes.len() > LARGEST {
        r.refuse_value("file", &file.name, t!("pictures.too_large"));
        return Ok(None);
    }
    let bytes = file.bytes.clone();
    let looked = pictures::in_turn(move || {
        let facts = picture::whole(&bytes)?;
        let sha256 = store::hash(&bytes);
        pictures::copy_of(&sha256, &bytes, FIRST_COPY)?;
        Ok::<_, picture::PictureError>((sha256, facts))
    })
    .await?;
    match looked {
        Ok((sha256, facts)) => {
            let picture = Picture {
                sha256,
                media_type: facts.media.media_type().to_owned(),
                width_px: facts.width_px,
                height_px: facts.height_px,
                view: View::Front,
                planting: None,
            };
            Ok(Some((file.bytes, picture, facts)))
        }
        Err(error) => {
            r.refuse_value("file", &file.name, t!("pictures.accept_other", why = error));
            Ok(None)
        }
    }
}

/// When the camera says it was taken, in the trial's zone; a clock that runs ahead is not believed.
fn taken(page: &TrialPage, facts: &Probe) -> Option<ZonedDateTime> {
    let zone = answers::days::zone(&page.bench);
    let taken = facts.taken_at?.to_zoned_datetime(zone).ok()?;
    (taken <= page.now).then_some(taken)
}

/// Stands for the file that was not taken, while the other fields are read.
fn stand_in() -> Picture {
    Picture {
        sha256: String::new(),
        media_type: String::new(),
        width_px: 1,
        height_px: 1,
        view: View::Front,
        planting: None,
    }
}
