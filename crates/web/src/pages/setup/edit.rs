//! One form: shown with what is recorded, saved as a new revision.

use answers::setup::{is_named, name_taken};
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use store::Batch;
use text::t;
use trial::rules::{Problem, check_record};
use trial::{Bench, Record, RecordKind};
use uuid::Uuid;

use super::forms::{self, Form};
use super::kit::{AGAIN, Ink};
use super::overview;
use super::reader::Reader;
use crate::app::App;
use crate::error::{ErrorKind, WebError};
use crate::form_data::{FormData, FormState};
use crate::parts::button::{Button, actions};
use crate::parts::form::{error_summary, form, hidden};
use crate::parts::shell::NavItem;
use crate::trial_page::TrialPage;

/// The word in the place of an id for a record that does not exist yet.
pub(super) const NEW: &str = "new";

/// What is edited.
struct Target {
    form: Form,
    base: Record,
    recorded: bool,
    path: String,
}

/// A part of the trial's own record; the word of another form leads to its part of the overview.
pub async fn show_part(
    page: TrialPage,
    Path((_, word)): Path<(String, String)>,
) -> Result<Response, WebError> {
    let form = known(&word)?;
    if !form.is_of_trial() {
        let to = overview::at(page.path(), &word);
        return Ok(Redirect::to(&to).into_response());
    }
    Ok(opened(&page, &part(&page, form)).into_response())
}

/// Saves a part of the trial's own record.
pub async fn save_part(
    State(app): State<App>,
    page: TrialPage,
    Path((_, word)): Path<(String, String)>,
    data: FormData,
) -> Result<Response, WebError> {
    let form = known(&word)?;
    if !form.is_of_trial() {
        return Err(WebError::of(ErrorKind::NotAllowed));
    }
    save(&app, &page, &part(&page, form), data)
}

/// One record, or a new one.
pub async fn show_record(
    page: TrialPage,
    Path((_, word, id)): Path<(String, String, String)>,
) -> Result<Markup, WebError> {
    let target = record(&page, known(&word)?, &id, Uuid::now_v7())?;
    Ok(opened(&page, &target))
}

/// Saves one record.
pub async fn save_record(
    State(app): State<App>,
    page: TrialPage,
    Path((_, word, id)): Path<(String, String, String)>,
    data: FormData,
) -> Result<Response, WebError> {
    let new = data.one("id").and_then(|id| Uuid::parse_str(id).ok());
    let target = record(&page, known(&word)?, &id, new.unwrap_or_else(Uuid::now_v7))?;
    save(&app, &page, &target, data)
}

fn known(word: &str) -> Result<Form, WebError> {
    Form::of_word(word).ok_or_else(|| WebError::of(ErrorKind::NotFound))
}

fn part(page: &TrialPage, form: Form) -> Target {
    Target {
        form,
        base: Record::Trial(page.bench.trial.clone()),
        recorded: true,
        path: format!("{}/setup/{}", page.path(), form.word()),
    }
}

fn record(page: &TrialPage, form: Form, id: &str, new: Uuid) -> Result<Target, WebError> {
    let unknown = || {
        let sentence = t!("setup.no_such_record", what = form.title());
        WebError::not_found(sentence).back_to(format!("{}/setup", page.path()), t!("setup.back"))
    };
    let base = match id {
        NEW => forms::blank(form, &page.bench, new, page.today()),
        id => {
            let id = Uuid::parse_str(id).map_err(|_| unknown())?;
            answers::setup::records(&page.bench, form.kind())
                .into_iter()
                .find(|r| r.id() == id)
        }
    };
    Ok(Target {
        form,
        base: base
            .filter(|r| r.kind() != RecordKind::Trial)
            .ok_or_else(unknown)?,
        recorded: id != NEW,
        path: format!("{}/setup/{}/{id}", page.path(), form.word()),
    })
}

fn opened(page: &TrialPage, target: &Target) -> Markup {
    let mut pairs = forms::fill(target.form, &target.base, &page.bench);
    if !target.recorded {
        pairs.put("id", target.base.id());
        if !pairs.has("tanks") {
            pairs.put("tanks", FormData::EVERY);
        }
    }
    drawn(
        page,
        target,
        &FormState::filled(FormData::from_pairs(pairs.0)),
    )
}

fn drawn(page: &TrialPage, target: &Target, state: &FormState) -> Markup {
    let ink = Ink {
        state,
        bench: &page.bench,
    };
    let title = title(page, target);
    let setup = format!("{}/setup", page.path());
    let earlier = target.recorded.then(|| {
        let form = Form::of_kind(target.base.kind());
        format!("{setup}/{}/{}/earlier", form.word(), target.base.id())
    });
    let fields = html! {
        @if let Some(id) = state.data.one("id") { (hidden("id", id)) }
        (forms::fields(target.form, &ink, &target.base, target.recorded))
        (actions(&html! {
            (Button::new(t!("setup.save")).primary())
            a.button.button-quiet href={ (setup) "#" (target.form.word()) } { (t!("setup.cancel")) }
        }))
    };
    let body = html! {
        (error_summary(&state.errors))
        div.most-optional { (form(&target.path, page.app.token(), &fields)) }
        @if let Some(earlier) = earlier { p { a href=(earlier) { (t!("setup.earlier")) } } }
        @if target.recorded && target.base.kind() != RecordKind::Trial {
            p { a href={ (target.path) "/withdraw" } { (t!("setup.withdraw")) } }
        }
    };
    page.page(NavItem::SetUp, &title, Some(lead(target)), body)
}

/// The kind of record, with its name once it has one.
fn title(page: &TrialPage, target: &Target) -> String {
    let what = target.form.title();
    if !target.recorded {
        return target.form.title_new().to_owned();
    }
    // The parts of the trial's own record are told by their heading.
    let name = match target.base.kind() {
        RecordKind::Trial => String::new(),
        _ => name(&page.bench, &target.base),
    };
    if name.is_empty() {
        what.to_owned()
    } else {
        t!("setup.title_of", what = what, name = name)
    }
}

/// What a record is called on these pages: a planting with its tank.
pub(super) fn name(bench: &Bench, record: &Record) -> String {
    match record {
        Record::Planting(r) => {
            let tank = bench.tank(r.tank).map_or("", |t| t.name.as_str());
            t!("setup.plant_in", plant = r.title(), tank = tank)
        }
        other => other.title(),
    }
}

fn lead(target: &Target) -> &'static str {
    match target.form {
        Form::Tank => t!("setup.lead_tank"),
        Form::Planting => t!("setup.lead_planting"),
        Form::Card => t!("setup.lead_card"),
        Form::Water => t!("setup.lead_water"),
        Form::Product => t!("setup.lead_product"),
        Form::Equipment => t!("setup.lead_equipment"),
        Form::Plan => t!("setup.lead_plan"),
        Form::Question => t!("setup.lead_question"),
        Form::Arms => t!("setup.lead_arms"),
        Form::Outcomes => t!("setup.lead_outcomes"),
        Form::Phases => t!("setup.lead_phases"),
        Form::Keeping => t!("setup.lead_keeping"),
    }
}

fn save(
    app: &App,
    page: &TrialPage,
    target: &Target,
    data: FormData,
) -> Result<Response, WebError> {
    let mut from = Reader::new(&data, &page.bench, page.today());
    let records = forms::read(target.form, &mut from, &target.base, target.recorded);
    if data.has(AGAIN) {
        let shown = drawn(page, target, &FormState::filled(data));
        return Ok(shown.into_response());
    }
    from.add_problems(&problems(&records), &known_problems(page, &records));
    unique_names(&mut from, &records);
    let errors = from.into_errors();
    if !errors.is_empty() {
        let shown = drawn(page, target, &FormState { data, errors });
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, shown).into_response());
    }
    let who = page.bench.trial.keeper.clone().unwrap_or_default();
    let at = page.now.timestamp();
    app.notebook().write_all(&Batch {
        records: records.into_iter().map(|r| (r, who.clone(), at)).collect(),
        entries: vec![],
    })?;
    let word = target.form.word();
    let to = format!("{}/setup?saved={word}#{word}", page.path());
    Ok(Redirect::to(&to).into_response())
}

fn problems(records: &[Record]) -> Vec<Problem> {
    records.iter().flat_map(check_record).collect()
}

/// What was wrong with these records already; it belongs to another form and is listed there.
fn known_problems(page: &TrialPage, records: &[Record]) -> Vec<Problem> {
    let trial = records.iter().any(|r| r.kind() == RecordKind::Trial);
    if !trial {
        return Vec::new();
    }
    check_record(&Record::Trial(page.bench.trial.clone()))
}

/// Names that jots and lists go by are given once.
fn unique_names(from: &mut Reader<'_>, records: &[Record]) {
    let own = records.first().filter(|r| is_named(r.kind()));
    let named = own.filter(|r| !r.title().trim().is_empty());
    if named.is_some_and(|r| name_taken(from.bench, r)) {
        from.refuse("name", t!("setup.accept_new_name"));
    }
}
