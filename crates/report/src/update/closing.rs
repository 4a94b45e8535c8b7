//! The end of the page: plans, disclosures, the next step, method, cautions, the data.

use super::Mode;
use super::data::LeftOut;
use super::html::{Table, day, plant, section, with_species};
use super::sources::Sources;
use answers::update::UpdateView;
use maud::{Markup, html};
use text::t;

pub(super) fn plans(view: &UpdateView, sources: &mut Sources) -> Markup {
    let plans = &view.plans;
    let mut changes = Table::new(t!("update.plans"))
        .stacked()
        .words(t!("update.plan"))
        .words(t!("update.expected"))
        .words(t!("update.seen"))
        .words(t!("update.state"));
    let written = |text: &str| {
        html! { @if text.is_empty() { span.faint { (t!("update.not_written")) } } @else { (text) } }
    };
    for change in &plans.changes {
        changes.row([
            html! { (change.what) br; span.plain { (change.tanks_words) ", " (day(change.planned)) } },
            written(&change.expects),
            written(&change.seen),
            html! { (change.sentence) },
        ]);
    }
    let mut routines = Table::new(t!("update.routines"))
        .stacked()
        .captioned(html! { (t!("update.routines")) (sources.cite([&plans.basis])) })
        .words(t!("update.routine"))
        .words("")
        .words(t!("update.state"));
    for routine in &plans.routines {
        routines.row([
            html! { (routine.what) },
            html! { (t!("update.routine_every", n = routine.every_days)) },
            html! { (routine.sentence) },
        ]);
    }
    let body = html! {
        @if changes.is_empty() { p { (t!("update.no_plans")) } } @else { (changes) }
        @if !routines.is_empty() { (routines) }
    };
    section("plans", t!("update.plans"), &body)
}

pub(super) fn disclosures(view: &UpdateView) -> Markup {
    let trial = &view.bench.trial;
    let equipment: Vec<(&str, &str)> = view
        .bench
        .equipment
        .iter()
        .filter(|e| !e.disclosure.trim().is_empty())
        .map(|e| (e.name.as_str(), e.disclosure.as_str()))
        .collect();
    let own: Vec<&String> = trial
        .disclosures
        .iter()
        .filter(|d| !d.trim().is_empty())
        .collect();
    let body = html! {
        @if own.is_empty() && equipment.is_empty() { p { (t!("update.nothing_declared")) } }
        @else {
            p { (t!("update.disclosures_lead")) }
            ul {
                @for text in &own { li { (text) } }
                @for (name, text) in &equipment { li { (name) ": " (text) } }
            }
        }
    };
    section("disclosures", t!("update.disclosures"), &body)
}

pub(super) fn next_step(view: &UpdateView) -> Markup {
    let words = view.bench.trial.next_step.as_deref().map(str::trim);
    let body = match words.filter(|w| !w.is_empty()) {
        Some(words) => html! { blockquote { @for p in words.lines() { p { (p) } } } },
        None => html! { p { (t!("update.next_step_none")) } },
    };
    section("next", t!("update.next_step"), &body)
}

pub(super) fn method(sources: &Sources) -> Markup {
    let body = html! { p { (t!("update.method_lead")) } (sources.list()) };
    section("method", t!("update.method"), &body)
}

pub(super) fn cautions(view: &UpdateView) -> Markup {
    let cautions = &view.cautions;
    let body = html! {
        p { strong { (cautions.standing) } }
        @for conflict in &cautions.conflicts {
            p.doubts { (conflict.what) " " (conflict.remedy) }
        }
        h3 { (t!("update.regulated")) }
        @if cautions.plants.is_empty() { p { (t!("update.regulated_none")) } }
        @else {
            ul { @for p in &cautions.plants {
                li { (plant(&p.plant)) ": " (with_species(&p.text, &view.bench)) }
            } }
        }
        h3 { (t!("update.cautions_lead")) }
        ul.small {
            @for c in cautions.general.iter().filter(|c| c.code != "estimates") {
                li { strong { (c.title) } ". " (c.text) }
            }
        }
    };
    section("cautions", t!("update.cautions"), &body)
}

pub(super) fn about(view: &UpdateView, mode: &Mode) -> Markup {
    let body = html! {
        p { (t!("update.about_version", version = view.version, entries = view.entries, day = day(view.as_of))) }
        p { (t!("update.about_data"))
            @if let Mode::Published(_) = mode {
                " " a href="data.zip" download { (t!("update.download")) }
            }
        }
        p { (t!("update.about_restore")) }
        p { (t!("update.about_pictures"))
            @if let Mode::Published(LeftOut { pictures }) = mode && *pictures > 0 {
                " " (t!("update.about_left_out", n = pictures))
            }
        }
        p { (t!("update.about_frames")) }
    };
    section("about", t!("update.about"), &body)
}
