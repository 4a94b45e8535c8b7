//! Where people or animals can be hurt: in this trial, and always.

use answers::cautions::{Caution, CautionsAnswer, all};
use answers::load;
use maud::{Markup, html};
use quantity::Format;
use text::t;
use trial::Bench;

use crate::pages::words::said;
use crate::parts::findings;
use crate::parts::notice::caution;
use crate::parts::shell::{NavItem, PageHead, page as whole_page};
use crate::{TrialPage, WebError};

/// `/cautions`: what holds for every trial.
pub async fn general() -> Markup {
    let head = PageHead {
        title: t!("cautions.title"),
        lead: Some(t!("cautions.lead")),
        ..PageHead::default()
    };
    let body = html! {
        p { (t!("cautions.standing")) }
        (list(&all(&Format::default())))
    };
    whole_page(&head, body)
}

/// `{trial}/cautions`.
///
/// # Errors
/// When the notebook cannot be read.
pub async fn show(page: TrialPage) -> Result<Markup, WebError> {
    let answer = load::cautions(page.app.notebook(), &page.bench)?;
    let body = html! {
        p { (answer.standing) }
        (here(&answer, &page.bench))
        section.section { h2 { (t!("cautions.general")) } (list(&answer.general)) }
    };
    let lead = Some(t!("cautions.lead"));
    Ok(page.page(NavItem::Cautions, t!("cautions.title"), lead, body))
}

fn here(answer: &CautionsAnswer, bench: &Bench) -> Markup {
    html! {
        section.section {
            h2 { (t!("cautions.here")) }
            @if answer.conflicts.is_empty() { p { (t!("cautions.here_none")) } }
            (findings::all(&answer.conflicts, bench))
            @if !answer.plants.is_empty() {
                h3 { (t!("cautions.plants")) }
                ul.sentences {
                    @for plant in &answer.plants {
                        @let tanks = trial::describe::tanks_phrase(&plant.tanks, false, bench);
                        li {
                            (said(&plant.plant, bench)) ": " (plant.text) " "
                            span.muted { (t!("cautions.planted_in", tanks = tanks)) }
                        }
                    }
                }
            }
        }
    }
}

fn list(all: &[Caution]) -> Markup {
    html! {
        div.grid {
            @for one in all.iter().filter(|c| c.code != "estimates") {
                div.span-6 { (caution(&one.title, &html! { p { (with_species(&one.text)) } })) }
            }
        }
    }
}

/// The one species these texts name, in italics.
fn with_species(text: &str) -> Markup {
    const SPECIES: &str = "Mycobacterium marinum";
    html! {
        @match text.split_once(SPECIES) {
            Some((before, after)) => { (before) i lang="la" { (SPECIES) } (after) },
            None => { (text) },
        }
    }
}
