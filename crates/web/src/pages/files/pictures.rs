//! Many pictures at once: each kept as it is or refused with its reason, as one job.

use std::collections::HashSet;
use std::fs;
use std::sync::Arc;

use axum::extract::Multipart;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use jiff::tz::TimeZone;
use jiff::{Timestamp, ZonedDateTime};
use job::{Progress, Stop};
use maud::{Markup, html};
use store::Batch;
use text::t;
use trial::act::{Picture, View};
use trial::{Act, Bench, Draft, Entry, EntryId, Finding, Origin, Severity, TankId};
use uuid::Uuid;

use super::incoming::{Incoming, Sent, receive_all};
use super::out::store_failed;
use crate::app::App;
use crate::error::WebError;
use crate::form_data::{FieldError, FormData, FormState};
use crate::jobs::{About, Held, Outcome, Rows, failed, id_of, start};
use crate::pages::entry::fresh_id;
use crate::pages::pictures::copy_of;
use crate::pages::words::{capital, day};
use crate::parts::button::{Button, actions};
use crate::parts::fields::{borrowed, tank_picks};
use crate::parts::form::{Field, file_form, hidden};
use crate::trial_page::TrialPage;

const ACCEPT: &str = "image/jpeg,image/png,image/webp";
/// Longest name and longest note, in characters.
const NAME: usize = 80;
const NOTE: usize = 2000;
/// The copy made at once: it shows that a file can be decoded whole, and the pages want it next.
const FIRST_COPY: u32 = 640;
/// The field with the id under which pictures wait that were sent with a form to be put right.
const WAITING: &str = "waiting";

/// The form before anything was typed.
pub(super) fn fresh(page: &TrialPage) -> Result<FormState, WebError> {
    let who = answers::log::last_who(page.app.notebook(), &page.bench)?;
    let mut pairs = vec![
        ("view".to_owned(), "front".to_owned()),
        (
            "at".to_owned(),
            page.now.strftime("%Y-%m-%dT%H:%M").to_string(),
        ),
        ("who".to_owned(), who),
    ];
    if let [tank] = page.bench.tanks.as_slice() {
        pairs.push(("tank".to_owned(), tank.id.to_string()));
    }
    Ok(FormState::filled(FormData::from_pairs(pairs)))
}

const VIEWS: [(&str, View); 3] = [
    ("front", View::Front),
    ("top", View::Top),
    ("detail", View::Detail),
];

fn views() -> [(&'static str, &'static str); 3] {
    [
        ("front", t!("log.view_front")),
        ("top", t!("log.view_top")),
        ("detail", t!("log.view_detail")),
    ]
}

pub(super) fn card(page: &TrialPage, state: &FormState) -> Markup {
    let action = format!("{}/files/pictures", page.path());
    let (tanks, views) = (tank_picks(&page.bench), views());
    let tanks = borrowed(&tanks);
    let waiting = waiting(&page.app, &state.data);
    let fields = html! {
        (fresh_id())
        @if let Some((id, incoming)) = &waiting {
            (hidden(WAITING, &id.to_string()))
            p.hint { (t!("files.are_here", n = incoming.files.len())) }
        }
        (Field::files("files", t!("files.f_pictures"), ACCEPT).hint(t!("files.h_pictures")).fill(state))
        (Field::radio("tank", t!("files.f_tank"), &tanks).hint(t!("files.h_tank")).fill(state))
        (Field::radio("view", t!("log.f_view"), &views).fill(state))
        (Field::moment("at", t!("files.f_at")).hint(t!("files.h_at")).fill(state))
        (Field::text("who", t!("log.f_who")).optional().fill(state))
        (Field::area("note", t!("log.f_note"), 2).optional().fill(state))
        (actions(&html! { (Button::new(t!("files.pictures_button"))) }))
        div.upload-state data-upload-state hidden {
            progress max="1" value="0" aria-labelledby="upload-said" {}
            p id="upload-said" data-upload-said=(t!("files.sending")) {}
            button.button.button-quiet type="button" { (t!("job.cancel")) }
        }
    };
    html! {
        article.card.span-6 id="pictures" {
            h3 { (t!("files.pictures")) }
            p { (t!("files.pictures_text")) }
            (file_form(&action, page.app.token(), &fields))
        }
    }
}

/// The pictures that were sent with an earlier try of this form.
fn waiting(app: &App, data: &FormData) -> Option<(Uuid, Arc<Incoming>)> {
    let id = Uuid::parse_str(data.one(WAITING)?).ok()?;
    match app.desk().held(id)? {
        Held::Pictures(incoming) => Some((id, incoming)),
        Held::Sheet(_) => None,
    }
}

/// What a form says of all its pictures.
struct Told {
    tank: TankId,
    view: View,
    /// For files that do not say when.
    at: ZonedDateTime,
    who: String,
    note: String,
}

/// Reads the fields; what is wrong is noted beside them.
fn read(page: &TrialPage, state: &mut FormState) -> Option<Told> {
    let tanks = tank_picks(&page.bench);
    let data = &state.data;
    let tank = data.choice("tank", t!("files.f_tank"), &borrowed(&tanks));
    let tank = tank.map(|id| id.parse::<TankId>().ok());
    let view = data.choice("view", t!("log.f_view"), &views());
    let view = view.map(|word| {
        VIEWS
            .iter()
            .find(|(known, _)| *known == word)
            .map(|(_, v)| *v)
    });
    let at = data.moment("at", t!("files.f_at")).and_then(|moment| {
        let zone = answers::days::zone(&page.bench);
        moment.to_zoned_datetime(zone).map_err(|_| {
            let typed = data.one("at").unwrap_or_default();
            FieldError::new("at", t!("files.f_at"), typed, t!("log.accept_at"))
        })
    });
    let who = data.text_or_empty("who", t!("log.f_who"), NAME);
    let note = data.text_or_empty("note", t!("log.f_note"), NOTE);
    let errors = &mut state.errors;
    let (tank, view, at) = (errors.take(tank), errors.take(view), errors.take(at));
    let (who, note) = (errors.take(who), errors.take(note));
    Some(Told {
        tank: tank??,
        view: view??,
        at: at?,
        who: who?,
        note: note?,
    })
}

/// Takes pictures in, as a job. With a form to be put right they wait on this side.
///
/// # Errors
/// When more was sent than is taken in all, or it broke off.
pub async fn add(page: TrialPage, parts: Multipart) -> Result<Response, WebError> {
    let (pairs, sent) = receive_all(&page.app, parts, "files").await?;
    let mut state = FormState::filled(FormData::from_pairs(pairs));
    let earlier = waiting(&page.app, &state.data);
    let incoming = match (sent.files.is_empty(), &earlier) {
        (true, Some((_, earlier))) => Arc::clone(earlier),
        _ => Arc::new(sent),
    };
    if incoming.files.is_empty() {
        let label = t!("files.f_pictures");
        let accepted = t!("files.accept_pictures").to_owned();
        state
            .errors
            .add(FieldError::new("files", label, "", accepted));
    }
    let told = read(&page, &mut state);
    let told = told.filter(|_| state.errors.is_empty());
    let Some(told) = told else {
        if !incoming.files.is_empty() {
            keep_waiting(&page.app, &mut state, earlier.map(|(id, _)| id), incoming);
        }
        let drawn = super::drawn(&page, &state, &FormState::default());
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, drawn).into_response());
    };
    if let Some((id, _)) = earlier {
        page.app.desk().let_go(id);
    }
    let trial = page.bench.trial.id;
    let about = About {
        what: t!("files.pictures_job", n = incoming.files.len()),
        trial: Some(trial),
        back: (format!("{}/files", page.path()), t!("files.to_files")),
    };
    let to = format!("{}/pictures", page.path());
    let started = start(
        &page.app,
        id_of(&state.data),
        about,
        move |app, progress| {
            let bench = app.notebook().bench(trial).map_err(store_failed)?;
            let outcome = take_in(app, &bench, &told, &incoming, progress)?;
            Ok(outcome.link(to, t!("files.to_pictures")))
        },
    );
    Ok(started.await?.into_response())
}

fn keep_waiting(app: &App, state: &mut FormState, earlier: Option<Uuid>, incoming: Arc<Incoming>) {
    let id = Uuid::now_v7();
    if let Some(earlier) = earlier {
        app.desk().let_go(earlier);
    }
    app.desk().hold(id, Held::Pictures(incoming));
    let others = state.data.iter().filter(|(name, _)| *name != WAITING);
    let mut pairs: Vec<(String, String)> =
        others.map(|(n, v)| (n.to_owned(), v.to_owned())).collect();
    pairs.push((WAITING.to_owned(), id.to_string()));
    state.data = FormData::from_pairs(pairs);
}

/// A picture found good.
struct Good {
    sha256: String,
    media_type: &'static str,
    path: std::path::PathBuf,
    draft: Draft,
    /// Whether the file says when it was taken.
    dated: bool,
    placed: bool,
}

/// Looks at every file, then keeps the good ones and writes their entries together: stopped before
/// that, nothing is kept.
fn take_in(
    app: &App,
    bench: &Bench,
    told: &Told,
    incoming: &Incoming,
    progress: &Progress,
) -> Result<Outcome, Stop<Outcome>> {
    let known = answers::load::pictures(app.notebook(), bench).map_err(failed)?;
    let mut seen: HashSet<String> = known.into_iter().map(|line| line.picture.sha256).collect();
    let (looking, count) = (progress.part(0, 80), incoming.files.len() as u64);
    progress.doing(t!("job.doing_looking"));
    let mut looked = Vec::new();
    for (n, file) in incoming.files.iter().enumerate() {
        looking.at(n as u64, count)?;
        looked.push((file.name.clone(), look(bench, told, file, &mut seen)));
    }
    progress.doing(t!("job.doing_keeping"));
    progress.check()?;
    keep(app, bench, &looked, &progress.part(80, 100))?;
    Ok(outcome(bench, &looked))
}

/// A file as a picture of this trial, or why not.
fn look(
    bench: &Bench,
    told: &Told,
    file: &Sent,
    seen: &mut HashSet<String>,
) -> Result<Good, String> {
    let path = file.place.clone().map_err(str::to_owned)?;
    let bytes = fs::read(&path).map_err(|e| t!("files.not_read", why = e))?;
    let facts = picture::probe(&bytes).map_err(|e| e.to_string())?;
    let sha256 = store::hash(&bytes);
    if seen.contains(&sha256) {
        return Err(t!("files.here_already").to_owned());
    }
    copy_of(&sha256, &bytes, FIRST_COPY).map_err(|e| e.to_string())?;
    let taken = taken(&facts, &answers::days::zone(bench));
    let draft = Draft {
        at: taken.clone().unwrap_or_else(|| told.at.clone()),
        tanks: vec![told.tank],
        all_tanks: false,
        who: told.who.clone(),
        minutes: None,
        note: told.note.clone(),
        act: Act::Picture(Picture {
            sha256: sha256.clone(),
            media_type: facts.media.media_type().to_owned(),
            width_px: facts.width_px,
            height_px: facts.height_px,
            view: told.view,
            planting: None,
        }),
    };
    let problems = trial::rules::check_draft(&draft, bench);
    if let Some(problem) = problems.first() {
        return Err(problem.to_string());
    }
    seen.insert(sha256.clone());
    Ok(Good {
        sha256,
        media_type: facts.media.media_type(),
        path,
        draft,
        dated: taken.is_some(),
        placed: facts.has_location,
    })
}

/// When the camera says it was taken; a clock that runs ahead is not believed.
fn taken(facts: &picture::Probe, zone: &TimeZone) -> Option<ZonedDateTime> {
    let taken = facts.taken_at?.to_zoned_datetime(zone.clone()).ok()?;
    (taken.timestamp() <= Timestamp::now()).then_some(taken)
}

type Looked = (String, Result<Good, String>);

/// Keeps the files as they are and writes their entries, all in one step. Not stopped half-way.
fn keep(
    app: &App,
    bench: &Bench,
    looked: &[Looked],
    progress: &Progress,
) -> Result<(), Stop<Outcome>> {
    let good: Vec<&Good> = looked.iter().filter_map(|(_, l)| l.as_ref().ok()).collect();
    let written = Timestamp::now();
    let mut entries: Vec<Entry> = Vec::new();
    for (n, good_one) in good.iter().enumerate() {
        let bytes = fs::read(&good_one.path).map_err(failed)?;
        // What was looked at is what is kept.
        if store::hash(&bytes) != good_one.sha256 {
            return Err(failed(t!("files.changed_meanwhile")));
        }
        app.notebook()
            .add_picture(&bytes, good_one.media_type)
            .map_err(store_failed)?;
        let draft = good_one.draft.clone();
        let id = EntryId(Uuid::now_v7());
        entries.push(draft.into_entry(id, bench.trial.id, written, Origin::Form, None));
        let _asked_too_late = progress.at(n as u64 + 1, good.len() as u64);
    }
    let batch = Batch {
        entries,
        ..Batch::default()
    };
    app.notebook().write_all(&batch).map_err(store_failed)
}

fn outcome(bench: &Bench, looked: &[Looked]) -> Outcome {
    let good: Vec<&Good> = looked.iter().filter_map(|(_, l)| l.as_ref().ok()).collect();
    let refused = looked.len() - good.len();
    let zone = answers::days::zone(bench);
    let rows = looked.iter().map(|(name, looked)| {
        let became = match looked {
            Ok(good) => {
                let at = good.draft.at.with_time_zone(zone.clone());
                let (day, time) = (day(at.date()), at.strftime("%H:%M"));
                match good.dated {
                    true => t!("files.kept_dated", day = day, time = time),
                    false => t!("files.kept_undated", day = day, time = time),
                }
            }
            Err(why) => t!("files.refused", why = why),
        };
        vec![name.clone(), capital(&became)]
    });
    let mut outcome =
        Outcome::said(t!("files.kept", n = good.len(), refused = refused)).table(Rows {
            caption: t!("files.pictures_caption").to_owned(),
            columns: vec![t!("files.c_file"), t!("files.c_became")],
            rows: rows.collect(),
        });
    let placed = good.iter().filter(|g| g.placed).count();
    if placed > 0 {
        let what = t!("files.placed", n = placed);
        let remedy = t!("pictures.has_place_remedy");
        outcome.findings.push(Finding::new(
            "picture_place",
            Severity::Serious,
            what,
            remedy,
        ));
    }
    outcome
}
