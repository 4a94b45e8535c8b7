//! The whole page, section by section.

use super::html::day;
use super::shots::Pictures;
use super::sources::Sources;
use super::{Mode, closing, compare, cost, gallery, readings, setup, short, style, treatment};
use answers::update::UpdateView;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use text::t;

/// The published page as one HTML document that needs nothing else: style, fonts, figures and
/// pictures are inside, there is no script, and its own policy forbids to load anything.
pub fn page(view: &UpdateView, pictures: &Pictures, mode: &Mode) -> String {
    let trial = &view.bench.trial;
    let mut sources = Sources::default();
    let sections = [
        ("short", t!("update.short"), short::short(view)),
        (
            "pictures",
            t!("update.pictures"),
            gallery::gallery(view, pictures),
        ),
        (
            "setup",
            t!("update.setup"),
            setup::setup(view, &mut sources),
        ),
        ("cost", t!("update.cost"), cost::cost(view, &mut sources)),
        ("treated", t!("update.treated"), treatment::treatment(view)),
        ("readings", t!("update.readings"), readings::readings(view)),
        (
            "compare",
            t!("update.compare"),
            compare::compare(view, &mut sources),
        ),
        (
            "plans",
            t!("update.plans"),
            closing::plans(view, &mut sources),
        ),
        (
            "disclosures",
            t!("update.disclosures"),
            closing::disclosures(view),
        ),
        ("next", t!("update.next_step"), closing::next_step(view)),
        ("method", t!("update.method"), closing::method(&sources)),
        ("cautions", t!("update.cautions"), closing::cautions(view)),
        ("about", t!("update.about"), closing::about(view, mode)),
    ];
    let document = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(style::policy());
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                meta name="generator" content={ (GENERATOR) " " (view.version) };
                meta name="description" content=(trial.question);
                title { (t!("update.window_title", title = trial.title, day = day(view.as_of))) }
                style { (PreEscaped(style::sheet())) }
            }
            body {
                (band(view, mode))
                (head(view))
                nav.contents aria-label=(t!("update.contents")) {
                    ul { @for (id, title, _) in &sections { li { a href={ "#" (id) } { (title) } } } }
                }
                main { @for (_, _, body) in &sections { (body) } }
            }
        }
    };
    document.into_string()
}

/// How the page names its maker; an earlier update is told by it.
pub(super) const GENERATOR: &str = "Fairtank";

/// What must be seen before anything else.
fn band(view: &UpdateView, mode: &Mode) -> Markup {
    let trial = &view.bench.trial;
    html! {
        @if *mode == Mode::Preview {
            aside.band.draft aria-label=(t!("update.draft_word")) { strong { (t!("update.draft_word")) } " " (t!("update.draft")) }
        }
        @if trial.invented {
            aside.band.invented aria-label=(t!("update.invented_word")) {
                strong { (t!("update.invented_word")) } " "
                (trial.made_by.as_deref().unwrap_or(t!("shell.invented_plain")))
            }
        }
    }
}

fn head(view: &UpdateView) -> Markup {
    let trial = &view.bench.trial;
    let as_of = if view.closed {
        t!("update.as_of_closed", day = day(view.as_of))
    } else {
        t!("update.as_of", day = day(view.as_of))
    };
    let keeper = trial.keeper.as_deref().filter(|k| !k.trim().is_empty());
    html! {
        header {
            p.kicker { (t!("update.kicker")) }
            h1 { (trial.title) }
            @if trial.question.trim().is_empty() { p.question { (t!("update.no_question")) } }
            @else { p.question { (trial.question) } }
            ul.facts {
                li { (as_of) }
                @if let Some(keeper) = keeper { li { (t!("update.kept_by", keeper = keeper)) } }
                li { (t!("update.entries", n = view.entries)) }
            }
        }
    }
}
