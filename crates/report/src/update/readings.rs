//! Water tests: a figure over time, and every reading in small.

use super::html::{Table, figure, section, short_day};
use super::setup::range_text;
use answers::readings::AnalyteReadings;
use answers::update::UpdateView;
use jiff::civil::Date;
use maud::{Markup, html};
use quantity::{Analyte, Format};
use text::t;

pub(super) fn readings(view: &UpdateView) -> Markup {
    let readings = &view.readings;
    if readings.analytes.is_empty() {
        let nothing = html! { p { (t!("update.no_readings")) } };
        return section("readings", t!("update.readings"), &nothing);
    }
    let (first, rest) = crate::figures::readings::by_weight(readings);
    let body = html! {
        p { (t!("update.readings_lead")) }
        @for (id, analytes) in [("tests", &first), ("tests-2", &rest)] {
            @if !analytes.is_empty() {
                (figure(id, "", |width| {
                    crate::figures::readings::lanes_of(readings, &view.bench, analytes, width)
                }))
            }
        }
        @if let Some(left_out) = crate::figures::readings::undrawn_words(readings) {
            p.faint { (left_out) }
        }
        @for of in &readings.analytes { (table(of)) }
    };
    section("readings", t!("update.readings"), &body)
}

/// The name of an analyte with its symbol, when it has one of its own.
pub(crate) fn analyte_name(analyte: Analyte) -> String {
    let name = analyte.name();
    let symbol = answers::readings::symbol(analyte);
    let mut chars = name.chars();
    let name = chars.next().map_or_else(String::new, |c| {
        c.to_uppercase().collect::<String>() + chars.as_str()
    });
    if symbol.eq_ignore_ascii_case(&name) {
        name
    } else {
        format!("{name} ({symbol})")
    }
}

fn table(of: &AnalyteReadings) -> Markup {
    let mut days: Vec<Date> = of
        .tanks
        .iter()
        .flat_map(|t| &t.points)
        .chain(of.waters.iter().flat_map(|w| &w.points))
        .map(|p| p.day)
        .collect();
    days.sort_unstable();
    days.dedup();
    let name = analyte_name(of.analyte);
    let series: Vec<(&str, &[answers::readings::ReadingPoint])> = of
        .tanks
        .iter()
        .map(|t| (t.name.as_str(), t.points.as_slice()))
        .chain(of.waters.iter().map(|w| (w.name.as_str(), w.points.as_slice())))
        .collect();
    let caption = if of.unit.is_empty() {
        name.clone()
    } else {
        t!("update.readings_table", analyte = name, unit = of.unit)
    };
    let mut table = Table::new(caption).class("small").words(t!("update.day"));
    for (name, _) in &series {
        table = table.words(*name);
    }
    let format = Format::default();
    let mut count = 0;
    for day in days {
        let cells: Vec<Markup> = series
            .iter()
            .map(|(_, points)| {
                let seen: Vec<String> = points
                    .iter()
                    .filter(|p| p.day == day)
                    .map(|p| format.interval(&p.interval, 3))
                    .collect();
                count += seen.len();
                html! { (seen.join("; ")) }
            })
            .collect();
        table.row(std::iter::once(html! { (short_day(day)) }).chain(cells));
    }
    html! {
        details {
            summary { (t!("update.readings_table_summary", analyte = name, n = count)) }
            @if let Some(kept) = &of.kept {
                p.faint { (t!("update.kept_range", range = range_text(kept))) }
            }
            (table)
        }
    }
}
