//! Frames that hold a figure.

use super::sheet::{LEADING, Sheet};
use super::{Drawn, LEAST_TEXT, Size, slug};
use crate::figures;
use crate::update::html::capital;
use crate::update::{analyte_name, primary, primary_sentences, tested};
use answers::compare::{Comparison, Row};
use answers::update::UpdateView;
use chart::{Item, RichText, Role, Scene};
use text::t;
use trial::describe::measure_name;
use trial::types::Measure;

/// Smallest text of the plots in px, on a wide and on a narrow figure (see `chart::plots`).
const PLOT_TEXT: [f64; 2] = [11.5, 11.0];
/// Figures below this width have the smaller text (see `chart::plots`).
const NARROW: f64 = 560.0;
/// How many widths are tried for the tanks, each 3 % narrower.
const NARROWER: i32 = 36;
/// How much larger than needed a figure may be drawn when there is room.
const LARGEST: f64 = 1.35;
/// Heights of a lane of readings that are tried when the usual one is too high, px.
const LANES: [f64; 7] = [120.0, 104.0, 90.0, 76.0, 62.0, 52.0, 44.0];
/// Steps between the smallest and the largest scale that are tried.
const STEPS: i32 = 14;

/// The scale at which a figure's smallest words are large enough.
fn least_scale(size: Size) -> f64 {
    // A hair more, so that rounding never falls below.
    LEAST_TEXT * 1.002 / PLOT_TEXT[usize::from(size == Size::Portrait)]
}

/// The scales that are tried, the largest first.
fn scales(size: Size) -> impl Iterator<Item = f64> {
    (0..=STEPS).rev().map(move |step| {
        let more = 1.0 + (LARGEST - 1.0) * f64::from(step) / f64::from(STEPS);
        least_scale(size) * more
    })
}

/// A figure as large as fits `width` and `room`, with its scale; none when it is too high at the
/// least scale.
fn fitted(
    size: Size,
    width: f64,
    room: f64,
    draw: impl Fn(f64) -> Option<Scene>,
) -> Option<(Scene, f64)> {
    let mut last = None;
    for scale in scales(size) {
        let scene = draw(width / scale)?;
        if scene.height * scale <= room {
            if !is_cut(&scene.items) {
                return Some((scene, scale));
            }
            last = Some((scene, scale));
        }
    }
    // Cut words at every scale: the smallest leaves the most of them.
    last
}

/// Whether words were cut to their room.
fn is_cut(items: &[Item]) -> bool {
    items.iter().any(|item| match item {
        Item::Text(text) => text.text.to_plain().ends_with('\u{2026}'),
        Item::Group(group) => is_cut(&group.items),
        Item::Mark(_) | Item::Image(_) => false,
    })
}

/// Places a figure; one that is too high even so is drawn smaller, since a frame with small words
/// says more than none.
fn place(sheet: &mut Sheet<'_>, draw: impl Fn(f64) -> Option<Scene>) {
    let (size, width, room) = (sheet.size, sheet.width(), sheet.room());
    let found = fitted(size, width, room, &draw).or_else(|| {
        let scene = draw(width / least_scale(size))?;
        let scale = least_scale(size).min(room / scene.height);
        Some((scene, scale))
    });
    if let Some((scene, scale)) = found {
        sheet.figure(scene, scale);
    }
}

pub(super) fn bench(view: &UpdateView, size: Size) -> Scene {
    let title = t!("update.frame_bench");
    let mut sheet = Sheet::new(view, size, title);
    sheet.heading(title);
    let (width, room) = (sheet.width(), sheet.room());
    // The drawing grows with its width, so one that is too high is drawn narrower.
    let fits = (0..NARROWER).find_map(|step| {
        let drawn = width / least_scale(size) * 0.97f64.powi(step);
        let text = PLOT_TEXT[usize::from(drawn < NARROW)];
        let scale = LEAST_TEXT * 1.002 / text;
        let scene = figures::bench::tanks(&view.now, drawn);
        let inside = scene.height * scale <= room && drawn * scale <= width + 0.5;
        inside.then_some((scene, scale))
    });
    match fits {
        Some((scene, scale)) => sheet.figure(scene, scale),
        None => place(&mut sheet, |w| Some(figures::bench::tanks(&view.now, w))),
    }
    sheet.finish()
}

/// The primary outcome: in words, tank by tank, and arm against arm where there is room.
pub(super) fn primary(view: &UpdateView, size: Size) -> Option<Scene> {
    let only = primary::only(&view.comparison);
    let row = only.rows.first()?;
    let name = view.bench.trial.primary.as_ref().map(|o| o.name.as_str());
    let title = name.unwrap_or(t!("update.frame_primary"));
    let mut sheet = Sheet::new(view, size, title);
    sheet.heading(title);
    let words = if size == Size::Landscape { 34.0 } else { 36.0 };
    for sentence in primary_sentences(&only) {
        sheet.paragraph(sentence, words, 8);
    }
    sheet.y += 20.0;
    let measure = row.measure;
    place(&mut sheet, |width| {
        figures::compare::tanks(&only, &view.bench, measure, width)
    });
    sheet.y += 20.0;
    let (width, room) = (sheet.width(), sheet.room());
    let arms = |w| figures::compare::arms(&only, measure, w);
    if let Some((scene, scale)) = fitted(size, width, room, arms) {
        sheet.figure(scene, scale);
    }
    Some(sheet.finish())
}

/// All rows, one measure after the other.
pub(super) fn rows(view: &UpdateView, size: Size) -> Vec<Drawn> {
    let mut frames = Vec::new();
    for measure in figures::compare::measures(&view.comparison) {
        let name = capital(measure_name(measure));
        let of_tanks = |c: &Comparison, w| figures::compare::tanks(c, &view.bench, measure, w);
        let title = t!("update.frame_compare", measure = name);
        let word = format!("{}-tanks", slug(measure.key()));
        frames.extend(parts(view, size, measure, (&title, &word, false), of_tanks));
        let of_arms = |c: &Comparison, w| figures::compare::arms(c, measure, w);
        let title = t!("update.frame_arms", measure = name);
        let word = format!("{}-arms", slug(measure.key()));
        frames.extend(parts(view, size, measure, (&title, &word, true), of_arms));
    }
    frames
}

/// One measure's rows on as many frames as they need.
fn parts(
    view: &UpdateView,
    size: Size,
    measure: Measure,
    (title, word, between_arms): (&str, &str, bool),
    draw: impl Fn(&Comparison, f64) -> Option<Scene>,
) -> Vec<Drawn> {
    let all: Vec<&Row> = figures::compare::rows_of(&view.comparison, measure);
    let of = |rows: &[&Row]| Comparison {
        rows: rows.iter().map(|r| (*r).clone()).collect(),
        ..view.comparison.clone()
    };
    if draw(&of(&all), 600.0).is_none() {
        return Vec::new();
    }
    let mut sheet = Sheet::new(view, size, title);
    sheet.heading(title);
    let (width, room) = (sheet.width(), sheet.room());
    let fits = |n: usize| {
        all.chunks(n)
            .all(|part| fitted(size, width, room, |w| draw(&of(part), w)).is_some())
    };
    let most = (1..=all.len()).rev().find(|n| fits(*n)).unwrap_or(1);
    let count = all.len().div_ceil(most);
    // Frames evenly filled look better than one full and one nearly empty.
    let each = all.len().div_ceil(count.max(1));
    let chunks: Vec<&[&Row]> = all.chunks(each).collect();
    let several = chunks.len() > 1;
    let drawn = chunks.iter().enumerate().map(|(at, part)| {
        let n = at + 1;
        let title = if several {
            t!(
                "update.frame_more",
                title = title,
                n = n,
                all = chunks.len()
            )
        } else {
            title.to_string()
        };
        let mut sheet = Sheet::new(view, size, &title);
        sheet.heading(&title);
        place(&mut sheet, |w| draw(&of(part), w));
        if between_arms {
            why_none(&mut sheet, part);
        }
        Drawn {
            word: word.to_string(),
            part: several.then_some(n),
            scene: sheet.finish(),
        }
    });
    drawn.collect()
}

/// Under the arms' differences: why some have no interval, as far as there is room.
fn why_none(sheet: &mut Sheet<'_>, rows: &[&Row]) {
    let mut reasons: Vec<&str> = rows
        .iter()
        .flat_map(|r| &r.differences)
        .filter_map(|d| d.estimate.refusal())
        .collect();
    reasons.sort_unstable();
    reasons.dedup();
    for reason in reasons {
        let text = RichText::from(t!("compare.no_interval_because", reason = reason));
        let size = LEAST_TEXT + 2.0;
        let lines = text.wrap(size, sheet.width(), 4).len() as f64;
        if lines * size * LEADING + 16.0 <= sheet.room() {
            sheet.y += 16.0;
            sheet.lines(&text, size, 4, Role::Muted);
        }
    }
}

/// Water tests, one analyte a frame: those with a range kept or read often.
pub(super) fn readings(view: &UpdateView, size: Size) -> Vec<Drawn> {
    let (first, _) = figures::readings::by_weight(&view.readings);
    let frame = |analyte| {
        let readings = tested(&view.readings, &[analyte]);
        let title = t!("update.frame_readings", what = analyte_name(analyte));
        let mut sheet = Sheet::new(view, size, &title);
        sheet.heading(&title);
        let draw = |width: f64, height: Option<f64>| {
            let bench = &view.bench;
            Some(figures::readings::lanes_high(
                &readings,
                bench,
                &[analyte],
                width,
                height,
            ))
        };
        let (width, room) = (sheet.width(), sheet.room());
        // Lower lanes before smaller words.
        let mut heights = std::iter::once(None).chain(LANES.map(Some));
        match heights.find_map(|height| fitted(size, width, room, |w| draw(w, height))) {
            Some((scene, scale)) => sheet.figure(scene, scale),
            None => place(&mut sheet, |w| draw(w, LANES.last().copied())),
        }
        Drawn::new(format!("test-{}", slug(analyte.key())), sheet.finish())
    };
    first.into_iter().map(frame).collect()
}
