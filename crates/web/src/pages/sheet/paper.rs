//! The sheet as it is printed: black on white, large boxes, nothing but the sheet.

use answers::sheet::{Asked, Row, Sheet, TankBox, What};
use answers::walk::Scale;
use maud::{Markup, html};
use text::t;
use trial::types::Measure;
use trial::{Bench, TankId, describe};

use super::{short_day, span_words};
use crate::TrialPage;
use crate::pages::words::{capital, said};
use crate::parts::series::tank_name;

/// Up to so many tanks, each has the steps of a card in its own column to be circled.
const STEPS_FIT: usize = 6;

pub(super) fn draw(page: &TrialPage, sheet: &Sheet, asked: &Asked) -> Markup {
    let bench = &page.bench;
    let parts = asked.parts;
    html! {
        article.paper aria-label=(t!("sheet.title")) tabindex="0" {
            (head(page, sheet, asked))
            @if !sheet.findings.is_empty() {
                ul.paper-mind {
                    @for f in &sheet.findings {
                        li { strong { (said(&f.what, bench)) } " " (f.remedy) }
                    }
                }
            }
            @if parts.due { (due(bench, sheet)) }
            @if parts.acts { (acts(bench, sheet)) }
            @if parts.readings { (readings(bench, sheet)) }
            @if parts.looks { (looks(bench, sheet)) }
            @if parts.lines { (lines(sheet)) }
            (cautions(sheet))
            p.paper-foot {
                (t!("sheet.foot", from = sheet.from, n = asked.days, made = asked.made.strftime("%Y-%m-%d %H:%M")))
            }
        }
    }
}

fn head(page: &TrialPage, sheet: &Sheet, asked: &Asked) -> Markup {
    let trial = &page.bench.trial;
    let facts = [
        sheet.phase.map(|p| capital(describe::phase_name(p))),
        sheet.week.map(|n| t!("sheet.week", n = n)),
        trial.keeper.as_ref().map(|k| t!("sheet.kept_by", who = k)),
        Some(t!(
            "sheet.made",
            when = asked.made.strftime("%-d %b %Y %H:%M")
        )),
    ];
    let facts: Vec<String> = facts.into_iter().flatten().collect();
    html! {
        header.paper-head {
            div {
                p.paper-title { (trial.title) }
                p.paper-span { (span_words(sheet)) }
                p.paper-facts { (facts.join(" \u{b7} ")) }
                @if trial.invented { p.paper-facts { strong { (t!("sheet.invented")) } } }
            }
            dl.paper-sign {
                div { dt { (t!("sheet.filled_by")) } dd {} }
                div { dt { (t!("sheet.typed_in")) } dd {} }
            }
        }
    }
}

fn heading(title: &str, how: &str) -> Markup {
    html! { div.paper-heading { h2 { (title) } p { (how) } } }
}

fn due(bench: &Bench, sheet: &Sheet) -> Markup {
    html! {
        section.paper-part {
            (heading(t!("sheet.due"), ""))
            @if sheet.due.is_empty() { p { (t!("sheet.due_none")) } }
            @else {
                ul.paper-due {
                    @for d in &sheet.due {
                        li {
                            span.tick {}
                            span.paper-day { (short_day(d.day)) }
                            span {
                                (said(&d.what, bench)) ", " (d.tanks)
                                @if d.late_days > 0 { " (" (t!("sheet.due_late", n = d.late_days)) ")" }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Rows that say the same one after another, together.
fn runs<'a>(rows: impl Iterator<Item = &'a Row>) -> Vec<Vec<&'a Row>> {
    let mut runs: Vec<Vec<&Row>> = Vec::new();
    for row in rows {
        let like = |r: &Row| match &r.what {
            What::Act { like, .. } => Some(*like),
            _ => None,
        };
        match runs.last_mut() {
            Some(run) if like(run[0]) == like(row) => run.push(row),
            _ => runs.push(vec![row]),
        }
    }
    runs
}

fn acts(bench: &Bench, sheet: &Sheet) -> Markup {
    let rows = sheet
        .rows
        .iter()
        .filter(|r| matches!(r.what, What::Act { .. }));
    let runs = runs(rows);
    html! {
        section.paper-part {
            (heading(t!("sheet.acts"), t!("sheet.acts_how")))
            @if runs.is_empty() { p { (t!("sheet.acts_none")) } }
            @else {
                table.paper-acts {
                    thead { tr {
                        th.w-what scope="col" { (t!("sheet.col_what")) }
                        th.w-day scope="col" { (t!("sheet.col_day")) }
                        th.w-time scope="col" { (t!("sheet.col_time")) }
                        th.w-tick scope="col" { (t!("sheet.col_usual")) }
                        th.w-other scope="col" { (t!("sheet.col_other")) }
                        th.w-min scope="col" { (t!("sheet.col_min")) }
                        th.w-who scope="col" { (t!("sheet.col_who")) }
                    } }
                    @for run in &runs { tbody { @for (n, row) in run.iter().enumerate() {
                        (act(bench, row, (n == 0).then_some(run.len())))
                    } } }
                }
            }
        }
    }
}

fn act(bench: &Bench, row: &Row, heads: Option<usize>) -> Markup {
    let What::Act {
        tanks_words, unit, ..
    } = &row.what
    else {
        return html! {};
    };
    html! {
        tr {
            @if let Some(span) = heads {
                th scope="rowgroup" rowspan=(span) {
                    (said(&capital(&row.title), bench)) span.paper-tanks { (tanks_words) }
                }
            }
            td { @if let Some(day) = row.due { small { (t!("sheet.due_on", day = short_day(day))) } } }
            td {}
            td.tick-cell { span.tick {} }
            td.unit-cell { @if let Some(unit) = unit { span.paper-unit { (unit) } } @else { span.none { "\u{2013}" } } }
            td {}
            td {}
        }
    }
}

fn tank_heads(bench: &Bench) -> Markup {
    html! {
        @for tank in &bench.tanks { th.w-tank scope="col" { (tank_name(tank.place, &tank.name)) } }
    }
}

fn readings(bench: &Bench, sheet: &Sheet) -> Markup {
    let rows: Vec<&Row> = sheet
        .rows
        .iter()
        .filter(|r| matches!(r.what, What::Reading { .. }))
        .collect();
    html! {
        section.paper-part {
            (heading(t!("sheet.readings"), t!("sheet.readings_how")))
            @if rows.is_empty() { p { (t!("sheet.readings_none")) } }
            @else {
                table.paper-tests {
                    thead { tr {
                        th.w-name scope="col" { (t!("sheet.col_what")) }
                        th.w-day scope="col" { (t!("sheet.col_day")) ", " (t!("sheet.col_time").to_lowercase()) }
                        (tank_heads(bench))
                    } }
                    tbody { @for row in rows { (reading(bench, row)) } }
                }
            }
        }
    }
}

fn reading(bench: &Bench, row: &Row) -> Markup {
    let What::Reading {
        analyte,
        means,
        steps,
        boxes,
        ..
    } = &row.what
    else {
        return html! {};
    };
    let fit = !steps.is_empty() && bench.tanks.len() <= STEPS_FIT;
    html! {
        tr {
            th scope="row" {
                (capital(&row.title))
                span.paper-tanks { (analyte.symbol(*means)) @if !analyte.unit().is_empty() { ", " (analyte.unit()) } }
                @if !fit && !steps.is_empty() { span.paper-tanks { (steps.join("  ")) } }
            }
            td { @if let Some(day) = row.due { small { (t!("sheet.due_on", day = short_day(day))) } } }
            @for _ in boxes {
                td { @if fit { span.steps-line { @for step in steps { span { (step) } " " } } } }
            }
        }
    }
}

fn looks(bench: &Bench, sheet: &Sheet) -> Markup {
    let rows: Vec<&Row> = sheet
        .rows
        .iter()
        .filter(|r| matches!(r.what, What::Look { .. }))
        .collect();
    if rows.is_empty() {
        return html! {};
    }
    let mut measures: Vec<Measure> = Vec::new();
    for row in &rows {
        if let What::Look {
            measure,
            scale: Scale::Score { .. },
            ..
        } = &row.what
            && !measures.contains(measure)
        {
            measures.push(*measure);
        }
    }
    html! {
        section.paper-part.paper-next {
            (heading(t!("sheet.looks"), t!("sheet.looks_how")))
            p.paper-once {
                span { (t!("sheet.col_day")) } span.blank {}
                span { (t!("sheet.col_time")) } span.blank {}
                span { (t!("sheet.col_who")) } span.blank {}
            }
            table.paper-looks {
                thead { tr { th.w-look scope="col" { (t!("sheet.col_what")) } (tank_heads(bench)) } }
                tbody { @for row in &rows { (look(bench, row)) } }
            }
            (anchors(&measures))
        }
    }
}

fn look(bench: &Bench, row: &Row) -> Markup {
    let What::Look { scale, boxes, .. } = &row.what else {
        return html! {};
    };
    let unit = match scale {
        Scale::Score { most, .. } => format!("0\u{2013}{most}"),
        Scale::Number { unit } => (*unit).to_owned(),
    };
    let of = |tank: TankId| -> Vec<&TankBox> { boxes.iter().filter(|b| b.tank == tank).collect() };
    html! {
        tr {
            th scope="row" { (said(&capital(&row.title), bench)) }
            @for tank in &bench.tanks {
                @let here = of(tank.id);
                td.unit-cell {
                    @if here.is_empty() { span.none { "\u{2013}" } }
                    @for one in &here {
                        span.paper-unit {
                            @if !one.which.is_empty() { (one.which) ", " }
                            (unit)
                        }
                    }
                }
            }
        }
    }
}

/// The words of the scores used, each scale once.
fn anchors(measures: &[Measure]) -> Markup {
    html! {
        @if !measures.is_empty() {
            div.paper-anchors {
                @for measure in measures {
                    dl {
                        dt { (capital(describe::measure_name(*measure))) }
                        @for (score, words) in describe::anchors(*measure) {
                            dd { b { (score) } span { (words) } }
                        }
                    }
                }
            }
        }
    }
}

fn lines(sheet: &Sheet) -> Markup {
    let n = sheet
        .rows
        .iter()
        .filter(|r| matches!(r.what, What::Line))
        .count();
    html! {
        section.paper-part.paper-whole {
            (heading(t!("sheet.lines"), t!("sheet.lines_how")))
            @if !sheet.examples.is_empty() {
                p.paper-like {
                    (t!("sheet.lines_like"))
                    @for one in &sheet.examples { " " code { (one) } }
                }
            }
            table.paper-lines {
                thead { tr {
                    th.w-day scope="col" { (t!("sheet.col_day")) }
                    th.w-time scope="col" { (t!("sheet.col_time")) }
                    th scope="col" { (t!("sheet.col_what")) }
                    th.w-who scope="col" { (t!("sheet.col_who")) }
                } }
                tbody { @for _ in 0..n { tr { td {} td {} td {} td {} } } }
            }
        }
    }
}

fn cautions(sheet: &Sheet) -> Markup {
    html! {
        @if !sheet.cautions.is_empty() {
            section.paper-part.paper-cautions {
                (heading(t!("sheet.cautions"), t!("sheet.cautions_more")))
                ul { @for c in &sheet.cautions { li { strong { (c.title) "." } " " (c.text) } } }
            }
        }
    }
}
