//! How a step looks: a row for each tank with its last picture, its last value and what to touch.

use answers::walk::{Row, Scale, Shot, StepView};
use maud::{Markup, html};
use quantity::Format;
use text::t;
use trial::act::MaskedBy;

use super::{WalkPage, read};
use crate::form_data::FormState;
use crate::pages::words::{capital, day, said};
use crate::parts::button::Button;
use crate::parts::disclosure::disclosure;
use crate::parts::form::{error_summary, form, hidden};
use crate::parts::icon::Icon;
use crate::parts::series::series_sign;
use crate::parts::shell::NavItem;

/// Width of the copy that is cut: enough for a quarter of it on a phone.
const COPY: u32 = 1280;

pub(super) fn page(at: &WalkPage, view: &StepView, state: &FormState) -> Markup {
    let bench = &at.page.bench;
    let title = t!(
        "walk.step_title",
        about = capital(&view.about),
        measure = view.measure
    );
    let fields = html! {
        (anchors(at, view))
        div.walk-rows {
            @for (n, row) in view.rows.iter().enumerate() { (drawn_row(at, view, state, n, row)) }
        }
        (buttons(at, view))
    };
    let body = html! {
        div.walk-head {
            progress.walk-progress value=(view.number) max=(view.of) aria-hidden="true" {}
            h2.walk-about { (said(&title, bench)) }
            @if view.primary || at.walking.hidden() {
                p.walk-place {
                    @if view.primary { span.tag { (t!("walk.primary")) } }
                    @if at.walking.hidden() { " " span.tag { (masked(at)) } }
                }
            }
        }
        (helper(at))
        (error_summary(&state.errors))
        (form(&at.step_path(view.number), at.page.app.token(), &fields))
        @if let Some(next) = &view.next {
            p.muted.walk-next { (said(&t!("walk.next_up", what = next), bench)) }
        }
    };
    let step = t!("walk.step", n = view.number, of = view.of);
    at.page.page(NavItem::Log, &step, None, body)
}

fn masked(at: &WalkPage) -> &'static str {
    match at.walking.walk.masked.map(|m| m.by) {
        Some(MaskedBy::Helper) => t!("walk.helper_now"),
        _ => t!("walk.masked_now"),
    }
}

/// What to do with a helper, on every step: the helper may come late.
fn helper(at: &WalkPage) -> Markup {
    let by = at.walking.walk.masked.map(|m| m.by);
    html! {
        @if at.walking.hidden() && by == Some(MaskedBy::Helper) {
            p.hint {
                (t!("walk.helper_how")) " "
                a href={ (at.path()) "/letters" } { (t!("walk.letters")) }
            }
        }
    }
}

/// The written anchors, open the first time this walk-round asks for the measure.
fn anchors(at: &WalkPage, view: &StepView) -> Markup {
    let Scale::Score { anchors, most } = &view.scale else {
        return html! {};
    };
    let before = at.walking.walk.steps.iter().take(view.number - 1);
    let first = before.into_iter().all(|s| s.measure != view.step.measure);
    let hint = match most {
        5 => t!("walk.anchors_algae_hint"),
        _ => t!("walk.anchors_hint"),
    };
    let list = html! {
        dl.anchors.walk-anchors {
            @for (score, words) in anchors { div { dt { (score) } dd { (words) } } }
        }
        p.hint { (hint) }
    };
    html! {
        @if first {
            details.disclosure.disclosure-wide open {
                summary { (t!("walk.anchors")) }
                div.disclosure-body { (list) }
            }
        } @else { (disclosure(t!("walk.anchors"), &list)) }
    }
}

fn buttons(at: &WalkPage, view: &StepView) -> Markup {
    let save = match view.number < view.of {
        true => t!("walk.save"),
        false => t!("walk.save_last"),
    };
    let skip = match view.number < view.of {
        true => at.step_path(view.number + 1),
        false => format!("{}/end", at.path()),
    };
    let back = match view.number {
        1 => at.path(),
        n => at.step_path(n - 1),
    };
    html! {
        div.walk-bar {
            // First in the form, so that the enter key saves.
            (Button::new(save).primary())
            @if view.all_have_last() {
                (Button::new(t!("walk.as_last_all")).sends(read::DO, read::LAST))
            }
        }
        div.walk-ways {
            a.button.button-quiet href=(back) { (t!("walk.back")) }
            a.button.button-quiet href=(skip) { (t!("walk.skip")) }
            a.button.button-quiet href=(at.path()) { (t!("walk.overview")) }
        }
    }
}

fn drawn_row(at: &WalkPage, view: &StepView, state: &FormState, n: usize, row: &Row) -> Markup {
    let field = read::value(n);
    let error = state.errors.of(&field).map(ToString::to_string);
    let place = at.page.bench.tank(row.tank).map_or(0, |t| t.place);
    let error_id = format!("f-{field}-error");
    html! {
        fieldset.walk-row.walk-small[!at.walking.hidden()].field-wrong[error.is_some()]
            aria-describedby=[error.as_ref().map(|_| &error_id)] {
            legend {
                @if !at.walking.hidden() { (series_sign(place)) " " }
                (row.name)
                @if !row.which.is_empty() { ", " (row.which) }
            }
            (hidden(&read::id(n), state.data.one(&read::id(n)).unwrap_or_default()))
            (shot(at, view, row))
            @if let Some(error) = &error {
                p.error id=(error_id) { (Icon::Caution) span { (error) } }
            }
            @match &view.scale {
                Scale::Score { most, anchors } => (score(view, state, n, row, *most, anchors)),
                Scale::Number { unit } => (number(view, state, n, row, unit)),
            }
        }
    }
}

/// The part of the last picture where the plant stands, cut by its frame alone.
fn shot(at: &WalkPage, view: &StepView, row: &Row) -> Markup {
    let by = at.walking.walk.masked.map(|m| m.by);
    let Some(Shot {
        picture,
        crop,
        day: taken,
        cut,
        ..
    }) = &row.shot
    else {
        // A helper shows the tank itself.
        return html! {
            @if !(at.walking.hidden() && by == Some(MaskedBy::Helper)) {
                p.walk-no-picture.muted { (t!("walk.no_picture")) }
            }
        };
    };
    let alt = match cut {
        true => t!(
            "walk.picture_alt_plant",
            name = row.name,
            plant = view.about
        ),
        false => t!("walk.picture_alt", name = row.name),
    };
    let at = format!("/pictures/{}", picture.sha256);
    let frame = format!(
        "{:.0} {:.0} {:.0} {:.0}",
        crop.x, crop.y, crop.width, crop.height
    );
    html! {
        figure.walk-shot {
            a href=(at) {
                svg viewBox=(frame) preserveAspectRatio="xMidYMid slice" role="img" aria-label=(alt) {
                    image href={ (at) "?w=" (COPY) } width=(picture.width_px) height=(picture.height_px) {}
                }
            }
            figcaption { (t!("walk.picture_day", day = taken.strftime("%-d\u{a0}%b"))) }
        }
    }
}

fn score(
    view: &StepView,
    state: &FormState,
    n: usize,
    row: &Row,
    most: u8,
    anchors: &[(f64, &'static str)],
) -> Markup {
    let field = read::value(n);
    let chosen = state.data.one(&field).map(str::trim);
    let is_last = |score: u8| row.last.is_some_and(|l| l.value == f64::from(score));
    let option = |value: &str, id: &str, label: Markup, last: bool| {
        html! {
            div.score.score-last[last] {
                input id=(id) type="radio" name=(field) value=(value) checked[chosen == Some(value)];
                label for=(id) { (label) }
            }
        }
    };
    // The first target has the id that the list of errors leads to.
    let id = |score: u8| match score {
        0 => format!("f-{field}"),
        n => format!("f-{field}-{n}"),
    };
    let none = html! {
        span aria-hidden="true" { (t!("walk.leave_out_short")) }
        span.visually-hidden { (t!("walk.leave_out")) }
    };
    html! {
        div.scores.scores-few[most == 5] {
            @for score in 0..=most {
                (option(&score.to_string(), &id(score), html! {
                    (score)
                    span.visually-hidden { ": " (words(score, anchors)) }
                }, is_last(score)))
            }
            (option("", &format!("f-{field}-none"), none, false))
        }
        p.score-said aria-hidden="true" {
            span.said-nothing { (t!("walk.nothing_chosen")) }
            span.said-out { (t!("walk.left_out")) }
            @for score in 0..=most { span class={ "said-" (score) } { (words(score, anchors)) } }
        }
        (as_last_score(view, state, n, row))
    }
}

/// The words of a score; of one between two anchors both words.
fn words(score: u8, anchors: &[(f64, &'static str)]) -> String {
    let at = |s: f64| anchors.iter().find(|(a, _)| *a == s).map(|(_, w)| *w);
    let score = f64::from(score);
    match (at(score), at(score - 1.0), at(score + 1.0)) {
        (Some(words), ..) => words.to_owned(),
        (None, Some(below), Some(above)) => t!("walk.between", below = below, above = above),
        _ => String::new(),
    }
}

fn as_last_label(view: &StepView, row: &Row) -> Markup {
    html! {
        @if let Some(last) = row.last {
            span {
                (t!("walk.as_last", value = view.shown(last.value, &Format::default())))
                " " span.muted { (t!("walk.as_last_day", day = day(last.day))) }
            }
        }
    }
}

fn as_last_score(view: &StepView, state: &FormState, n: usize, row: &Row) -> Markup {
    let field = read::value(n);
    let id = format!("f-{field}-last");
    html! {
        @if row.last.is_some() {
            div.choice.walk-last {
                input id=(id) type="radio" name=(field) value=(read::LAST)
                    checked[state.data.one(&field) == Some(read::LAST)];
                label for=(id) { (as_last_label(view, row)) }
            }
        }
    }
}

fn number(view: &StepView, state: &FormState, n: usize, row: &Row, unit: &str) -> Markup {
    let (field, same) = (read::value(n), read::same(n));
    let (id, same_id) = (format!("f-{field}"), format!("f-{same}"));
    html! {
        div.field {
            label.visually-hidden for=(id) { (capital(view.measure)) ", " (row.name) }
            div.with-unit {
                input id=(id) name=(field) type="text" inputmode="decimal" autocomplete="off"
                    value=(state.data.one(&field).unwrap_or_default())
                    aria-invalid=[state.errors.of(&field).map(|_| "true")];
                span.unit { (unit) }
            }
        }
        @if row.last.is_some() {
            div.choice.walk-last {
                input id=(same_id) type="checkbox" name=(same) value="1" checked[state.data.has(&same)];
                label for=(same_id) { (as_last_label(view, row)) }
            }
        }
    }
}
