//! One row of the comparison in words and numbers, with its working.

use answers::compare::{Row, Scale, Seen, TankChange};
use maud::{Markup, Render, html};
use quantity::{Basis, Format};
use text::t;
use trial::describe::{measure_name, measure_unit};
use trial::types::Better;

use crate::TrialPage;
use crate::pages::words::{capital, said};
use crate::parts::disclosure::working;
use crate::parts::series::tank_name;
use crate::parts::table::{Column, Table};

/// Sentences, the table of tanks and the working of one row.
pub(super) fn row(page: &TrialPage, row: &Row) -> Markup {
    html! {
        article.stack {
            (said_of(page, row))
            (table(page, row))
            (working(&basis(page, row)))
        }
    }
}

/// What a row says: each pair of arms in one sentence.
pub(super) fn said_of(page: &TrialPage, row: &Row) -> Markup {
    let bench = &page.bench;
    let plant = row.plant.as_deref().unwrap_or(t!("compare.front_pane"));
    html! {
        h3 { (said(plant, bench)) ", " (measure_name(row.measure)) }
        @for difference in &row.differences { p { (said(&capital(&difference.sentence), bench)) } }
        @if let Some(better) = row.better { p.muted { (better_words(better)) } }
    }
}

/// The rows of one measure in a few words: the measure, of how many plants, and from where to where
/// the arms' differences go.
pub(super) fn in_short(rows: &[&Row]) -> String {
    let Some(first) = rows.first() else {
        return String::new();
    };
    let measure = capital(measure_name(first.measure));
    let mut seen: Vec<f64> = rows
        .iter()
        .filter_map(|r| r.differences.first()?.seen)
        .collect();
    seen.sort_by(f64::total_cmp);
    let size = |v: f64| match first.scale {
        Scale::Factor => Format::default().significant(v, 2),
        Scale::Rate | Scale::Score | Scale::Count => signed(v),
    };
    let pair = first.differences.first();
    let (Some(low), Some(high), Some(pair)) = (seen.first(), seen.last(), pair) else {
        return measure;
    };
    let (low, high) = (size(*low), size(*high));
    let size = if low == high {
        low
    } else {
        t!("compare.days_between", from = low, to = high)
    };
    let unit = match first.scale {
        Scale::Factor => t!("compare.baseline_times"),
        Scale::Rate => t!("compare.per_day"),
        Scale::Score => t!("compare.points"),
        Scale::Count => "",
    };
    t!(
        "compare.in_short",
        measure = measure,
        of = pair.of,
        against = pair.against,
        size = format!("{size} {unit}").trim_end(),
        n = seen.len()
    )
}

fn signed(value: f64) -> String {
    let text = Format::default().significant(value, 2);
    if value > 0.0 {
        format!("+{text}")
    } else {
        text
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
