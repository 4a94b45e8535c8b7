//! The first page: the notebook's trials, each on a card.

use answers::home::TrialCard;
use axum::extract::State;
use jiff::Timestamp;
use maud::{Markup, html};
use text::t;
use trial::describe;

use crate::app::App;
use crate::error::WebError;
use crate::parts::button::primary_link;
use crate::parts::empty::empty;
use crate::parts::notice;
use crate::parts::series::tank_name;
use crate::parts::shell::{PageHead, page};

const NEW: &str = "/trials/new";

/// Draws the page.
pub async fn show(State(app): State<App>) -> Result<Markup, WebError> {
    let cards = answers::home::home(app.notebook(), Timestamp::now())?;
    let (invented, own): (Vec<_>, Vec<_>) = cards.iter().partition(|card| card.trial.invented);
    let new = primary_link(NEW, t!("home.new"));
    let body = html! {
        @if cards.is_empty() {
            (empty(t!("home.empty"), t!("home.empty_how"), &new))
        } @else {
            @if own.is_empty() {
                (empty(t!("home.own_empty"), t!("home.own_empty_how"), &new))
            } @else {
                div.actions { (new) }
                div.grid { @for trial in own { (card(trial)) } }
            }
            @if !invented.is_empty() {
                section.section {
                    h2 { (t!("home.invented")) }
                    (notice::invented(t!("home.invented_all")))
                    div.grid { @for trial in invented { (card(trial)) } }
                }
            }
        }
    };
    let body = html! {
        (body)
        p { a href="/files" { (t!("files.home_link")) } }
    };
    let head = PageHead {
        title: t!("home.title"),
        lead: Some(t!("home.lead")),
        ..PageHead::default()
    };
    Ok(page(&head, body))
}

fn card(card: &TrialCard) -> Markup {
    let trial = &card.trial;
    html! {
        article.card.span-6.trial-card {
            h3 { a href={ "/trials/" (trial.id) "/bench" } { (trial.title) } }
            @if !trial.question.is_empty() { p { (trial.question) } }
            ul.tank-names { @for tank in &card.tanks { li { (tank_name(tank.place, &tank.name)) } } }
            p.muted { (stands(card)) }
            p.muted {
                (t!("home.entries", n = card.entries))
                @if let Some(last) = &card.last {
                    " " (t!("home.last", day = last.day, tanks = last.tanks, what = last.sentence))
                    @if !last.note.is_empty() { " " (last.note) }
                }
            }
        }
    }
}

/// The phase and the day, in a sentence.
fn stands(card: &TrialCard) -> String {
    let phase = card.phase.map(describe::phase_name);
    match (card.day, phase) {
        _ if card.closed => t!("home.closed", day = card.as_of),
        (Some(day), _) if day < 0 => t!("home.ahead", n = -day),
        (Some(day), Some(phase)) => t!("home.day_phase", day = day, phase = phase),
        (Some(day), None) => t!("home.day", day = day),
        (None, Some(phase)) => t!("home.phase", phase = phase),
        (None, None) => t!("home.no_start").to_owned(),
    }
}
