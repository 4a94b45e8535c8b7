//! Two pictures: beside each other, and with a script one above the other with a divider.

use answers::pictures::{Asked, SideBySide, Taken, side_by_side};
use axum::extract::RawQuery;
use jiff::civil::Date;
use maud::{Markup, html};
use text::t;
use trial::act::View;
use trial::{Entry, EntryId, TankId};

use super::{Look, clock, compare_path, image, ways};
use crate::error::ErrorKind;
use crate::form_data::{FieldError, FormData, FormState};
use crate::pages::entry::entry_path;
use crate::pages::words::day as day_words;
use crate::parts::button::{Button, actions};
use crate::parts::empty::empty;
use crate::parts::fields::{Pick, borrowed, tank_picks};
use crate::parts::findings;
use crate::parts::form::{Field, error_summary, hidden, query_form};
use crate::parts::series::tank_name;
use crate::parts::shell::{NavItem, PageHead};
use crate::{TrialPage, WebError};

/// Width of the copies compared.
const COPY: u32 = 1280;

/// `{trial}/pictures/compare?left=ENTRY&right=ENTRY`; or `of=tank` with a tank and two days, or
/// `of=day` with two tanks and a day.
///
/// # Errors
/// When the notebook cannot be read, or an entry is no picture of this trial.
pub async fn show(page: TrialPage, RawQuery(query): RawQuery) -> Result<Markup, WebError> {
    let data = FormData::parse(query.unwrap_or_default().as_bytes())?;
    let mut state = FormState::filled(data);
    let entries = answers::load::around_pictures(page.app.notebook(), &page.bench)?;
    let asked = asked(&page, &mut state)?;
    let named = matches!(asked, Some(Asked::Entries(..)));
    let found = side_by_side(&page.bench, &entries, asked.unwrap_or(Asked::Usual));
    if named && found.is_none() {
        return Err(WebError::of(ErrorKind::NotFound));
    }
    let body = html! {
        (ways(&page, Look::Two))
        (error_summary(&state.errors))
        @match &found {
            Some(two) => {
                p.state { (said(two)) }
                (drawn(&page, two))
                @if !two.findings.is_empty() { (findings::all(&two.findings, &page.bench)) }
            },
            None => (empty(t!("pictures.two_empty"), t!("pictures.two_empty_how"), &html! {})),
        }
        (choose(&page, &entries, found.as_ref(), &state))
    };
    let head = PageHead {
        title: t!("pictures.two"),
        lead: Some(t!("pictures.two_lead")),
        active: Some(NavItem::Pictures),
        modules: &["divide.js"],
        ..PageHead::default()
    };
    Ok(page.framed(head, body))
}

/// What the address asks for; none when it asks for nothing, or what it asks cannot be read.
fn asked(page: &TrialPage, state: &mut FormState) -> Result<Option<Asked>, WebError> {
    let unknown = || WebError::of(ErrorKind::NotFound);
    let FormState { data, errors } = state;
    let id = |name: &str| {
        let given = data.one(name);
        given
            .map(str::parse::<EntryId>)
            .transpose()
            .map_err(|_| unknown())
    };
    if let (Some(left), Some(right)) = (id("left")?, id("right")?) {
        return Ok(Some(Asked::Entries(left, right)));
    }
    Ok(match data.one("of") {
        Some("tank") => {
            let tank = errors.take(tank(page, data, "tank", t!("pictures.f_tank")));
            let from = errors.take(data.date("from", t!("pictures.f_from")));
            let to = errors.take(data.date("to", t!("pictures.f_to")));
            tank.zip(from)
                .zip(to)
                .map(|((tank, from), to)| Asked::Days(tank, from, to))
        }
        Some("day") => {
            let one = errors.take(tank(page, data, "one", t!("pictures.f_one")));
            let other = errors.take(tank(page, data, "other", t!("pictures.f_other")));
            let day = errors.take(data.date("day", t!("pictures.f_day")));
            one.zip(other)
                .zip(day)
                .map(|((one, other), day)| Asked::Tanks(one, other, day))
        }
        _ => None,
    })
}

fn tank(page: &TrialPage, data: &FormData, name: &str, label: &str) -> Result<TankId, FieldError> {
    let picks = tank_picks(&page.bench);
    let id = data.choice(name, label, &borrowed(&picks))?;
    let known = page.bench.tanks.iter().find(|t| t.id.to_string() == id);
    known
        .map(|t| t.id)
        .ok_or_else(|| FieldError::new(name, label, id, t!("pictures.accept_tank")))
}

/// The two in a sentence.
fn said(two: &SideBySide) -> String {
    let (left, right) = (&two.left.line, &two.right.line);
    let (from, to) = (day_words(left.day), day_words(right.day));
    match (left.tank == right.tank, two.days) {
        (true, days) => t!(
            "pictures.said_days",
            tank = left.tank_name,
            from = from,
            to = to,
            n = days.abs()
        ),
        (false, 0) => t!(
            "pictures.said_tanks",
            one = left.tank_name,
            other = right.tank_name,
            day = from
        ),
        (false, _) => t!(
            "pictures.said_both",
            one = left.tank_name,
            from = from,
            other = right.tank_name,
            to = to
        ),
    }
}

/// Both pictures, the divider's controls, which the script shows, and what each is.
fn drawn(page: &TrialPage, two: &SideBySide) -> Markup {
    let (left, right) = (&two.left, &two.right);
    let short = |of: &Taken, other: &Taken| match of.line.tank == other.line.tank {
        true => day_words(of.line.day),
        false => of.line.tank_name.clone(),
    };
    let (one, other) = (short(left, right), short(right, left));
    // The script puts the two shares in.
    let template = t!(
        "pictures.divider_said",
        l = "{l}",
        r = "{r}",
        left = one,
        right = other
    );
    html! {
        div.divide data-divide=(template) {
            figure.divide-figure {
                div.divide-stage {
                    (image(left, COPY, Some("divide-left")))
                    (image(right, COPY, Some("divide-right")))
                    span.divide-line aria-hidden="true" {}
                }
                figcaption.divide-captions {
                    div { (caption(page, two, left, true)) }
                    div { (caption(page, two, right, false)) }
                }
            }
            div.divide-control hidden {
                label for="divider" { (t!("pictures.divider")) }
                input type="range" id="divider" min="0" max="100" step="1" value="50" aria-describedby="divider-how";
                div.divide-buttons {
                    button.button type="button" data-divide-to="100" { (t!("pictures.only_left")) }
                    button.button type="button" data-divide-to="50" { (t!("pictures.half")) }
                    button.button type="button" data-divide-to="0" { (t!("pictures.only_right")) }
                }
                p.hint id="divider-how" { (t!("pictures.divider_how")) }
            }
        }
    }
}

fn caption(page: &TrialPage, two: &SideBySide, taken: &Taken, is_left: bool) -> Markup {
    let line = &taken.line;
    let place = page.bench.tank(line.tank).map_or(0, |t| t.place);
    let around = if is_left {
        two.around_left
    } else {
        two.around_right
    };
    let to = |id: EntryId| {
        let (left, right) = if is_left {
            (id, two.right.line.entry)
        } else {
            (two.left.line.entry, id)
        };
        format!("{}/pictures/compare?left={left}&right={right}", page.path())
    };
    html! {
        p { (tank_name(place, &line.tank_name)) }
        p {
            a href=(entry_path(page, line.entry)) { time datetime=(line.day) { (day_words(line.day)) } }
            " " (clock(taken))
        }
        @if !line.note.is_empty() { p.muted { (line.note) } }
        p.divide-steps {
            @if let Some(id) = around[0] { a rel="prev" href=(to(id)) { "← " (t!("pictures.step_back")) } }
            @if let Some(id) = around[1] { a rel="next" href=(to(id)) { (t!("pictures.step_on")) " →" } }
        }
    }
}

/// Days with a front picture, newest first, as choices.
fn front_days(page: &TrialPage, entries: &[Entry]) -> Vec<Pick> {
    let lines = answers::pictures::pictures(&page.bench, entries);
    let fronts = lines.iter().filter(|l| l.picture.view == View::Front);
    let mut days: Vec<Date> = fronts.map(|l| l.day).collect();
    days.sort_unstable_by_key(|day| std::cmp::Reverse(*day));
    days.dedup();
    days.into_iter()
        .map(|d| (d.to_string(), day_words(d)))
        .collect()
}

/// Plain forms for two other pictures.
fn choose(
    page: &TrialPage,
    entries: &[Entry],
    two: Option<&SideBySide>,
    state: &FormState,
) -> Markup {
    let (tanks, days) = (tank_picks(&page.bench), front_days(page, entries));
    if days.is_empty() {
        return html! {};
    }
    let shown = two.map(|two| {
        let (left, right) = (two.left.line.tank, two.right.line.tank);
        let beside = page.bench.tanks.iter().map(|t| t.id).find(|id| *id != left);
        let another = if left == right {
            beside.unwrap_or(right)
        } else {
            right
        };
        FormState::filled(FormData::from_pairs([
            ("tank", two.left.line.tank.to_string()),
            ("from", two.left.line.day.to_string()),
            ("to", two.right.line.day.to_string()),
            ("one", two.left.line.tank.to_string()),
            ("other", another.to_string()),
            ("day", two.left.line.day.to_string()),
        ]))
    });
    // A form that was refused comes back as it was sent.
    let state = shown
        .as_ref()
        .filter(|_| state.errors.is_empty())
        .unwrap_or(state);
    let (tanks, days) = (borrowed(&tanks), borrowed(&days));
    let select = |name: &'static str, label: &'static str, of_tanks: bool| {
        let offered = if of_tanks { &tanks } else { &days };
        html! { (Field::select(name, label, offered).fill(state)) }
    };
    let at = format!("{}/pictures/compare", page.path());
    let send = || actions(&html! { (Button::new(t!("pictures.show"))) });
    let one_tank = html! {
        (hidden("of", "tank"))
        (select("tank", t!("pictures.f_tank"), true))
        (select("from", t!("pictures.f_from"), false))
        (select("to", t!("pictures.f_to"), false))
        (send())
    };
    let two_tanks = html! {
        (hidden("of", "day"))
        (select("one", t!("pictures.f_one"), true))
        (select("other", t!("pictures.f_other"), true))
        (select("day", t!("pictures.f_day"), false))
        (send())
    };
    html! {
        section.section {
            h2 { (t!("pictures.choose")) }
            h3 { (t!("pictures.choose_tank")) }
            (query_form(&at, &one_tank))
            @if page.bench.tanks.len() > 1 {
                h3 { (t!("pictures.choose_day")) }
                (query_form(&at, &two_tanks))
            }
            @if let Some(two) = two {
                p { a href=(compare_path(page, &two.right, &two.left)) { (t!("pictures.swap")) } }
            }
        }
    }
}
