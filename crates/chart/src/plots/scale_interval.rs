//! A small horizontal scale with the range kept as a tint and one interval per series.

use super::domain::Holds;
use super::parts::{KnownLook, Look, fitted, floor, heading, known};
use super::{About, KeptRange, Known, SeriesName};
use crate::axis::{BottomAxis, LeftAxis};
use crate::marks::{Along, bar, dot};
use crate::scale::{Scale, Spacing};
use crate::scene::{Anchor, Item, Scene, TextMark};
use crate::text::RichText;
use crate::theme::Role;

/// One scale, one interval per row.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ScaleInterval {
    /// Title and description.
    pub about: About,
    /// Range kept, as a neutral tint with words.
    pub kept: Option<KeptRange>,
    /// The intervals, from the top.
    pub rows: Vec<ScaleRow>,
    /// Spacing of the scale.
    pub spacing: Spacing,
    /// Lowest and highest value; from the data if `None`.
    pub domain: Option<(f64, f64)>,
    /// Smallest difference between the scale's ends; 0 for none.
    pub least_span: f64,
    /// What is written under the axis: the quantity and its unit.
    pub axis_words: String,
}

/// One interval.
#[derive(Debug, Clone, PartialEq)]
pub struct ScaleRow {
    /// Whose it is and how that looks.
    pub series: SeriesName,
    /// What is known; `None` where there is nothing.
    pub value: Option<Known>,
    /// The value in words, such as "6 to 12" or "at least 3".
    pub words: String,
}

struct Layout {
    look: Look,
    x: Scale,
    left: f64,
    right: f64,
    row_height: f64,
}

impl ScaleInterval {
    /// Draws the scale `width` px wide.
    #[must_use]
    pub fn scene(&self, width: f64) -> Scene {
        let look = Look::new(width);
        let (mut items, mut y) = heading(&self.about, &look);
        let layout = self.layout(look);
        if self.kept.is_some() {
            y += look.small * 1.5;
        }
        let base = y + self.rows.len() as f64 * layout.row_height + 4.0;
        let (ground, below) = self.ground(&layout, y, base);
        items.extend(ground);
        for (i, row) in self.rows.iter().enumerate() {
            items.extend(self.row(row, &layout, y + 2.0 + i as f64 * layout.row_height));
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
        let kept = self.kept.iter().flat_map(|k| [k.low, k.high]);
        let seen = self.rows.iter().filter_map(|r| Some((r.value?, false)));
        let holds = Holds {
            spacing: self.spacing,
            seen: seen.collect(),
            also: kept.collect(),
            least_span: self.least_span,
            from_zero: true,
            air: false,
        };
        fitted(self.domain, &holds, range)
    }

    fn layout(&self, look: Look) -> Layout {
        let widest = |f: fn(&ScaleRow, &Look) -> f64| {
            self.rows.iter().map(|r| f(r, &look)).fold(0.0, f64::max)
        };
        let names = widest(|r, l| r.series.name.width(l.body)).min(look.width * 0.3) + 18.0;
        let words = widest(|r, l| RichText::from(r.words.as_str()).width(l.body));
        let words = words.min(look.width * 0.3);
        let left = look.edge + names + 12.0;
        let right = look.right() - if words > 0.0 { words + 14.0 } else { 0.0 };
        let x = self.scale((left + 8.0, right - 8.0));
        Layout {
            look,
            x,
            left,
            right,
            row_height: look.line_height() + 8.0,
        }
    }

    /// The tint, the grid and the axis; and the y below.
    fn ground(&self, layout: &Layout, top: f64, base: f64) -> (Vec<Item>, f64) {
        let look = &layout.look;
        let mut items = Vec::new();
        if let Some(kept) = &self.kept {
            let (a, b) = (layout.x.clamped(kept.low), layout.x.clamped(kept.high));
            let tint = bar((a, top - look.small * 1.5 - 2.0), (b, base), Role::Kept);
            items.push(tint.with_tip(kept.words.clone()).into());
            let y = top - 4.0;
            let text = TextMark::new(f64::midpoint(a, b), y, look.small, kept.words.as_str());
            let mut text = text.anchored(Anchor::Middle).coloured(Role::Muted);
            let (start, end) = text.extent();
            text.x += (layout.left - start).max(0.0) - (end - look.right()).max(0.0);
            items.push(text.into());
        }
        let wide = LeftAxis::label_width(&layout.x.ticks(5), look.small);
        let (from, to) = layout.x.range();
        let ticks = layout.x.ticks(look.tick_count(to - from, wide).min(7));
        let axis = BottomAxis {
            scale: &layout.x,
            ticks: &ticks,
            top: base,
            base,
            size: look.small,
        };
        items.extend(floor(&axis, layout.left, layout.right));
        items.extend(axis.labels());
        let mut below = base + axis.height();
        if !self.axis_words.is_empty() {
            let words = RichText::from(self.axis_words.as_str());
            let words = words.ellipsis(look.small, look.right() - layout.left);
            let text = TextMark::new(layout.left, below + look.small, look.small, words);
            items.push(text.coloured(Role::Muted).into());
            below += look.small + 4.0;
        }
        (items, below)
    }

    fn row(&self, row: &ScaleRow, layout: &Layout, top: f64) -> Vec<Item> {
        let look = &layout.look;
        let y = top + layout.row_height / 2.0;
        let name_x = look.edge + 18.0;
        let name = row
            .series
            .name
            .ellipsis(look.body, layout.left - name_x - 8.0);
        let mut items: Vec<Item> = vec![
            dot((look.edge + 6.0, y), &row.series.style, look.point).into(),
            TextMark::new(name_x, y, look.body, name).centred().into(),
        ];
        if let Some(value) = row.value {
            let known_look = KnownLook {
                scale: &layout.x,
                along: Along::Horizontal,
                across: y,
                style: &row.series.style,
                point: look.point,
                small: look.small,
                bar: Some(6.0),
                doubtful: false,
            };
            items.extend(known(value, &row.words, &known_look).map(|(item, _)| item));
        }
        if !row.words.is_empty() {
            let words = RichText::from(row.words.as_str());
            let words = words.ellipsis(look.body, look.right() - layout.right);
            let text = TextMark::new(look.right(), y, look.body, words).anchored(Anchor::End);
            items.push(text.centred().into());
        }
        items
    }
}
