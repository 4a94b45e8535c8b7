//! What the plots share: sizes, headings, keys and the drawing of a known value.

use super::domain::{Beyond, Holds, inside};
use super::{About, Known, SeriesName};
use crate::axis::BottomAxis;
use crate::marks::{Along, IntervalPlace, Point, arrow, dot, interval, rule, sample};
use crate::num::significant;
use crate::scale::Scale;
use crate::scene::{Group, Item, Mark, Paint, Shape, Stroke, TextMark};
use crate::series::SeriesStyle;
use crate::text::RichText;
use crate::theme::Role;

/// Sizes in px for a width.
#[derive(Debug, Clone, Copy)]
pub(super) struct Look {
    /// Width of the figure.
    pub(super) width: f64,
    /// Little room: labels go above rather than beside.
    pub(super) narrow: bool,
    /// Font size of axis labels.
    pub(super) small: f64,
    /// Font size of names and values.
    pub(super) body: f64,
    /// Font size of the heading.
    pub(super) head: f64,
    /// Free margin at the left and right.
    pub(super) edge: f64,
    /// Half the size of a point.
    pub(super) point: f64,
}

impl Look {
    pub(super) fn new(width: f64) -> Self {
        // Below 240 px nothing can be laid out; above 4000 px scale the scene instead.
        let width = if width.is_finite() {
            width.clamp(240.0, 4000.0)
        } else {
            900.0
        };
        let narrow = width < 560.0;
        if narrow {
            Self {
                width,
                narrow,
                small: 11.0,
                body: 12.0,
                head: 15.0,
                edge: 8.0,
                point: 3.8,
            }
        } else {
            Self {
                width,
                narrow,
                small: 11.5,
                body: 12.5,
                head: 16.0,
                edge: 12.0,
                point: 4.3,
            }
        }
    }

    pub(super) fn right(&self) -> f64 {
        self.width - self.edge
    }

    pub(super) fn line_height(&self) -> f64 {
        (self.body * 1.45).round()
    }

    /// Height of a row of event words.
    pub(super) fn event_row(&self) -> f64 {
        (self.small * 1.5).round()
    }

    /// How many tick labels of `label_width` px find room on `px`.
    pub(super) fn tick_count(&self, px: f64, label_width: f64) -> usize {
        (px / (label_width + self.small * 1.6))
            .floor()
            .clamp(2.0, 12.0) as usize
    }
}

/// Length of a series sample in a key: long enough to show the line pattern.
pub(super) const SAMPLE: f64 = 32.0;

/// The heading, if wanted, and the y below it.
pub(super) fn heading(about: &About, look: &Look) -> (Vec<Item>, f64) {
    let top = 8.0;
    if !about.heading || about.title.is_empty() {
        return (Vec::new(), top);
    }
    let text = RichText::default().strong(about.title.as_str());
    let lines = text.wrap(look.head, look.right() - look.edge, 3);
    let step = (look.head * 1.3).round();
    let items = lines
        .iter()
        .enumerate()
        .map(|(i, line)| {
            let y = top + look.head + i as f64 * step;
            TextMark::new(look.edge, y, look.head, line.clone()).into()
        })
        .collect();
    (items, top + lines.len() as f64 * step + 12.0)
}

/// Names with samples in a row, going on in further rows when needed; and the y below.
pub(super) fn key(names: &[SeriesName], look: &Look, top: f64) -> (Vec<Item>, f64) {
    if names.is_empty() {
        return (Vec::new(), top);
    }
    let gap = 20.0;
    let (mut x, mut y) = (look.edge, top + look.line_height() / 2.0);
    let mut items = Vec::new();
    for entry in names {
        let room = look.right() - look.edge - SAMPLE - 7.0;
        let name = entry.name.ellipsis(look.body, room);
        let width = SAMPLE + 7.0 + name.width(look.body);
        if x > look.edge && x + width > look.right() {
            (x, y) = (look.edge, y + look.line_height());
        }
        items.push(sample(x, y, SAMPLE, &entry.style));
        items.push(
            TextMark::new(x + SAMPLE + 7.0, y, look.body, name)
                .centred()
                .into(),
        );
        x += width + gap;
    }
    (items, y + look.line_height() / 2.0 + 8.0)
}

/// The scale of a figure of rows: the domain asked for, or one that holds the values, rounded.
pub(super) fn fitted(domain: Option<(f64, f64)>, holds: &Holds, range: (f64, f64)) -> Scale {
    match domain {
        Some(domain) => Scale::new(holds.spacing, domain, range),
        None => Scale::new(holds.spacing, holds.domain(), range).nice(5),
    }
}

/// The grid over a bottom axis and the rule it stands on, from `left` to `right`.
pub(super) fn floor(axis: &BottomAxis<'_>, left: f64, right: f64) -> Vec<Item> {
    let mut items = axis.grid();
    let ends = ((left, axis.base), (right, axis.base));
    items.push(rule(ends.0, ends.1, Stroke::new(Role::Muted, 1.0)));
    items
}

/// How a known value is drawn.
#[derive(Debug, Clone, Copy)]
pub(super) struct KnownLook<'a> {
    pub(super) scale: &'a Scale,
    pub(super) along: Along,
    pub(super) across: f64,
    pub(super) style: &'a SeriesStyle,
    pub(super) point: f64,
    /// Font size of words at a value off the scale.
    pub(super) small: f64,
    /// Draw an interval without a best value as a bar so thick, with no point that would look like
    /// the value.
    pub(super) bar: Option<f64>,
    /// Paler and hollow: the value is in doubt.
    pub(super) doubtful: bool,
}

/// A known value as interval and point with one tooltip, and where its point stands. What the scale
/// does not hold is an arrow at its edge.
pub(super) fn known(value: Known, tip: &str, look: &KnownLook<'_>) -> Option<(Item, Point)> {
    let at = |v: f64| look.scale.clamped(v);
    let value = match inside(value, look.scale.domain()) {
        Ok(value) => value,
        Err(side) => return Some(off_scale(value, side, tip, look)),
    };
    let place = IntervalPlace {
        along: look.along,
        across: look.across,
        low: value.low.filter(|v| v.is_finite()).map(at),
        high: value.high.filter(|v| v.is_finite()).map(at),
        edges: look.scale.range(),
    };
    let role = if look.doubtful {
        Role::Muted
    } else {
        Role::Series(look.style.id)
    };
    if let Some(thick) = look.bar.filter(|_| value.mid.is_none()) {
        let point = place.point()?;
        return Some((tipped(interval_bar(&place, role, thick, look), tip), point));
    }
    let mut items = interval(&place, role, 1.6);
    let middle = value
        .mid
        .filter(|v| v.is_finite())
        .map(|v| match look.along {
            Along::Horizontal => (at(v), look.across),
            Along::Vertical => (look.across, at(v)),
        });
    let point = middle.or_else(|| place.point())?;
    // A short interval must not vanish behind its own point.
    let length = match (place.low, place.high) {
        (Some(a), Some(b)) => (b - a).abs(),
        _ => f64::INFINITY,
    };
    let r = (length * 0.28).clamp(look.point * 0.6, look.point);
    let mut mark = dot(point, look.style, r);
    if look.doubtful {
        mark.fill = Some(Paint::from(Role::Surface));
        mark.stroke = Some(Stroke::new(Role::Muted, 1.4).dashed(&[2.0, 1.5]));
    }
    items.push(mark.into());
    Some((tipped(items, tip), point))
}

/// Length of the arrow of a value off the scale, px.
const OFF_SCALE: f64 = 13.0;

/// An arrow at the edge a value lies beyond; on lanes with the value, which nothing else says there.
fn off_scale(value: Known, side: Beyond, tip: &str, look: &KnownLook<'_>) -> (Item, Point) {
    let (low, high) = look.scale.range();
    let (edge, inward) = match side {
        Beyond::Above => (high, (low - high).signum()),
        Beyond::Below => (low, (high - low).signum()),
    };
    let place = |along: f64| match look.along {
        Along::Horizontal => (along, look.across),
        Along::Vertical => (look.across, along),
    };
    let role = if look.doubtful {
        Role::Muted
    } else {
        Role::Series(look.style.id)
    };
    let tail = place(edge + inward * OFF_SCALE);
    let mut items = vec![arrow(tail, place(edge), Stroke::new(role, 1.6))];
    if look.along == Along::Vertical {
        let (x, y) = (look.across + 5.0, edge + inward * OFF_SCALE * 0.5);
        let words = TextMark::new(x, y, look.small, off_scale_words(value));
        items.push(words.coloured(Role::Muted).centred().haloed().into());
    }
    (tipped(items, tip), tail)
}

/// The value in the signs that need no language.
fn off_scale_words(value: Known) -> String {
    let n = |v: f64| significant(v, 3);
    match (value.mid, value.low, value.high) {
        (Some(mid), ..) => n(mid),
        (None, Some(low), Some(high)) => format!("{}\u{2013}{}", n(low), n(high)),
        (None, Some(low), None) => format!("\u{2265}\u{a0}{}", n(low)),
        (None, None, Some(high)) => format!("\u{2264}\u{a0}{}", n(high)),
        (None, None, None) => String::new(),
    }
}

fn tipped(items: Vec<Item>, tip: &str) -> Item {
    let group = Group::new(items);
    if tip.is_empty() {
        group.into()
    } else {
        group.with_tip(tip).into()
    }
}

/// An interval as a bar; one with an open end keeps its arrow. In doubt, it is hollow.
fn interval_bar(place: &IntervalPlace, role: Role, thick: f64, look: &KnownLook<'_>) -> Vec<Item> {
    let (Some(low), Some(high)) = (place.low, place.high) else {
        return interval(place, role, (thick * 0.4).clamp(1.4, 2.2));
    };
    // So short an interval would vanish; it stays within half a px of its ends.
    let half = ((high - low).abs() / 2.0).max(1.0);
    let middle = f64::midpoint(low, high);
    let (a, across) = (middle - half, look.across - thick / 2.0);
    let (x, y, w, h) = match look.along {
        Along::Horizontal => (a, across, 2.0 * half, thick),
        Along::Vertical => (across, a, thick, 2.0 * half),
    };
    // Square corners: the ends are what is known.
    let shape = Shape::Rect { x, y, w, h, r: 0.0 };
    let mark = if look.doubtful {
        let rim = Stroke::new(role, 1.2).dashed(&[2.0, 1.5]);
        Mark::filled(shape, Role::Surface).with_stroke(rim)
    } else {
        Mark::filled(shape, role)
    };
    vec![mark.into()]
}
