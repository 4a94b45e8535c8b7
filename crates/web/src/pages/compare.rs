//! Plant by plant, tank by tank: the question's own outcome with its figure, what this trial cannot
//! and can say, and every other row one click away.

use answers::compare::{Comparison, Row, Window};
use answers::load;
use axum::extract::RawQuery;
use maud::{Markup, html};
use report::figures::compare as figures;
use text::t;
use trial::types::Measure;
use trial::{Bench, Finding};

use super::compare_rows as rows;
use crate::form_data::{FieldError, FormData, FormState};
use crate::pages::words::{capital, day, said};
use crate::parts::button::{Button, link_button};
use crate::parts::disclosure::{disclosure, working};
use crate::parts::empty::empty;
use crate::parts::figure::{HALF, figure};
use crate::parts::findings;
use crate::parts::form::{Field, query_form};
use crate::parts::shell::NavItem;
use crate::{TrialPage, WebError};

/// `{trial}/compare?from=&to=`.
///
/// # Errors
/// When the notebook cannot be read.
pub async fn show(page: TrialPage, RawQuery(query): RawQuery) -> Result<Markup, WebError> {
    let mut state = FormState::filled(FormData::parse(query.unwrap_or_default().as_bytes())?);
    let asked = asked(&mut state);
    let notebook = page.app.notebook();
    let comparison = load::comparison(notebook, &page.bench, asked, page.today())?;
    let body = html! {
        (window(&page, &comparison, &state, asked.is_some()))
        @if comparison.rows.is_empty() {
            (empty(t!("compare.nothing"), t!("compare.nothing_how"), &link_button(
                &format!("{}/log/observation", page.path()),
                t!("compare.log_look"),
            )))
        }
        (answer(&page, &comparison))
        (statements(&page, &comparison))
        (super::walk::how_scored(&page, &comparison.scored.sentences))
        (in_doubt(&page, &comparison))
        (others(&page, &comparison))
        (further(&page))
    };
    let lead = Some(t!("compare.lead"));
    Ok(page.page(NavItem::Compare, t!("compare.title"), lead, body))
}

/// The span asked for; one that cannot be is said at its field and not used.
fn asked(state: &mut FormState) -> Option<Window> {
    let (data, errors) = (&state.data, &mut state.errors);
    if !data.has("from") && !data.has("to") {
        return None;
    }
    let from = errors.take(data.date("from", t!("compare.from")));
    let to = errors.take(data.date("to", t!("compare.to")));
    let (from, to) = (from?, to?);
    if to <= from {
        let typed = data.one("to").unwrap_or_default();
        let order = FieldError::new("to", t!("compare.to"), typed, t!("compare.bad_order"));
        errors.add(order);
        return None;
    }
    Some(Window { from, to })
}

fn window(page: &TrialPage, comparison: &Comparison, state: &FormState, asked: bool) -> Markup {
    let path = format!("{}/compare", page.path());
    let Window { from, to } = comparison.window;
    let (from_text, to_text) = (from.to_string(), to.to_string());
    let form = query_form(
        &path,
        &html! {
            (Field::date("from", t!("compare.from")).value(&from_text).fill(state))
            (Field::date("to", t!("compare.to")).value(&to_text).fill(state))
            (Button::new(t!("compare.show")))
        },
    );
    html! {
        p.state {
            (t!("compare.span_words", from = day(from), to = day(to.yesterday().unwrap_or(to)))) " "
            (comparison.why_window)
            @if asked { " " a href=(path) { (t!("compare.back_to_default")) } }
        }
        // What was typed wrong is not hidden behind a click.
        @if state.errors.is_empty() { (disclosure(t!("compare.other_span"), &form)) } @else { (form) }
    }
}

/// What cannot be said, then what can besides the answer that stands above.
fn statements(page: &TrialPage, comparison: &Comparison) -> Markup {
    let answered = |said: &&String| {
        let primary = comparison.rows.iter().filter(|r| r.primary);
        let mut sentences = primary.flat_map(|r| &r.differences);
        sentences.any(|d| d.sentence == **said)
    };
    let can = comparison.can_say.iter().filter(|s| !answered(s));
    let can: Vec<&String> = can.collect();
    let cannot: Vec<&String> = comparison.cannot_say.iter().collect();
    let list = |title: &str, all: &[&String]| {
        html! {
            section.card.span-6 {
                h2 { (title) }
                ul.sentences {
                    @for one in all {
                        @let remedy = comparison.findings.iter().find(|f| f.what == **one);
                        li {
                            (said(one, &page.bench))
                            @if let Some(finding) = remedy { " " span.muted { (finding.remedy) } }
                        }
                    }
                }
            }
        }
    };
    html! {
        div.grid {
            @if !cannot.is_empty() { (list(t!("compare.cannot"), &cannot)) }
            @if !can.is_empty() { (list(t!("compare.can"), &can)) }
        }
    }
}

/// The question's own outcome: its sentences, its figures, and the numbers behind them.
fn answer(page: &TrialPage, comparison: &Comparison) -> Markup {
    let primary: Vec<&Row> = comparison.rows.iter().filter(|r| r.primary).collect();
    let Some(first) = primary.first() else {
        return html! {};
    };
    let between = between(comparison, first.measure);
    html! {
        section.section id=(first.measure.key()) {
            h2 { (t!("compare.answer")) }
            @for row in &primary { (rows::said_of(page, row)) }
            div.grid {
                div.span-6 { (tanks(page, comparison, first.measure)) }
                @if let Some(between) = between { div.span-6 { (between) } }
            }
            (working(&in_numbers(page, comparison, first.measure)))
        }
    }
}

/// Every other measure, folded away with its size in its heading: those named in advance first,
/// because many rows are for looking and not for deciding.
fn others(page: &TrialPage, comparison: &Comparison) -> Markup {
    let has = |measure: Measure, keep: fn(&Row) -> bool| {
        let mut rows = comparison.rows.iter().filter(|r| r.measure == measure);
        rows.any(keep)
    };
    let all = figures::measures(comparison).into_iter();
    let (named, rest): (Vec<Measure>, Vec<_>) = all
        .filter(|m| !has(*m, |r| r.primary))
        .partition(|m| has(*m, |r| r.better.is_some()));
    let list = |title: &str, note: &str, measures: &[Measure]| {
        html! {
            @if !measures.is_empty() {
                section.section {
                    h2 { (title) }
                    p.muted { (note) }
                    div.stack {
                        @for measure in measures {
                            div id=(measure.key()) {
                                (disclosure(
                                    &rows::in_short(&figures::rows_of(comparison, *measure)),
                                    &whole(page, comparison, *measure),
                                ))
                            }
                        }
                    }
                }
            }
        }
    };
    html! {
        (list(t!("compare.also_named"), t!("compare.arms_caption"), &named))
        (list(t!("compare.not_named"), t!("compare.not_named_note"), &rest))
    }
}

/// What each tank did beside what the arms' difference was, and the rows in numbers.
fn whole(page: &TrialPage, comparison: &Comparison, measure: Measure) -> Markup {
    html! {
        div.grid {
            div.span-6 { (tanks(page, comparison, measure)) }
            @if let Some(between) = between(comparison, measure) { div.span-6 { (between) } }
        }
        (disclosure(t!("compare.in_numbers"), &in_numbers(page, comparison, measure)))
    }
}

fn tanks(page: &TrialPage, comparison: &Comparison, measure: Measure) -> Markup {
    figure(
        &format!("{}-tanks", measure.key()),
        HALF,
        &html! {},
        |width| figures::tanks(comparison, &page.bench, measure, width).unwrap_or_default(),
    )
}

fn between(comparison: &Comparison, measure: Measure) -> Option<Markup> {
    figures::arms(comparison, measure, HALF)?;
    let id = format!("{}-arms", measure.key());
    Some(figure(&id, HALF, &html! {}, |width| {
        figures::arms(comparison, measure, width).unwrap_or_default()
    }))
}

fn in_numbers(page: &TrialPage, comparison: &Comparison, measure: Measure) -> Markup {
    html! { @for row in figures::rows_of(comparison, measure) { (rows::row(page, row)) } }
}

/// Findings of one kind as one, with the plants they are about; each in full below. A limit that
/// stands among what cannot be said is not said twice.
fn in_doubt(page: &TrialPage, comparison: &Comparison) -> Markup {
    let mut kinds: Vec<(&str, Vec<&Finding>)> = Vec::new();
    let limit = |f: &&Finding| comparison.cannot_say.contains(&f.what);
    let doubts: Vec<&Finding> = comparison.findings.iter().filter(|f| !limit(f)).collect();
    for finding in &doubts {
        match kinds.iter_mut().find(|(code, _)| *code == finding.code) {
            Some((_, found)) => found.push(finding),
            None => kinds.push((finding.code, vec![finding])),
        }
    }
    let all = doubts.len();
    html! {
        @if !kinds.is_empty() {
            section.section {
                h2 { (t!("compare.findings")) }
                div.stack {
                    @for (code, found) in &kinds { (findings::one(&one_of(&page.bench, code, found), &page.bench)) }
                }
                @if all > kinds.len() {
                    (disclosure(&t!("compare.findings_each", n = all), &html! {
                        ul.sentences {
                            @for finding in &doubts { li { (said(&capital(&finding.what), &page.bench)) } }
                        }
                    }))
                }
            }
        }
    }
}

/// One finding that stands for several of a kind.
fn one_of(bench: &Bench, code: &str, found: &[&Finding]) -> Finding {
    let first = found[0];
    let concerned: Vec<&str> = found
        .iter()
        .flat_map(|f| f.plantings())
        .filter_map(|id| Some(bench.planting(id)?.scientific_name.as_str()))
        .collect();
    let plants = bench.species().into_iter();
    let plants: Vec<String> = plants
        .filter(|s| concerned.contains(s))
        .map(str::to_string)
        .collect();
    let plants = trial::describe::list(&plants);
    let what = match code {
        _ if found.len() == 1 => first.what.clone(),
        "trimmed_between" => t!("compare.findings_trimmed", plants = plants),
        "weighed_before_window" => t!("compare.findings_weighed", plants = plants),
        _ => t!(
            "compare.findings_like",
            what = first.what,
            n = found.len() - 1
        ),
    };
    Finding {
        what,
        ..first.clone()
    }
}

fn further(page: &TrialPage) -> Markup {
    let links = [
        ("treatment", t!("compare.treatment_link")),
        ("readings", t!("compare.readings_link")),
        ("pictures", t!("compare.tank_pictures")),
        ("costs", t!("bench.costs_link")),
    ];
    html! {
        nav.section aria-label=(t!("bench.further")) {
            h2 { (t!("bench.further")) }
            ul.links { @for (word, label) in links { li { a href={ (page.path()) "/" (word) } { (label) } } } }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use trial::finding::Subject;
    use trial::{Planting, PlantingId, Severity, TankId, Trial, TrialId};
    use uuid::Uuid;

    #[test]
    fn findings_of_a_kind_name_the_plants_they_concern_and_no_others() {
        let id = Uuid::from_u128;
        let trial = TrialId(id(1));
        let mut bench = Bench::new(Trial::new(trial, "Invented", "UTC"));
        // The name of one is in the name of another.
        for (n, name) in [
            (1, "Rotala"),
            (2, "Rotala macrandra"),
            (3, "Bacopa monnieri"),
        ] {
            let planting = Planting::new(PlantingId(id(n)), trial, TankId(id(9)), name);
            bench.plantings.push(planting);
        }
        let trimmed = |n: u128| {
            Finding::new("trimmed_between", Severity::Weakens, "Rotala macrandra", "")
                .about([Subject::Planting(PlantingId(id(n)))])
        };
        let (a, b) = (trimmed(2), trimmed(3));
        let one = one_of(&bench, "trimmed_between", &[&a, &b]);
        assert!(
            one.what.contains("Rotala macrandra and Bacopa monnieri"),
            "{}",
            one.what
        );
    }
}
