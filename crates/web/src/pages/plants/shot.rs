//! Pictures of a planting: the strip of the picture that holds its zone, or all of it.

use answers::plants::Shot;
use maud::{Markup, html};
use text::t;

use crate::TrialPage;
use crate::pages::entry::entry_path;
use crate::pages::words::day;

/// In a list: leads to the whole picture.
pub(super) fn small(page: &TrialPage, shot: &Shot) -> Markup {
    html! { a.planting-shot href={ "/pictures/" (shot.line.picture.sha256) } { (drawn(page, shot)) } }
}

/// With its day, note and entry.
pub(in crate::pages) fn with_caption(page: &TrialPage, shot: &Shot) -> Markup {
    html! {
        figure.picture {
            (small(page, shot))
            figcaption {
                a href=(entry_path(page, shot.line.entry)) { time datetime=(shot.line.day) { (day(shot.line.day)) } }
                @if !shot.line.note.is_empty() { span.muted { (shot.line.note) } }
            }
        }
    }
}

/// An SVG of the strip's size with the whole picture behind it, so that no copy has to be cut.
fn drawn(page: &TrialPage, shot: &Shot) -> Markup {
    let line = &shot.line;
    let (width, height) = (
        f64::from(line.picture.width_px),
        f64::from(line.picture.height_px),
    );
    let (left, right) = shot.strip.map_or((0.0, 1.0), |s| (s.left, s.right));
    let cut = [left * width, 0.0, (right - left) * width, height].map(f64::round);
    let cut = cut.map(|v| v.to_string()).join(" ");
    let tank = page.bench.tank(line.tank).map_or("", |t| t.name.as_str());
    let alt = match shot.strip {
        Some(_) => t!("plants.alt_strip", tank = tank, day = line.day),
        None => t!("plants.alt_whole", tank = tank, day = line.day),
    };
    html! {
        svg viewBox=(cut) role="img" aria-label=(alt) preserveAspectRatio="xMinYMid" {
            image href={ "/pictures/" (line.picture.sha256) "?w=640" } width=(width) height=(height) {}
        }
    }
}
