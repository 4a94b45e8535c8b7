//! Pictures: the same day in every tank, and each tank before and after.

use super::html::{day, last_day, section};
use super::primary;
use super::shots::{Pictures, Shot, days_shown};
use answers::pictures::{Pair, PictureLine};
use answers::update::UpdateView;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use maud::{Markup, html};
use text::t;
use trial::TankId;

pub(super) fn gallery(view: &UpdateView, pictures: &Pictures) -> Markup {
    let days = days_shown(&view.together);
    if days.is_empty() && view.pairs.is_empty() {
        let nothing = html! { p { (t!("update.no_pictures")) } };
        return section("pictures", t!("update.pictures"), &nothing);
    }
    let left_out = view.together.len() - days.len();
    let body = html! {
        @if !days.is_empty() {
            h3 { (t!("update.same_day")) }
            p { (t!("update.same_day_lead"))
                @if left_out > 0 { " " (t!("update.same_day_left_out", n = left_out)) } }
            @for group in &days {
                div.day role="group" aria-label=(day(group.day)) {
                    p.day-title { (day(group.day)) }
                    div.side-by-side {
                        @for line in &group.pictures {
                            (shown(view, line, pictures.small(&line.picture.sha256), None))
                        }
                    }
                }
            }
        }
        @if !view.pairs.is_empty() {
            h3 { (t!("update.before_after")) }
            p { (t!("update.before_after_lead")) " " (span(view)) }
            @for pair in &view.pairs { (before_after(view, pictures, pair)) }
        }
    };
    section("pictures", t!("update.pictures"), &body)
}

/// The span compared, and why it is that one.
pub(super) fn span(view: &UpdateView) -> String {
    let window = view.comparison.window;
    t!(
        "update.span_compared",
        from = day(window.from),
        to = day(last_day(window.to)),
        why = view.comparison.why_window
    )
}

fn before_after(view: &UpdateView, pictures: &Pictures, pair: &Pair) -> Markup {
    let large = |line: &PictureLine| pictures.large(&line.picture.sha256);
    html! {
        div.pair {
            (shown(view, &pair.before, large(&pair.before), Some(t!("update.before"))))
            (shown(view, &pair.after, large(&pair.after), Some(t!("update.after"))))
        }
    }
}

/// The name of a tank's arm.
pub(crate) fn arm_name(view: &UpdateView, tank: TankId) -> String {
    let arm = view.bench.tank(tank).and_then(|t| t.arm.as_deref());
    arm.and_then(|key| view.bench.trial.arm(key))
        .map_or_else(|| t!("update.no_arm").to_string(), |a| a.name.clone())
}

/// What a picture shows, with what was found in that tank.
fn alt(view: &UpdateView, line: &PictureLine) -> String {
    let arm = arm_name(view, line.tank);
    let (tank, on) = (&line.tank_name, day(line.day));
    match primary::finding(&view.comparison, line.tank) {
        Some(finding) => t!(
            "update.picture_alt_finding",
            tank = tank,
            arm = arm,
            day = on,
            finding = finding
        ),
        None => t!("update.picture_alt", tank = tank, arm = arm, day = on),
    }
}

fn shown(view: &UpdateView, line: &PictureLine, shot: Option<&Shot>, word: Option<&str>) -> Markup {
    html! {
        figure.shot {
            @match shot {
                Some(shot) => {
                    img src={ "data:image/jpeg;base64," (STANDARD.encode(&shot.jpeg)) }
                        width=(shot.width) height=(shot.height) alt=(alt(view, line));
                }
                None => p.missing { (t!("update.picture_missing")) }
            }
            figcaption {
                strong { (line.tank_name) } ", " (arm_name(view, line.tank))
                @if let Some(word) = word { br; (word) ": " (day(line.day)) }
                @if !line.note.is_empty() { br; span.faint { (line.note) } }
            }
        }
    }
}
