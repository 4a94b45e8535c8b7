//! Every entry, plan and phase over time, tank by tank.

mod tables;

use answers::timeline::{Asked, Span, Timeline, timeline};
use axum::extract::RawQuery;
use jiff::civil::Date;
use maud::{Markup, html};
use report::figures::timeline as figures;
use text::t;
use trial::EntryId;

use crate::form_data::{FieldError, FormData, FormState};
use crate::pages::words::day;
use crate::parts::button::{Button, link_button};
use crate::parts::empty::empty;
use crate::parts::figure::{WIDE, figure};
use crate::parts::form::{Field, error_summary, hidden, query_form};
use crate::parts::shell::NavItem;
use crate::parts::tabs::{Tab, tabs};
use crate::{TrialPage, WebError};

/// The list of entries, as links on this page name it.
const LIST: &str = "#entries";

/// `{trial}/timeline?from=&span=&after=`.
///
/// # Errors
/// When the notebook cannot be read.
pub async fn show(page: TrialPage, RawQuery(query): RawQuery) -> Result<Markup, WebError> {
    let data = FormData::parse(query.unwrap_or_default().as_bytes())?;
    let mut state = FormState::filled(data);
    let asked = asked(&mut state);
    let answer = timeline(page.app.notebook(), &page.bench, &asked, page.today())?;
    let lead = Some(t!("timeline.lead"));
    let body = html! {
        (error_summary(&state.errors))
        (way(&answer, &state))
        p.state {
            (t!("timeline.state", when = figures::window_words(&answer), n = answer.entries))
        }
        @if page.bench.tanks.is_empty() {
            (empty(t!("timeline.no_tanks"), t!("timeline.no_tanks_how"), &link_button(
                &format!("{}/setup", page.path()),
                t!("bench.setup_link"),
            )))
        } @else { (drawn(&page, &answer)) }
        (tables::unlike(&page, &answer))
        (tables::plans(&page, &answer))
        (tables::entries(&page, &answer, asked.after.is_some()))
    };
    Ok(page.page(NavItem::Timeline, t!("timeline.title"), lead, body))
}

/// What the address asks for; what it gets wrong is said and not used.
fn asked(state: &mut FormState) -> Asked {
    let data = &state.data;
    let given = |name: &str| data.one(name).filter(|v| !v.trim().is_empty());
    let from = given("from").map(|_| data.date("from", t!("timeline.go_to")));
    let span = given("span").map(|typed| {
        let wrong = || {
            let label = t!("timeline.spans");
            FieldError::new("span", label, typed, t!("timeline.bad_span"))
        };
        Span::of_key(typed).ok_or_else(wrong)
    });
    let after = given("after").and_then(|id| id.parse::<EntryId>().ok());
    Asked {
        from: from.and_then(|result| state.errors.take(result)),
        span: span.and_then(|result| state.errors.take(result)),
        after,
    }
}

/// The address of another span, from this page.
fn address(span: Span, day: Date) -> String {
    match span {
        Span::Whole => format!("?span={}", span.key()),
        _ => format!("?from={day}&span={}", span.key()),
    }
}

fn name(span: Span) -> &'static str {
    match span {
        Span::Day => t!("timeline.span_day"),
        Span::Week => t!("timeline.span_week"),
        Span::Month => t!("timeline.span_month"),
        Span::Quarter => t!("timeline.span_quarter"),
        Span::Year => t!("timeline.span_year"),
        Span::Whole => t!("timeline.span_whole"),
    }
}

/// Closer and wider, earlier and later, and any day.
fn way(answer: &Timeline, state: &FormState) -> Markup {
    let anchor = answer.anchor();
    let links = Span::ALL.map(|span| (span, address(span, anchor)));
    let shown: Vec<Tab<'_>> = links
        .iter()
        .map(|(span, href)| Tab {
            label: name(*span),
            href,
            current: *span == answer.span,
        })
        .collect();
    let step = |to: Option<Date>, arrow: &str, words: &str, rel: &str| {
        html! {
            @if let Some(to) = to {
                a.button rel=(rel) href=(address(answer.span, to)) { (arrow) " " (words) }
            }
        }
    };
    let today = anchor.to_string();
    let from = Field::date("from", t!("timeline.go_to")).value(&today);
    let from = if state.data.has("from") {
        from.fill(state)
    } else {
        from
    };
    html! {
        div.timeline-way {
            (tabs(t!("timeline.spans"), &shown))
            div.timeline-bar {
                div.timeline-steps {
                    (step(answer.earlier, "\u{2190}", t!("timeline.earlier"), "prev"))
                    (step(answer.later, "\u{2192}", t!("timeline.later"), "next"))
                }
                (query_form("", &html! {
                    @if answer.span != Span::Whole { (hidden("span", answer.span.key())) }
                    @else { (hidden("span", Span::Month.key())) }
                    (from)
                    (Button::new(t!("timeline.go")))
                }))
            }
        }
    }
}

fn drawn(page: &TrialPage, answer: &Timeline) -> Markup {
    let ways = figures::Ways {
        entry: &|id| format!("entries/{id}"),
        span: &address,
        list: LIST,
    };
    let families = figures::families(answer);
    let mut columns: Vec<String> = families.iter().map(|f| f.name().to_lowercase()).collect();
    if figures::has_plans(answer) {
        columns.push(t!("timeline.row_planned").to_lowercase());
    }
    let caption = html! {
        span.figure-desk-only {
            @if figures::fine(answer) { (t!("timeline.caption_fine")) }
            @else { (t!("timeline.caption_coarse")) }
        }
        span.figure-phone-only {
            (t!("timeline.caption_phone", what = trial::describe::list(&columns)))
        }
        @if figures::goes_on(answer) { " " (t!("timeline.caption_today", day = day(answer.as_of))) }
    };
    html! {
        p.past { a href=(LIST) { (t!("timeline.past")) } }
        div.timeline-figure {
            (figure("timeline", WIDE, &caption, |width| {
                figures::timeline(answer, &page.bench, &ways, width)
            }))
        }
    }
}
