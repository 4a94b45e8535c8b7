//! Water tests: a figure over time, and every reading in small.

use super::html::{Table, capital, figure, section, short_day};
use super::setup::range_text;
use answers::readings::{AnalyteReadings, Readings};
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
                @let drawn = tested(readings, analytes);
                (figure(id, "", |width| {
                    crate::figures::readings::lanes_of(&drawn, &view.bench, analytes, width)
                }))
            }
        }
        @for of in readings.analytes.iter().filter(|a| of_tanks(a)) { (table(of)) }
        (waters(&readings.analytes))
    };
    section("readings", t!("update.readings"), &body)
}

/// Whether the water of any tank was tested for it, and not only what went in.
fn of_tanks(of: &AnalyteReadings) -> bool {
    of.tanks.iter().any(|t| !t.points.is_empty())
}

/// What the waters that went into the tanks were tested for.
fn waters(analytes: &[AnalyteReadings]) -> Markup {
    let format = Format::default();
    let mut table = Table::new(t!("update.waters"))
        .class("small")
        .words(t!("update.water_tested"))
        .words(t!("update.tested_for"))
        .words(t!("update.day"))
        .words(t!("update.says"));
    for of in analytes {
        for water in &of.waters {
            for point in &water.points {
                table.row([
                    html! { (water.name) },
                    html! { (analyte_name(of.analyte)) },
                    html! { (short_day(point.day)) },
                    html! { (point.words(&format)) " " (of.unit) },
                ]);
            }
        }
    }
    html! {
        @if !table.is_empty() {
            details { summary { (t!("update.waters_summary")) } (table) }
        }
    }
}

/// The readings over the days on which any of `analytes` was read in a tank, for drawing: a trial's records may begin
/// long before its first test.
pub(crate) fn tested(readings: &Readings, analytes: &[Analyte]) -> Readings {
    let days = || {
        let wanted = readings.analytes.iter();
        let wanted = wanted.filter(|a| analytes.contains(&a.analyte));
        let points = wanted.flat_map(|a| &a.tanks).flat_map(|t| &t.points);
        points.map(|p| p.day)
    };
    let (Some(first), Some(last)) = (days().min(), days().max()) else {
        return readings.clone();
    };
    let to = last.tomorrow().unwrap_or(last).min(readings.to);
    let from = first.max(readings.from);
    let mut tested = readings.clone();
    tested.marks.retain(|m| from <= m.day && m.day < to);
    Readings { from, to, ..tested }
}

/// The name of an analyte with its symbol, when it has one of its own.
pub(crate) fn analyte_name(analyte: Analyte) -> String {
    let name = analyte.name();
    let symbol = answers::readings::symbol(analyte);
    if symbol == name {
        return name.to_string();
    }
    let name = capital(name);
    if name.contains(symbol) || symbol.eq_ignore_ascii_case(&name) {
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
        .map(|p| p.day)
        .collect();
    days.sort_unstable();
    days.dedup();
    let name = analyte_name(of.analyte);
    let series: Vec<(&str, &[answers::readings::ReadingPoint])> = of
        .tanks
        .iter()
        .map(|t| (t.name.as_str(), t.points.as_slice()))
        .chain(
            of.waters
                .iter()
                .map(|w| (w.name.as_str(), w.points.as_slice())),
        )
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
                    .map(|p| p.words(&format))
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
