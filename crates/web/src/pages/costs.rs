//! What the trial cost and what it costs each month: money, electricity and work.

use answers::cost::unit::{ArmUnit, NextMonth, UnitCosts, next_month, per_unit};
use answers::cost::{CostAnswer, CurrencyCost, Figure, Figures};
use answers::load;
use maud::{Markup, Render, html};
use quantity::{Estimate, Format};
use report::figures::cost::{amount, minutes as minutes_words, monthly, once, work};
use text::t;
use trial::TankId;

use crate::pages::words::{day, said};
use crate::parts::button::link_button;
use crate::parts::disclosure::{disclosure, working};
use crate::parts::empty::empty;
use crate::parts::figure::{DESK, figure};
use crate::parts::findings;
use crate::parts::shell::NavItem;
use crate::parts::table::{Column, Table};
use crate::{TrialPage, WebError};

/// `{trial}/costs`.
///
/// # Errors
/// When the notebook cannot be read.
pub async fn show(page: TrialPage) -> Result<Markup, WebError> {
    let cost = load::cost(page.app.notebook(), &page.bench, page.today())?;
    let comparison = load::comparison(page.app.notebook(), &page.bench, None, page.today())?;
    let setup = format!("{}/setup", page.path());
    let gifts = &page.bench.trial.disclosures;
    let body = html! {
        p.state { (t!("cost.as_of", day = day(cost.today))) }
        @if cost.currencies.is_empty() {
            (empty(
                t!("cost.nothing"),
                t!("cost.nothing_how"),
                &link_button(&setup, t!("cost.equipment_link")),
            ))
        }
        @for account in &cost.currencies { (currency(&page, &cost, account)) }
        (minutes(&page, &cost))
        (unit(&page, &per_unit(&page.bench, &cost, &comparison)))
        (month(&next_month(&page.bench, &cost)))
        @if !gifts.is_empty() {
            section.section {
                h2 { (t!("cost.gifts")) }
                ul { @for gift in gifts { li { (gift) } } }
            }
        }
        @if !cost.findings.is_empty() {
            section.section {
                h2 { (t!("cost.findings")) }
                (findings::all(&cost.findings, &page.bench))
            }
        }
    };
    Ok(page.page(
        NavItem::Costs,
        t!("cost.title"),
        Some(t!("cost.lead")),
        body,
    ))
}

/// A sum with its currency, or why there is none.
fn sum(estimate: &Estimate, unit: &str) -> String {
    amount(estimate, 2).map_or_else(
        || estimate.refusal().unwrap_or_default().to_string(),
        |n| format!("{n}\u{a0}{unit}"),
    )
}

fn currency(page: &TrialPage, cost: &CostAnswer, account: &CurrencyCost) -> Markup {
    let unit = account.currency.as_str();
    let whole = &account.whole;
    let facts = [
        (t!("cost.whole_set_up"), sum(&whole.set_up, unit)),
        (t!("cost.whole_swaps"), sum(&whole.swaps, unit)),
        (t!("cost.whole_cash"), sum(&whole.cash_month, unit)),
        (t!("cost.whole_wear"), sum(&whole.wear_month, unit)),
        (
            t!("cost.whole_electricity"),
            kwh(&cost.electricity_kwh_month),
        ),
    ];
    let bench = &page.bench;
    html! {
        section.section {
            h2 { (t!("cost.in_currency", currency = unit)) }
            dl.facts { @for (what, how_much) in facts { dt { (what) } dd { (how_much) } } }
            (figure(&format!("once-{unit}"), DESK, &html! {}, |width| once(account, bench, width)))
            (figure(&format!("month-{unit}"), DESK, &html! {}, |width| monthly(account, bench, width)))
            @if !account.arms.is_empty() { (arms(account)) }
            (disclosure(t!("cost.lines"), &lines(page, account)))
            (working(&basis(whole)))
        }
    }
}

fn kwh(estimate: &Estimate) -> String {
    amount(estimate, 1).map_or_else(
        || estimate.refusal().unwrap_or_default().to_string(),
        |n| t!("cost.kwh_month", kwh = n),
    )
}

fn arms(account: &CurrencyCost) -> Markup {
    let columns = [
        Column::words(t!("cost.col_arm")),
        Column::numbers(t!("cost.col_set_up"), ""),
        Column::numbers(t!("cost.col_cash"), ""),
        Column::numbers(t!("cost.col_wear"), ""),
    ];
    let caption = t!("cost.arms_caption", currency = account.currency);
    let mut table = Table::new(&caption, &columns);
    for arm in &account.arms {
        let each = &arm.per_tank;
        table = table.row([
            html! { (arm.name) },
            html! { (sum(&each.set_up, "")) },
            html! { (sum(&each.cash_month, "")) },
            html! { (sum(&each.wear_month, "")) },
        ]);
    }
    table.render()
}

fn lines(page: &TrialPage, account: &CurrencyCost) -> Markup {
    let columns = [
        Column::words(t!("cost.col_what")),
        Column::words(t!("cost.col_figure")),
        Column::numbers(t!("cost.col_amount"), &account.currency),
        Column::words(t!("cost.col_paid")),
        Column::words(t!("cost.col_tanks")),
    ];
    let caption = t!("cost.lines_caption", currency = account.currency);
    let mut table = Table::new(&caption, &columns).stacked();
    for line in &account.lines {
        table = table.row([
            html! { (line.what) @if !line.disclosure.is_empty() { " (" (line.disclosure) ")" } },
            html! { (figure_name(line.figure)) },
            html! { (Format::default().fixed(line.amount, 2)) },
            html! { @if let Some(paid) = line.paid { (paid) } },
            html! { (tanks(page, &line.tanks)) },
        ]);
    }
    table.render()
}

fn tanks(page: &TrialPage, tanks: &[TankId]) -> String {
    let all = tanks.len() == page.bench.tanks.len() && tanks.len() > 1;
    trial::describe::tanks_phrase(tanks, all, &page.bench)
}

fn figure_name(figure: Figure) -> &'static str {
    match figure {
        Figure::SetUp => t!("cost.set_up"),
        Figure::Swaps => t!("cost.swaps"),
        Figure::Consumables => t!("cost.consumables"),
        Figure::Electricity => t!("cost.electricity"),
        Figure::Wear => t!("cost.wear"),
    }
}

fn basis(whole: &Figures) -> Markup {
    let all = [
        &whole.set_up,
        &whole.swaps,
        &whole.cash_month,
        &whole.wear_month,
    ];
    html! {
        @for estimate in all {
            @for formula in &estimate.basis.formulas { p { (formula) } }
        }
        @for source in &whole.set_up.basis.sources { p.muted { (source) } }
    }
}

fn minutes(page: &TrialPage, cost: &CostAnswer) -> Markup {
    let all = &cost.work;
    html! {
        section.section {
            h2 { (t!("cost.work_title")) }
            @if let (Some(from), Some(minutes)) = (all.from, minutes_words(&all.whole_min)) {
                p { (t!("cost.work_span", from = day(from), to = day(all.to), minutes = minutes, n = all.entries)) }
                (figure("work", DESK, &html! {}, |width| work(all, &page.bench, width)))
            } @else { p { (all.whole_min.refusal().unwrap_or_default()) } }
        }
    }
}

/// A figure with its interval in brackets, or why there is none.
fn within(estimate: &Estimate, unit: &str) -> Markup {
    let digits = |n: f64| Format::default().significant(n, 2);
    match (estimate.value, estimate.low, estimate.high) {
        (Some(value), Some(low), Some(high)) => html! {
            (digits(value)) " (" (digits(low)) " \u{2013} " (digits(high)) ")"
            @if !unit.is_empty() { " " (unit) }
        },
        (None, Some(low), None) => html! {
            (t!("cost.at_least", amount = digits(low))) @if !unit.is_empty() { " " (unit) }
        },
        _ => html! { span.muted { (estimate.refusal().unwrap_or_default()) } },
    }
}

fn unit(page: &TrialPage, costs: &UnitCosts) -> Markup {
    let unit = match costs.unit.as_str() {
        "" => t!("cost.unit_one"),
        unit => unit,
    };
    html! {
        section.section {
            h2 { (t!("cost.unit_title")) }
            @if let Some(why) = &costs.refused { p { (why) } } @else {
                p.muted { (said(&t!("cost.unit_what", outcome = costs.outcome, unit = unit), &page.bench)) }
                (unit_table(costs, unit))
                (working(&unit_basis(&costs.arms)))
            }
        }
    }
}

fn unit_table(costs: &UnitCosts, unit: &str) -> Markup {
    let currencies: Vec<&str> = costs.arms.first().map_or_else(Vec::new, |arm| {
        arm.money.iter().map(|(code, _)| code.as_str()).collect()
    });
    let mut columns = vec![
        Column::words(t!("cost.col_arm")),
        Column::numbers(t!("cost.col_gain"), unit),
    ];
    columns.extend(currencies.iter().map(|code| Column::numbers(code, "")));
    columns.push(Column::numbers(t!("cost.col_minutes"), ""));
    let caption = t!("cost.unit_caption", unit = unit);
    let mut table = Table::new(&caption, &columns).stacked();
    for arm in &costs.arms {
        let mut cells = vec![html! { (arm.name) }, within(&arm.gain, "")];
        cells.extend(arm.money.iter().map(|(_, each)| within(each, "")));
        cells.push(within(&arm.minutes, ""));
        table = table.row(cells);
    }
    table.render()
}

fn unit_basis(arms: &[ArmUnit]) -> Markup {
    let first = arms.first();
    let money = first.and_then(|arm| arm.money.first());
    let all = money
        .map(|(_, each)| each)
        .into_iter()
        .chain(first.map(|arm| &arm.minutes));
    html! {
        @for estimate in all {
            @for formula in &estimate.basis.formulas { p { (formula) } }
        }
        @if let Some(arm) = first {
            @for source in &arm.gain.basis.sources { p.muted { (source) } }
        }
    }
}

fn month(next: &NextMonth) -> Markup {
    let digits = |n: f64| Format::default().significant(n, 2);
    html! {
        section.section {
            h2 { (t!("cost.next_title")) }
            dl.facts {
                @for (code, cash) in &next.cash { dt { (t!("cost.next_cash")) } dd { (sum(cash, code)) } }
                dt { (t!("cost.next_minutes")) }
                dd {
                    @match minutes_words(&next.minutes) {
                        Some(minutes) => (t!("cost.next_minutes_of", minutes = minutes)),
                        None => (next.minutes.refusal().unwrap_or_default()),
                    }
                }
            }
            p { (t!("cost.next_buys")) }
            @match next.detectable {
                Some((now, more)) => p {
                    (t!("cost.next_detectable", n = next.tanks_per_arm, now = digits(now), more = digits(more)))
                },
                None => p { (t!("cost.next_too_few", n = next.tanks_per_arm)) },
            }
        }
    }
}
