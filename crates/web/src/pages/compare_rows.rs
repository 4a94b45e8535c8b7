//! One row of the comparison in words and numbers, with its working.

use answers::compare::{Row, Scale, Seen, TankChange};
use maud::{Markup, Render, html};
use quantity::{Basis, Format};
use text::t;
use trial::describe::{measure_name, measure_unit};
use trial::types::Better;

use crate::TrialPage;
use crate::pages::words::{capital, said};
use crate::parts::disclosure::{disclosure, working};
use crate::parts::series::tank_name;
use crate::parts::table::{Column, Table};

/// Sentences, the table of tanks and the working of one row.
pub(super) fn row(page: &TrialPage, row: &Row) -> Markup {
    article(
        page,
        row,
        &html! { (table(page, row)) (working(&basis(page, row))) },
    )
}

/// The sentences of one row, with its table and working folded away.
pub(super) fn headed(page: &TrialPage, row: &Row) -> Markup {
    let numbers = html! { (table(page, row)) (working(&basis(page, row))) };
    article(page, row, &disclosure(t!("compare.tank_by_tank"), &numbers))
}

fn article(page: &TrialPage, row: &Row, below: &Markup) -> Markup {
    let bench = &page.bench;
    let plant = row.plant.as_deref().unwrap_or(t!("compare.front_pane"));
    html! {
        article.stack {
            h3 { (said(plant, bench)) ", " (measure_name(row.measure)) }
            @if let Some(better) = row.better { p.muted { (better_words(better)) } }
            @for difference in &row.differences { p { (said(&capital(&difference.sentence), bench)) } }
            (below)
        }
    }
}

fn better_words(better: Better) -> String {
    match better {
        Better::More => t!("compare.better_more").to_string(),
        Better::Less => t!("compare.better_less").to_string(),
        Better::Target { value } => t!("compare.better_target", value = value),
    }
}

fn table(page: &TrialPage, row: &Row) -> Markup {
    let unit = measure_unit(row.measure);
    // A growth rate is 1/day, but start and end are masses.
    let unit = if row.scale == Scale::Rate { "g" } else { unit };
    let change = match row.scale {
        Scale::Rate => t!("compare.change_rate"),
        Scale::Factor => t!("compare.change_factor"),
        Scale::Score | Scale::Count => t!("compare.change_difference"),
    };
    let columns = [
        Column::words(t!("compare.col_tank")),
        Column::words(t!("compare.col_arm")),
        Column::numbers(t!("compare.col_start"), unit),
        Column::numbers(t!("compare.col_end"), unit),
        Column::numbers(t!("compare.col_change"), change),
        Column::numbers(t!("compare.col_plantings"), ""),
        Column::numbers(t!("compare.col_lost"), ""),
    ];
    let mut table = Table::new(t!("compare.row_caption"), &columns).stacked();
    for tank in &row.tanks {
        table = table.row(cells(page, tank));
    }
    table.render()
}

fn cells(page: &TrialPage, tank: &TankChange) -> [Markup; 7] {
    let place = page.bench.tank(tank.tank).map_or(0, |t| t.place);
    let arm = tank.arm.as_deref().and_then(|k| page.bench.trial.arm(k));
    let change = Format::default().estimate(&tank.change, 3);
    [
        tank_name(place, &tank.name),
        html! { (arm.map_or(t!("bench.no_arm"), |a| a.name.as_str())) },
        seen(tank.start),
        seen(tank.end),
        html! {
            // One element: on a phone a cell is a grid of its label and its content.
            span {
                @if tank.change.refusal().is_some() { (t!("compare.not_known")) } @else {
                    @if let Some(value) = tank.change.value { (Format::default().significant(value, 3)) }
                    @if tank.change.interval().is_some() { br; span.muted.small { (change) } }
                }
            }
        },
        html! { (tank.plantings) },
        html! { (tank.lost) },
    ]
}

fn seen(seen: Option<Seen>) -> Markup {
    html! {
        @match seen {
            None => { (t!("compare.not_known")) },
            Some(seen) => {
                span {
                    (Format::default().significant(seen.value, 3)) br;
                    span.muted.small {
                        @if seen.from == seen.to { (seen.from) }
                        @else { (t!("compare.days_between", from = seen.from, to = seen.to)) }
                    }
                }
            },
        }
    }
}

/// Formulas and sources, each once, refusals, the exact test, and the records used.
fn basis(page: &TrialPage, row: &Row) -> Markup {
    let tanks = row.tanks.iter().map(|t| &t.change.basis);
    let arms = row.differences.iter().map(|d| &d.estimate.basis);
    let all: Vec<&Basis> = tanks.chain(arms).collect();
    let once = |pick: fn(&Basis) -> &Vec<String>| {
        let mut found: Vec<&String> = Vec::new();
        for one in all.iter().flat_map(|b| pick(b)) {
            if !found.contains(&one) {
                found.push(one);
            }
        }
        found
    };
    let n = |v| Format::default().significant(v, 2);
    html! {
        @for formula in once(|b| &b.formulas) { p { (formula) } }
        @for source in once(|b| &b.sources) { p.muted { (source) } }
        @for tank in &row.tanks {
            @if let Some(reason) = tank.change.refusal() { p { (tank.name) ": " (reason) } }
        }
        @for d in &row.differences {
            @if let (Some(p), Some(smallest)) = (d.exact_p, d.smallest_p) {
                p { (t!("compare.exact_p", p = n(p), smallest = n(smallest))) }
            }
        }
        p {
            (t!("compare.records")) ": "
            @for (i, record) in once(|b| &b.records).into_iter().enumerate() {
                @if i > 0 { ", " }
                a href={ (page.path()) "/entries/" (record) } { (t!("compare.record", n = i + 1)) }
            }
        }
    }
}
