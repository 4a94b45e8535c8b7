//! Horizontal bars with intervals, in groups.

use super::parts::{Look, heading, key};
use super::{About, Known, SeriesName};
use crate::axis::{BottomAxis, LeftAxis};
use crate::marks::{Along, IntervalPlace, bar, dot, interval, rule};
use crate::scale::{Scale, extent};
use crate::scene::{Anchor, Group, Item, Paint, Scene, Stroke, TextMark};
use crate::series::SeriesStyle;
use crate::text::RichText;
use crate::theme::Role;

/// Bars from zero, grouped in rows, with one bar per series.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Bars {
    /// Title and description.
    pub about: About,
    /// The series, in the order of [`BarRow::bars`].
    pub series: Vec<SeriesName>,
    /// The rows, from the top.
    pub rows: Vec<BarRow>,
    /// Lowest and highest value; from the data, with zero, if `None`.
    pub domain: Option<(f64, f64)>,
    /// What is written under the axis: the quantity and its unit.
    pub axis_words: String,
}

/// One group of bars.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BarRow {
    /// Its name.
    pub label: RichText,
    /// One per series; `None` where there is no value.
    pub bars: Vec<Option<Bar>>,
}

/// One bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// The bar ends at `mid`; without one, only the interval is drawn.
    pub value: Known,
    /// Written at its end, such as "2.1 g"; may be empty.
    pub words: String,
}

struct Layout {
    look: Look,
    x: Scale,
    left: f64,
    right: f64,
    above: bool,
    thick: f64,
}

impl Bars {
    /// Draws the bars `width` px wide.
    #[must_use]
    pub fn scene(&self, width: f64) -> Scene {
        let look = Look::new(width);
        let (mut items, y) = heading(&self.about, &look);
        let names = if self.series.len() > 1 {
            &self.series[..]
        } else {
            &[]
        };
        let (drawn, top) = key(names, &look, y);
        items.extend(drawn);
        let layout = self.layout(look);
        let height = self.row_height(&layout);
        let base = top + height * self.rows.len() as f64;
        let (axis, below) = self.axis(&layout, top, base);
        items.extend(axis);
        for (i, row) in self.rows.iter().enumerate() {
            items.extend(self.row(row, &layout, top + i as f64 * height));
        }
        let zero = layout.x.clamped(0.0);
        items.push(rule(
            (zero, top),
            (zero, base),
            Stroke::new(Role::Muted, 1.0),
        ));
        Scene {
            width: look.width,
            height: below + 8.0,
            title: self.about.title.clone(),
            description: self.about.description.clone(),
            items,
        }
    }

    fn bars(&self) -> impl Iterator<Item = &Bar> {
        self.rows.iter().flat_map(|r| r.bars.iter().flatten())
    }

    fn scale(&self, range: (f64, f64)) -> Scale {
        if let Some(domain) = self.domain {
            return Scale::linear(domain, range);
        }
        let values = self.bars().flat_map(|b| b.value.values()).chain([0.0]);
        Scale::linear(extent(values).unwrap_or((0.0, 1.0)), range).nice(5)
    }

    fn layout(&self, look: Look) -> Layout {
        let widest = self
            .rows
            .iter()
            .map(|r| r.label.width(look.body))
            .fold(0.0, f64::max);
        let above = widest > (look.width - 2.0 * look.edge) * 0.32;
        let words = self
            .bars()
            .map(|b| RichText::from(b.words.as_str()).width(look.small));
        let words = words.fold(0.0, f64::max);
        let left = look.edge + if above { 0.0 } else { widest + 14.0 };
        let right = look.right() - if words > 0.0 { words + 10.0 } else { 0.0 };
        let x = self.scale((left + 8.0, right - 8.0));
        let thick = if self.series.len() > 1 { 13.0 } else { 16.0 };
        Layout {
            look,
            x,
            left,
            right,
            above,
            thick,
        }
    }

    fn row_height(&self, layout: &Layout) -> f64 {
        let bars = self.series.len().max(1) as f64 * (layout.thick + 3.0) + 13.0;
        bars + if layout.above {
            layout.look.line_height()
        } else {
            0.0
        }
    }

    fn axis(&self, layout: &Layout, top: f64, base: f64) -> (Vec<Item>, f64) {
        let look = &layout.look;
        let wide = LeftAxis::label_width(&layout.x.ticks(5), look.small);
        let (from, to) = layout.x.range();
        let ticks = layout.x.ticks(look.tick_count(to - from, wide).min(8));
        let axis = BottomAxis {
            scale: &layout.x,
            ticks: &ticks,
            top,
            base,
            size: look.small,
        };
        let mut items = axis.grid();
        items.extend(axis.labels());
        let mut below = base + axis.height();
        if !self.axis_words.is_empty() {
            let words = RichText::from(self.axis_words.as_str());
            let words = words.ellipsis(look.small, look.right() - look.edge);
            let text = TextMark::new(layout.x.range().0, below + look.small, look.small, words);
            items.push(text.coloured(Role::Muted).into());
            below += look.small + 4.0;
        }
        (items, below)
    }

    fn row(&self, row: &BarRow, layout: &Layout, top: f64) -> Vec<Item> {
        let look = &layout.look;
        let height = self.row_height(layout);
        let mut items: Vec<Item> = Vec::new();
        let mut y = top + 6.5;
        if layout.above {
            let label = row.label.ellipsis(look.body, look.right() - look.edge);
            let label = TextMark::new(look.edge + 8.0, y + look.body - 1.0, look.body, label);
            items.push(label.haloed().into());
            y += look.line_height();
        } else {
            let label = TextMark::new(
                layout.left - 8.0,
                top + height / 2.0,
                look.body,
                row.label.clone(),
            );
            items.push(label.anchored(Anchor::End).centred().into());
        }
        for (series, value) in self.series.iter().zip(&row.bars) {
            if let Some(value) = value {
                items.push(one_bar(value, &series.style, layout, y + 1.5));
            } else {
                let x = layout.x.clamped(0.0) + 7.0;
                let text = TextMark::new(x, y + 1.5 + layout.thick / 2.0, look.small, "\u{2013}");
                items.push(text.coloured(Role::Muted).centred().haloed().into());
            }
            y += layout.thick + 3.0;
        }
        items
    }
}

/// A bar with its interval, its point and its words.
fn one_bar(value: &Bar, style: &SeriesStyle, layout: &Layout, top: f64) -> Item {
    let (x, look) = (&layout.x, &layout.look);
    let middle = top + layout.thick / 2.0;
    let finite = |v: Option<f64>| v.filter(|v| v.is_finite()).map(|v| x.clamped(v));
    let mut items = Vec::new();
    let mut end = x.clamped(0.0);
    if let Some(mid) = finite(value.value.mid) {
        let tint = Paint::faint(Role::Series(style.id), 0.5);
        let corners = ((x.clamped(0.0), top), (mid, top + layout.thick));
        // The tint is see-through: without this the grid would show in the bar.
        items.push(bar(corners.0, corners.1, Role::Surface).into());
        items.push(bar(corners.0, corners.1, tint).into());
        end = end.max(mid);
    }
    let place = IntervalPlace {
        along: Along::Horizontal,
        across: middle,
        low: finite(value.value.low),
        high: finite(value.value.high),
        edges: x.range(),
    };
    if !value.value.is_bare() {
        items.extend(interval(&place, Role::Ink, 1.2));
        end = end.max(place.ends().map_or(end, |(a, b)| a.max(b)));
    }
    if let Some(mid) = finite(value.value.mid) {
        items.push(dot((mid, middle), style, look.point).into());
        end = end.max(mid + look.point);
    }
    if !value.words.is_empty() {
        let at = (end + 7.0).min(layout.right + 8.0);
        let text = TextMark::new(at, middle, look.small, value.words.as_str());
        items.push(text.centred().haloed().into());
    }
    let group = Group::new(items);
    if value.words.is_empty() {
        group
    } else {
        group.with_tip(value.words.clone())
    }
    .into()
}
