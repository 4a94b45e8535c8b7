//! Plant by plant: every tank's change, and the difference between the arms with its interval or the
//! reason why there is none.

use super::gallery::span;
use super::html::{Table, capital, figure, plant, section, with_species};
use super::primary::start_to_end;
use super::short::better;
use super::sources::Sources;
use answers::compare::{Difference, Row, Scale, TankChange};
use answers::update::UpdateView;
use maud::{Markup, html};
use quantity::Format;
use text::t;
use trial::Finding;
use trial::describe::{measure_name, measure_unit};
use trial::types::Measure;

pub(super) fn compare(view: &UpdateView, sources: &mut Sources) -> Markup {
    let comparison = &view.comparison;
    let body = html! {
        p { (t!("update.compare_lead")) " " (span(view)) }
        @if comparison.rows.is_empty() { p { (t!("update.compare_none")) } }
        @else {
            (figures(view))
            (table(view, sources))
            @if comparison.rows.len() > 1 {
                p { (t!("update.one_of_many", n = comparison.rows.len())) }
            }
        }
        (scored(view))
        (doubts(view))
    };
    section("compare", t!("update.compare"), &body)
}

/// How the scores came about: with the tanks' names hidden or in sight, and how well they were hidden.
fn scored(view: &UpdateView) -> Markup {
    let sentences = &view.comparison.scored.sentences;
    html! {
        @if !sentences.is_empty() {
            h3 { (t!("walk.scored_title")) }
            p { @for one in sentences { (one) " " } }
        }
    }
}

/// Doubts from so many on are folded away.
const MANY_DOUBTS: usize = 5;

fn doubts(view: &UpdateView) -> Markup {
    // A limit of the comparison stands with the other limits at the top.
    let comparison = &view.comparison;
    let limit = |f: &&Finding| comparison.cannot_say.contains(&f.what);
    let findings: Vec<&Finding> = comparison.findings.iter().filter(|f| !limit(f)).collect();
    let list = html! {
        ul.doubts { @for f in &findings {
            li { (with_species(&capital(&f.what), &view.bench)) }
        } }
    };
    html! {
        @if findings.len() >= MANY_DOUBTS {
            details { summary { (t!("update.compare_doubts_many", n = findings.len())) } (list) }
        } @else if !findings.is_empty() {
            h3 { (t!("update.compare_doubts")) }
            (list)
        }
    }
}

/// The primary measure's figures, and those of the other measures folded away.
fn figures(view: &UpdateView) -> Markup {
    let comparison = &view.comparison;
    let measures = crate::figures::compare::measures(comparison);
    let is_primary = |m: Measure| comparison.rows.iter().any(|r| r.primary && r.measure == m);
    html! {
        @for measure in measures {
            @let name = capital(measure_name(measure));
            @if is_primary(measure) {
                h3 { (name) }
                (of_measure(view, measure))
            } @else {
                details {
                    summary { (t!("update.compare_figures", measure = name)) }
                    (of_measure(view, measure))
                }
            }
        }
    }
}

fn of_measure(view: &UpdateView, measure: Measure) -> Markup {
    let (comparison, key) = (&view.comparison, measure.key());
    let arms = |width| crate::figures::compare::arms(comparison, measure, width);
    html! {
        (figure(&format!("tanks-{key}"), "", |width| {
            crate::figures::compare::tanks(comparison, &view.bench, measure, width)
                .unwrap_or_default()
        }))
        @if arms(900.0).is_some() {
            (figure(&format!("arms-{key}"), "", |width| arms(width).unwrap_or_default()))
        }
    }
}

/// Reasons for refusals, lettered in the order of use, so that a reason stands once.
#[derive(Default)]
struct Reasons(Vec<String>);

impl Reasons {
    fn letter(&mut self, reason: &str) -> char {
        let at = self.0.iter().position(|r| r == reason).unwrap_or_else(|| {
            self.0.push(reason.to_string());
            self.0.len() - 1
        });
        char::from(b'a' + u8::try_from(at.min(25)).unwrap_or(25))
    }
}

/// The rows plant by plant: that of the primary outcome first, then as plants come in the answer.
fn by_plant(rows: &[Row]) -> Vec<&Row> {
    let mut plants: Vec<&Option<String>> = Vec::new();
    for row in rows {
        if !plants.contains(&&row.plant) {
            plants.push(&row.plant);
        }
    }
    let mut sorted: Vec<&Row> = rows.iter().collect();
    sorted.sort_by_key(|r| plants.iter().position(|p| **p == r.plant));
    sorted
}

/// The one pair of arms that is compared, when there are no others.
fn only_pair(rows: &[Row]) -> Option<String> {
    let pair = |d: &Difference| t!("update.difference_of", of = d.of, against = d.against);
    let mut pairs: Vec<String> = rows.iter().flat_map(|r| &r.differences).map(pair).collect();
    pairs.sort();
    pairs.dedup();
    (pairs.len() == 1).then(|| pairs.remove(0))
}

fn table(view: &UpdateView, sources: &mut Sources) -> Markup {
    let mut table = Table::new(t!("update.compare_caption")).words(t!("update.what_measured"));
    for tank in &view.bench.tanks {
        table = table.words(&tank.name);
    }
    let only = only_pair(&view.comparison.rows);
    let heading = match &only {
        Some(pair) => t!("update.difference_pair", pair = pair),
        None => t!("update.difference").to_string(),
    };
    table = table.words(heading).words(t!("update.exact_p"));
    let mut reasons = Reasons::default();
    for row in by_plant(&view.comparison.rows) {
        let changes = row.tanks.iter().map(|t| &t.change.basis);
        let differences = row.differences.iter().map(|d| &d.estimate.basis);
        let cite = sources.cite(changes.chain(differences));
        let label = label(row, &cite);
        let tanks = view.bench.tanks.iter().map(|tank| {
            let found = row.tanks.iter().find(|t| t.tank == tank.id);
            found.map_or_else(|| html! {}, |t| change(row, t))
        });
        let differences = html! {
            @for d in &row.differences { div {
                @if only.is_none() {
                    span.faint { (t!("update.difference_of", of = d.of, against = d.against)) ": " }
                }
                (difference(row, d, &mut reasons))
            } }
        };
        let p = html! { @for d in &row.differences { div { (exact_p(d)) } } };
        let cells: Vec<Markup> = std::iter::once(label)
            .chain(tanks)
            .chain([differences, p])
            .collect();
        table.row(cells);
    }
    html! {
        (table)
        @if !reasons.0.is_empty() {
            p { (t!("update.no_interval_notes")) }
            ol.letters { @for reason in &reasons.0 { li { (reason) } } }
        }
    }
}

fn label(row: &Row, cite: &Markup) -> Markup {
    let unit = measure_unit(row.measure);
    html! {
        @match &row.plant {
            Some(name) => (plant(name)),
            None => (capital(t!("compare.whole_tank"))),
        }
        br;
        span.plain {
            (measure_name(row.measure)) @if !unit.is_empty() { ", " (unit) }
            (cite)
            @if row.primary { br; strong { (t!("update.primary_mark")) } }
            @if let Some(b) = row.better { br; (t!("update.better", better = better(b))) }
        }
    }
}

fn change(row: &Row, tank: &TankChange) -> Markup {
    let format = Format::default();
    let change = tank.change.value.map(|v| match row.scale {
        Scale::Factor => t!("update.cell_factor", factor = format.significant(v, 3)),
        Scale::Rate => format.significant(v, 2),
        Scale::Score | Scale::Count => signed(v),
    });
    html! {
        @match (start_to_end(tank), &change) {
            (Some(values), Some(change)) if row.scale != Scale::Rate => {
                (values) br; span.faint { (change) }
            }
            (_, Some(change)) => (change),
            (Some(values), None) => (values),
            (None, None) => {
                span.faint title=[tank.change.refusal()] { (t!("update.cell_not_seen")) }
            }
        }
        @if tank.lost > 0 { br; span.faint { (t!("update.cell_lost", n = tank.lost)) } }
    }
}

fn signed(value: f64) -> String {
    let text = Format::default().significant(value, 2);
    if value > 0.0 {
        format!("+{text}")
    } else {
        text
    }
}

fn difference(row: &Row, d: &Difference, reasons: &mut Reasons) -> Markup {
    let format = Format::default();
    let number = |v: f64| match row.scale {
        Scale::Factor => t!("update.factor_text", ratio = format.significant(v, 3)),
        Scale::Rate | Scale::Score | Scale::Count => signed(v),
    };
    let end = |v: f64| format.significant(v, 3);
    html! {
        @if let Some(seen) = d.seen { strong { (number(seen)) } }
        br;
        @match (d.estimate.low, d.estimate.high, d.estimate.refusal()) {
            (Some(low), Some(high), _) => {
                (t!("update.interval_text", low = end(low), high = end(high)))
            }
            (_, _, Some(reason)) => {
                (t!("update.no_interval_note", letter = reasons.letter(reason)))
            }
            _ => (t!("compare.no_interval")),
        }
    }
}

fn exact_p(d: &Difference) -> Markup {
    let n = |v| Format::default().significant(v, 2);
    match (d.exact_p, d.smallest_p) {
        (Some(p), Some(smallest)) => {
            html! { (t!("update.p_text", p = n(p), smallest = n(smallest))) }
        }
        _ => html! { span.faint { (t!("update.p_none")) } },
    }
}
