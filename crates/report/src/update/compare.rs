//! Plant by plant: every tank's change, and the difference between the arms with its interval or the
//! reason why there is none.

use super::gallery::span;
use super::html::{Table, figure, plant, section};
use super::primary::start_to_end;
use super::short::better;
use super::sources::Sources;
use answers::compare::{Difference, Row, Scale, TankChange};
use answers::update::UpdateView;
use maud::{Markup, html};
use quantity::Format;
use text::t;
use trial::describe::{measure_name, measure_unit};

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
        @if !comparison.findings.is_empty() {
            h3 { (t!("update.compare_doubts")) }
            ul.doubts { @for f in &comparison.findings {
                li { (super::html::with_species(&f.what, &view.bench)) }
            } }
        }
    };
    section("compare", t!("update.compare"), &body)
}

fn figures(view: &UpdateView) -> Markup {
    let comparison = &view.comparison;
    let measures = crate::figures::compare::measures(comparison);
    html! {
        div.figures {
            @for measure in measures {
                (figure(&format!("tanks-{}", measure.key()), "", |width| {
                    crate::figures::compare::tanks(comparison, &view.bench, measure, width)
                        .unwrap_or_default()
                }))
                @if crate::figures::compare::arms(comparison, measure, 900.0).is_some() {
                    (figure(&format!("arms-{}", measure.key()), "", |width| {
                        crate::figures::compare::arms(comparison, measure, width)
                            .unwrap_or_default()
                    }))
                }
            }
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

fn table(view: &UpdateView, sources: &mut Sources) -> Markup {
    let mut table = Table::new(t!("update.compare_caption")).words(t!("update.what_measured"));
    for tank in &view.bench.tanks {
        table = table.words(&tank.name);
    }
    table = table
        .words(t!("update.difference"))
        .words(t!("update.exact_p"));
    let mut reasons = Reasons::default();
    for row in &view.comparison.rows {
        let changes = row.tanks.iter().map(|t| &t.change.basis);
        let differences = row.differences.iter().map(|d| &d.estimate.basis);
        let cite = sources.cite(changes.chain(differences));
        let label = label(row, &cite);
        let tanks = view.bench.tanks.iter().map(|tank| {
            let found = row.tanks.iter().find(|t| t.tank == tank.id);
            found.map_or_else(|| html! {}, |t| change(row, t))
        });
        let differences = html! {
            @for d in &row.differences { div { (difference(row, d, &mut reasons)) } }
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
    let unit = match row.scale {
        Scale::Rate => "",
        _ => measure_unit(row.measure),
    };
    html! {
        @match &row.plant {
            Some(name) => (plant(name)),
            None => (t!("compare.whole_tank")),
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
        Scale::Rate => t!("update.rate_text", difference = format.significant(v, 2)),
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
    if value > 0.0 { format!("+{text}") } else { text }
}

fn difference(row: &Row, d: &Difference, reasons: &mut Reasons) -> Markup {
    let format = Format::default();
    let number = |v: f64| match row.scale {
        Scale::Factor => t!("update.factor_text", ratio = format.significant(v, 3)),
        Scale::Rate => t!("update.rate_text", difference = signed(v)),
        Scale::Score | Scale::Count => t!("update.points_text", difference = signed(v)),
    };
    let end = |v: f64| format.significant(v, 3);
    html! {
        span.faint { (t!("update.difference_of", of = d.of, against = d.against)) ": " }
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
