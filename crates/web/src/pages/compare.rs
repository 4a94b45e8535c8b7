//! Plant by plant, tank by tank: what this trial can and cannot say, then every row.

use answers::compare::{Comparison, Window};
use answers::load;
use axum::extract::RawQuery;
use maud::{Markup, html};
use report::figures::compare as figures;
use text::t;
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
        @for (i, measure) in figures::measures(&comparison).into_iter().enumerate() {
            (measured(&page, &comparison, measure, i == 0))
        }
        @if !comparison.findings.is_empty() {
            section.section {
                h2 { (t!("compare.findings")) }
                (findings::all(&comparison.findings, &page.bench))
            }
        }
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
            section.section { h2 { (t!("compare.answer")) } (rows::row(page, row)) }
        }
    }
}

/// The figures and rows of one measure: open when an outcome named in advance is measured so, else
/// folded away, because many rows are for looking and not for deciding.
fn measured(page: &TrialPage, comparison: &Comparison, measure: Measure, first: bool) -> Markup {
    let key = measure.key();
    let bench = &page.bench;
    let tanks = |width: f64| figures::tanks(comparison, bench, measure, width).unwrap_or_default();
    let arms = |width: f64| figures::arms(comparison, measure, width).unwrap_or_default();
    let between = figures::arms(comparison, measure, HALF).is_some();
    let all = figures::rows_of(comparison, measure);
    let named = all.iter().any(|r| r.better.is_some());
    // The marks are explained once.
    let caption = html! { @if first { (t!("compare.arms_caption")) } };
    let drawn = html! {
        div.grid {
            div.span-6 { (figure(&format!("{key}-tanks"), HALF, &html! {}, tanks)) }
            @if between { div.span-6 { (figure(&format!("{key}-arms"), HALF, &caption, arms)) } }
        }
        (disclosure(t!("compare.in_numbers"), &html! {
            @for row in all { (rows::row(page, row)) }
        }))
    };
    let name = capital(measure_name(measure));
    html! {
        section.section id=(key) {
            @if named { h2 { (name) } (drawn) } @else { (disclosure(&name, &drawn)) }
        }
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
