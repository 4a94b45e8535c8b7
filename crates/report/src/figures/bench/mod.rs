//! The bench: its tanks beside each other as seen from the front, all to one scale.

mod labels;
mod plants;
mod tank;

use answers::bench::{BenchView, TankView};
use chart::marks::{dot, rule};
use chart::{Item, RichText, Role, Scene, Stroke, TextMark};
use quantity::Format;
use tank::Drawn;
use text::t;

const EDGE: f64 = 8.0;
const GAP: f64 = 16.0;
/// Largest scale, px for a cm: a small tank alone must not fill the screen.
const LARGEST: f64 = 6.0;
/// Largest height of a row, px.
const TALLEST: f64 = 290.0;

/// Sizes of text and of the least cell, px.
#[derive(Clone, Copy)]
struct Look {
    small: f64,
    body: f64,
    cell: f64,
}

impl Look {
    fn new(narrow: bool) -> Self {
        let (small, body, cell) = if narrow {
            (11.0, 12.5, 120.0)
        } else {
            (11.5, 13.0, 150.0)
        };
        Self { small, body, cell }
    }

    fn line(self) -> f64 {
        (self.small * 1.45).round()
    }
}

/// The tanks of a bench from the left, drawn to one scale, `width` px wide.
///
/// Glass, water to its level, layers of substrate, lamps at their height and length, and every
/// planting in the zone that was marked for it. What is not known is drawn dashed and named.
pub fn tanks(view: &BenchView, width: f64) -> Scene {
    let width = width.clamp(240.0, 2000.0);
    let narrow = width < 560.0;
    let look = Look::new(narrow);
    let drawn: Vec<Drawn> = tank::all(&view.tanks);
    let rows = rows(&drawn, if narrow { 2 } else { 4 });
    let scale = scale(&rows, width - 2.0 * EDGE, look);
    let mut items: Vec<Item> = Vec::new();
    let mut y = EDGE;
    for row in &rows {
        let tallest = row.iter().map(|d| d.top_cm()).fold(0.0, f64::max);
        let floor = y + tallest * scale;
        let cells: Vec<f64> = row
            .iter()
            .map(|d| (d.length.cm * scale).max(look.cell))
            .collect();
        let mut x = EDGE;
        let mut below = floor;
        for (drawn, cell) in row.iter().zip(&cells) {
            let left = x + (cell - drawn.length.cm * scale) / 2.0;
            items.extend(tank::scene(drawn, (left, floor), scale, look));
            let (words, bottom) = caption(drawn, left.min(x + 8.0).max(x), floor, *cell, look);
            items.extend(words);
            below = below.max(bottom);
            x += cell + GAP;
        }
        y = below + GAP;
    }
    if !drawn.is_empty() {
        items.extend(scale_bar(y, scale, look));
        y += look.line() + 6.0;
    }
    Scene {
        width,
        height: y,
        title: t!("bench.figure_title").to_string(),
        description: description(view),
        items,
    }
}

/// As many tanks in each row as fit evenly.
fn rows<'a, 'v>(drawn: &'a [Drawn<'v>], most: usize) -> Vec<&'a [Drawn<'v>]> {
    let rows = drawn.len().div_ceil(most).max(1);
    let each = drawn.len().div_ceil(rows).max(1);
    drawn.chunks(each).collect()
}

/// The largest scale at which every row fits, px for a cm.
fn scale(rows: &[&[Drawn<'_>]], room: f64, look: Look) -> f64 {
    let tallest = rows
        .iter()
        .flat_map(|r| r.iter())
        .map(Drawn::top_cm)
        .fold(1.0, f64::max);
    let fits = |s: f64| {
        rows.iter().all(|row| {
            let cells: f64 = row.iter().map(|d| (d.length.cm * s).max(look.cell)).sum();
            cells + GAP * (row.len() as f64 - 1.0) <= room
        })
    };
    let mut scale = LARGEST.min(TALLEST / tallest);
    // Small steps rather than algebra: cells have a least width, so the sum is not linear.
    while scale > 0.2 && !fits(scale) {
        scale *= 0.99;
    }
    scale
}

/// Name, arm, size, water and what is missing, under a tank; and the y below.
fn caption(drawn: &Drawn<'_>, left: f64, floor: f64, cell: f64, look: Look) -> (Vec<Item>, f64) {
    let view = drawn.view;
    let mut y = floor + 8.0 + look.body;
    let r = 4.3;
    let style = super::tank_style(&view.tank);
    let mut items: Vec<Item> = vec![dot((left + r + 1.0, y - look.body * 0.36), &style, r).into()];
    let mut name = RichText::default().strong(view.tank.name.as_str());
    if let Some(arm) = &view.arm {
        name = name.plain(format!("  {arm}"));
    }
    let from = left + 2.0 * r + 6.0;
    let name = name.ellipsis(look.body, cell - (from - left));
    items.push(TextMark::new(from, y, look.body, name).into());
    for line in facts(drawn) {
        for line in RichText::from(line).wrap(look.small, cell, 4) {
            y += look.line();
            let text = TextMark::new(left, y, look.small, line);
            items.push(text.coloured(Role::Muted).into());
        }
    }
    (items, y + 6.0)
}

fn facts(drawn: &Drawn<'_>) -> Vec<String> {
    let mut lines = Vec::new();
    lines.extend(size_words(drawn.view));
    if let Some(within) = drawn.view.water_l.interval() {
        lines.push(t!(
            "bench.figure_water",
            litres = Format::default().interval(&within, 3)
        ));
    } else if let Some(litres) = drawn.view.water_l.value {
        lines.push(t!(
            "bench.figure_water",
            litres = Format::default().significant(litres, 3)
        ));
    }
    if !drawn.missing.is_empty() {
        let what = trial::describe::list(&drawn.missing);
        lines.push(t!("bench.figure_missing", what = what));
    }
    if !drawn.unplaced.is_empty() {
        let plants = trial::describe::list(&drawn.unplaced);
        lines.push(t!("bench.figure_unplaced", plants = plants));
    }
    lines
}

fn size_words(view: &TankView) -> Option<String> {
    let n = |v: f64| Format::default().significant(v, 3);
    let tank = &view.tank;
    Some(t!(
        "bench.figure_size",
        length = n(tank.length_cm?),
        width = n(tank.width_cm?),
        height = n(tank.height_cm.or(tank.water_depth_cm)?)
    ))
}

fn scale_bar(y: f64, scale: f64, look: Look) -> Vec<Item> {
    let cm = if scale * 20.0 <= 110.0 { 20.0 } else { 10.0 };
    let (from, to) = (EDGE, EDGE + cm * scale);
    let middle = y + 4.0;
    let stroke = Stroke::new(Role::Muted, 1.2);
    let words = t!("bench.figure_scale", cm = cm);
    vec![
        rule((from, middle), (to, middle), stroke),
        rule((from, middle - 3.0), (from, middle + 3.0), stroke),
        rule((to, middle - 3.0), (to, middle + 3.0), stroke),
        TextMark::new(to + 8.0, middle, look.small, words)
            .coloured(Role::Muted)
            .centred()
            .into(),
    ]
}

/// What is to be seen, in words.
fn description(view: &BenchView) -> String {
    let sizes: Vec<Option<String>> = view.tanks.iter().map(size_words).collect();
    let same = sizes.windows(2).all(|w| w[0] == w[1]) && sizes.iter().all(Option::is_some);
    let first = match sizes.first() {
        None => return t!("bench.figure_none").to_string(),
        Some(Some(size)) if same => t!("bench.figure_same", n = sizes.len(), size = size),
        Some(_) => t!("bench.figure_differ", n = sizes.len()),
    };
    let each = view.tanks.iter().zip(sizes).map(|(tank, size)| {
        let mut plants: Vec<String> = Vec::new();
        for planting in &tank.plantings {
            if !plants.contains(&planting.scientific_name) {
                plants.push(planting.scientific_name.clone());
            }
        }
        t!(
            "bench.figure_tank",
            tank = tank.tank.name,
            arm = tank.arm.as_deref().unwrap_or(t!("bench.no_arm")),
            size = size.as_deref().unwrap_or(t!("bench.size_unknown")),
            plants = if plants.is_empty() {
                t!("bench.no_plants").to_string()
            } else {
                trial::describe::list(&plants)
            }
        )
    });
    std::iter::once(first)
        .chain(each)
        .collect::<Vec<_>>()
        .join(" ")
}
