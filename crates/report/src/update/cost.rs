//! What it cost: money by tank and arm, and minutes of work.

use super::html::{Table, cell, day, figure, section};
use super::sources::Sources;
use answers::cost::{CurrencyCost, Figures};
use answers::update::UpdateView;
use maud::{Markup, html};
use quantity::{Estimate, Format};
use text::t;

pub(super) fn cost(view: &UpdateView, sources: &mut Sources) -> Markup {
    let cost = &view.cost;
    let electricity = &cost.electricity_kwh_month;
    let body = html! {
        p { (t!("update.cost_lead", day = day(cost.today))) }
        @if cost.currencies.is_empty() { p { (t!("update.cost_none")) } }
        @for account in &cost.currencies { (currency(view, account, sources)) }
        @if electricity.value.is_some() {
            p {
                (t!("update.electricity", kwh = Format::default().significant(electricity.value.unwrap_or(0.0), 3)))
                (sources.cite([&electricity.basis]))
            }
        }
        (minutes(view, sources))
        @if !cost.findings.is_empty() {
            ul.doubts { @for f in &cost.findings { li { (f.what) } } }
        }
    };
    section("cost", t!("update.cost"), &body)
}

/// Money with its cents; otherwise as [`cell`].
fn money(estimate: &Estimate) -> Markup {
    match crate::figures::cost::amount(estimate, 2) {
        Some(amount) => html! { (amount) },
        None => cell(estimate, 4),
    }
}

fn currency(view: &UpdateView, account: &CurrencyCost, sources: &mut Sources) -> Markup {
    let whole = &account.whole;
    let bases = [&whole.set_up, &whole.cash_month, &whole.wear_month].map(|e| &e.basis);
    let name = t!("update.cost_caption", currency = account.currency);
    let caption = html! { (name) (sources.cite(bases)) };
    let mut table = Table::new(name)
        .captioned(caption)
        .words("")
        .numbers(t!("update.set_up"))
        .numbers(t!("update.swaps"))
        .numbers(t!("update.cash_month"))
        .numbers(t!("update.of_which_electricity"))
        .numbers(t!("update.wear_month"));
    let mut row = |label: String, f: &Figures| {
        table.row([
            html! { (label) },
            money(&f.set_up),
            money(&f.swaps),
            money(&f.cash_month),
            money(&f.electricity_month),
            money(&f.wear_month),
        ]);
    };
    row(t!("update.cost_whole").to_string(), whole);
    for arm in &account.arms {
        let label = t!("update.cost_arm", arm = arm.name, n = arm.tanks);
        row(label, &arm.per_tank);
    }
    for tank in &account.tanks {
        row(tank.name.clone(), &tank.figures);
    }
    html! {
        (table)
        (figure(&format!("cost-{}", account.currency), "", |width| {
            crate::figures::cost::monthly(account, &view.bench, width)
        }))
    }
}

fn minutes(view: &UpdateView, sources: &mut Sources) -> Markup {
    let work = &view.cost.work;
    if work.entries == 0 {
        return html! {};
    }
    let name = t!("update.minutes");
    let caption = html! { (name) (sources.cite([&work.whole_min.basis])) };
    let mut table = Table::new(name)
        .captioned(caption)
        .words("")
        .numbers(t!("update.minutes_in_all"))
        .numbers(t!("update.minutes_a_week"));
    table.row([
        html! { (t!("update.cost_whole")) },
        of_work(&work.whole_min),
        of_work(&work.whole_min_week),
    ]);
    for tank in &work.tanks {
        table.row([
            html! { (tank.name) },
            of_work(&tank.minutes),
            of_work(&tank.minutes_week),
        ]);
    }
    html! { (table) }
}

/// Minutes with the digits they were noted with.
fn of_work(estimate: &Estimate) -> Markup {
    match crate::figures::cost::minutes(estimate) {
        Some(minutes) => html! { (minutes) },
        None => cell(estimate, 3),
    }
}
