//! What each tank got, phase by phase: what was never planned first.

use answers::load;
use answers::unequal::{Treatment, TreatmentRow};
use maud::{Markup, Render, html};
use quantity::Format;
use text::t;
use trial::describe::phase_name;

use crate::pages::words::{capital, day, said};
use crate::parts::button::link_button;
use crate::parts::empty::empty;
use crate::parts::shell::NavItem;
use crate::parts::table::{Column, Table};
use crate::{TrialPage, WebError};

/// `{trial}/treatment`.
///
/// # Errors
/// When the notebook cannot be read.
pub async fn show(page: TrialPage) -> Result<Markup, WebError> {
    let phases = load::treatment_by_phase(page.app.notebook(), &page.bench, page.today())?;
    let setup = format!("{}/setup", page.path());
    let body = html! {
        @if phases.is_empty() {
            (empty(
                t!("unequal.no_phase"),
                t!("unequal.no_phase_how"),
                &link_button(&setup, t!("bench.setup_link")),
            ))
        }
        @for (kind, treatment) in phases.iter().rev().filter(|(_, t)| t.from < t.to) {
            section.section {
                h2 {
                    (t!(
                        "unequal.span",
                        phase = capital(phase_name(*kind)),
                        from = day(treatment.from),
                        to = day(treatment.to.yesterday().unwrap_or(treatment.to))
                    ))
                }
                (phase(&page, treatment))
            }
        }
    };
    let lead = Some(t!("unequal.lead"));
    Ok(page.page(NavItem::Treatment, t!("unequal.title"), lead, body))
}

fn phase(page: &TrialPage, treatment: &Treatment) -> Markup {
    if treatment.rows.is_empty() {
        return html! { p { (t!("unequal.nothing")) } };
    }
    let within: Vec<&TreatmentRow> = treatment.crept_in().collect();
    let between: Vec<&TreatmentRow> = treatment.between_arms().collect();
    let equal: Vec<&TreatmentRow> = treatment.equal().collect();
    html! {
        h3 { (t!("unequal.within")) }
        @if within.is_empty() { p { (t!("unequal.within_none")) } }
        @else {
            p.muted { (t!("unequal.within_note")) }
            (table(page, &within))
            @for row in within.iter().filter(|r| !r.days.is_empty()) { (days(page, row)) }
        }
        h3 { (t!("unequal.between")) }
        @if between.is_empty() { p { (t!("unequal.between_none")) } }
        @else { p.muted { (t!("unequal.between_note")) } (table(page, &between)) }
        h3 { (t!("unequal.equal")) }
        @if equal.is_empty() { p { (t!("unequal.equal_none")) } } @else { (alike(page, &equal)) }
    }
}

/// One value stands for every tank.
fn alike(page: &TrialPage, rows: &[&TreatmentRow]) -> Markup {
    html! {
        dl.facts {
            @for row in rows {
                @let value = row.tanks.first().and_then(|t| t.value);
                dt { (said(&row.what, &page.bench)) }
                dd { (total(value, row.unit)) }
            }
        }
    }
}

fn total(value: Option<f64>, unit: &str) -> String {
    match value {
        Some(value) => {
            let number = Format::default().significant(value, 4);
            format!("{number}\u{a0}{unit}").trim_end().to_string()
        }
        None => t!("unequal.not_recorded").to_string(),
    }
}

fn table(page: &TrialPage, rows: &[&TreatmentRow]) -> Markup {
    let names: Vec<&str> = page.bench.tanks.iter().map(|t| t.name.as_str()).collect();
    let mut columns = vec![Column::words(t!("unequal.col_what"))];
    columns.extend(names.iter().map(|name| Column::numbers(name, "")));
    let mut table = Table::new(t!("unequal.total_caption"), &columns).stacked();
    for row in rows {
        let what = html! { (said(&row.what, &page.bench)) };
        let totals = row
            .tanks
            .iter()
            .map(|t| html! { (total(t.value, row.unit)) });
        table = table.row(std::iter::once(what).chain(totals));
    }
    table.render()
}

/// The days on which tanks of one arm differed, with the entries behind them.
fn days(page: &TrialPage, row: &TreatmentRow) -> Markup {
    html! {
        div.stack {
            p { strong { (row.what) } ": " (t!("unequal.days")) }
            ul.rows {
                @for unequal in &row.days {
                    li {
                        span.rows-main { (unequal.day) }
                        span.muted { (unequal.what) }
                        span.rows-act {
                            @for (i, entry) in unequal.entries.iter().enumerate() {
                                @if i > 0 { ", " }
                                a href={ (page.path()) "/entries/" (entry) } {
                                    (t!("compare.record", n = i + 1))
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}
