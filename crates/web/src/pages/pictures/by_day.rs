//! Days, newest first, with the tanks beside each other.

use answers::pictures::{Front, GalleryDay, by_day, overdue};
use jiff::civil::Date;
use maud::{Markup, html};
use text::t;
use trial::Entry;

use super::{clock, compare_path, figure, view_name};
use crate::TrialPage;
use crate::pages::words::{day as day_words, day_heading};
use crate::parts::empty::empty;
use crate::parts::findings;
use crate::parts::series::tank_name;

/// Days of pictures on one page.
const DAYS: usize = 12;

pub(super) fn days(page: &TrialPage, entries: &[Entry], before: Option<Date>) -> Markup {
    let gallery = by_day(&page.bench, entries, before, DAYS);
    let late = match before {
        None => overdue(&page.bench, entries, page.today()),
        Some(_) => vec![],
    };
    html! {
        @if gallery.days.is_empty() { (empty(t!("pictures.empty"), t!("pictures.empty_how"), &html! {})) }
        @if !late.is_empty() { (findings::all(&late, &page.bench)) }
        @for day in &gallery.days { (drawn(page, day)) }
        @if let Some(last) = gallery.older {
            p { a.button href={ (page.path()) "/pictures?before=" (last) } { (t!("pictures.older")) } }
        }
    }
}

fn drawn(page: &TrialPage, day: &GalleryDay) -> Markup {
    let mut there = day.fronts.iter().filter_map(|f| f.taken.as_ref());
    let two = (there.next(), there.next());
    html! {
        section.section {
            div.day-head {
                h2 { time datetime=(day.day) { (day_heading(day.day)) } }
                @if let (Some(left), Some(right), false) = (two.0, two.1, page.app.is_for_device()) {
                    a href=(compare_path(page, left, right)) aria-label=(t!("pictures.compare_day_long", day = day_words(day.day))) {
                        (t!("pictures.compare_day"))
                    }
                }
            }
            @if !day.fronts.is_empty() {
                div.picture-grid { @for front in &day.fronts { (front_of(page, front)) } }
            }
            @if !day.findings.is_empty() { (findings::all(&day.findings, &page.bench)) }
            @if !day.others.is_empty() {
                @if !day.fronts.is_empty() { h3 { (t!("pictures.others")) } }
                div.picture-grid {
                    @for other in &day.others {
                        (figure(page, other, &html! {
                            (name(page, other.line.tank)) " "
                            span { (view_name(other.line.picture.view)) } " "
                            (clock(other))
                        }))
                    }
                }
            }
        }
    }
}

fn name(page: &TrialPage, tank: trial::TankId) -> Markup {
    let tank = page.bench.tank(tank);
    tank_name(
        tank.map_or(0, |t| t.place),
        tank.map_or("", |t| t.name.as_str()),
    )
}

fn front_of(page: &TrialPage, front: &Front) -> Markup {
    let name = name(page, front.tank);
    match &front.taken {
        Some(taken) => figure(page, taken, &html! { (name) " " (clock(taken)) }),
        None => html! {
            div.picture {
                p.picture-none.muted.small {
                    @match front.nearest {
                        Some(day) => (t!("pictures.none_nearest", day = day_words(day))),
                        None => (t!("pictures.none_yet")),
                    }
                }
                p.picture-name { (name) }
            }
        },
    }
}
