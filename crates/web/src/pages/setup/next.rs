//! What to do next in a trial that was just made: shown until something is planted and the outcome
//! that decides is named.

use maud::{Markup, html};
use text::t;

use crate::trial_page::TrialPage;

/// The steps still to do, in order, each with its link. Plants come before the outcome, which names
/// one of them.
pub fn steps(page: &TrialPage) -> Markup {
    let bench = &page.bench;
    let planted = !bench.plantings.is_empty();
    if planted && bench.trial.primary.is_some() || bench.tanks.is_empty() {
        return html! {};
    }
    let unsized_tank = bench.tanks.iter().find(|t| t.water_l().refusal().is_some());
    let tanks = unsized_tank.map(|t| format!("setup/tanks/{}", t.id));
    let undecided = bench.trial.primary.is_none();
    let todo = [
        tanks.map(|to| (to, t!("setup.next_tanks"))),
        (!planted).then(|| ("setup/plantings/new".to_owned(), t!("setup.next_plants"))),
        undecided.then(|| ("setup/outcomes".to_owned(), t!("setup.next_outcome"))),
        bench
            .waters
            .is_empty()
            .then(|| ("setup/waters/new".to_owned(), t!("setup.next_water"))),
        bench
            .cards
            .is_empty()
            .then(|| ("setup/cards/new".to_owned(), t!("setup.next_cards"))),
        Some(("setup".to_owned(), t!("setup.next_rest"))),
    ];
    let lot = bench.trial.lot.as_ref();
    html! {
        section.section {
            h2 { (t!("setup.next")) }
            @if let Some(lot) = lot { p { (trial::lot::sentence(lot)) } }
            ol.links {
                @for (to, words) in todo.into_iter().flatten() {
                    li { a href={ (page.path()) "/" (to) } { (words) } }
                }
            }
            p.muted { (t!("setup.next_log")) }
        }
    }
}
