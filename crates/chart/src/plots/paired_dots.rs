//! Rows with one point and interval per series: a comparison down a list of names.

use super::domain::Holds;
use super::parts::{KnownLook, Look, fitted, floor, heading, key, known};
use super::{About, Known, SeriesName};
use crate::axis::{BottomAxis, LeftAxis};
use crate::marks::{Along, rule};
use crate::scale::{Scale, Spacing};
use crate::scene::{Anchor, Item, Scene, Stroke, TextMark};
use crate::text::RichText;
use crate::theme::Role;
use crate::ticks::Tick;

/// Rows of points with intervals on one horizontal scale.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PairedDots {
    /// Title and description.
    pub about: About,
    /// The series, in the order of [`DotRow::dots`].
    pub series: Vec<SeriesName>,
    /// The rows, drawn in this order from the top.
    pub rows: Vec<DotRow>,
    /// Spacing of the scale.
    pub spacing: Spacing,
    /// Lowest and highest value; from the data if `None`.
    pub domain: Option<(f64, f64)>,
    /// A line to compare with, such as 0 for a difference or 1 for a ratio.
    pub reference: Option<Reference>,
    /// What is written under the axis: the quantity and its unit.
    pub axis_words: String,
    /// What lies to the left and to the right, such as "less" and "more"; may be `None`.
    pub sides: Option<(String, String)>,
}

/// One row.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DotRow {
    /// Name, with species in italics.
    pub label: RichText,
    /// One per series; `None` where there is no value.
    pub dots: Vec<Option<Known>>,
    /// Written in the row when no series has a value, such as "not planted".
    pub note: String,
    /// Tooltips, one per series; may be shorter or empty.
    pub tips: Vec<String>,
}

/// A vertical line to compare with.
#[derive(Debug, Clone, PartialEq)]
pub struct Reference {
    /// Where it stands.
    pub value: f64,
    /// What is written above it; may be empty.
    pub words: String,
}

struct Layout {
    look: Look,
    x: Scale,
    ticks: Vec<Tick>,
    left: f64,
    right: f64,
    /// Names above their row rather than beside.
    above: bool,
}

impl PairedDots {
    /// Draws the rows `width` px wide.
    #[must_use]
    pub fn scene(&self, width: f64) -> Scene {
        let look = Look::new(width);
        let (mut items, y) = heading(&self.about, &look);
        let names = if self.series.len() > 1 {
            &self.series[..]
        } else {
            &[]
        };
        let (drawn, mut y) = key(names, &look, y);
        items.extend(drawn);
        let layout = self.layout(look);
        if self.reference.as_ref().is_some_and(|r| !r.words.is_empty()) {
            y += look.small * 1.5;
        }
        let top = y + 2.0;
        let heights: Vec<f64> = self
            .rows
            .iter()
            .map(|r| self.row_height(r, &layout))
            .collect();
        let base = top + heights.iter().sum::<f64>();
        let (axis, below) = self.axis(&layout, top, base);
        items.extend(axis);
        let mut row_top = top;
        for (row, height) in self.rows.iter().zip(&heights) {
            if row_top > top {
                let ends = ((look.edge, row_top), (look.right(), row_top));
                items.push(rule(ends.0, ends.1, Stroke::new(Role::Grid, 1.0)));
            }
            items.extend(self.row(row, &layout, row_top, *height));
            row_top += height;
        }
        Scene {
            width: look.width,
            height: below + 8.0,
            title: self.about.title.clone(),
            description: self.about.description.clone(),
            items,
        }
    }

    fn scale(&self, range: (f64, f64)) -> Scale {
        let dots = self.rows.iter().flat_map(|r| r.dots.iter().flatten());
        let holds = Holds {
            spacing: self.spacing,
            seen: dots.map(|k| (*k, false)).collect(),
            also: self.reference.iter().map(|r| r.value).collect(),
            ..Holds::default()
        };
        fitted(self.domain, &holds, range)
    }

    fn layout(&self, look: Look) -> Layout {
        let widest = self
            .rows
            .iter()
            .map(|r| r.label.width(look.body))
            .fold(0.0, f64::max);
        let above = widest > (look.width - 2.0 * look.edge) * 0.36;
        let trial = self.scale((0.0, 1.0));
        let label = LeftAxis::label_width(&trial.ticks(5), look.small);
        let left = look.edge + if above { 0.0 } else { widest + 18.0 };
        let right = look.right();
        let pad = (label / 2.0).max(look.point + 4.0) + 2.0;
        let x = self.scale((left + pad, right - pad));
        let ticks = x.ticks(look.tick_count(right - left, label));
        Layout {
            look,
            x,
            ticks,
            left,
            right,
            above,
        }
    }

    /// Height of the points of a row.
    fn points_height(&self, look: &Look) -> f64 {
        self.series.len().max(1) as f64 * (look.point * 3.0) + 14.0
    }

    fn row_height(&self, row: &DotRow, layout: &Layout) -> f64 {
        let points = self.points_height(&layout.look);
        if layout.above {
            let lines = self.label_lines(row, layout).len() as f64;
            points + lines * layout.look.line_height() + 2.0
        } else {
            points.max(layout.look.line_height() + 8.0)
        }
    }

    fn label_lines(&self, row: &DotRow, layout: &Layout) -> Vec<RichText> {
        row.label
            .wrap(layout.look.body, layout.look.right() - layout.look.edge, 2)
    }

    fn axis(&self, layout: &Layout, top: f64, base: f64) -> (Vec<Item>, f64) {
        let look = &layout.look;
        let axis = BottomAxis {
            scale: &layout.x,
            ticks: &layout.ticks,
            top: base,
            base,
            size: look.small,
        };
        let mut items = floor(&axis, layout.left, layout.right);
        if let Some(reference) = &self.reference {
            let x = layout.x.clamped(reference.value);
            let mut text = TextMark::new(x, top - 7.0, look.small, reference.words.as_str())
                .anchored(Anchor::Middle)
                .coloured(Role::Guide);
            keep_inside(&mut text, look);
            items.push(text.into());
            // A stub under the words: above a name the line itself starts lower.
            let stub = Stroke::new(Role::Guide, 1.2);
            items.push(rule((x, top - 2.0), (x, top + 4.0), stub));
        }
        items.extend(axis.labels());
        let (words, height) = self.words(layout, base + axis.height());
        items.extend(words);
        (items, base + axis.height() + height)
    }

    /// The words under the axis, beside the sides' if they fit, and their height.
    fn words(&self, layout: &Layout, top: f64) -> (Vec<Item>, f64) {
        let look = &layout.look;
        let line = look.small + 6.0;
        let mut y = top + look.small + 2.0;
        let mut items: Vec<Item> = Vec::new();
        let mut free = (look.edge, look.right());
        if let Some((left, right)) = &self.sides {
            let at = |x: f64, words: String, anchor| {
                TextMark::new(x, y, look.small, words)
                    .anchored(anchor)
                    .coloured(Role::Muted)
            };
            let left = at(layout.left, format!("← {left}"), Anchor::Start);
            let right = at(layout.right, format!("{right} →"), Anchor::End);
            free = (left.extent().1 + 16.0, right.extent().0 - 16.0);
            items.extend([left.into(), right.into()]);
        }
        if !self.axis_words.is_empty() {
            let words = RichText::from(self.axis_words.as_str());
            let middle = f64::midpoint(layout.left, layout.right);
            let lines = words.wrap(look.small, look.right() - look.edge, 2);
            for (i, words) in lines.into_iter().enumerate() {
                let mut text = TextMark::new(middle, y, look.small, words)
                    .anchored(Anchor::Middle)
                    .coloured(Role::Muted);
                keep_inside(&mut text, look);
                let (start, end) = text.extent();
                if i > 0 || start < free.0 || end > free.1 {
                    y += line;
                    text.y = y;
                }
                items.push(text.into());
            }
        }
        let height = if items.is_empty() { 0.0 } else { y - top + 4.0 };
        (items, height)
    }

    /// Grid and reference behind the points of one row.
    fn row_ground(&self, layout: &Layout, from: f64, to: f64) -> Vec<Item> {
        let vertical = |x: f64, stroke: Stroke| rule((x, from), (x, to), stroke);
        let grid = layout
            .ticks
            .iter()
            .map(|t| vertical(layout.x.at(t.value), Stroke::new(Role::Grid, 1.0)));
        let reference = self
            .reference
            .iter()
            .map(|r| vertical(layout.x.clamped(r.value), Stroke::new(Role::Guide, 1.2)));
        grid.chain(reference).collect()
    }

    fn row(&self, row: &DotRow, layout: &Layout, top: f64, height: f64) -> Vec<Item> {
        let look = &layout.look;
        let base = top + height;
        let points = self.points_height(look);
        let middle = if layout.above {
            base - points / 2.0
        } else {
            top + height / 2.0
        };
        // Lines stay clear of a name that stands above its points.
        let lines_top = if layout.above {
            base - points + 2.0
        } else {
            top
        };
        let mut items = self.row_ground(layout, lines_top, base);
        if layout.above {
            for (i, line) in self.label_lines(row, layout).into_iter().enumerate() {
                let y = top + look.body + 6.0 + i as f64 * look.line_height();
                items.push(TextMark::new(look.edge, y, look.body, line).haloed().into());
            }
        } else {
            let label = TextMark::new(look.edge, middle, look.body, row.label.clone());
            items.push(label.centred().into());
        }
        let n = self.series.len() as f64;
        let mut any = false;
        for (i, (series, value)) in self.series.iter().zip(&row.dots).enumerate() {
            let Some(value) = value else { continue };
            let known_look = KnownLook {
                scale: &layout.x,
                along: Along::Horizontal,
                across: middle + (i as f64 - (n - 1.0) / 2.0) * look.point * 3.0,
                style: &series.style,
                point: look.point,
                small: look.small,
                bar: None,
                doubtful: false,
            };
            let tip = row.tips.get(i).map_or("", String::as_str);
            if let Some((item, _)) = known(*value, tip, &known_look) {
                items.push(item);
                any = true;
            }
        }
        if !any && !row.note.is_empty() {
            let x = f64::midpoint(layout.left, layout.right);
            let note = TextMark::new(x, middle, look.small, row.note.as_str());
            let note = note
                .anchored(Anchor::Middle)
                .coloured(Role::Muted)
                .centred()
                .haloed();
            items.push(note.into());
        }
        items
    }
}

/// Moves a text so that it does not leave the figure.
fn keep_inside(text: &mut TextMark, look: &Look) {
    let (left, right) = text.extent();
    if right > look.right() {
        text.x -= right - look.right();
    } else if left < look.edge {
        text.x += look.edge - left;
    }
}
