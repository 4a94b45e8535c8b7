//! Pictures by day, tanks beside each other.

mod serve;

pub use serve::picture;
pub(crate) use serve::{copy_of, in_turn};

use answers::pictures::PictureLine;
use jiff::civil::Date;
use maud::{Markup, html};
use text::t;
use trial::act::View;

use super::entry::entry_path;
use super::words::day_heading;
use crate::TrialPage;
use crate::parts::empty::empty;
use crate::parts::series::tank_name;

/// Days of pictures on one page.
const DAYS: usize = 12;

/// The pictures before `before`, newest day first, and the way to older ones.
pub(crate) fn grid(page: &TrialPage, pictures: &[PictureLine], before: Option<Date>) -> Markup {
    let mut days: Vec<(Date, Vec<&PictureLine>)> = Vec::new();
    let asked = pictures.iter().rev();
    for line in asked.filter(|p| before.is_none_or(|before| p.day < before)) {
        match days.iter_mut().find(|(day, _)| *day == line.day) {
            Some((_, lines)) => lines.push(line),
            None => days.push((line.day, vec![line])),
        }
    }
    days.sort_by_key(|(day, _)| std::cmp::Reverse(*day));
    let more = days.len() > DAYS;
    days.truncate(DAYS);
    let place = |line: &PictureLine| page.bench.tank(line.tank).map_or(u32::MAX, |t| t.place);
    for (_, lines) in &mut days {
        lines.sort_by_key(|line| (place(line), view_order(line.picture.view)));
    }
    html! {
        @if days.is_empty() { (empty(t!("pictures.empty"), t!("pictures.empty_how"), &html! {})) }
        @for (day, lines) in &days {
            section.section {
                h2 { time datetime=(day) { (day_heading(*day)) } }
                div.picture-grid {
                    @for line in lines { (figure(page, line)) }
                }
            }
        }
        @if let Some((last, _)) = days.last().filter(|_| more) {
            p { a.button href={ (page.path()) "/pictures?before=" (last) } { (t!("pictures.older")) } }
        }
    }
}

fn view_order(view: View) -> u8 {
    match view {
        View::Front => 0,
        View::Top => 1,
        View::Detail => 2,
    }
}

fn view_name(view: View) -> &'static str {
    match view {
        View::Front => t!("log.view_front"),
        View::Top => t!("log.view_top"),
        View::Detail => t!("log.view_detail"),
    }
}

fn figure(page: &TrialPage, line: &PictureLine) -> Markup {
    let at = format!("/pictures/{}", line.picture.sha256);
    let place = page.bench.tank(line.tank).map_or(0, |t| t.place);
    let view = view_name(line.picture.view);
    let alt = t!(
        "pictures.alt",
        tank = line.tank_name,
        view = view,
        day = line.day
    );
    html! {
        figure.picture {
            a href=(at) {
                img src={ (at) "?w=640" } loading="lazy" alt=(alt)
                    width=(line.picture.width_px) height=(line.picture.height_px);
            }
            figcaption {
                (tank_name(place, &line.tank_name)) " "
                a href=(entry_path(page, line.entry)) { (view) }
                @if !line.note.is_empty() { span.muted { (line.note) } }
            }
        }
    }
}
