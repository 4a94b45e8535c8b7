//! The tank-side sheet: the paper to print, and the page it is typed in on.

mod enter;
mod fields;
mod paper;
mod save;

pub use enter::enter;
pub use save::save;

use answers::sheet::{Asked, MOST_DAYS, Parts, Sheet, sheet, usual_from};
use axum::extract::RawQuery;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};
use text::t;

use crate::form_data::{FieldError, FormData, FormState};
use crate::parts::button::{Button, link_button, primary_link};
use crate::parts::empty::empty;
use crate::parts::form::{Field, query_form};
use crate::parts::shell::NavItem;
use crate::{TrialPage, WebError, assets};

/// Days of a sheet unless asked otherwise.
const USUAL_DAYS: u32 = 7;

/// The parts of a sheet, by the word in its address.
fn parts() -> [(&'static str, &'static str); 5] {
    [
        ("due", t!("sheet.part_due")),
        ("acts", t!("sheet.part_acts")),
        ("readings", t!("sheet.part_readings")),
        ("looks", t!("sheet.part_looks")),
        ("lines", t!("sheet.part_lines")),
    ]
}

/// `{trial}/sheet`: the sheet as it is printed, and the form that asks for another.
///
/// # Errors
/// When the notebook cannot be read.
pub async fn show(page: TrialPage, RawQuery(query): RawQuery) -> Result<Response, WebError> {
    let mut state = asked_state(&page, query.as_deref())?;
    let found = match read_asked(&page, &mut state) {
        Some(asked) => Some((sheet(page.app.notebook(), &page.bench, &asked)?, asked)),
        None => None,
    };
    let status = match found {
        Some(_) => StatusCode::OK,
        None => StatusCode::UNPROCESSABLE_ENTITY,
    };
    let body = html! {
        (style())
        @if page.bench.tanks.is_empty() { (nothing(&page)) }
        @else {
            div.sheet-ask {
                (ask_form(&page, &state))
                @if let Some((_, asked)) = &found {
                    div.sheet-ways {
                        (primary_link(&enter_path(&page, asked), t!("sheet.to_enter")))
                        p.hint { (t!("sheet.print_hint")) }
                    }
                }
            }
            @if let Some((sheet, asked)) = &found { (paper::draw(&page, sheet, asked)) }
        }
    };
    let lead = Some(t!("sheet.lead"));
    Ok((
        status,
        page.page(NavItem::Sheet, t!("sheet.title"), lead, body),
    )
        .into_response())
}

/// The way to the sheet from other pages.
pub fn way(page: &TrialPage) -> Markup {
    html! {
        div.walk-way {
            (link_button(&format!("{}/sheet", page.path()), t!("sheet.link")))
            p.hint { (t!("sheet.link_hint")) }
        }
    }
}

fn style() -> Markup {
    html! { link rel="stylesheet" href=(assets::url("sheet.css")); }
}

fn nothing(page: &TrialPage) -> Markup {
    let to_setup = link_button(&format!("{}/setup", page.path()), t!("sheet.to_setup"));
    empty(t!("sheet.nothing"), t!("sheet.nothing_how"), &to_setup)
}

/// What the address asks for, with the usual where it is silent.
fn asked_state(page: &TrialPage, query: Option<&str>) -> Result<FormState, WebError> {
    let asked = FormData::parse(query.unwrap_or_default().as_bytes())?;
    let mut pairs: Vec<(String, String)> = Vec::new();
    let mut put = |name: &str, value: String| pairs.push((name.to_owned(), value));
    let typed = |name: &str| asked.one(name).map(str::to_owned);
    let days = typed("days").unwrap_or_else(|| USUAL_DAYS.to_string());
    let many = days.trim().parse().ok().filter(|n| *n >= 1);
    let today = page.today();
    let usual = usual_from(
        &page.bench,
        today,
        many.unwrap_or(USUAL_DAYS).min(MOST_DAYS),
    );
    let from = typed("from").unwrap_or_else(|| usual.to_string());
    let made = typed("made").filter(|m| !m.trim().is_empty());
    let made = made.unwrap_or_else(|| match from.trim().parse() {
        // A sheet of days that have passed stands as it would have on its first morning.
        Ok(first) if first < today => fields::minute(first, "00:00"),
        _ => page.now.strftime("%Y-%m-%dT%H:%M").to_string(),
    });
    put("from", from);
    put("days", days);
    put("made", made);
    match asked.has("part") {
        true => asked.all("part").for_each(|p| put("part", p.to_owned())),
        false => parts()
            .iter()
            .for_each(|(word, _)| put("part", (*word).to_owned())),
    }
    Ok(FormState::filled(FormData::from_pairs(pairs)))
}

/// What is asked for; what is wrong with it is noted at its fields.
fn read_asked(page: &TrialPage, state: &mut FormState) -> Option<Asked> {
    let (data, errors) = (&state.data, &mut state.errors);
    let from = errors.take(data.date("from", t!("sheet.f_from")));
    let days = errors.take(data.whole("days", t!("sheet.f_days"), 1..=MOST_DAYS));
    let made = errors.take(data.moment("made", t!("sheet.f_made")));
    let zone = answers::days::zone(&page.bench);
    let made = made.and_then(|m| match m.to_zoned_datetime(zone) {
        Ok(made) => Some(made),
        Err(_) => {
            let typed = data.one("made").unwrap_or_default();
            let accepted = t!("log.accept_at");
            errors.add(FieldError::new("made", t!("sheet.f_made"), typed, accepted));
            None
        }
    });
    let has = |word: &str| data.all("part").any(|p| p == word);
    Some(Asked {
        from: from?,
        days: days?,
        made: made?,
        parts: Parts {
            due: has("due"),
            acts: has("acts"),
            readings: has("readings"),
            looks: has("looks"),
            lines: has("lines"),
        },
    })
}

fn ask_form(page: &TrialPage, state: &FormState) -> Markup {
    let parts = parts();
    query_form(
        &format!("{}/sheet", page.path()),
        &html! {
            (Field::date("from", t!("sheet.f_from")).fill(state))
            (Field::number("days", t!("sheet.f_days")).fill(state))
            (Field::checks("part", t!("sheet.f_parts"), &parts).fill(state))
            (Button::new(t!("sheet.show")))
        },
    )
}

/// The query that asks for this sheet again, from whatever page.
fn query_of(asked: &Asked) -> String {
    let mut query = format!(
        "from={}&days={}&made={}",
        asked.from,
        asked.days,
        asked.made.strftime("%Y-%m-%dT%H:%M")
    );
    let p = asked.parts;
    if p != Parts::ALL {
        let on = [p.due, p.acts, p.readings, p.looks, p.lines];
        for ((word, _), _) in parts().iter().zip(on).filter(|(_, on)| *on) {
            query.push_str("&part=");
            query.push_str(word);
        }
    }
    query
}

fn enter_path(page: &TrialPage, asked: &Asked) -> String {
    format!("{}/sheet/enter?{}", page.path(), query_of(asked))
}

/// The span of a sheet in words.
fn span_words(sheet: &Sheet) -> String {
    let last = sheet.to.strftime("%A %-d %B %Y").to_string();
    if sheet.from == sheet.to {
        return t!("sheet.of_day", from = last);
    }
    let same_year = sheet.from.year() == sheet.to.year();
    let first = match same_year {
        true => sheet.from.strftime("%A %-d %B"),
        false => sheet.from.strftime("%A %-d %B %Y"),
    };
    t!("sheet.of_days", from = first, to = last)
}

/// A day as the sheet's narrow columns have it: `Mon 18 May`.
fn short_day(day: jiff::civil::Date) -> String {
    day.strftime("%a\u{a0}%-d\u{a0}%b").to_string()
}
