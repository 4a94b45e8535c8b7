//! A new trial: the question, the tanks, the one difference. Everything else comes later.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::tz::TimeZone;
use jiff::{Timestamp, ZonedDateTime};
use maud::{Markup, html};
use store::Batch;
use text::t;
use trial::rules::check_record;
use trial::types::{Arm, Factor, Level};
use trial::{Bench, Record, Tank, TankId, Trial, TrialId, lot};
use uuid::Uuid;

use super::forms::{new_key, paper_fields, paper_lot};
use super::kit::{Ink, nth, part};
use super::reader::Reader;
use crate::app::App;
use crate::error::WebError;
use crate::form_data::{FormData, FormState};
use crate::parts::button::{Button, actions};
use crate::parts::fields::{Pairs, short_row, suggestions};
use crate::parts::form::{error_summary, form, hidden};
use crate::parts::shell::{PageHead, page};

/// Rows for tanks: as many as can be told apart in figures.
const TANKS: usize = 8;
/// Rows for arms.
const ARMS: usize = 4;
/// Longest title made of a question, in characters.
const TITLE: usize = 60;
const ZONES: &str = "zones-known";

/// The empty form.
pub async fn show(State(app): State<App>) -> Markup {
    let zone = TimeZone::system().iana_name().unwrap_or("UTC").to_owned();
    let mut pairs = Pairs::default();
    pairs.put("id", Uuid::now_v7());
    pairs.put("new_zone", zone);
    pairs.put("given", "lot");
    drawn(&app, &FormState::filled(FormData::from_pairs(pairs.0)))
}

/// Writes the trial and its tanks, and leads to its bench.
pub async fn create(State(app): State<App>, data: FormData) -> Result<Response, WebError> {
    let id = data
        .one("id")
        .and_then(|id| Uuid::parse_str(id).ok())
        .unwrap_or_else(Uuid::now_v7);
    let to = Redirect::to(&format!("/trials/{id}/bench"));
    // The form sent twice: the trial is there already.
    if matches!(app.notebook().record(id)?, Some(Record::Trial(_))) {
        return Ok(to.into_response());
    }
    let zone = TimeZone::get(data.one("new_zone").unwrap_or_default().trim());
    let today = Timestamp::now().to_zoned_datetime(zone.unwrap_or(TimeZone::UTC));
    let nowhere = Bench::new(Trial::new(TrialId(id), "", "UTC"));
    let mut from = Reader::new(&data, &nowhere, today.date());
    let records = read(&mut from, TrialId(id));
    let problems: Vec<_> = records.iter().flat_map(check_record).collect();
    add_problems(&mut from, &problems);
    let errors = from.into_errors();
    if !errors.is_empty() {
        let shown = drawn(&app, &FormState { data, errors });
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, shown).into_response());
    }
    write(&app, records, &today)?;
    Ok(to.into_response())
}

fn write(app: &App, records: Vec<Record>, now: &ZonedDateTime) -> Result<(), WebError> {
    let at = now.timestamp();
    app.notebook().write_all(&Batch {
        records: records
            .into_iter()
            .map(|r| (r, String::new(), at))
            .collect(),
        entries: vec![],
    })?;
    Ok(())
}

/// Problems of the rules at the fields of this form, whose names say what they are new of.
fn add_problems(from: &mut Reader<'_>, problems: &[trial::rules::Problem]) {
    // A missing title is said at the question, which would have given one.
    let untitled = from.errors.of("new_question").is_some();
    let problems = problems
        .iter()
        .filter(|p| !(untitled && p.field == "title"));
    let renamed = problems.map(|problem| trial::rules::Problem {
        field: match problem.field {
            "name" => "tank_name",
            "zone" => "new_zone",
            "title" => "new_title",
            other => other,
        },
        ..problem.clone()
    });
    from.add_problems(&renamed.collect::<Vec<_>>(), &[]);
}

fn read(from: &mut Reader<'_>, id: TrialId) -> Vec<Record> {
    let question = from.page("new_question");
    let typed = from.text("new_title");
    let title = if typed.is_empty() {
        title_of(&question)
    } else {
        typed
    };
    if title.is_empty() {
        from.refuse("new_question", t!("setup.accept_question"));
    }
    let mut trial = Trial::new(id, title, from.text("new_zone"));
    trial.question = question;
    let arms = read_arms(from, &mut trial);
    let mut tanks = read_tanks(from, id);
    if from.typed("given") == "lot" {
        by_lot(from, &mut trial, &mut tanks);
    } else {
        by_hand(from, &arms, &mut tanks);
    }
    if from.typed("given") == "paper" {
        let arm = |t: &Tank| trial.arm(t.arm.as_ref()?).map(|arm| arm.name.clone());
        let given = tanks
            .iter()
            .filter_map(|(_, t)| Some((t.name.clone(), arm(t)?)));
        trial.lot = paper_lot(from, &given.collect::<Vec<_>>());
    }
    let tanks = tanks.into_iter().map(|(_, tank)| Record::Tank(tank));
    std::iter::once(Record::Trial(trial)).chain(tanks).collect()
}

/// The start of the question, cut between words.
fn title_of(question: &str) -> String {
    let line = question.lines().next().unwrap_or_default().trim();
    if line.chars().count() <= TITLE {
        return line.to_owned();
    }
    let start: String = line.chars().take(TITLE).collect();
    let whole = start
        .rsplit_once(' ')
        .map_or(start.as_str(), |(before, _)| before);
    format!("{whole}\u{2026}")
}

/// The row and key of each arm named; an arm is named by its level of the one difference.
fn read_arms(from: &mut Reader<'_>, trial: &mut Trial) -> Vec<(usize, String)> {
    let factor = from.text("new_factor");
    let mut rows = Vec::new();
    let mut levels = Vec::new();
    for n in from.rows(&["new_level"]) {
        let name = from.text(&nth("new_level", n));
        let key = new_key(&name, trial, &[]);
        levels.push(Level {
            arm: key.clone(),
            value: name.clone(),
        });
        let control = from.typed("new_control") == n.to_string();
        trial.arms.push(Arm {
            key: key.clone(),
            name,
            control,
        });
        rows.push((n, key));
    }
    if rows.len() < 2 {
        let lacking = (1..=2)
            .find(|n| !rows.iter().any(|(row, _)| row == n))
            .unwrap_or(2);
        from.refuse(&nth("new_level", lacking), t!("setup.accept_two_arms"));
    }
    if factor.is_empty() {
        from.refuse("new_factor", t!("setup.accept_difference"));
    }
    trial.differ.push(Factor {
        name: factor,
        levels,
    });
    rows
}

fn read_tanks(from: &mut Reader<'_>, trial: TrialId) -> Vec<(usize, Tank)> {
    let mut tanks: Vec<(usize, Tank)> = Vec::new();
    let rows: Vec<usize> = from
        .rows(&["tank_name"])
        .into_iter()
        .filter(|n| *n <= TANKS)
        .collect();
    for (place, n) in (0..).zip(&rows) {
        let field = nth("tank_name", *n);
        let name = from.text(&field);
        let same = |(_, t): &(usize, Tank)| t.name.to_lowercase() == name.to_lowercase();
        if tanks.iter().any(same) {
            from.refuse(&field, t!("setup.accept_new_name"));
        }
        // Ids follow from the form's, so that sending it twice makes the same tanks.
        let id = Uuid::from_u128(trial.0.as_u128().wrapping_add(*n as u128));
        tanks.push((*n, Tank::new(TankId(id), trial, name, place)));
    }
    if tanks.len() < 2 {
        let lacking = (1..=2).find(|n| !rows.contains(n)).unwrap_or(2);
        from.refuse(&nth("tank_name", lacking), t!("setup.accept_two_tanks"));
    }
    tanks
}

fn by_lot(from: &mut Reader<'_>, trial: &mut Trial, tanks: &mut [(usize, Tank)]) {
    let Some(seed) = from.seed("seed") else {
        return;
    };
    let names: Vec<String> = tanks.iter().map(|(_, t)| t.name.clone()).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let arms: Vec<&str> = trial.arms.iter().map(|a| a.name.as_str()).collect();
    let dealt = lot::dealt(seed, &names, arms.len());
    let drawn = lot::record(seed, &arms, from.today);
    for (_, tank) in tanks {
        let arm = dealt
            .iter()
            .find(|(name, _)| *name == tank.name)
            .map(|(_, arm)| *arm);
        tank.arm = arm.and_then(|at| trial.arms.get(at)).map(|a| a.key.clone());
    }
    trial.lot = Some(drawn);
}

fn by_hand(from: &mut Reader<'_>, arms: &[(usize, String)], tanks: &mut [(usize, Tank)]) {
    for (n, tank) in tanks {
        let field = nth("tank_arm", *n);
        let row = from.typed(&field);
        tank.arm = arms
            .iter()
            .find(|(r, _)| r.to_string() == row)
            .map(|(_, key)| key.clone());
        if tank.arm.is_none() {
            from.refuse(&field, t!("setup.accept_arm"));
        }
    }
}

fn drawn(app: &App, state: &FormState) -> Markup {
    let nowhere = Bench::new(Trial::new(TrialId(Uuid::nil()), "", "UTC"));
    let ink = Ink {
        state,
        bench: &nowhere,
    };
    let fields = html! {
        (hidden("id", state.data.one("id").unwrap_or_default()))
        (part(t!("setup.new_part_question"), &html! { (ink.field("new_question").area(3)) }))
        (part(t!("setup.new_part_tanks"), &html! {
            p.muted { (t!("setup.new_tanks_what")) }
            (short_row(&html! { @for n in 1..=TANKS { (ink.text_numbered(&nth("tank_name", n), n)) } }))
        }))
        (part(t!("setup.new_part_difference"), &difference(&ink)))
        (part(t!("setup.new_part_given"), &given(&ink)))
        (part(t!("setup.new_part_rest"), &rest(&ink)))
        (actions(&html! {
            (Button::new(t!("setup.make_trial")).primary())
            a.button.button-quiet href="/" { (t!("setup.cancel")) }
        }))
    };
    let head = PageHead {
        title: t!("setup.new_trial"),
        lead: Some(t!("setup.lead_new_trial")),
        ..PageHead::default()
    };
    let body = html! {
        (error_summary(&state.errors))
        div.most-optional { (form("/trials/new", app.token(), &fields)) }
    };
    page(&head, body)
}

fn difference(ink: &Ink<'_>) -> Markup {
    html! {
        (ink.text("new_factor"))
        (short_row(&html! { @for n in 1..=ARMS { (ink.text_numbered(&nth("new_level", n), n)) } }))
        (ink.field("new_control").select(&arm_list(ink, t!("setup.no_control"))))
    }
}

fn given(ink: &Ink<'_>) -> Markup {
    let list = arm_list(ink, t!("setup.arm_later"));
    let open = matches!(ink.state.data.one("given"), Some("hand" | "paper"));
    html! {
        (ink.radio("given"))
        (ink.text("seed"))
        details.disclosure open[open] {
            summary { (t!("setup.given_hand_rows")) }
            div.disclosure-body { (short_row(&html! {
                @for n in 1..=TANKS {
                    @let typed = ink.state.data.one(&nth("tank_name", n)).unwrap_or_default().trim();
                    @let label = if typed.is_empty() { t!("setup.tank_number", n = n) } else { typed.to_owned() };
                    (ink.field_named(&nth("tank_arm", n), &label).select(&list))
                }
            })) }
        }
        (paper_fields(ink))
    }
}

fn rest(ink: &Ink<'_>) -> Markup {
    let zones: Vec<String> = jiff::tz::db()
        .available()
        .map(|zone| zone.to_string())
        .collect();
    html! {
        (suggestions(ZONES, zones.iter().map(|zone| (zone.as_str(), ""))))
        (ink.text("new_title"))
        (ink.field("new_zone").suggested(ZONES))
    }
}

fn arm_list(ink: &Ink<'_>, none: &str) -> Vec<(String, String)> {
    let mut list = vec![(String::new(), none.to_owned())];
    for n in 1..=ARMS {
        let typed = ink
            .state
            .data
            .one(&nth("new_level", n))
            .unwrap_or_default()
            .trim();
        let words = if typed.is_empty() {
            t!("setup.arm_number", n = n)
        } else {
            typed.to_owned()
        };
        list.push((n.to_string(), words));
    }
    list
}
