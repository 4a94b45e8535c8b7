//! What the trial cost and what it costs each month: money, electricity and work.

use answers::cost::{CostAnswer, CurrencyCost, Figure, Figures};
use answers::load;
use maud::{Markup, Render, html};
use quantity::{Estimate, Format};
use report::figures::cost::{amount, minutes as minutes_words, monthly, once, work};
use text::t;
use trial::TankId;

use crate::pages::words::day;
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
