//! What was done in each tank, phase by phase: the unplanned first.

use super::html::{Table, capital, day, last_day, section, short_day};
use answers::unequal::{Alike, TankTotal, Treatment, TreatmentRow};
use answers::update::UpdateView;
use maud::{Markup, html};
use quantity::Format;
use text::t;
use trial::types::PhaseKind;

/// The most days listed for one row.
const MOST_DAYS: usize = 8;

pub(super) fn treatment(view: &UpdateView) -> Markup {
    let body = html! {
        p { (t!("update.treated_lead")) }
        @if view.treatment.is_empty() { p { (t!("update.not_treated")) } }
        @for (kind, treatment) in &view.treatment { (phase(view, *kind, treatment)) }
    };
    section("treated", t!("update.treated"), &body)
}

fn phase(view: &UpdateView, kind: PhaseKind, treatment: &Treatment) -> Markup {
    let title = t!(
        "update.treated_phase",
        phase = capital(trial::describe::phase_name(kind)),
        from = day(treatment.from),
        to = day(last_day(treatment.to))
    );
    let (equal, unequal): (Vec<&TreatmentRow>, Vec<_>) =
        treatment.rows.iter().partition(|r| r.alike == Alike::Equal);
    html! {
        h3 { (title) }
        @if treatment.rows.is_empty() { p { (t!("update.treated_none")) } }
        @if !unequal.is_empty() {
            (table(view, t!("update.treated_unequal"), &unequal))
            (days(treatment))
        }
        @if !equal.is_empty() {
            @if unequal.is_empty() { p { (t!("update.treated_all_equal")) } }
            details {
                summary { (t!("update.treated_equal", n = equal.len())) }
                (table(view, t!("update.treated_equal_caption"), &equal))
            }
        }
    }
}

fn table(view: &UpdateView, caption: &str, rows: &[&TreatmentRow]) -> Markup {
    let mut table = Table::new(caption)
        .words(t!("update.differ_what"))
        .words(t!("update.alike"));
    for tank in &view.bench.tanks {
        table = table.numbers(&tank.name);
    }
    for row in rows {
        let alike = match row.alike {
            Alike::WithinArm => html! { strong { (t!("update.within_arm")) } },
            Alike::BetweenArms => html! { (t!("update.between_arms")) },
            Alike::Equal => html! { span.faint { (t!("update.alike_equal")) } },
        };
        let label = html! {
            (row.what) @if !row.unit.is_empty() { ", " span.unit { (row.unit) } }
        };
        let cells = row.tanks.iter().map(total);
        table.row([label, alike].into_iter().chain(cells));
    }
    html! { (table) }
}

fn total(total: &TankTotal) -> Markup {
    match total.value {
        Some(value) => html! { (Format::default().significant(value, 4)) },
        None => html! { span.faint { (t!("update.unknown")) } },
    }
}

fn days(treatment: &Treatment) -> Markup {
    let rows: Vec<&TreatmentRow> = treatment
        .rows
        .iter()
        .filter(|r| !r.days.is_empty())
        .collect();
    html! {
        @if !rows.is_empty() {
            h4 { (t!("update.unequal_days")) }
            ul { @for row in rows { li {
                strong { (row.what) }
                ul { @for d in row.days.iter().take(MOST_DAYS) {
                    li { (t!("update.unequal_day", day = short_day(d.day), what = d.what)) }
                }
                @if row.days.len() > MOST_DAYS {
                    li { (t!("update.unequal_days_more", n = row.days.len() - MOST_DAYS)) }
                } }
            } } }
        }
    }
}
