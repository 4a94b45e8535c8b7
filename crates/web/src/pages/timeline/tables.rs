//! What the figure shows, as tables and lists: for every reader, and for what a mark cannot hold.

use answers::line::EntryLine;
use answers::plans::PlannedChange;
use answers::timeline::{Timeline, Unlike};
use answers::unequal::Alike;
use jiff::civil::Date;
use maud::{Markup, Render, html};
use report::figures::timeline::sign;
use std::collections::BTreeMap;
use text::t;

use super::address;
use crate::TrialPage;
use crate::pages::words::{capital, day, day_heading, said};
use crate::parts::button::link_button;
use crate::parts::empty::empty;
use crate::parts::table::{Column, Table};

/// Rows of unlike treatment shown at once.
const SHOWN: usize = 12;

pub(super) fn unlike(page: &TrialPage, answer: &Timeline) -> Markup {
    let of = |alike: Alike| -> Vec<&Unlike> {
        let all = answer.unlike.iter();
        all.filter(|u| u.alike == alike).collect()
    };
    let (within, between) = (of(Alike::WithinArm), of(Alike::BetweenArms));
    html! {
        section.section id="unlike" {
            h2 { (t!("timeline.unlike")) }
            @if answer.counted { p.muted { (t!("timeline.unlike_counted")) } }
            @if within.is_empty() && between.is_empty() { p { (t!("timeline.unlike_none")) } }
            @else {
                div.stack {
                    h3 { (t!("timeline.unlike_within")) }
                    @if within.is_empty() { p { (t!("timeline.unlike_within_none")) } }
                    @else {
                        p.muted { (t!("timeline.unlike_within_note")) }
                        (rows(page, &within))
                    }
                }
                @if !between.is_empty() {
                    div.stack {
                        h3 { (t!("timeline.unlike_between")) }
                        p.muted { (t!("timeline.unlike_between_note")) }
                        ul.sentences {
                            @for (what, n) in often(&between) {
                                li { (said(&t!("timeline.unlike_between_many", n = n, what = what), &page.bench)) }
                            }
                        }
                    }
                }
            }
            p { a href={ (page.path()) "/treatment" } { (t!("timeline.unlike_link")) } }
        }
    }
}

/// Each thing with how often it differed, the most frequent first.
fn often<'a>(all: &[&'a Unlike]) -> Vec<(&'a str, usize)> {
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for unlike in all {
        *counts.entry(&unlike.what).or_default() += 1;
    }
    let mut counts: Vec<(&str, usize)> = counts.into_iter().collect();
    counts.sort_by_key(|(_, n)| std::cmp::Reverse(*n));
    counts
}

fn rows(page: &TrialPage, all: &[&Unlike]) -> Markup {
    let columns = [
        Column::words(t!("timeline.col_when")),
        Column::words(t!("timeline.col_what")),
        Column::words(t!("timeline.col_totals")),
    ];
    let mut table = Table::new(t!("timeline.unlike_within"), &columns).stacked();
    let runs = runs(all);
    for run in runs.iter().take(SHOWN) {
        let (first, last) = (run.0, run.1);
        table = table.row([
            html! {
                @if first.first == last.first { (first.when) }
                @else { (t!("timeline.unlike_run", from = first.when, to = last.when)) }
            },
            said(&first.what, &page.bench),
            html! { (first.totals) },
        ]);
    }
    html! {
        div.caption-above { (table.render()) }
        @if runs.len() > SHOWN { p.muted { (t!("timeline.unlike_more", n = runs.len() - SHOWN)) } }
    }
}

/// The first and last of those that follow each other and say the same.
fn runs<'a>(all: &[&'a Unlike]) -> Vec<(&'a Unlike, &'a Unlike)> {
    let mut runs: Vec<(&Unlike, &Unlike)> = Vec::new();
    for unlike in all {
        match runs.last_mut() {
            Some((first, last))
                if last.last + 1 == unlike.first
                    && first.what == unlike.what
                    && first.totals == unlike.totals =>
            {
                *last = unlike;
            }
            _ => runs.push((unlike, unlike)),
        }
    }
    runs
}

pub(super) fn plans(page: &TrialPage, answer: &Timeline) -> Markup {
    let columns = [
        Column::words(t!("timeline.col_planned")),
        Column::words(t!("timeline.col_change")),
        Column::words(t!("timeline.col_state")),
        Column::words(t!("timeline.col_expected")),
        Column::words(t!("timeline.col_seen")),
    ];
    let mut table = Table::new(t!("timeline.plans"), &columns).stacked();
    for change in &answer.changes {
        table = table.row(plan(page, change));
    }
    html! {
        section.section id="plans" {
            h2 { (t!("timeline.plans")) }
            @if answer.changes.is_empty() { p { (t!("timeline.plans_none")) } }
            @else { div.caption-above.wrap-names { (table.render()) } }
            p { a href={ (page.path()) "/plans" } { (t!("timeline.plans_link")) } }
        }
    }
}

fn plan(page: &TrialPage, change: &PlannedChange) -> [Markup; 5] {
    let words = |text: &str| {
        html! {
            @if text.trim().is_empty() { span.muted { (t!("timeline.not_written")) } }
            @else { (said(text, &page.bench)) }
        }
    };
    let done = match &change.state {
        answers::plans::ChangeState::Done { entries, .. } => entries.as_slice(),
        _ => &[],
    };
    [
        html! { (day(change.planned)) },
        html! { (said(&change.what, &page.bench)) " " span.muted { "(" (change.tanks_words) ")" } },
        html! {
            (change.sentence)
            @for (i, entry) in done.iter().enumerate() {
                " " a href={ (page.path()) "/entries/" (entry) } { (t!("compare.record", n = i + 1)) }
            }
        },
        words(&change.expects),
        words(&change.seen),
    ]
}

/// The span's entries day by day, a page of them.
pub(super) fn entries(page: &TrialPage, answer: &Timeline, later: bool) -> Markup {
    let mut days: Vec<(Date, Vec<&EntryLine>)> = Vec::new();
    for line in &answer.list {
        match days.last_mut() {
            Some((day, lines)) if *day == line.day => lines.push(line),
            _ => days.push((line.day, vec![line])),
        }
    }
    let here = address(answer.span, answer.window.from);
    html! {
        section.section id="entries" {
            h2 { (t!("timeline.entries")) }
            @if later {
                p { (t!("timeline.entries_part")) " " a href={ (here) "#entries" } { (t!("timeline.entries_first")) } }
            }
            @if days.is_empty() {
                (empty(t!("timeline.entries_none"), t!("timeline.entries_none_how"), &link_button(
                    &format!("{}/log", page.path()),
                    t!("timeline.entries_log"),
                )))
            }
            (signs(answer))
            @for (day, lines) in days {
                div.log-day {
                    h3 { time datetime=(day) { (day_heading(day)) } }
                    ul.entries { @for line in lines { (entry(page, line)) } }
                }
            }
            @if let Some(after) = answer.more_after {
                p { a.button rel="next" href={ (here) "&after=" (after) "#entries" } { (t!("timeline.entries_more")) } }
            }
        }
    }
}

fn entry(page: &TrialPage, line: &EntryLine) -> Markup {
    // A note is its text.
    let note = line.kind == "note";
    html! {
        li.timeline-entry {
            span.entry-time { (line.time.strftime("%H:%M")) }
            (kind_sign(line.kind))
            a href={ "entries/" (line.id) } {
                (capital(&line.tanks)) ": "
                @if note { (line.note) } @else { (said(&line.sentence, &page.bench)) }
            }
            @if line.corrected { " " span.muted.small { (t!("timeline.corrected")) } }
        }
    }
}

/// The glyphs of the list's kinds as the figure draws them, each once.
fn signs(answer: &Timeline) -> Markup {
    let mut kinds: Vec<&str> = answer.list.iter().map(|l| l.kind).collect();
    kinds.sort_unstable();
    kinds.dedup();
    html! {
        svg.kind-signs width="0" height="0" aria-hidden="true" focusable="false" {
            @for kind in kinds {
                symbol id={ "kind-" (kind) } viewBox="0 0 14 14" { path d=(sign(kind)) fill="currentColor" {} }
            }
        }
    }
}

/// The glyph of a kind; the sentence beside it says the same.
fn kind_sign(kind: &str) -> Markup {
    html! { svg.kind-sign aria-hidden="true" { use href={ "#kind-" (kind) } {} } }
}
