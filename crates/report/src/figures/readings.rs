//! Readings: lanes over time, and the newest ones on a scale. A reading is drawn as the interval it
//! is; an open end runs out in an arrow.

mod marks;

use super::{known_reading, style_of, tank_style};
use answers::bench::{BenchView, LatestReading};
use answers::readings::{AnalyteReadings, Readings, TankReadings};
use chart::plots::{
    About, Join, KeptRange, Lane, LaneSeries, Observation, ScaleInterval, ScaleRow, SeriesName,
    Stage, TimeLanes,
};
use chart::{RichText, Scene};
use jiff::civil::Date;
use marks::{events, noon, rugs};
use quantity::{Analyte, Format, Interval};
use text::t;
use trial::Bench;
use trial::describe::phase_name;
use trial::types::PhaseKind;

/// Every analyte of a span as a lane, `width` px wide; see [`lanes_of`].
pub fn lanes(readings: &Readings, bench: &Bench, width: f64) -> Scene {
    let all: Vec<Analyte> = readings.analytes.iter().map(|a| a.analyte).collect();
    lanes_of(readings, bench, &all, width)
}

/// These analytes as lanes over the span, tank beside tank, with the phases above and the range the
/// trial is kept in as a neutral tint. A reading is a bar from end to end, with no mark inside it and
/// no line to the next: between its ends nothing is known. Doses and water changes are ticks under
/// the lanes, settings rules through them.
pub fn lanes_of(readings: &Readings, bench: &Bench, analytes: &[Analyte], width: f64) -> Scene {
    lanes_high(readings, bench, analytes, width, None)
}

/// As [`lanes_of`], with lanes `lane_height` px high where there is little room; none leaves it to
/// the figure.
pub fn lanes_high(
    readings: &Readings,
    bench: &Bench,
    analytes: &[Analyte],
    width: f64,
    lane_height: Option<f64>,
) -> Scene {
    let shown: Vec<&AnalyteReadings> = readings
        .analytes
        .iter()
        .filter(|a| analytes.contains(&a.analyte))
        .collect();
    let names: Vec<String> = shown.iter().map(|a| a.analyte.name().to_string()).collect();
    let lanes: Vec<Lane> = shown.iter().map(|a| lane(a, bench)).collect();
    TimeLanes {
        about: About {
            title: t!(
                "readings.figure_title",
                what = trial::describe::list(&names),
                from = readings.from,
                to = last_day(readings.to)
            ),
            description: description(&shown, readings, lanes.iter().map(Lane::off_scale).sum()),
            heading: false,
        },
        span: Some((chart::days(readings.from), chart::days(readings.to))),
        lanes,
        events: events(readings),
        stages: stages(readings, bench),
        rugs: rugs(readings, 2 + 2 * shown.len()),
        lane_height,
        ..TimeLanes::default()
    }
    .scene(width)
}

/// Analytes that get lanes of their own at first sight: those with a range kept or read on most of
/// the days on which anything was read; the others come after.
pub fn by_weight(readings: &Readings) -> (Vec<Analyte>, Vec<Analyte>) {
    let count = |a: &AnalyteReadings| a.tanks.iter().map(|t| t.points.len()).max().unwrap_or(0);
    let most = readings.analytes.iter().map(count).max().unwrap_or(0);
    let (first, rest): (Vec<&AnalyteReadings>, Vec<_>) = readings
        .analytes
        .iter()
        .filter(|a| count(a) > 0)
        .partition(|a| a.kept.is_some() || count(a) * 2 > most);
    let keys = |all: Vec<&AnalyteReadings>| all.iter().map(|a| a.analyte).collect();
    (keys(first), keys(rest))
}

fn last_day(after: Date) -> Date {
    after.yesterday().unwrap_or(after)
}

fn lane(readings: &AnalyteReadings, bench: &Bench) -> Lane {
    let series = readings.tanks.iter().filter(|t| !t.points.is_empty());
    let points = readings.tanks.iter().flat_map(|t| &t.points);
    let largest = chart::extent(points.filter_map(|p| p.interval.high().or(p.interval.low())));
    Lane {
        least_span: least_span(readings.analyte, largest.map_or(0.0, |(_, high)| high)),
        title: RichText::default().strong(capital(readings.analyte.name())),
        unit: readings.unit.to_string(),
        // Beside the lane's unit its words need none.
        kept: readings
            .kept
            .as_ref()
            .map(|k| kept_range(k.low, k.high, "")),
        series: series
            .map(|t| LaneSeries {
                name: RichText::from(t.name.as_str()),
                style: style_of(bench, t.tank),
                join: Join::None,
                observations: observations(t),
                fan: vec![],
            })
            .collect(),
        ..Lane::default()
    }
}

fn observations(tank: &TankReadings) -> Vec<Observation> {
    tank.points
        .iter()
        .filter_map(|p| {
            let doubt = p
                .doubt
                .as_deref()
                .map_or(String::new(), |d| format!(" {d}"));
            Some(Observation {
                at: noon(p.day),
                value: known_reading(&p.interval, p.meter.as_ref())?,
                doubtful: p.doubt.is_some(),
                tip: format!("{}, {}: {}.{doubt}", tank.name, p.day, p.seen),
            })
        })
        .collect()
}

fn kept_range(low: f64, high: f64, unit: &str) -> KeptRange {
    let n = |v| Format::default().significant(v, 3);
    KeptRange {
        low,
        high,
        words: t!("readings.kept", low = n(low), high = n(high), unit = unit)
            .trim_end()
            .to_string(),
    }
}

fn stages(readings: &Readings, bench: &Bench) -> Vec<Stage> {
    let (first, last) = (chart::days(readings.from), chart::days(readings.to));
    bench
        .trial
        .phases
        .iter()
        .filter(|p| p.kind != PhaseKind::End)
        .map(|p| Stage {
            from: chart::days(p.from).max(first),
            to: p.to.map_or(last, chart::days).min(last),
            label: phase_name(p.kind).to_string(),
            shaded: p.kind == PhaseKind::Treatment,
        })
        .filter(|s| s.to > s.from)
        .collect()
}

/// What is to be seen, in words: how often each tank was read and between which ends.
fn description(shown: &[&AnalyteReadings], readings: &Readings, off_scale: usize) -> String {
    let mut sentences: Vec<String> = shown
        .iter()
        .map(|a| {
            let tanks: Vec<String> = a
                .tanks
                .iter()
                .filter(|t| !t.points.is_empty())
                .map(|t| {
                    let within = envelope(t.points.iter().map(|p| &p.interval));
                    t!(
                        "readings.figure_tank",
                        tank = t.name,
                        n = t.points.len(),
                        range = Format::default().interval(&within, 3)
                    )
                })
                .collect();
            let unit = if a.unit.is_empty() {
                String::new()
            } else {
                format!(" ({})", a.unit)
            };
            format!("{}{unit}: {}.", capital(a.analyte.name()), tanks.join("; "))
        })
        .collect();
    let doubtful = shown
        .iter()
        .flat_map(|a| &a.tanks)
        .flat_map(|t| &t.points)
        .filter(|p| p.doubt.is_some())
        .count();
    if doubtful > 0 {
        sentences.push(t!("readings.figure_doubtful", n = doubtful));
    }
    if off_scale > 0 {
        sentences.push(t!("readings.figure_off_scale", n = off_scale));
    }
    let ticks: Vec<String> = rugs(readings, usize::MAX)
        .into_iter()
        .map(|r| r.label)
        .collect();
    if !ticks.is_empty() {
        let what = trial::describe::list(&ticks);
        sentences.push(t!("readings.figure_ticks", what = what));
    }
    sentences.join(" ")
}

/// From the lowest to the highest end; open where any reading is.
fn envelope<'a>(all: impl Iterator<Item = &'a Interval>) -> Interval {
    let (mut low, mut high): (Option<Option<f64>>, Option<Option<f64>>) = (None, None);
    for i in all {
        low = Some(match low {
            None => i.low(),
            Some(l) => l.zip(i.low()).map(|(a, b)| a.min(b)),
        });
        high = Some(match high {
            None => i.high(),
            Some(h) => h.zip(i.high()).map(|(a, b)| a.max(b)),
        });
    }
    Interval::new(low.flatten(), high.flatten()).unwrap_or(Interval::UNBOUNDED)
}

/// The analytes of which any tank has a reading: those with a range kept first.
pub fn latest_analytes(view: &BenchView) -> Vec<Analyte> {
    let read = |a: &Analyte| {
        let mut all = view.tanks.iter().flat_map(|t| &t.readings);
        all.any(|r| r.analyte == *a)
    };
    let kept = |a: &Analyte| {
        let ranges = &view.bench.trial.kept_ranges;
        ranges.iter().any(|k| k.analyte == *a)
    };
    let mut all: Vec<Analyte> = Analyte::all().filter(read).collect();
    all.sort_by_key(|a| !kept(a));
    all
}

/// The newest reading of one analyte in each tank, on one scale with the range the trial is kept in.
pub fn latest(view: &BenchView, analyte: Analyte, width: f64) -> Scene {
    let newest = |tank: &answers::bench::TankView| {
        let found = tank.readings.iter().find(|r| r.analyte == analyte);
        found.cloned()
    };
    let rows: Vec<ScaleRow> = view
        .tanks
        .iter()
        .map(|tank| {
            let reading = newest(tank);
            let words = reading.as_ref().map_or_else(
                || t!("readings.none_yet").to_string(),
                |r| t!("readings.latest", value = says(r), n = r.days_ago),
            );
            ScaleRow {
                series: SeriesName {
                    name: RichText::from(tank.tank.name.as_str()),
                    style: tank_style(&tank.tank),
                },
                value: reading
                    .as_ref()
                    .and_then(|r| known_reading(&r.interval, r.meter.as_ref())),
                words,
            }
        })
        .collect();
    let ranges = &view.bench.trial.kept_ranges;
    let kept = ranges.iter().find(|k| k.analyte == analyte);
    let said: Vec<String> = rows
        .iter()
        .map(|r| format!("{} {}", r.series.name.to_plain(), r.words))
        .collect();
    let kept = kept.map(|k| kept_range(k.low, k.high, analyte.unit()));
    let mut description = format!("{}.", said.join("; "));
    if let Some(kept) = &kept {
        description.push_str(&format!(" {}.", capital(&kept.words)));
    }
    let known = rows.iter().filter_map(|r| r.value);
    let largest = chart::extent(known.flat_map(|k| [k.low, k.mid, k.high]).flatten());
    let largest = largest.map_or(0.0, |(_, high)| high);
    ScaleInterval {
        about: About {
            title: t!(
                "readings.latest_title",
                what = analyte.name(),
                day = view.as_of
            ),
            description,
            heading: false,
        },
        kept,
        least_span: least_span(analyte, largest),
        rows,
        axis_words: axis_words(analyte),
        ..ScaleInterval::default()
    }
    .scene(width)
}

/// A reading in words: a meter's value with its error, or between which ends.
fn says(reading: &LatestReading) -> String {
    let format = Format::default();
    match &reading.meter {
        Some(meter) => meter.words(&format),
        None => format.interval(&reading.interval, 3),
    }
}

/// How far a scale of this analyte reaches at least, so that a tenth of a degree does not fill a lane
/// (our own choice, no source).
fn least_span(analyte: Analyte, largest: f64) -> f64 {
    match analyte {
        Analyte::Temperature => 6.0,
        Analyte::Ph => 1.0,
        _ => largest.abs() * 0.25,
    }
}

fn axis_words(analyte: Analyte) -> String {
    let name = capital(analyte.name());
    if analyte.unit().is_empty() {
        name
    } else {
        format!("{name}, {}", analyte.unit())
    }
}

/// With a capital first letter; `pH` stays as it is.
pub(super) fn capital(words: &str) -> String {
    if words.starts_with("pH") {
        return words.to_string();
    }
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |c| {
        c.to_uppercase().collect::<String>() + chars.as_str()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_envelope_is_open_where_any_reading_is() {
        let i = |low, high| Interval::new(low, high).unwrap();
        let all = [i(Some(3.0), Some(6.0)), i(Some(12.0), None)];
        assert_eq!(envelope(all.iter()), i(Some(3.0), None));
        assert_eq!(envelope(all[..1].iter()), all[0]);
        assert_eq!(envelope([].iter()), Interval::UNBOUNDED);
    }

    #[test]
    fn ph_keeps_its_small_letter() {
        assert_eq!(capital("pH"), "pH");
        assert_eq!(capital("nitrate"), "Nitrate");
    }
}
