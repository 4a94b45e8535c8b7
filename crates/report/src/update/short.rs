//! The first section: what happened, what can be said of it and what cannot, and the words for it.

use super::html::{figure, section, with_species};
use super::primary;
use answers::compare::Comparison;
use answers::update::UpdateView;
use maud::{Markup, html};
use quantity::Format;
use text::t;
use trial::types::Better;

pub(super) fn short(view: &UpdateView) -> Markup {
    let bench = &view.bench;
    let primary = primary::only(&view.comparison);
    let sentences = primary_sentences(&primary);
    let of_primary = |s: &&String| !sentences.contains(s);
    let can: Vec<&String> = view.comparison.can_say.iter().filter(of_primary).collect();
    let cannot: Vec<&String> = view.comparison.cannot_say.iter().collect();
    let list = |title: &str, of: &[&String]| {
        html! {
            div {
                h3 { (title) }
                @if of.is_empty() { p { (t!("update.nothing")) } }
                ul { @for s in of { li { (with_species(s, bench)) } } }
            }
        }
    };
    let body = html! {
        (outcome(view))
        @for sentence in &sentences { p.finding { (with_species(sentence, bench)) } }
        (primary_figures(view, &primary))
        div.two {
            (list(t!("update.can_say"), &can))
            (list(t!("update.cannot_say"), &cannot))
        }
        (words(view))
    };
    section("short", t!("update.short"), &body)
}

/// Which outcome decides, and what counts as better.
fn outcome(view: &UpdateView) -> Markup {
    match &view.bench.trial.primary {
        Some(outcome) => {
            let better = better(outcome.better);
            let text = match view.advance.primary_late() {
                None => t!("update.primary_named", name = outcome.name, better = better),
                Some(day) => {
                    t!(
                        "update.primary_late",
                        name = outcome.name,
                        better = better,
                        day = super::html::day(day)
                    )
                }
            };
            html! { p { (text) } }
        }
        None => html! { p { (t!("update.primary_none")) } },
    }
}

pub(super) fn better(better: Better) -> String {
    match better {
        Better::More => t!("update.better_more").to_string(),
        Better::Less => t!("update.better_less").to_string(),
        Better::Target { value } => {
            t!(
                "update.better_target",
                value = Format::default().significant(value, 4)
            )
        }
    }
}

pub(crate) fn primary_sentences(primary: &Comparison) -> Vec<&String> {
    primary
        .rows
        .iter()
        .flat_map(|r| &r.differences)
        .map(|d| &d.sentence)
        .collect()
}

fn primary_figures(view: &UpdateView, primary: &Comparison) -> Markup {
    let Some(row) = primary.rows.first() else {
        return html! {};
    };
    let tanks = |width| {
        crate::figures::compare::tanks(primary, &view.bench, row.measure, width).unwrap_or_default()
    };
    html! { (figure("primary", t!("update.primary_figure"), tanks)) }
}

/// What a reader who has never seen such a trial needs to know.
fn words(view: &UpdateView) -> Markup {
    let arms: Vec<String> = view
        .comparison
        .arms
        .iter()
        .map(|a| format!("{} ({})", a.name, trial::describe::list(&a.tanks)))
        .collect();
    let arms = trial::describe::list(&arms);
    html! {
        aside.words aria-labelledby="words-title" {
            h3 id="words-title" { (t!("update.words_title")) }
            dl {
                dt { (t!("update.word_arm")) } dd { (t!("update.word_arm_text", arms = arms)) }
                dt { (t!("update.word_unit")) } dd { (t!("update.word_unit_text")) }
                dt { (t!("update.word_interval")) } dd { (t!("update.word_interval_text")) }
                dt { (t!("update.word_p")) } dd { (t!("update.word_p_text")) }
            }
        }
    }
}
