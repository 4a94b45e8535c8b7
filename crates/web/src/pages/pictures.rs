//! Pictures: by day with the tanks beside each other, by tank, by plant; two of them compared; files.

mod by_day;
pub mod compare;
mod original;
mod protocol;
mod rows;
mod serve;

pub(crate) use original::about_file;
pub(crate) use protocol::reminders;
pub use serve::picture;
pub(crate) use serve::{copy_of, in_turn};

use answers::pictures::Taken;
use jiff::civil::Date;
use maud::{Markup, html};
use text::t;
use trial::act::View;

use super::entry::entry_path;
use crate::form_data::FormData;
use crate::parts::tabs::{Tab, tabs};
use crate::{TrialPage, WebError};

/// A way of looking at the pictures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Look {
    /// A day with the tanks beside each other.
    Day,
    /// A tank through time.
    Tank,
    /// A plant through time, tank by tank.
    Plant,
    /// Two pictures.
    Two,
}

impl Look {
    /// What the address asks for.
    ///
    /// # Errors
    /// Bad input for a way that does not exist.
    pub(crate) fn asked(data: &FormData) -> Result<Self, WebError> {
        match data.one("by") {
            None | Some("" | "day") => Ok(Self::Day),
            Some("tank") => Ok(Self::Tank),
            Some("plant") => Ok(Self::Plant),
            Some(_) => Err(WebError::bad_input(t!("pictures.bad_by"))),
        }
    }
}

/// The ways of looking, as links. A paired phone has no page for two pictures.
fn ways(page: &TrialPage, now: Look) -> Markup {
    let at = format!("{}/pictures", page.path());
    let all = [
        (Look::Day, t!("pictures.by_day"), at.clone()),
        (Look::Tank, t!("pictures.by_tank"), format!("{at}?by=tank")),
        (
            Look::Plant,
            t!("pictures.by_plant"),
            format!("{at}?by=plant"),
        ),
        (Look::Two, t!("pictures.two_tab"), format!("{at}/compare")),
    ];
    let offered = all.iter().filter(|(look, ..)| match look {
        Look::Two => !page.app.is_for_device(),
        Look::Plant => !page.bench.plantings.is_empty(),
        Look::Day | Look::Tank => true,
    });
    let shown: Vec<Tab<'_>> = offered
        .map(|(look, label, href)| Tab {
            label,
            href,
            current: *look == now,
        })
        .collect();
    tabs(t!("pictures.ways"), &shown)
}

/// The gallery as the address asks for it.
///
/// # Errors
/// When the notebook cannot be read, or the address asks for what there is not.
pub(crate) fn gallery(page: &TrialPage, asked: &FormData, look: Look) -> Result<Markup, WebError> {
    let before = asked.one("before").map(str::parse::<Date>).transpose();
    let before = before.map_err(|_| WebError::bad_input(t!("pictures.bad_before")))?;
    let entries = answers::load::around_pictures(page.app.notebook(), &page.bench)?;
    let shown = match look {
        Look::Day | Look::Two => by_day::days(page, &entries, before),
        Look::Tank => rows::tanks(page, &entries),
        Look::Plant => rows::plants(page, asked)?,
    };
    Ok(html! { (ways(page, look)) (shown) })
}

pub(crate) fn view_name(view: View) -> &'static str {
    match view {
        View::Front => t!("log.view_front"),
        View::Top => t!("log.view_top"),
        View::Detail => t!("log.view_detail"),
    }
}

/// A copy of a picture.
fn image(taken: &Taken, width: u32, class: Option<&str>) -> Markup {
    let line = &taken.line;
    let alt = t!(
        "pictures.alt",
        tank = line.tank_name,
        view = view_name(line.picture.view).to_lowercase(),
        day = crate::pages::words::day(line.day)
    );
    html! {
        img class=[class] src={ "/pictures/" (line.picture.sha256) "?w=" (width) } alt=(alt)
            loading=[class.is_none().then_some("lazy")]
            width=(line.picture.width_px) height=(line.picture.height_px);
    }
}

/// A picture that leads to its entry, with words below it.
fn figure(page: &TrialPage, taken: &Taken, caption: &Markup) -> Markup {
    html! {
        figure.picture {
            a href=(entry_path(page, taken.line.entry)) { (image(taken, 640, None)) }
            figcaption {
                (caption)
                @if !taken.line.note.is_empty() { span.muted { (taken.line.note) } }
            }
        }
    }
}

/// The page with these two beside each other.
fn compare_path(page: &TrialPage, left: &Taken, right: &Taken) -> String {
    let (left, right) = (left.line.entry, right.line.entry);
    format!("{}/pictures/compare?left={left}&right={right}", page.path())
}

/// A time of day as the gallery shows it.
fn clock(taken: &Taken) -> Markup {
    let time = taken.time.strftime("%H:%M").to_string();
    html! { span.muted.num { (time) } }
}
