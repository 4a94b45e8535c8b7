//! The history of one entry: every version, what it changed, who and when; and the way back.

use answers::history::{Did, Now, Step};
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};
use quantity::Format;
use text::t;
use trial::{Act, Entry};

use super::super::pictures::about_file;
use super::super::words::{capital, said};
use super::{EntryPage, entry_path, fresh_id};
use crate::parts::button::{Button, actions, link_button};
use crate::parts::form::form;
use crate::parts::notice::{Weight, finding};
use crate::parts::shell::NavItem;
use crate::{TrialPage, WebError};

/// `{trial}/entries/{entry}`: from any version of the entry.
///
/// # Errors
/// When the notebook cannot be read.
pub async fn history(EntryPage { page, entry }: EntryPage) -> Result<Response, WebError> {
    let chain = page.app.notebook().history(entry.id)?;
    let answer = answers::history::history(&chain, &page.bench, &Format::default());
    let newest = chain.last().unwrap_or(&entry);
    let holds = match answer.now {
        Now::InForce { entry } | Now::Corrected { entry } => chain.iter().find(|e| e.id == entry),
        Now::TakenBack => None,
    };
    let body = html! {
        p.lead { (answer.sentence) }
        @for f in &answer.findings { (finding(Weight::Doubt, &f.what, Some(&f.remedy))) }
        @if let Some(entry) = holds { (holding(&page, entry)) }
        (ways(&page, newest))
        @if let Some(Act::Picture(picture)) = holds.map(|entry| &entry.act) { (about_file(&page, picture)?) }
        section.section {
            h2 { (t!("history.versions")) }
            ol.steps-back {
                @for (at, step) in answer.steps.iter().enumerate().rev() {
                    li { (version(&page, at + 1, step, newest)) }
                }
            }
        }
        p { a href={ (page.path()) "/log" } { (t!("log.to_log")) } }
    };
    let kind = chain.first().map_or("note", |e| e.act.kind());
    let title = t!("history.title", what = trial::describe::kind_name(kind));
    Ok(page.page(NavItem::Log, &title, None, body).into_response())
}

/// What goes with the version that holds: the picture, or what a dose brings.
fn holding(page: &TrialPage, entry: &Entry) -> Markup {
    match &entry.act {
        Act::Picture(picture) => html! {
            figure.picture {
                a href={ "/pictures/" (picture.sha256) } {
                    img src={ "/pictures/" (picture.sha256) "?w=1280" } loading="lazy"
                        width=(picture.width_px) height=(picture.height_px)
                        alt=(capital(&trial::describe::sentence(&entry.act, &page.bench, &Format::default())));
                }
            }
        },
        Act::Dose(dose) => {
            let brings = trial::nutrients::nutrients_mg(dose, &page.bench);
            html! { @if !brings.is_empty() { p { (super::super::log::brings(brings.into_iter())) } } }
        }
        _ => html! {},
    }
}

/// What can be done with the newest version.
fn ways(page: &TrialPage, newest: &Entry) -> Markup {
    if let Act::Walk(walk) = &newest.act {
        let href = format!("{}/walk/{}", page.path(), walk.walk);
        return actions(&link_button(&href, t!("walk.open")));
    }
    let at = entry_path(page, newest.id);
    let undo = match (&newest.act, newest.supersedes) {
        (Act::Undo, _) => t!("log.bring_back"),
        (_, Some(_)) => t!("log.undo_correction"),
        _ => t!("log.undo"),
    };
    actions(&html! {
        @if newest.act != Act::Undo { (link_button(&format!("{at}/correct"), t!("log.correct"))) }
        (form(&format!("{at}/undo"), page.app.token(), &html! {
            (fresh_id())
            (Button::new(undo))
        }))
    })
}

fn did(did: Did) -> &'static str {
    match did {
        Did::Written => t!("history.did_written"),
        Did::Corrected => t!("history.did_corrected"),
        Did::TakenBack => t!("history.did_taken_back"),
        Did::WrittenAgain => t!("history.did_written_again"),
    }
}

fn version(page: &TrialPage, number: usize, step: &Step, newest: &Entry) -> Markup {
    let zone = answers::days::zone(&page.bench);
    let written = step.written.to_zoned_datetime(zone);
    let restorable = step.did != Did::TakenBack && step.entry != newest.id && !step.in_force;
    html! {
        p.version-head {
            strong { (t!("history.version", n = number, did = did(step.did))) }
            " " (written.strftime("%Y-%m-%d %H:%M"))
            @if !step.who.is_empty() { " " (t!("history.by", who = step.who)) }
            ", " (step.origin) "."
            @if step.in_force { " " span.tag { (t!("history.holds")) } }
        }
        @if step.did == Did::TakenBack {
            p.muted { (t!("history.nothing_left")) }
        } @else {
            p {
                (capital(&step.tanks)) ": " (said(&step.sentence, &page.bench)) ", "
                (step.at.strftime("%Y-%m-%d %H:%M")) "."
            }
            @if !step.note.is_empty() { p.entry-note { (step.note) } }
        }
        @if !step.changed.is_empty() {
            ul.changes { @for change in &step.changed { li { (said(&change.sentence, &page.bench)) } } }
        }
        @if restorable {
            (form(&format!("{}/restore", entry_path(page, step.entry)), page.app.token(), &html! {
                (fresh_id())
                (Button::new(t!("history.restore")))
            }))
        }
    }
}
