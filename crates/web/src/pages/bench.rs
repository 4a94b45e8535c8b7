//! The first page of a trial: its tanks to scale, what is due, what was done, what is missing.

use answers::bench::{BenchView, bench_view};
use answers::line::EntryLine;
use axum::response::Redirect;
use maud::{Markup, html};
use report::figures;
use text::t;
use trial::describe::phase_name;

use crate::pages::entry::ID_FIELD;
use crate::pages::words::{capital, day, said};
use crate::parts::button::link_button;
use crate::parts::disclosure::disclosure;
use crate::parts::empty::empty;
use crate::parts::figure::{HALF, WIDE, figure};
use crate::parts::findings;
use crate::parts::jot::{Jot, jot};
use crate::parts::shell::NavItem;
use crate::{TrialPage, WebError};

/// Characters of a note shown before it is cut short.
const NOTE: usize = 90;
/// Findings shown before the rest is folded away.
const SHOWN: usize = 4;

/// `{trial}` leads to its bench.
///
/// # Errors
/// When there is no such trial.
pub async fn home(page: TrialPage) -> Redirect {
    Redirect::to(&format!("{}/bench", page.path()))
}

/// `{trial}/bench`.
///
/// # Errors
/// When the notebook cannot be read.
pub async fn show(page: TrialPage) -> Result<Markup, WebError> {
    let trial = &page.bench.trial;
    let view = bench_view(page.app.notebook(), trial.id, page.today())?;
    let body = html! {
        (state(&view))
        (super::setup::next::steps(&page))
        (tanks(&page, &view))
        div.grid {
            div.section.span-7 { (jot_box(&page)) (super::walk::way(&page)) (due(&page, &view)) (unequal(&page, &view)) }
            div.section.span-5 { (lately(&page, &view)) }
        }
        (latest(&page, &view))
        (missing(&view))
        (further(&page))
    };
    let lead = Some(trial.question.as_str()).filter(|q| !q.is_empty());
    Ok(page.page(NavItem::Bench, &trial.title, lead, body))
}

fn state(view: &BenchView) -> Markup {
    let phase = capital(view.phase.map_or(t!("bench.no_phase"), phase_name));
    let date = day(view.as_of);
    let words = match view.day {
        _ if view.closed => t!("bench.state_closed", date = date),
        Some(day) => t!("bench.state", phase = phase, day = day, date = date),
        None => t!("bench.state_no_day", phase = phase, date = date),
    };
    html! { p.state { (words) } }
}

fn tanks(page: &TrialPage, view: &BenchView) -> Markup {
    let setup = format!("{}/setup", page.path());
    if view.tanks.is_empty() {
        let action = link_button(&setup, t!("bench.setup_link"));
        return empty(t!("bench.no_tanks"), t!("bench.no_tanks_how"), &action);
    }
    let caption = html! {
        (t!("bench.figure_caption")) " " a href=(setup) { (t!("bench.enter_sizes")) }
    };
    figure("tanks", WIDE, &caption, |width| {
        figures::bench::tanks(view, width)
    })
}

fn jot_box(page: &TrialPage) -> Markup {
    let path = page.path();
    jot(&Jot {
        action: &format!("{path}/log/jot?{ID_FIELD}={}", page.stamp().id),
        read_url: &format!("{path}/log/read"),
        token: page.app.token(),
        line: "",
        reading: "",
        refused: false,
    })
}

fn due(page: &TrialPage, view: &BenchView) -> Markup {
    let plans = &view.plans;
    let missed: Vec<String> = plans
        .routines
        .iter()
        .filter(|r| r.missed > 0)
        .map(|r| {
            t!(
                "bench.missed_one",
                what = r.what,
                n = r.missed,
                all = r.decided
            )
        })
        .collect();
    html! {
        section.section {
            h2 { (t!("bench.due")) }
            @if plans.due.is_empty() { p { (t!("bench.due_none")) } }
            @else {
                ul.rows {
                    @for due in &plans.due {
                        li {
                            span.rows-main { (said(&due.what, &view.bench)) }
                            span.muted { (due.tanks_words) ", " (super::plans::when(due.overdue_days)) }
                            @if let Some(act) = &due.act {
                                a.rows-act href={ (page.path()) "/log/" (act) } { (t!("bench.due_log")) }
                            }
                        }
                    }
                }
            }
            @if !missed.is_empty() { p { (t!("bench.missed", what = missed.join("; "))) } }
            p { a href={ (page.path()) "/plans" } { (t!("bench.plans_link")) } }
        }
    }
}

fn unequal(page: &TrialPage, view: &BenchView) -> Markup {
    html! {
        section.section {
            h2 { (t!("bench.unequal")) }
            @if view.treatment.nothing_done() { p { (t!("bench.unequal_nothing")) } }
            @else if view.treatment.crept_in().next().is_none() { p { (t!("bench.unequal_none")) } }
            @else {
                ul.sentences { @for row in view.treatment.crept_in() { li { (said(&row.sentence, &view.bench)) } } }
            }
            p { a href={ (page.path()) "/treatment" } { (t!("bench.unequal_link")) } }
        }
    }
}

fn lately(page: &TrialPage, view: &BenchView) -> Markup {
    html! {
        section.section {
            h2 { (t!("bench.lately")) }
            @if view.lately.is_empty() { p { (t!("bench.lately_none", day = day(view.as_of))) } }
            @else {
                ul.rows {
                    @for line in &view.lately {
                        li {
                            a.rows-main href={ (page.path()) "/entries/" (line.id) } {
                                (said(&capital(&words_of(line)), &view.bench))
                            }
                            span.muted { (line.tanks) ", " (line.day.strftime("%-d %b")) }
                        }
                    }
                }
            }
            p { a href={ (page.path()) "/log" } { (t!("bench.log_link")) } }
        }
    }
}

/// What was done; of a note, what it says.
fn words_of(line: &EntryLine) -> String {
    if line.kind == "note" && !line.note.is_empty() {
        shortened(&line.note, NOTE)
    } else {
        line.sentence.clone()
    }
}

/// The text, or its words up to `most` characters.
fn shortened(text: &str, most: usize) -> String {
    let Some((end, _)) = text.char_indices().nth(most) else {
        return text.to_owned();
    };
    let cut = text[..end].rfind(char::is_whitespace).unwrap_or(end);
    let kept = text[..cut].trim_end_matches(|c: char| !c.is_alphanumeric());
    format!("{kept}\u{a0}…")
}

fn latest(page: &TrialPage, view: &BenchView) -> Markup {
    let analytes = figures::readings::latest_analytes(view);
    let kept = view.bench.trial.kept_ranges.len().clamp(2, 4);
    let (first, others) = analytes.split_at(kept.min(analytes.len()));
    let drawn = |analytes: &[quantity::Analyte]| {
        html! {
            div.grid {
                @for analyte in analytes {
                    div.span-6 {
                        (figure(&format!("latest-{}", analyte.key()), HALF, &html! {}, |width| {
                            figures::readings::latest(view, *analyte, width)
                        }))
                    }
                }
            }
        }
    };
    html! {
        section.section {
            h2 { (t!("bench.latest")) }
            @if analytes.is_empty() {
                (empty(t!("bench.latest_none"), t!("bench.latest_none_how"), &html! {}))
            } @else {
                p.muted { (t!("bench.latest_note", day = day(view.as_of))) }
                (drawn(first))
                @if !others.is_empty() {
                    (disclosure(t!("bench.latest_others"), &drawn(others)))
                }
                p { a href={ (page.path()) "/readings" } { (t!("bench.readings_link")) } }
            }
        }
    }
}

fn missing(view: &BenchView) -> Markup {
    let (first, rest) = view.findings.split_at(SHOWN.min(view.findings.len()));
    html! {
        section.section {
            h2 { (t!("bench.missing")) }
            @if first.is_empty() { p { (t!("bench.missing_none")) } }
            (findings::all(first, &view.bench))
            @if !rest.is_empty() {
                (disclosure(
                    &t!("bench.missing_rest", n = rest.len()),
                    &findings::all(rest, &view.bench),
                ))
            }
        }
    }
}

fn further(page: &TrialPage) -> Markup {
    let links = [
        ("treatment", t!("bench.unequal_link")),
        ("costs", t!("bench.costs_link")),
        ("plans", t!("bench.plans_link")),
        ("pictures", t!("bench.pictures_link")),
        ("cautions", t!("bench.cautions_link")),
    ];
    html! {
        nav.section aria-label=(t!("bench.further")) {
            h2 { (t!("bench.further")) }
            ul.links { @for (word, label) in links { li { a href={ (page.path()) "/" (word) } { (label) } } } }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_note_ends_after_a_whole_word() {
        assert_eq!(shortened("All weighed", 20), "All weighed");
        assert_eq!(shortened("All weighed, planted", 14), "All weighed\u{a0}…");
        assert_eq!(shortened("Überlängenbuch", 5), "Überl\u{a0}…");
    }
}
