//! What was planned and what became of it; what is due, and what was missed.

use answers::load;
use answers::plans::{AbsenceState, PlannedChange, PlansAnswer, RoutineState};
use jiff::civil::Date;
use maud::{Markup, Render, html};
use text::t;

use crate::pages::words::{capital, day, said};
use crate::parts::disclosure::method;
use crate::parts::empty::empty;
use crate::parts::findings;
use crate::parts::series::tank_name;
use crate::parts::shell::NavItem;
use crate::parts::table::{Column, Table};
use crate::{TrialPage, WebError};

/// `{trial}/plans`.
///
/// # Errors
/// When the notebook cannot be read.
pub async fn show(page: TrialPage) -> Result<Markup, WebError> {
    let plans = load::plans(page.app.notebook(), &page.bench, page.today())?;
    let body = html! {
        p.state { (t!("bench.plans_as_of", day = day(plans.today))) }
        (due(&page, &plans))
        (absences(&page, &plans.absences))
        (changes(&page, &plans))
        @if !plans.routines.is_empty() { (routines(&page, &plans)) }
        @if !plans.findings.is_empty() {
            section.section { h2 { (t!("bench.missing")) } (findings::all(&plans.findings, &page.bench)) }
        }
    };
    let lead = Some(t!("bench.plans_lead"));
    Ok(page.page(NavItem::Plans, t!("bench.plans_title"), lead, body))
}

/// How long something has been due, in words.
pub fn when(overdue_days: i64) -> String {
    match overdue_days {
        n if n > 0 => t!("bench.due_late", n = n),
        _ => t!("bench.due_today").to_string(),
    }
}

fn due(page: &TrialPage, plans: &PlansAnswer) -> Markup {
    html! {
        section.section {
            h2 { (t!("bench.due")) }
            p { a href={ (page.path()) "/sheet" } { (t!("sheet.link")) } ": " (t!("sheet.link_hint")) }
            @if plans.due.is_empty() { p { (t!("bench.due_none")) } }
            @else {
                ul.rows {
                    @for due in &plans.due {
                        li {
                            span.rows-main { (said(&due.what, &page.bench)) }
                            span.muted { (due.tanks_words) ", " (when(due.overdue_days)) }
                            @if let Some(act) = &due.act {
                                a.rows-act href={ (page.path()) "/log/" (act) } { (t!("bench.due_log")) }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn absences(page: &TrialPage, absences: &[AbsenceState]) -> Markup {
    html! {
        section.section {
            h2 { (t!("bench.away")) }
            @for absence in absences { (absent(page, absence)) }
            p {
                @if absences.is_empty() { (t!("bench.away_none")) " " }
                a href={ (page.path()) "/setup/keeping" } { (t!("bench.away_edit")) }
            }
        }
    }
}

fn absent(page: &TrialPage, absence: &AbsenceState) -> Markup {
    let (from, to) = (day(absence.from), day(absence.to));
    html! {
        article.card {
            h3 { (t!("bench.away_span", from = from, to = to)) }
            p {
                @if absence.who_helps.is_empty() { (t!("bench.away_nobody")) }
                @else { (t!("bench.away_helper", who = absence.who_helps)) }
            }
            @if !absence.note.is_empty() { p { (absence.note) } }
            @if absence.falls.is_empty() { p { (t!("bench.away_nothing")) } } @else {
                ul.rows {
                    @for falls in &absence.falls {
                        li {
                            span.rows-main { (said(&falls.what, &page.bench)) }
                            span.muted {
                                (falls.tanks_words) ", "
                                (t!("bench.away_times", n = falls.times, day = day(falls.first)))
                            }
                        }
                    }
                }
                p { (t!("bench.away_advice")) " " a href={ (page.path()) "/sheet" } { (t!("sheet.link")) } }
            }
            p { (t!("bench.away_equal")) }
            @if absence.animals { p { (t!("bench.away_animals")) } }
        }
    }
}

fn changes(page: &TrialPage, plans: &PlansAnswer) -> Markup {
    html! {
        section.section {
            h2 { (t!("bench.changes")) }
            @if plans.changes.is_empty() {
                (empty(t!("bench.changes_none"), t!("bench.changes_how"), &html! {}))
            }
            @for change in &plans.changes { (one_change(page, change)) }
        }
    }
}

fn one_change(page: &TrialPage, change: &PlannedChange) -> Markup {
    html! {
        article.card {
            h3 { (said(&change.what, &page.bench)) }
            p { (change.sentence) }
            p.muted { (capital(&change.tanks_words)) }
            dl.facts {
                @if !change.expects.is_empty() {
                    dt { (t!("bench.expected")) } dd { (said(&change.expects, &page.bench)) }
                }
                @if !change.seen.is_empty() {
                    dt { (t!("bench.seen")) } dd { (said(&change.seen, &page.bench)) }
                }
            }
            @if change.open() {
                p { a href={ (page.path()) "/setup/plans/" (change.plan) } { (t!("bench.plan_close")) } }
            }
        }
    }
}

fn routines(page: &TrialPage, plans: &PlansAnswer) -> Markup {
    html! {
        section.section {
            h2 { (t!("bench.routines")) }
            @for routine in &plans.routines {
                div.stack {
                    h3 { (said(&routine.what, &page.bench)) }
                    p { (routine.sentence) }
                    (table(page, routine))
                }
            }
            (method(&html! {
                @for formula in &plans.basis.formulas { p { (formula) } }
                @for source in &plans.basis.sources { p.muted { (source) } }
            }))
        }
    }
}

fn table(page: &TrialPage, routine: &RoutineState) -> Markup {
    let columns = [
        Column::words(t!("compare.col_tank")),
        Column::words(t!("bench.col_last")),
        Column::words(t!("bench.col_next")),
        Column::numbers(t!("bench.col_missed"), ""),
    ];
    let when = |on: Option<Date>, otherwise: &str| {
        html! { @if let Some(on) = on { (on) } @else { (otherwise) } }
    };
    let caption = t!("bench.every_days", n = routine.every_days);
    let mut table = Table::new(&caption, &columns);
    for tank in &routine.tanks {
        let place = page.bench.tank(tank.tank).map_or(0, |t| t.place);
        let last = when(tank.last, t!("bench.never"));
        table = table.row([
            tank_name(place, &tank.name),
            match tank.last_entry {
                Some(id) => html! { a href={ (page.path()) "/entries/" (id) } { (last) } },
                None => last,
            },
            when(tank.next, t!("bench.ended")),
            html! {
                (t!("bench.missed_of", n = tank.missed.len(), all = tank.decided))
                @if !tank.away.is_empty() { br; span.muted { (t!("bench.missed_away", n = tank.away.len())) } }
            },
        ]);
    }
    table.render()
}
