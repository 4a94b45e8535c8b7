//! Plant by plant, tank by tank: what this trial can and cannot say, then every row.

use answers::compare::{Comparison, Row, Window};
use answers::load;
use axum::extract::RawQuery;
use maud::{Markup, html};
use report::figures::compare as figures;
use text::t;
use trial::Finding;
use trial::describe::measure_name;
use trial::types::Measure;

use super::compare_rows as rows;
use crate::form_data::{FieldError, FormData, FormState};
use crate::pages::words::{capital, day, said};
use crate::parts::button::{Button, link_button};
use crate::parts::disclosure::disclosure;
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
        (statements(&page, &comparison))
        @if comparison.rows.is_empty() {
            (empty(t!("compare.nothing"), t!("compare.nothing_how"), &link_button(
                &format!("{}/log/observation", page.path()),
                t!("compare.log_look"),
            )))
        }
        (primary(&page, &comparison))
        (measures(&page, &comparison))
        (in_doubt(&page, &comparison))
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
    html! {
        p.state {
            (t!("compare.span_words", from = day(from), to = day(to.yesterday().unwrap_or(to)))) " "
            (comparison.why_window)
            @if asked { " " a href=(path) { (t!("compare.back_to_default")) } }
        }
        (query_form(&path, &html! {
            (Field::date("from", t!("compare.from")).value(&from_text).fill(state))
            (Field::date("to", t!("compare.to")).value(&to_text).fill(state))
            (Button::new(t!("compare.show")))
        }))
    }
}

fn statements(page: &TrialPage, comparison: &Comparison) -> Markup {
    let list = |title: &str, all: &[String]| {
        html! {
            section.card.span-6 {
                h2 { (title) }
                ul.sentences { @for one in all { li { (said(one, &page.bench)) } } }
            }
        }
    };
    html! {
        div.grid {
            @if !comparison.can_say.is_empty() { (list(t!("compare.can"), &comparison.can_say)) }
            @if !comparison.cannot_say.is_empty() { (list(t!("compare.cannot"), &comparison.cannot_say)) }
        }
    }
}

fn primary(page: &TrialPage, comparison: &Comparison) -> Markup {
    html! {
        @for row in comparison.rows.iter().filter(|r| r.primary) {
            section.section { h2 { (t!("compare.answer")) } (rows::headed(page, row)) }
        }
    }
}

/// The measure that decides with all its figures; other outcomes named in advance beside each other
/// with the arms' difference; the rest folded away, because many rows are for looking and not for
/// deciding.
fn measures(page: &TrialPage, comparison: &Comparison) -> Markup {
    let all = figures::measures(comparison).into_iter();
    let has = |measure: Measure, keep: fn(&Row) -> bool| {
        let mut rows = comparison.rows.iter().filter(|r| r.measure == measure);
        rows.any(keep)
    };
    let (deciding, others): (Vec<Measure>, Vec<_>) = all.partition(|m| has(*m, |r| r.primary));
    let (named, rest): (Vec<Measure>, Vec<_>) = others
        .into_iter()
        .partition(|m| has(*m, |r| r.better.is_some()));
    html! {
        @for measure in &deciding {
            section.section id=(measure.key()) {
                h2 { (capital(measure_name(*measure))) }
                (whole(page, comparison, *measure))
            }
        }
        @if !comparison.rows.is_empty() { p.muted { (t!("compare.arms_caption")) } }
        @if !named.is_empty() {
            div.grid {
                @for measure in &named {
                    section.section.span-6 id=(measure.key()) {
                        h2 { (capital(measure_name(*measure))) }
                        (in_short(page, comparison, *measure))
                    }
                }
            }
        }
        @if !rest.is_empty() {
            section.section {
                h2 { (t!("compare.not_named")) }
                p.muted { (t!("compare.not_named_note")) }
                div.stack {
                    @for measure in &rest {
                        div id=(measure.key()) {
                            (disclosure(
                                &capital(measure_name(*measure)),
                                &whole(page, comparison, *measure),
                            ))
                        }
                    }
                }
            }
        }
    }
}

/// What each tank did beside what the arms' difference was, and the rows in numbers.
fn whole(page: &TrialPage, comparison: &Comparison, measure: Measure) -> Markup {
    let between = between(comparison, measure);
    html! {
        div.grid {
            div.span-6 { (tanks(page, comparison, measure)) }
            @if let Some(between) = between { div.span-6 { (between) } }
        }
        (disclosure(t!("compare.in_numbers"), &in_numbers(page, comparison, measure)))
    }
}

/// The arms' difference with the tanks one click away; the tanks alone when there are no arms.
fn in_short(page: &TrialPage, comparison: &Comparison, measure: Measure) -> Markup {
    let tanks = tanks(page, comparison, measure);
    let numbers = in_numbers(page, comparison, measure);
    html! {
        @if let Some(between) = between(comparison, measure) {
            (between)
            (disclosure(t!("compare.tank_by_tank"), &html! { (tanks) (numbers) }))
        } @else {
            (tanks)
            (disclosure(t!("compare.in_numbers"), &numbers))
        }
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

/// Findings of one kind as one, with the plants they are about; each in full below.
fn in_doubt(page: &TrialPage, comparison: &Comparison) -> Markup {
    let mut kinds: Vec<(&str, Vec<&Finding>)> = Vec::new();
    for finding in &comparison.findings {
        match kinds.iter_mut().find(|(code, _)| *code == finding.code) {
            Some((_, found)) => found.push(finding),
            None => kinds.push((finding.code, vec![finding])),
        }
    }
    let all = comparison.findings.len();
    html! {
        @if !kinds.is_empty() {
            section.section {
                h2 { (t!("compare.findings")) }
                div.stack {
                    @for (code, found) in &kinds { (findings::one(&one_of(page, code, found), &page.bench)) }
                }
                @if all > kinds.len() {
                    (disclosure(&t!("compare.findings_each", n = all), &html! {
                        ul.sentences {
                            @for finding in &comparison.findings { li { (said(&capital(&finding.what), &page.bench)) } }
                        }
                    }))
                }
            }
        }
    }
}

/// One finding that stands for several of a kind.
fn one_of(page: &TrialPage, code: &str, found: &[&Finding]) -> Finding {
    let first = found[0];
    let species = page.bench.species();
    let about = |name: &&&str| found.iter().any(|f| f.what.contains(**name));
    let plants: Vec<String> = species
        .iter()
        .filter(about)
        .map(|s| (*s).to_string())
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
