//! What was measured, tank beside tank over time.

use answers::compare::Window;
use answers::load;
use answers::readings::{AnalyteReadings, ReadingPoint, Readings};
use axum::extract::RawQuery;
use jiff::ToSpan;
use maud::{Markup, Render, html};
use quantity::{Analyte, Format};
use report::figures::readings as figures;
use text::t;

use crate::form_data::{FormData, FormState};
use crate::pages::words::{capital, day, said};
use crate::parts::button::{Button, link_button};
use crate::parts::disclosure::disclosure;
use crate::parts::empty::empty;
use crate::parts::figure::{WIDE, figure};
use crate::parts::form::{Choice, Field, query_form};
use crate::parts::shell::NavItem;
use crate::parts::table::{Column, Table};
use crate::{TrialPage, WebError};

/// The usual span of a long trial and the others, in weeks.
const USUAL: &str = "12";
const WEEKS: [&str; 4] = ["4", "8", USUAL, "26"];
const WHOLE: &str = "all";
/// A trial of at most so many weeks is shown whole: twelve of them would cut off little (our own
/// choice, no source).
const SHORT_WEEKS: i32 = 16;

/// `{trial}/readings?span=`.
///
/// # Errors
/// When the notebook cannot be read.
pub async fn show(page: TrialPage, RawQuery(query): RawQuery) -> Result<Markup, WebError> {
    let data = FormData::parse(query.unwrap_or_default().as_bytes())?;
    let mut state = FormState::filled(data);
    let labels = WEEKS.map(|n| t!("readings.span_weeks", n = n));
    let weeks = WEEKS.iter().zip(&labels);
    let mut spans: Vec<Choice<'_>> = weeks.map(|(n, label)| (*n, label.as_str())).collect();
    spans.push((WHOLE, t!("readings.span_whole")));
    let whole = load::whole(page.app.notebook(), &page.bench, page.today())?;
    let usual = usual(whole);
    let window = window(whole, usual, &mut state, &spans);
    let readings = load::readings(page.app.notebook(), &page.bench, window)?;
    let last = window.to.yesterday().unwrap_or(window.to);
    let body = html! {
        (query_form(&format!("{}/readings", page.path()), &html! {
            (Field::select("span", t!("readings.span"), &spans).value(usual).fill(&state))
            (Button::new(t!("readings.span_show")))
        }))
        p.state { (t!("readings.from_to", from = day(window.from), to = day(last))) }
        @if readings.analytes.is_empty() {
            (empty(t!("readings.none"), t!("readings.none_how"), &link_button(
                &format!("{}/log/reading", page.path()),
                t!("readings.log_reading"),
            )))
        } @else { (drawn(&page, &readings)) }
        (doubtful(&page, &readings))
        (tables(&page, &readings))
        (waters(&page, &readings))
        (done_meanwhile(&page, &readings))
    };
    let lead = Some(t!("readings.lead"));
    Ok(page.page(NavItem::Readings, t!("readings.title"), lead, body))
}

/// The span shown when nobody asks for another.
fn usual(whole: Window) -> &'static str {
    let short = whole.from.checked_add((SHORT_WEEKS * 7).days());
    if short.is_ok_and(|end| whole.to <= end) {
        WHOLE
    } else {
        USUAL
    }
}

/// The span asked for, within the whole; a span nobody offered is said and not used.
fn window(
    whole: Window,
    usual: &'static str,
    state: &mut FormState,
    spans: &[Choice<'_>],
) -> Window {
    let asked = state.data.has("span").then(|| {
        let chosen = state.data.choice("span", t!("readings.span"), spans);
        chosen.map(str::to_string)
    });
    let asked = asked.and_then(|chosen| state.errors.take(chosen));
    let weeks: Option<i32> = match asked.as_deref().unwrap_or(usual) {
        WHOLE => None,
        weeks => weeks.parse().ok(),
    };
    let from = weeks.and_then(|w| whole.to.checked_sub((w * 7).days()).ok());
    Window {
        from: from.map_or(whole.from, |from| from.max(whole.from)),
        ..whole
    }
}

fn drawn(page: &TrialPage, readings: &Readings) -> Markup {
    let (first, rest) = figures::by_weight(readings);
    let lanes = |id: &str, analytes: &[Analyte], caption: &Markup| {
        figure(id, WIDE, caption, |width| {
            figures::lanes_of(readings, &page.bench, analytes, width)
        })
    };
    let names: Vec<String> = rest.iter().map(|a| a.name().to_string()).collect();
    let caption = html! { (t!("readings.caption")) };
    html! {
        (lanes("often", &first, &caption))
        @if !rest.is_empty() {
            (disclosure(
                &t!("readings.more_analytes", what = trial::describe::list(&names)),
                &lanes("seldom", &rest, &html! {}),
            ))
        }
    }
}

fn doubtful(page: &TrialPage, readings: &Readings) -> Markup {
    let all = readings.analytes.iter().flat_map(|a| &a.tanks);
    let doubted: Vec<(&str, &ReadingPoint, &str)> = all
        .flat_map(|t| t.points.iter().map(move |p| (t.name.as_str(), p)))
        .filter_map(|(tank, p)| p.doubt.as_deref().map(|d| (tank, p, d)))
        .collect();
    html! {
        @if !doubted.is_empty() {
            section.section {
                h2 { (t!("readings.doubtful")) }
                p.muted { (t!("readings.doubtful_note")) }
                ul.rows {
                    @for (tank, point, doubt) in doubted {
                        li {
                            a.rows-main href={ (page.path()) "/entries/" (point.entry) } {
                                (capital(&point.seen))
                            }
                            span.muted { (tank) ", " (point.day) }
                            span.rows-more { (doubt) @if !point.note.is_empty() { " " (point.note) } }
                        }
                    }
                }
            }
        }
    }
}

fn interval(point: &ReadingPoint) -> Markup {
    html! { span.interval { (point.words(&Format::default())) } }
}

fn tables(page: &TrialPage, readings: &Readings) -> Markup {
    html! {
        @if !readings.analytes.is_empty() {
            (disclosure(t!("readings.tables"), &html! {
                @for analyte in &readings.analytes { (table(page, analyte)) }
            }))
        }
    }
}

fn table(page: &TrialPage, readings: &AnalyteReadings) -> Markup {
    let columns = [
        Column::words(t!("readings.col_day")),
        Column::words(t!("readings.col_tank")),
        Column::numbers(t!("readings.col_interval"), readings.unit),
        Column::words(t!("readings.col_seen")),
        Column::words(t!("readings.col_note")),
    ];
    let name = capital(readings.analyte.name());
    let caption = t!("readings.table_caption", what = name, unit = readings.unit);
    let caption = caption.trim_end_matches(", ").to_string();
    let mut points: Vec<(&str, &ReadingPoint)> = readings
        .tanks
        .iter()
        .flat_map(|t| t.points.iter().map(move |p| (t.name.as_str(), p)))
        .collect();
    points.sort_by_key(|(_, p)| std::cmp::Reverse(p.at));
    let mut table = Table::new(&caption, &columns);
    for (tank, p) in points {
        table = table.row([
            html! { a href={ (page.path()) "/entries/" (p.entry) } { (p.day) } },
            html! { (tank) },
            interval(p),
            html! { (p.seen) },
            html! { (p.note) @if let Some(doubt) = &p.doubt { " " (doubt) } },
        ]);
    }
    html! { @if readings.tanks.iter().any(|t| !t.points.is_empty()) { (table.render()) } }
}

fn waters(page: &TrialPage, readings: &Readings) -> Markup {
    let columns = [
        Column::words(t!("readings.col_water")),
        Column::words(t!("readings.col_analyte")),
        Column::words(t!("readings.col_day")),
        Column::numbers(t!("readings.col_interval"), ""),
    ];
    let mut table = Table::new(t!("readings.waters_caption"), &columns).stacked();
    let mut any = false;
    for analyte in &readings.analytes {
        for (water, point) in analyte
            .waters
            .iter()
            .flat_map(|w| w.points.iter().map(|p| (w.name.as_str(), p)))
        {
            any = true;
            table = table.row([
                html! { (water) },
                html! { (capital(analyte.analyte.name())) },
                html! { a href={ (page.path()) "/entries/" (point.entry) } { (point.day) } },
                html! { span { (interval(point)) " " (analyte.unit) } },
            ]);
        }
    }
    html! { @if any { section.section { h2 { (t!("readings.waters")) } (table.render()) } } }
}

fn done_meanwhile(page: &TrialPage, readings: &Readings) -> Markup {
    let columns = [
        Column::words(t!("readings.col_day")),
        Column::words(t!("readings.col_what")),
        Column::words(t!("readings.col_tank")),
    ];
    let mut table = Table::new(t!("readings.done_caption"), &columns);
    for mark in readings.marks.iter().rev() {
        table = table.row([
            html! { (mark.day) },
            said(&capital(&mark.what), &page.bench),
            html! { (mark.tanks) },
        ]);
    }
    html! {
        @if !readings.marks.is_empty() { (disclosure(t!("readings.done_tables"), &table.render())) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn a_short_trial_is_shown_whole_and_a_long_one_from_twelve_weeks_back() {
        let from = date(2026, 1, 1);
        // 16 weeks after 1 January are 23 April.
        let short = Window {
            from,
            to: date(2026, 4, 23),
        };
        let long = Window {
            from,
            to: date(2026, 4, 24),
        };
        assert_eq!((usual(short), usual(long)), (WHOLE, USUAL));
        let shown = window(long, usual(long), &mut FormState::default(), &[]);
        // 84 days before 24 April.
        assert_eq!(shown.from, date(2026, 1, 30));
        // Twelve weeks of a younger trial begin with it.
        let young = Window {
            from,
            to: date(2026, 2, 1),
        };
        assert_eq!(
            window(young, USUAL, &mut FormState::default(), &[]).from,
            from
        );
    }
}
