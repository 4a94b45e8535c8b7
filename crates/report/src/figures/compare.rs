//! The comparison: how each tank changed, and the arms beside each other. One measure per figure, so
//! that one axis never holds two units.

use super::{known, plant_name, style_of};
use answers::compare::{Comparison, Difference, Row, Scale};
use chart::plots::{About, DotRow, Known, PairedDots, Reference, SeriesName};
use chart::{Marker, RichText, Scene, SeriesId, SeriesStyle, Spacing};
use quantity::Format;
use text::t;
use trial::Bench;
use trial::describe::measure_name;
use trial::types::Measure;

/// The measures of a comparison, that of the primary outcome first.
pub fn measures(comparison: &Comparison) -> Vec<Measure> {
    let mut measures: Vec<Measure> = Vec::new();
    for row in &comparison.rows {
        if !measures.contains(&row.measure) {
            measures.push(row.measure);
        }
    }
    measures
}

/// The rows of one measure by the size of the difference seen, largest first; without any, last.
pub fn rows_of(comparison: &Comparison, measure: Measure) -> Vec<&Row> {
    let seen = |row: &Row| {
        let first = row.differences.first().and_then(|d| d.seen);
        first.unwrap_or(f64::NEG_INFINITY)
    };
    let mut rows: Vec<&Row> = comparison
        .rows
        .iter()
        .filter(|r| r.measure == measure)
        .collect();
    rows.sort_by(|a, b| seen(b).total_cmp(&seen(a)));
    rows
}

/// How each tank changed, one row per plant and one dot per tank, `width` px wide; none when the
/// comparison has no such measure.
pub fn tanks(
    comparison: &Comparison,
    bench: &Bench,
    measure: Measure,
    width: f64,
) -> Option<Scene> {
    let rows = rows_of(comparison, measure);
    let scale = rows.first()?.scale;
    let dots: Vec<Vec<Option<Known>>> = rows.iter().map(|r| dots(r, bench)).collect();
    // A tank without a dot in any row needs no place in the key; without any dots all keep theirs.
    let drawn = |i: usize| dots.iter().any(|row| row[i].is_some());
    let any = (0..bench.tanks.len()).any(drawn);
    let shown: Vec<usize> = (0..bench.tanks.len())
        .filter(|i| !any || drawn(*i))
        .collect();
    let series: Vec<SeriesName> = shown
        .iter()
        .map(|i| &bench.tanks[*i])
        .map(|t| SeriesName {
            name: tank_name(bench, t),
            style: style_of(bench, t.id),
        })
        .collect();
    // One series has no key, so the axis says whose its dots are.
    let axis_words = match series.as_slice() {
        [only] => format!("{}, {}", change_words(scale), only.name.to_plain()),
        _ => change_words(scale).to_string(),
    };
    let drawn = rows.iter().zip(&dots);
    let rows_drawn: Vec<DotRow> = drawn.map(|(r, d)| tanks_row(r, bench, d, &shown)).collect();
    Some(
        PairedDots {
            about: About {
                title: t!("compare.figure_tanks", measure = measure_name(measure)),
                description: tanks_words(&rows, scale),
                heading: false,
            },
            series,
            spacing: spacing(scale),
            domain: factors(rows_drawn.iter().cloned(), scale),
            rows: rows_drawn,
            reference: Some(Reference {
                value: nothing(scale),
                words: t!("compare.no_change").to_string(),
            }),
            axis_words,
            ..PairedDots::default()
        }
        .scene(width),
    )
}

/// The arms against each other, one row per plant: a ratio or a difference with its 95 % interval
/// where the design allows one, a ring without any interval where it does not. None when there is
/// nothing between arms.
pub fn arms(comparison: &Comparison, measure: Measure, width: f64) -> Option<Scene> {
    let rows = rows_of(comparison, measure);
    let scale = rows.first()?.scale;
    let series = pairs(&rows);
    if series.is_empty() {
        return None;
    }
    let first = &series[0];
    let several = series.iter().any(|s| (&s.0, &s.1) != (&first.0, &first.1));
    // One series has no key, so the axis says what its marks are.
    let axis_words = if series.len() == 1 {
        format!("{}, {}", difference_words(scale), sure_words(first.2))
    } else {
        difference_words(scale).to_string()
    };
    let sides = (!several).then(|| sides(&first.0, width));
    Some(
        PairedDots {
            about: About {
                title: t!("compare.figure_arms", measure = measure_name(measure)),
                description: arms_words(&rows),
                heading: false,
            },
            rows: rows.iter().map(|r| arms_row(r, &series)).collect(),
            series: series_names(&series, several),
            spacing: spacing(scale),
            domain: factors(rows.iter().map(|r| arms_row(r, &series)), scale),
            reference: Some(Reference {
                value: nothing(scale),
                words: t!("compare.no_difference").to_string(),
            }),
            axis_words,
            sides,
        }
        .scene(width),
    )
}

/// What lies left and right of no difference; the left one short where both would touch.
fn sides(arm: &str, width: f64) -> (String, String) {
    let less = t!("compare.side_less", arm = arm);
    let more = t!("compare.side_more", arm = arm);
    let room = |words: &str| RichText::from(words).width(11.5) + 24.0;
    // Names of rows take up to two fifths of the width.
    if room(&less) + room(&more) < width * 0.6 {
        (less, more)
    } else {
        (t!("compare.side_less_short").to_string(), more)
    }
}

fn sure_words(sure: bool) -> &'static str {
    if sure {
        t!("compare.with_interval")
    } else {
        t!("compare.without_interval")
    }
}

fn series_names(series: &[(String, String, bool)], several: bool) -> Vec<SeriesName> {
    let name = |(i, (of, against, sure)): (usize, &(String, String, bool))| {
        let pair = t!("compare.pair", of = of, against = against);
        SeriesName {
            name: if several {
                RichText::from(format!("{pair}, {}", sure_words(*sure)))
            } else {
                RichText::from(sure_words(*sure))
            },
            style: arm_style(if several { i } else { 0 }, *sure),
        }
    };
    series.iter().enumerate().map(name).collect()
}

/// Every pair of arms with whether it has an interval anywhere, as series: pair by pair.
fn pairs(rows: &[&Row]) -> Vec<(String, String, bool)> {
    let mut pairs: Vec<(String, String, bool)> = Vec::new();
    for d in rows.iter().flat_map(|r| &r.differences) {
        if d.seen.is_none() {
            continue;
        }
        let key = (d.of.clone(), d.against.clone(), has_interval(d));
        if !pairs.contains(&key) {
            pairs.push(key);
        }
    }
    pairs.sort_by(|a, b| (&a.0, &a.1, !a.2).cmp(&(&b.0, &b.1, !b.2)));
    pairs
}

fn has_interval(d: &Difference) -> bool {
    d.estimate.low.is_some() || d.estimate.high.is_some()
}

/// Arms are no tanks: their styles come from the far end of the list, filled with an interval and
/// hollow without.
fn arm_style(i: usize, sure: bool) -> SeriesStyle {
    SeriesStyle {
        id: SeriesId::new(SeriesId::COUNT - 1 - i % SeriesId::COUNT),
        dash: &[],
        marker: if sure { Marker::Disc } else { Marker::Ring },
    }
}

fn tank_name(bench: &Bench, tank: &trial::Tank) -> RichText {
    let arm = tank.arm.as_deref().and_then(|k| bench.trial.arm(k));
    match arm {
        Some(arm) => RichText::from(format!("{} ({})", tank.name, arm.name)),
        None => RichText::from(tank.name.as_str()),
    }
}

fn label(row: &Row) -> RichText {
    let name = match row.plant.as_deref() {
        Some(plant) => plant_name(plant),
        None => RichText::from(t!("compare.front_pane")),
    };
    if row.primary {
        name.plain(format!(" ({})", t!("compare.primary")))
    } else {
        name
    }
}

/// A row's dots, one for each tank of the bench.
fn dots(row: &Row, bench: &Bench) -> Vec<Option<Known>> {
    let of = |id| row.tanks.iter().find(|t| t.tank == id);
    let dots = bench.tanks.iter().map(|t| {
        of(t.id)
            .and_then(|c| known(&c.change))
            .filter(|k| drawable(k, row.scale))
    });
    dots.collect()
}

fn tanks_row(row: &Row, bench: &Bench, dots: &[Option<Known>], shown: &[usize]) -> DotRow {
    let tip = |i: &usize| {
        let found = row.tanks.iter().find(|t| t.tank == bench.tanks[*i].id);
        found.map_or_else(String::new, |c| {
            let change = Format::default().estimate(&c.change, 3);
            format!("{}: {change}", c.name)
        })
    };
    DotRow {
        label: label(row),
        dots: shown.iter().map(|i| dots[*i]).collect(),
        note: t!("compare.not_seen_twice").to_string(),
        tips: shown.iter().map(tip).collect(),
    }
}

fn arms_row(row: &Row, series: &[(String, String, bool)]) -> DotRow {
    let find = |s: &(String, String, bool)| {
        row.differences
            .iter()
            .find(|d| d.of == s.0 && d.against == s.1 && has_interval(d) == s.2)
    };
    let dots = series.iter().map(|s| {
        let d = find(s)?;
        let bare = d.seen.map(Known::exactly);
        let drawn = if s.2 { known(&d.estimate) } else { bare };
        drawn.filter(|k| drawable(k, row.scale))
    });
    DotRow {
        label: label(row),
        dots: dots.collect(),
        note: t!("compare.nothing_to_compare").to_string(),
        tips: series
            .iter()
            .map(|s| find(s).map_or_else(String::new, |d| d.sentence.clone()))
            .collect(),
    }
}

/// A ratio of nothing has no place on a scale of factors.
fn drawable(known: &Known, scale: Scale) -> bool {
    let all = [known.mid, known.low, known.high];
    let mut there = all.iter().flatten();
    there.all(|v| v.is_finite() && (scale != Scale::Factor || *v > 0.0))
}

/// The span of a scale of factors: its own rounding to 1, 2, 5 would waste most of the width.
fn factors(rows: impl Iterator<Item = DotRow>, scale: Scale) -> Option<(f64, f64)> {
    if scale != Scale::Factor {
        return None;
    }
    let dots = rows.flat_map(|r| r.dots).flatten();
    let values = dots.flat_map(|k| [k.mid, k.low, k.high]).flatten();
    let (low, high) = chart::extent(values.chain([1.0]))?;
    Some((low / 1.06, high * 1.06))
}

fn spacing(scale: Scale) -> Spacing {
    match scale {
        Scale::Factor => Spacing::Log,
        _ => Spacing::Linear,
    }
}

/// The value that means no change, or no difference.
fn nothing(scale: Scale) -> f64 {
    match scale {
        Scale::Factor => 1.0,
        _ => 0.0,
    }
}

fn change_words(scale: Scale) -> &'static str {
    match scale {
        Scale::Rate => t!("compare.axis_rate"),
        Scale::Factor => t!("compare.axis_factor"),
        Scale::Score => t!("compare.axis_score"),
        Scale::Count => t!("compare.axis_count"),
    }
}

fn difference_words(scale: Scale) -> &'static str {
    match scale {
        Scale::Rate => t!("compare.difference_rate"),
        Scale::Factor => t!("compare.difference_factor"),
        Scale::Score => t!("compare.difference_score"),
        Scale::Count => t!("compare.difference_count"),
    }
}

fn tanks_words(rows: &[&Row], scale: Scale) -> String {
    let rows = rows.iter().map(|row| {
        let tanks: Vec<String> = row
            .tanks
            .iter()
            .map(|t| match t.change.value {
                Some(v) => format!("{} {}", t.name, Format::default().significant(v, 3)),
                None => format!("{} {}", t.name, t!("compare.not_seen_twice")),
            })
            .collect();
        format!("{}: {}.", label(row).to_plain(), tanks.join(", "))
    });
    let first = format!("{}.", capital(change_words(scale)));
    std::iter::once(first)
        .chain(rows)
        .collect::<Vec<_>>()
        .join(" ")
}

fn arms_words(rows: &[&Row]) -> String {
    let sentences: Vec<&str> = rows
        .iter()
        .flat_map(|r| &r.differences)
        .map(|d| d.sentence.as_str())
        .collect();
    sentences.join(" ")
}

fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |c| {
        c.to_uppercase().collect::<String>() + chars.as_str()
    })
}
