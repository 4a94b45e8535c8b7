//! The update: read as readers will, the keeper's own words, making it, and what was made.

mod made;

pub use made::{made, made_file, made_frame};

use answers::update::{UpdateView, update_view};
use axum::extract::RawQuery;
use axum::http::{HeaderValue, StatusCode};
use axum::response::{Html, IntoResponse, Redirect, Response};
use maud::{Markup, html};
use report::update::{Mode, Pictures, UpdateError};
use text::t;
use trial::{Record, Trial, TrialId};

use super::entry::fresh_id;
use super::pictures::in_turn;
use crate::app::App;
use crate::error::WebError;
use crate::form_data::{FormData, FormState};
use crate::guard::OwnPolicy;
use crate::jobs::{self, About, Outcome};
use crate::parts::button::{Button, actions, primary_link};
use crate::parts::form::{Field, error_summary, form};
use crate::parts::notice::{self, Weight};
use crate::parts::shell::NavItem;
use crate::trial_page::TrialPage;

/// Longest text of the keeper in one field, in characters.
const LONGEST: usize = 4000;

/// `{trial}/update`.
///
/// # Errors
/// When the notebook cannot be read.
pub async fn show(page: TrialPage, RawQuery(query): RawQuery) -> Result<Markup, WebError> {
    let asked = FormData::parse(query.unwrap_or_default().as_bytes())?;
    let trial = &page.bench.trial;
    let state = FormState::filled(FormData::from_pairs([
        ("next_step", trial.next_step.clone().unwrap_or_default()),
        ("disclosures", trial.disclosures.join("\n")),
    ]));
    Ok(drawn(&page, &state, asked.has("saved")))
}

fn drawn(page: &TrialPage, state: &FormState, saved: bool) -> Markup {
    let path = format!("{}/update", page.path());
    let body = html! {
        (error_summary(&state.errors))
        @if saved { (notice::done(t!("update.saved"), None)) }
        section.section {
            h2 { (t!("update.preview")) }
            p { (t!("update.preview_text")) }
            (actions(&primary_link(&format!("{path}/page"), t!("update.read"))))
        }
        (checks(page))
        section.section {
            h2 { (t!("update.words_of_yours")) }
            (form(&path, page.app.token(), &html! {
                (Field::area("next_step", t!("update.f_next_step"), 4)
                    .hint(t!("update.h_next_step")).optional().fill(state))
                (Field::area("disclosures", t!("update.f_disclosures"), 3)
                    .hint(t!("update.h_disclosures")).optional().fill(state))
                (actions(&html! { (Button::new(t!("update.save_words"))) }))
            }))
        }
        section.section {
            h2 { (t!("update.make")) }
            p { (t!("update.make_text", folder = made::folder_name(page))) }
            (form(&format!("{path}/make"), page.app.token(), &html! {
                (fresh_id())
                (actions(&html! { (Button::new(t!("update.make")).primary()) }))
            }))
        }
        (made::earlier(page))
    };
    page.page(
        NavItem::Update,
        t!("update.title"),
        Some(t!("update.lead")),
        body,
    )
}

/// What a reader will miss, and what should be looked at before it goes out.
fn checks(page: &TrialPage) -> Markup {
    let trial = &page.bench.trial;
    let empty = |text: Option<&str>| text.is_none_or(|t| t.trim().is_empty());
    let missing = [
        (
            trial.question.trim().is_empty(),
            t!("update.check_question"),
        ),
        (trial.primary.is_none(), t!("update.check_primary")),
        (
            empty(trial.stop_rule.as_deref()),
            t!("update.check_stop_rule"),
        ),
        (
            empty(trial.next_step.as_deref()),
            t!("update.check_next_step"),
        ),
    ];
    html! {
        section.section {
            h2 { (t!("update.before_publishing")) }
            @for (is, what) in missing { @if is { (notice::finding(Weight::Doubt, what, None)) } }
            (notice::finding(Weight::Note, t!("update.check_people"), None))
            @if trial.invented { (notice::finding(Weight::Note, t!("update.check_invented"), None)) }
        }
    }
}

/// Saves the keeper's words as a new revision of the trial.
///
/// # Errors
/// When the notebook cannot be written.
pub async fn save(page: TrialPage, data: FormData) -> Result<Response, WebError> {
    let mut state = FormState::filled(data);
    let text = |name, label| state.data.text_or_empty(name, label, LONGEST);
    let next_step = text("next_step", t!("update.f_next_step"));
    let disclosures = text("disclosures", t!("update.f_disclosures"));
    let next_step = state.errors.take(next_step);
    let disclosures = state.errors.take(disclosures);
    let (Some(next_step), Some(disclosures)) = (next_step, disclosures) else {
        let shown = drawn(&page, &state, false);
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, shown).into_response());
    };
    let lines = disclosures.lines().map(str::trim);
    let trial = Trial {
        next_step: (!next_step.is_empty()).then_some(next_step),
        disclosures: lines.filter(|l| !l.is_empty()).map(str::to_owned).collect(),
        ..page.bench.trial.clone()
    };
    let who = trial.keeper.clone().unwrap_or_default();
    let at = page.now.timestamp();
    page.app
        .notebook()
        .write_record(&Record::Trial(trial), &who, at)?;
    Ok(Redirect::to(&format!("{}/update?saved", page.path())).into_response())
}

/// `{trial}/update/page`: the page as readers will see it, under its own policy.
///
/// # Errors
/// When the notebook cannot be read.
pub async fn read(page: TrialPage) -> Result<Response, WebError> {
    let (app, trial, today) = (page.app.clone(), page.bench.trial.id, page.today());
    let text = in_turn(move || -> Result<String, WebError> {
        let view = view(&app, trial, today)?;
        let pictures =
            Pictures::of(app.notebook(), &view, &job::Progress::none()).map_err(failed)?;
        Ok(report::update::page(&view, &pictures, &Mode::Preview))
    })
    .await??;
    Ok(as_readers_see_it(text))
}

fn view(app: &App, trial: TrialId, today: jiff::civil::Date) -> Result<UpdateView, WebError> {
    Ok(update_view(app.notebook(), trial, today)?)
}

/// A page of an update under the policy it was made for: inline style by its hash, nothing else.
fn as_readers_see_it(text: String) -> Response {
    let policy = format!("{}; frame-ancestors 'none'", report::update::policy());
    let mut response = Html(text).into_response();
    if let Ok(policy) = HeaderValue::from_str(&policy) {
        response.extensions_mut().insert(OwnPolicy(policy));
    }
    response
}

/// Starts the job that makes the update of today.
///
/// # Errors
/// When it cannot be started.
pub async fn make(page: TrialPage, data: FormData) -> Result<Redirect, WebError> {
    let (trial, today) = (page.bench.trial.id, page.today());
    let name = made::folder_name(&page);
    let out = made::updates(&page).join(&name);
    let path = format!("{}/update", page.path());
    let about = About {
        what: t!("update.job", title = page.bench.trial.title),
        trial: Some(trial),
        back: (path.clone(), t!("update.back")),
    };
    jobs::start(
        &page.app,
        jobs::id_of(&data),
        about,
        move |app, progress| {
            let view = update_view(app.notebook(), trial, today).map_err(jobs::failed)?;
            let written = report::update::write(app.notebook(), &view, &out, progress);
            let written = written.map_err(|error| match error {
                UpdateError::Cancelled(cancelled) => cancelled.into(),
                other => jobs::failed(other),
            })?;
            let folder = format!("updates/{name}");
            let said = t!("update.made", n = written.len(), folder = folder);
            Ok(Outcome::said(said).link(format!("{path}/made/{name}"), t!("update.to_made")))
        },
    )
    .await
}

fn failed(error: UpdateError) -> WebError {
    if error.is_input() {
        WebError::conflict(error.to_string())
    } else {
        WebError::internal(&error)
    }
}
