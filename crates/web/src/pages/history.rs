//! Everything that was written, with its corrections: searched, newest first, each with the way to
//! its versions and back to one.

use answers::history::search::{Ask, Line, Searched, State, search};
use axum::extract::RawQuery;
use jiff::Timestamp;
use jiff::civil::Date;
use maud::{Markup, html};
use text::t;
use trial::{Act, EntryId, PlantingId, TankId, describe};

use super::entry::{entry_path, fresh_id};
use super::setup::earlier;
use super::words::{capital, day, said};
use crate::form_data::{FormData, FormState};
use crate::parts::button::{Button, actions, link_button};
use crate::parts::empty::empty;
use crate::parts::form::{Choice, Field, error_summary, form, query_form};
use crate::parts::shell::NavItem;
use crate::{TrialPage, WebError};

/// Longest text searched for.
const LONGEST: usize = 120;
const ANY: &str = "";
const CHANGED: &str = "changed";

/// What can be chosen: value and label, of this trial.
struct Offered {
    kinds: Vec<(String, String)>,
    tanks: Vec<(String, String)>,
    plantings: Vec<(String, String)>,
}

impl Offered {
    fn of(page: &TrialPage) -> Self {
        // What was withdrawn still has its history.
        let bench = page.bench.with_withdrawn();
        let any = |label: &str| vec![(ANY.to_owned(), label.to_owned())];
        let mut offered = Self {
            kinds: any(t!("history.any_kind")),
            tanks: any(t!("history.any_tank")),
            plantings: any(t!("history.any_planting")),
        };
        let kinds = Act::KINDS.into_iter().filter(|k| *k != "undo");
        let named = kinds.map(|k| (k.to_owned(), capital(describe::kind_name(k))));
        offered.kinds.extend(named);
        let tanks = bench.tanks.iter();
        let named = tanks.map(|t| (t.id.to_string(), t.name.clone()));
        offered.tanks.extend(named);
        for planting in &bench.plantings {
            let tank = bench.tank(planting.tank).map_or("", |t| t.name.as_str());
            let label = t!("history.planting_in", plant = planting.title(), tank = tank);
            offered.plantings.push((planting.id.to_string(), label));
        }
        offered
    }
}

fn choices(offered: &[(String, String)]) -> Vec<Choice<'_>> {
    let pairs = offered.iter();
    pairs.map(|(v, l)| (v.as_str(), l.as_str())).collect()
}

/// `{trial}/history?q=&kind=&tank=&planting=&who=&from=&to=&show=&before=`.
///
/// # Errors
/// When the notebook cannot be read.
pub async fn show(page: TrialPage, RawQuery(query): RawQuery) -> Result<Markup, WebError> {
    let mut state = FormState::filled(FormData::parse(query.unwrap_or_default().as_bytes())?);
    let offered = Offered::of(&page);
    let ask = asked(&mut state, &offered);
    let found = search(page.app.notebook(), &page.bench, &ask)?;
    let body = html! {
        (error_summary(&state.errors))
        (filters(&page, &state, &offered))
        @if found.lines.is_empty() {
            @let what = if found.next.is_some() { t!("history.none_stretch") } else { t!("history.none") };
            (empty(what, t!("history.none_how"), &html! {}))
        } @else {
            ol.steps-back { @for line in &found.lines { li { (version(&page, line)) } } }
        }
        (further(&page, &state, &found, ask.before.is_some()))
        @if ask.before.is_none() { (earlier::newest(&page)?) }
    };
    let lead = Some(t!("history.search_lead"));
    Ok(page.page(NavItem::History, t!("history.search_title"), lead, body))
}

/// What the address asks for; what cannot be read is said beside its field and not used.
fn asked(state: &mut FormState, offered: &Offered) -> Ask {
    let FormState { data, errors } = state;
    let mut text = |name: &str, label: &str| {
        let read = data.text_or_empty(name, label, LONGEST);
        errors.take(read).unwrap_or_default()
    };
    let (words, who) = (
        text("q", t!("history.words")),
        text("who", t!("history.who")),
    );
    let mut chosen = |name: &str, label: &str, offered: &[(String, String)]| {
        let given = data.one(name).is_some_and(|v| !v.is_empty());
        let read = given.then(|| {
            data.choice(name, label, &choices(offered))
                .map(str::to_owned)
        });
        read.and_then(|read| errors.take(read))
    };
    let kind = chosen("kind", t!("history.kind"), &offered.kinds);
    let tank = chosen("tank", t!("history.tank"), &offered.tanks);
    let planting = chosen("planting", t!("history.planting"), &offered.plantings);
    let mut date = |name: &str, label: &str| -> Option<Date> {
        let given = data.one(name).is_some_and(|v| !v.trim().is_empty());
        let read = given.then(|| data.date(name, label));
        read.and_then(|read| errors.take(read))
    };
    Ask {
        words,
        kind: Act::KINDS.into_iter().find(|k| kind.as_deref() == Some(*k)),
        tank: tank.and_then(|id| id.parse().ok()).map(TankId),
        planting: planting.and_then(|id| id.parse().ok()).map(PlantingId),
        who,
        from: date("from", t!("history.from_day")),
        to: date("to", t!("history.to_day")),
        changed: data.one("show") == Some(CHANGED),
        before: data.one("before").and_then(|id| id.parse().ok()),
    }
}

fn filters(page: &TrialPage, state: &FormState, offered: &Offered) -> Markup {
    let (kinds, tanks) = (choices(&offered.kinds), choices(&offered.tanks));
    let plantings = choices(&offered.plantings);
    let shows: [Choice<'_>; 2] = [
        ("all", t!("history.changed_all")),
        (CHANGED, t!("history.changed_only")),
    ];
    query_form(
        &format!("{}/history", page.path()),
        &html! {
            (Field::text("q", t!("history.words")).hint(t!("history.words_hint")).optional().fill(state))
            (Field::select("kind", t!("history.kind"), &kinds).value(ANY).fill(state))
            (Field::select("tank", t!("history.tank"), &tanks).value(ANY).fill(state))
            (Field::select("planting", t!("history.planting"), &plantings).value(ANY).fill(state))
            (Field::text("who", t!("history.who")).optional().fill(state))
            (Field::date("from", t!("history.from_day")).optional().fill(state))
            (Field::date("to", t!("history.to_day")).optional().fill(state))
            (Field::select("show", t!("history.changed"), &shows).value("all").fill(state))
            (Button::new(t!("history.find")).primary())
        },
    )
}

fn version(page: &TrialPage, line: &Line) -> Markup {
    let at = entry_path(page, line.entry);
    let what = capital(&line.sentence);
    let (state, after) = match &line.state {
        State::Stands => (t!("history.state_stands"), None),
        State::Corrected { by, written } => {
            let when = stamp(page, *written);
            let said = t!("history.after_corrected", when = when);
            (t!("history.state_corrected"), Some((said, by)))
        }
        State::TakenBack { by, written } => {
            let when = stamp(page, *written);
            let said = t!("history.after_taken_back", when = when);
            (t!("history.state_taken_back"), Some((said, by)))
        }
    };
    html! {
        p.version-head {
            strong { (line.at.strftime("%Y-%m-%d %H:%M")) }
            " " span.tag { (state) }
            @if line.is_change { " " span.tag { (t!("history.is_change")) } }
        }
        p { (capital(&line.tanks)) ": " (said(&what, &page.bench)) "." }
        @if !line.note.is_empty() { p.entry-note { (line.note) } }
        p.muted {
            (t!("history.written_on", when = stamp(page, line.written)))
            @if !line.who.is_empty() { " " (t!("history.by", who = line.who)) }
            ", " (line.origin) "."
            @if let Some((said, by)) = &after {
                " " (said) @if !by.is_empty() { " " (t!("history.by", who = by)) } "."
            }
        }
        (actions(&html! {
            a href=(at) aria-label=(t!("history.its_history_long", what = what)) { (t!("history.its_history")) }
            @if after.is_some() && line.kind != "walk" {
                (form(&format!("{at}/restore"), page.app.token(), &html! {
                    (fresh_id())
                    (Button::new(t!("history.restore")))
                }))
            }
        }))
    }
}

fn stamp(page: &TrialPage, written: Timestamp) -> String {
    let zone = answers::days::zone(&page.bench);
    let written = written.to_zoned_datetime(zone);
    written.strftime("%Y-%m-%d %H:%M").to_string()
}

/// The ways to older entries and back.
fn further(page: &TrialPage, state: &FormState, found: &Searched, is_older: bool) -> Markup {
    html! {
        @if let Some(to) = found.looked_to.filter(|_| found.next.is_some()) {
            p.muted { (t!("history.looked_to", day = day(to))) }
        }
        @if is_older || found.next.is_some() {
            (actions(&html! {
                @if let Some(next) = found.next {
                    (link_button(&address(page, state, Some(next)), t!("history.older")))
                }
                @if is_older {
                    a href=(address(page, state, None)) { (t!("history.newest")) }
                }
            }))
        }
    }
}

/// The same search from another entry on.
fn address(page: &TrialPage, state: &FormState, before: Option<EntryId>) -> String {
    let mut query = form_urlencoded::Serializer::new(String::new());
    let kept = state.data.iter().filter(|(name, _)| *name != "before");
    query.extend_pairs(kept.filter(|(_, value)| !value.is_empty()));
    if let Some(before) = before {
        query.append_pair("before", &before.to_string());
    }
    format!("{}/history?{}", page.path(), query.finish())
}
