//! How the log page looks.

use answers::line::EntryLine;
use answers::log::{LogView, Logged};
use jiff::civil::Date;
use maud::{Markup, html};
use quantity::{Analyte, Format, Means};
use text::t;
use trial::Act;
use trial::describe::{kind_name, list};
use uuid::Uuid;

use super::Sent;
use crate::TrialPage;
use crate::pages::entry::{ID_FIELD, entry_path, fresh_id};
use crate::pages::words::{capital, day_heading, said};
use crate::parts::button::{Button, link_button};
use crate::parts::empty::empty;
use crate::parts::form::{form, hidden};
use crate::parts::icon::Icon;
use crate::parts::jot::{Jot, jot};

pub(super) fn body(
    page: &TrialPage,
    view: &LogView,
    sent: &Sent,
    older: bool,
    band: Option<Markup>,
) -> Markup {
    html! {
        @if let Some(band) = band { (band) }
        @if older {
            p { a href={ (page.path()) "/log" } { (t!("log.newest")) } }
        } @else {
            div.log-top {
                (jot_box(page, sent))
                (crate::pages::walk::way(page))
                (crate::pages::sheet::way(page))
                (again(page, view))
            }
            (kinds(page))
        }
        section.section {
            h2 { (t!("log.recent")) }
            (recent(page, view))
            @if let Some(before) = view.older {
                p { a.button href={ (page.path()) "/log?before=" (before) } { (t!("log.older")) } }
            }
        }
    }
}

fn jot_box(page: &TrialPage, sent: &Sent) -> Markup {
    let fresh = || Uuid::now_v7().to_string();
    let id = sent.id.clone().unwrap_or_else(fresh);
    let path = page.path();
    jot(&Jot {
        action: &format!("{path}/log/jot?{ID_FIELD}={id}"),
        read_url: &format!("{path}/log/read"),
        token: page.app.token(),
        line: &sent.line,
        reading: &sent.reading,
        refused: sent.refused,
    })
}

/// One tap logs it for every tank, now.
fn again(page: &TrialPage, view: &LogView) -> Markup {
    let action = format!("{}/log/again", page.path());
    html! {
        @if !view.again.is_empty() {
            section.again aria-labelledby="again" {
                h2 id="again" { (t!("log.again")) }
                p.hint { (t!("log.again_hint")) }
                div.again-list {
                    @for line in &view.again {
                        (form(&action, page.app.token(), &html! {
                            (fresh_id())
                            (hidden("entry", &line.id.to_string()))
                            button.button.button-again type="submit" { (said(&capital(&line.sentence), &page.bench)) }
                        }))
                    }
                }
            }
        }
    }
}

/// Kinds that most keepers log every week; the others stand behind "More kinds".
const EVERYDAY: [&str; 10] = [
    "dose",
    "change",
    "top_up",
    "feed",
    "reading",
    "observation",
    "trim",
    "clean",
    "picture",
    "note",
];

fn kinds(page: &TrialPage) -> Markup {
    let rare = Act::KINDS
        .into_iter()
        .filter(|k| !["undo", "walk"].contains(k) && !EVERYDAY.contains(k));
    let list = |kinds: Vec<&str>| {
        html! {
            ul.kind-list {
                @for kind in kinds {
                    li { a.button href={ (page.path()) "/log/" (kind) } { (capital(kind_name(kind))) } }
                }
            }
        }
    };
    html! {
        nav.section aria-labelledby="forms" {
            h2 id="forms" { (t!("log.forms")) }
            (list(EVERYDAY.to_vec()))
            details.disclosure.disclosure-wide {
                summary { (t!("log.more_kinds")) }
                (list(rare.collect()))
            }
        }
    }
}

fn recent(page: &TrialPage, view: &LogView) -> Markup {
    let mut days: Vec<(Date, Vec<&EntryLine>)> = Vec::new();
    for line in &view.recent {
        match days.last_mut() {
            Some((day, lines)) if *day == line.day => lines.push(line),
            _ => days.push((line.day, vec![line])),
        }
    }
    html! {
        @if days.is_empty() { (empty(t!("log.empty"), t!("log.empty_how"), &html! {})) }
        @for (day, lines) in days {
            section.log-day {
                h3 {
                    time datetime=(day) { (day_heading(day)) }
                    @if day == page.today() { " " span.muted { (t!("log.today")) } }
                }
                ul.entries { @for line in lines { li.entry { (entry(page, line)) } } }
            }
        }
    }
}

fn entry(page: &TrialPage, line: &EntryLine) -> Markup {
    let at = entry_path(page, line.id);
    let format = Format::default();
    // A note is its text.
    let is_note = line.kind == "note";
    html! {
        p.entry-said {
            span.entry-time { (line.time.strftime("%H:%M")) }
            span {
                (capital(&line.tanks)) ": "
                @if is_note { span.kept-lines { (line.note) } } @else { (said(&line.sentence, &page.bench)) }
            }
        }
        @if !is_note && !line.note.is_empty() { p.entry-note { (line.note) } }
        div.entry-foot {
            span.muted.small {
                @if !line.who.is_empty() { (line.who) " " }
                @if let Some(minutes) = line.minutes { (t!("log.minutes", n = format.plain(minutes))) " " }
                @if line.corrected { (t!("log.corrected")) }
            }
            div.entry-ways {
                @if line.kind == "walk" {
                    a.button.button-quiet href={ (at) "/correct" } { (t!("walk.open")) }
                } @else if page.may_change(line.device) {
                    a.button.button-quiet href={ (at) "/correct" } { (t!("log.correct")) }
                    (form(&format!("{at}/undo"), page.app.token(), &html! {
                        (fresh_id())
                        (Button::new(t!("log.undo")).quiet())
                    }))
                }
                a.button.button-quiet href=(at) { (t!("log.history")) }
            }
        }
    }
}

/// What a dose brings each tank, in words.
pub fn brings(nutrients: impl Iterator<Item = (Analyte, f64)>) -> String {
    let format = Format::default();
    let each: Vec<String> = nutrients
        .map(|(analyte, mg)| {
            t!(
                "log.mg_of",
                mg = format.significant(mg, 4),
                what = analyte.symbol(Means::Ion)
            )
        })
        .collect();
    t!("log.brings", what = list(&each))
}

/// The band behind a write: what was written, what it brings, what was taken for granted, and undo.
pub(super) fn confirmation(page: &TrialPage, logged: &Logged, stands: bool) -> Markup {
    let line = &logged.line;
    let undone = line.kind == "undo";
    let shown = match (&logged.replaces, undone) {
        (Some(earlier), true) => earlier,
        _ => line,
    };
    let word = match (undone, line.corrected) {
        (true, _) => t!("log.done_undone"),
        (false, true) => t!("log.done_corrected"),
        (false, false) => t!("log.done"),
    };
    let undo = match (undone, line.corrected) {
        (true, _) => t!("log.bring_back"),
        (false, true) => t!("log.undo_correction"),
        (false, false) => t!("log.undo"),
    };
    let at = entry_path(page, line.id);
    let brought = logged.brings.iter().map(|b| (b.analyte, b.mg));
    html! {
        div.notice.notice-done role="status" {
            (Icon::Done)
            div.notice-body {
                p {
                    strong { (word) } " "
                    (capital(&shown.tanks)) ": " (said(&shown.sentence, &page.bench)) ", "
                    (shown.day) " " (shown.time.strftime("%H:%M")) "."
                }
                @if !logged.brings.is_empty() { p.small { (brings(brought)) } }
                @for finding in &logged.findings { p.small { (finding) } }
                div.actions {
                    @if stands && page.may_change(line.device) {
                        (form(&format!("{at}/undo"), page.app.token(), &html! {
                            (fresh_id())
                            (Button::new(undo))
                        }))
                        @if !undone { (link_button(&format!("{at}/correct"), t!("log.correct"))) }
                    }
                    a href=(at) { (t!("log.history")) }
                }
            }
        }
    }
}
