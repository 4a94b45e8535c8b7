//! Walk-rounds: plant by plant, the tanks beside each other, one touch per value.

mod draw;
mod end;
mod overview;
mod read;
mod step;

pub use end::{leave, save_end, show_end};
pub use overview::{letters, show};
pub use step::{save_step, show_step};

use answers::AnswerError;
use answers::walk::{Asked, Length, WalkLine, Walking, WalksView};
use axum::extract::FromRequestParts;
use axum::http::StatusCode;
use axum::http::request::Parts;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use text::t;
use trial::act::MaskedBy;
use trial::{WalkId, describe};

use super::entry::{ID_FIELD, refused, stamp};
use super::words::{day, said};
use crate::form_data::{FieldError, FormData, FormState};
use crate::parts::button::{Button, actions, link_button, primary_link};
use crate::parts::empty::empty;
use crate::parts::form::{Choice, Field, error_summary, form, hidden};
use crate::parts::notice::{Weight, finding};
use crate::parts::shell::NavItem;
use crate::trial_page::id_in_path;
use crate::{App, TrialPage, WebError};

/// Longest name of who scores.
const NAME: usize = 120;

/// A walk-round of the trial in the address.
pub struct WalkPage {
    /// The trial.
    pub page: TrialPage,
    /// The walk-round.
    pub walking: Walking,
}

impl WalkPage {
    /// Its address.
    fn path(&self) -> String {
        walk_path(&self.page, self.walking.walk.walk)
    }

    /// The address of a step, from 1.
    fn step_path(&self, number: usize) -> String {
        format!("{}/{number}", self.path())
    }
}

fn walk_path(page: &TrialPage, walk: WalkId) -> String {
    format!("{}/walk/{walk}", page.path())
}

impl FromRequestParts<App> for WalkPage {
    type Rejection = WebError;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, WebError> {
        let page = TrialPage::from_request_parts(parts, app).await?;
        let id = WalkId(id_in_path(parts, app, "walk").await?);
        let walking = answers::walk::walking(page.app.notebook(), &page.bench, id);
        match walking {
            Ok(walking) => Ok(Self { page, walking }),
            Err(error) => {
                Err(WebError::from(error)
                    .back_to(format!("{}/walk", page.path()), t!("walk.to_walks")))
            }
        }
    }
}

/// The way to walk-rounds from other pages.
pub fn way(page: &TrialPage) -> Markup {
    html! {
        div.walk-way {
            (link_button(&format!("{}/walk", page.path()), t!("walk.link")))
            p.hint { (t!("walk.link_hint")) }
        }
    }
}

/// `{trial}/walk`: what is under way, the form that begins one, and those before.
///
/// # Errors
/// When the notebook cannot be read.
pub async fn list(page: TrialPage) -> Result<Markup, WebError> {
    let view = view(&page)?;
    let usual = [
        ("masked", "no".to_owned()),
        ("length", "usual".to_owned()),
        ("who", page.who()?),
        (ID_FIELD, uuid::Uuid::now_v7().to_string()),
    ];
    let state = FormState::filled(FormData::from_pairs(usual));
    Ok(list_page(&page, &view, &state))
}

fn view(page: &TrialPage) -> Result<WalksView, WebError> {
    Ok(answers::walk::walks_view(
        page.app.notebook(),
        &page.bench,
        page.today(),
    )?)
}

const MASKS: [(&str, Option<MaskedBy>); 3] = [
    ("no", None),
    ("pictures", Some(MaskedBy::Pictures)),
    ("helper", Some(MaskedBy::Helper)),
];

fn length_key(length: Length) -> &'static str {
    match length {
        Length::Short => "short",
        Length::Usual => "usual",
        Length::Long => "long",
        Length::Full => "full",
    }
}

/// Begins a walk-round and goes to its first step.
///
/// # Errors
/// When the notebook cannot be written; what is wrong with the form comes back with it.
pub async fn begin(page: TrialPage, data: FormData) -> Result<Response, WebError> {
    let mut state = FormState::filled(data);
    let asked = asked(&mut state)?;
    if let Some(asked) = asked {
        let stamp = stamp(&page, &state.data);
        match answers::walk::begin(page.app.notebook(), &page.bench, &asked, &stamp) {
            Ok(walk) => {
                let first = format!("{}/1", walk_path(&page, walk));
                return Ok(Redirect::to(&first).into_response());
            }
            Err(AnswerError::Refused { problems }) => {
                for p in problems {
                    let label = match p.field {
                        "masked" => t!("walk.f_masked"),
                        _ => t!("walk.title"),
                    };
                    let accepted = t!("walk.accepted", what = p.accepted);
                    state
                        .errors
                        .add(FieldError::new("masked", label, &p.value, accepted));
                }
            }
            Err(error) => return Err(refused(&page, error)),
        }
    }
    let body = list_page(&page, &view(&page)?, &state);
    Ok((StatusCode::UNPROCESSABLE_ENTITY, body).into_response())
}

fn asked(state: &mut FormState) -> Result<Option<Asked>, WebError> {
    let (data, errors) = (&state.data, &mut state.errors);
    let masks = MASKS.map(|(key, _)| (key, key));
    let masked = errors.take(data.choice("masked", t!("walk.f_masked"), &masks));
    let lengths = Length::ALL.map(|l| (length_key(l), length_key(l)));
    let length = errors.take(data.choice("length", t!("walk.f_length"), &lengths));
    let who = errors.take(data.text_or_empty("who", t!("walk.f_who"), NAME));
    let (Some(masked), Some(length), Some(who)) = (masked, length, who) else {
        return Ok(None);
    };
    let of_key = |l: &Length| length_key(*l) == length;
    Ok(Some(Asked {
        masked: MASKS.iter().find(|(k, _)| *k == masked).and_then(|m| m.1),
        length: Length::ALL.into_iter().find(of_key).unwrap_or_default(),
        who,
        seed: draw_seed()?,
    }))
}

/// A seed from the operating system, of a size that every program reads without loss.
fn draw_seed() -> Result<u64, WebError> {
    let mut bytes = [0u8; 8];
    getrandom::fill(&mut bytes).map_err(|e| WebError::internal(&e))?;
    Ok(u64::from_le_bytes(bytes) >> 11)
}

fn list_page(page: &TrialPage, view: &WalksView, state: &FormState) -> Markup {
    let steps = view.lengths.iter().any(|(_, n)| *n > 0);
    let plants = !page.bench.plantings.is_empty();
    let body = html! {
        (error_summary(&state.errors))
        @for line in &view.open { (under_way(page, line)) }
        @if steps && plants {
            section.section {
                h2 { (t!("walk.begin")) }
                (begin_form(page, view, state))
            }
        } @else {
            (empty(t!("walk.nothing"), t!("walk.nothing_how"), &link_button(
                &format!("{}/setup", page.path()),
                t!("walk.to_setup"),
            )))
        }
        (how_scored(page, &view.scored.sentences))
        section.section {
            h2 { (t!("walk.ended")) }
            @if view.ended.is_empty() { p.muted { (t!("walk.ended_none")) } }
            @else { ul.rows { @for line in &view.ended { (ended(page, line)) } } }
        }
    };
    page.page(NavItem::Log, t!("walk.title"), Some(t!("walk.lead")), body)
}

/// How scores came about, as a section; nothing without scores.
pub fn how_scored(page: &TrialPage, sentences: &[String]) -> Markup {
    html! {
        @if !sentences.is_empty() {
            section.section {
                h2 { (t!("walk.scored_title")) }
                ul.sentences { @for one in sentences { li { (said(one, &page.bench)) } } }
            }
        }
    }
}

fn under_way(page: &TrialPage, line: &WalkLine) -> Markup {
    let at = walk_path(page, line.walk);
    html! {
        section.card.walk-open {
            h2 { (t!("walk.under_way")) }
            p {
                (t!("walk.continue_hint", day = day(line.day), done = line.done, of = line.steps))
                @if line.masked.is_some() { " " span.tag { (t!("walk.line_masked")) } }
            }
            (actions(&html! {
                (primary_link(&format!("{at}/{}", line.next), t!("walk.continue")))
                (link_button(&at, t!("walk.overview")))
            }))
        }
    }
}

fn ended(page: &TrialPage, line: &WalkLine) -> Markup {
    html! {
        li {
            a.rows-main href=(walk_path(page, line.walk)) { (day(line.day)) }
            span.muted {
                (t!("walk.line_open", steps = line.steps, done = line.done))
                @if line.finished == Some(false) { ", " (t!("walk.line_left")) }
                @if line.masked.is_some() { ", " (t!("walk.line_masked")) }
                @if let Some((right, of)) = line.right { ", " (t!("walk.line_right", right = right, of = of)) }
                @if !line.who.is_empty() { ", " (line.who) }
            }
        }
    }
}

fn begin_form(page: &TrialPage, view: &WalksView, state: &FormState) -> Markup {
    let lengths: Vec<(&str, String)> = view
        .lengths
        .iter()
        .map(|(length, n)| {
            let key = length_key(*length);
            let label = match length {
                Length::Short => t!("walk.length_short", n = n),
                Length::Usual => t!("walk.length_usual", n = n),
                Length::Long => t!("walk.length_long", n = n),
                Length::Full => t!("walk.length_full", n = n),
            };
            (key, label)
        })
        .collect();
    let lengths: Vec<Choice> = lengths.iter().map(|(k, l)| (*k, l.as_str())).collect();
    let masks = [
        ("no", t!("walk.masked_no")),
        ("pictures", t!("walk.masked_pictures")),
        ("helper", t!("walk.masked_helper")),
    ];
    let id = state.data.one(ID_FIELD).unwrap_or_default();
    let fields = html! {
        (hidden(ID_FIELD, id))
        div.walk-choices {
            (Field::radio("length", t!("walk.f_length"), &lengths).hint(t!("walk.h_length")).fill(state))
        }
        div.walk-choices {
            (Field::radio("masked", t!("walk.f_masked"), &masks).hint(t!("walk.h_masked")).fill(state))
            (pictures_note(view))
            p.hint { (t!("walk.best_helper")) }
        }
        (Field::text("who", t!("walk.f_who")).hint(t!("walk.h_who")).optional().fill(state))
        (actions(&html! { (Button::new(t!("walk.begin")).primary()) }))
    };
    form(&format!("{}/walk", page.path()), page.app.token(), &fields)
}

/// Which pictures would be shown, and what that means.
fn pictures_note(view: &WalksView) -> Markup {
    if !view.without_picture.is_empty() {
        let tanks = describe::list(&view.without_picture);
        return html! { p.hint { (t!("walk.pictures_missing", tanks = tanks)) } };
    }
    match view.picture_days {
        Some((from, to)) if from == to => {
            html! { p.hint { (t!("walk.pictures_one_day", day = day(from))) } }
        }
        Some((from, to)) => finding(
            Weight::Doubt,
            html! { (t!("walk.pictures_days", from = day(from), to = day(to))) },
            None,
        ),
        None => html! {},
    }
}
