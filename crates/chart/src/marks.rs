//! From places in px to items: lines, steps, bands, intervals, points, bars, flows, rules.

use crate::scene::{Group, Item, Mark, Paint, Seg, Shape, Stroke};
use crate::series::{Marker, SeriesStyle};
use crate::theme::Role;

/// A point in px.
pub type Point = (f64, f64);

fn finite(p: &Point) -> bool {
    p.0.is_finite() && p.1.is_finite()
}

fn series_stroke(style: &SeriesStyle, width: f64) -> Stroke {
    Stroke::new(Role::Series(style.id), width)
        .dashed(style.dash)
        .rounded()
}

/// A polyline through the points; a point that is not finite leaves a gap.
#[must_use]
pub fn line(points: &[Point], style: &SeriesStyle, width: f64) -> Item {
    let mut segs = Vec::with_capacity(points.len());
    let mut pen_down = false;
    for p in points {
        if finite(p) {
            segs.push(if pen_down {
                Seg::Line(p.0, p.1)
            } else {
                Seg::Move(p.0, p.1)
            });
        }
        pen_down = finite(p);
    }
    Mark::outlined(Shape::Path(segs), series_stroke(style, width)).into()
}

/// A line that keeps each value until the next point.
#[must_use]
pub fn step(points: &[Point], style: &SeriesStyle, width: f64) -> Item {
    let mut corners = Vec::with_capacity(points.len() * 2);
    for (i, p) in points.iter().enumerate() {
        if i > 0 && finite(&points[i - 1]) && finite(p) {
            corners.push((p.0, points[i - 1].1));
        }
        corners.push(*p);
    }
    line(&corners, style, width)
}

/// The area between two edges, as `(x, one edge, other edge)`; a gap parts it in two.
#[must_use]
pub fn band(edges: &[(f64, f64, f64)], paint: Paint) -> Item {
    let mut segs = Vec::new();
    let whole = |e: &&(f64, f64, f64)| e.0.is_finite() && e.1.is_finite() && e.2.is_finite();
    for part in edges.split(|e| !whole(&e)).filter(|part| part.len() > 1) {
        segs.push(Seg::Move(part[0].0, part[0].1));
        segs.extend(part[1..].iter().map(|e| Seg::Line(e.0, e.1)));
        segs.extend(part.iter().rev().map(|e| Seg::Line(e.0, e.2)));
        segs.push(Seg::Close);
    }
    Mark::filled(Shape::Path(segs), paint).into()
}

/// A point in the style of a series; `r` is half its size in px.
#[must_use]
pub fn dot(at: Point, style: &SeriesStyle, r: f64) -> Mark {
    marker(at, style.marker, Role::Series(style.id), r)
}

/// A point of any shape and colour, with a thin rim in the surface colour.
#[must_use]
pub fn marker((x, y): Point, shape: Marker, role: Role, r: f64) -> Mark {
    let rim = Stroke::new(Role::Surface, 1.0);
    let hollow = Stroke::new(role, (r * 0.42).max(1.4));
    let square = |half: f64| Shape::Rect {
        x: x - half,
        y: y - half,
        w: half * 2.0,
        h: half * 2.0,
        r: 0.5,
    };
    let polygon = |points: &[Point]| {
        let mut segs: Vec<Seg> = points
            .iter()
            .map(|p| Seg::Line(x + p.0 * r, y + p.1 * r))
            .collect();
        if let Some(Seg::Line(px, py)) = segs.first().copied() {
            segs[0] = Seg::Move(px, py);
        }
        segs.push(Seg::Close);
        Shape::Path(segs)
    };
    // Shapes are scaled so that they look equally heavy.
    match shape {
        Marker::Disc => Mark::filled(Shape::Circle { x, y, r }, role).with_stroke(rim),
        Marker::Square => Mark::filled(square(r * 0.88), role).with_stroke(rim),
        Marker::TriangleUp => {
            Mark::filled(polygon(&[(0.0, -1.15), (1.1, 0.8), (-1.1, 0.8)]), role).with_stroke(rim)
        }
        Marker::TriangleDown => {
            Mark::filled(polygon(&[(0.0, 1.15), (1.1, -0.8), (-1.1, -0.8)]), role).with_stroke(rim)
        }
        Marker::Diamond => Mark::filled(
            polygon(&[(0.0, -1.25), (1.25, 0.0), (0.0, 1.25), (-1.25, 0.0)]),
            role,
        )
        .with_stroke(rim),
        Marker::Ring => {
            Mark::filled(Shape::Circle { x, y, r: r * 0.85 }, Role::Surface).with_stroke(hollow)
        }
        Marker::HollowSquare => Mark::filled(square(r * 0.76), Role::Surface).with_stroke(hollow),
        Marker::Plus => {
            let thick = 0.34;
            let cross = [
                (-thick, -1.15),
                (thick, -1.15),
                (thick, -thick),
                (1.15, -thick),
                (1.15, thick),
                (thick, thick),
                (thick, 1.15),
                (-thick, 1.15),
                (-thick, thick),
                (-1.15, thick),
                (-1.15, -thick),
                (-thick, -thick),
            ];
            Mark::filled(polygon(&cross), role).with_stroke(rim)
        }
    }
}

/// Whether an interval runs along x or along y.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Along {
    /// Along x.
    Horizontal,
    /// Along y.
    Vertical,
}

impl Along {
    /// The point at `along` on the interval's own direction and `across` on the other.
    fn point(self, along: f64, across: f64) -> Point {
        match self {
            Self::Horizontal => (along, across),
            Self::Vertical => (across, along),
        }
    }
}

/// An interval in px. An end that is `None` is open: not bounded by the observation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IntervalPlace {
    /// Direction.
    pub along: Along,
    /// Place on the other axis.
    pub across: f64,
    /// Place of the low value.
    pub low: Option<f64>,
    /// Place of the high value.
    pub high: Option<f64>,
    /// The edges of the plot in the interval's direction: at the low and at the high values.
    pub edges: (f64, f64),
}

/// How far an open end is drawn, in px, if the plot's edge is not nearer.
const OPEN_REACH: f64 = 26.0;

impl IntervalPlace {
    /// Both ends as drawn; `None` when both are open or nothing is finite.
    #[must_use]
    pub fn ends(&self) -> Option<(f64, f64)> {
        let up = if self.edges.1 >= self.edges.0 {
            1.0
        } else {
            -1.0
        };
        let reach = |from: f64, edge: f64, way: f64| {
            let room = ((edge - from) * way).max(8.0);
            from + way * OPEN_REACH.min(room)
        };
        let known = |v: Option<f64>| v.filter(|v| v.is_finite());
        match (known(self.low), known(self.high)) {
            (Some(a), Some(b)) => Some((a, b)),
            (Some(a), None) => Some((a, reach(a, self.edges.1, up))),
            (None, Some(b)) => Some((reach(b, self.edges.0, -up), b)),
            (None, None) => None,
        }
    }

    /// Where a point that stands for the interval belongs: the middle, or the known end.
    #[must_use]
    pub fn point(&self) -> Option<Point> {
        let (a, b) = self.ends()?;
        let along = match (self.low, self.high) {
            (Some(_), Some(_)) => f64::midpoint(a, b),
            (Some(_), None) => a,
            _ => b,
        };
        Some(self.along.point(along, self.across))
    }
}

/// An interval: closed ends have caps, an open end runs out in dashes with an arrow head.
#[must_use]
pub fn interval(place: &IntervalPlace, role: Role, width: f64) -> Vec<Item> {
    let Some((a, b)) = place.ends() else {
        return Vec::new();
    };
    let at = |along: f64, off: f64| place.along.point(along, place.across + off);
    let stroke = Stroke::new(role, width);
    let straight = |from: Point, to: Point, stroke: Stroke| -> Item {
        Mark::outlined(Shape::Line { from, to }, stroke).into()
    };
    let cap = width * 0.75 + 2.0;
    let closed = place.low.is_some() && place.high.is_some();
    let mut items = Vec::new();
    let body = if closed {
        stroke
    } else {
        stroke.dashed(&[4.0, 2.0])
    };
    items.push(straight(at(a, 0.0), at(b, 0.0), body));
    for (end, other, known) in [(a, b, place.low.is_some()), (b, a, place.high.is_some())] {
        if known {
            items.push(straight(at(end, -cap), at(end, cap), stroke));
        } else {
            let back = (other - end).signum() * (cap + 1.5);
            let points = [at(end + back, -cap), at(end, 0.0), at(end + back, cap)];
            let segs = vec![
                Seg::Move(points[0].0, points[0].1),
                Seg::Line(points[1].0, points[1].1),
                Seg::Line(points[2].0, points[2].1),
            ];
            items.push(Mark::outlined(Shape::Path(segs), stroke.rounded()).into());
        }
    }
    items
}

/// A bar between two corners with slightly rounded corners.
#[must_use]
pub fn bar(from: Point, to: Point, paint: impl Into<Paint>) -> Mark {
    let (x, y) = (from.0.min(to.0), from.1.min(to.1));
    let (w, h) = ((to.0 - from.0).abs(), (to.1 - from.1).abs());
    Mark::filled(
        Shape::Rect {
            x,
            y,
            w,
            h,
            r: 1.5f64.min(w / 2.0).min(h / 2.0),
        },
        paint,
    )
}

/// A ribbon from the stretch `from` at x `start` to the stretch `to` at x `end`.
#[must_use]
pub fn flow(start: f64, from: (f64, f64), end: f64, to: (f64, f64), paint: Paint) -> Mark {
    let middle = f64::midpoint(start, end);
    let segs = vec![
        Seg::Move(start, from.0),
        Seg::Cubic([(middle, from.0), (middle, to.0), (end, to.0)]),
        Seg::Line(end, to.1),
        Seg::Cubic([(middle, to.1), (middle, from.1), (start, from.1)]),
        Seg::Close,
    ];
    Mark::filled(Shape::Path(segs), paint)
}

/// A straight rule.
#[must_use]
pub fn rule(from: Point, to: Point, stroke: Stroke) -> Item {
    Mark::outlined(Shape::Line { from, to }, stroke).into()
}

/// A straight arrow from `from` to its head at `to`.
#[must_use]
pub fn arrow(from: Point, to: Point, stroke: Stroke) -> Item {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let length = dx.hypot(dy).max(f64::MIN_POSITIVE);
    let (dx, dy) = (dx / length, dy / length);
    let head = stroke.width * 0.75 + 3.0;
    let side = |turn: f64| -> Point {
        let (x, y) = (to.0 - dx * head, to.1 - dy * head);
        (x - dy * head * turn, y + dx * head * turn)
    };
    let (a, b) = (side(1.0), side(-1.0));
    let segs = vec![
        Seg::Move(from.0, from.1),
        Seg::Line(to.0, to.1),
        Seg::Move(a.0, a.1),
        Seg::Line(to.0, to.1),
        Seg::Line(b.0, b.1),
    ];
    Mark::outlined(Shape::Path(segs), stroke.rounded()).into()
}

/// A closed polygon.
#[must_use]
pub fn polygon(points: &[Point], paint: impl Into<Paint>) -> Mark {
    let mut segs: Vec<Seg> = points
        .iter()
        .enumerate()
        .map(|(i, p)| {
            if i == 0 {
                Seg::Move(p.0, p.1)
            } else {
                Seg::Line(p.0, p.1)
            }
        })
        .collect();
    segs.push(Seg::Close);
    Mark::filled(Shape::Path(segs), paint)
}

/// A short sample of a series for a key: its line with its marker, `width` px long.
#[must_use]
pub fn sample(left: f64, middle: f64, width: f64, style: &SeriesStyle) -> Item {
    let stroke = series_stroke(style, 1.8);
    let line = rule((left, middle), (left + width, middle), stroke);
    let point = dot((left + width / 2.0, middle), style, 4.5);
    Group::new(vec![line, point.into()]).into()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(low: Option<f64>, high: Option<f64>) -> IntervalPlace {
        // As on an upward axis: high values have small y.
        IntervalPlace {
            along: Along::Vertical,
            across: 10.0,
            low,
            high,
            edges: (100.0, 0.0),
        }
    }

    #[test]
    fn open_ends_reach_towards_their_side_and_not_past_the_edge() {
        assert_eq!(place(Some(60.0), Some(40.0)).ends(), Some((60.0, 40.0)));
        assert_eq!(place(Some(60.0), None).ends(), Some((60.0, 34.0)));
        assert_eq!(place(None, Some(90.0)).ends(), Some((100.0, 90.0)));
        assert_eq!(place(Some(20.0), None).ends(), Some((20.0, 0.0)));
        assert_eq!(place(None, None).ends(), None);
        assert_eq!(place(Some(f64::NAN), None).ends(), None);
    }

    #[test]
    fn the_point_of_an_interval_is_its_middle_or_its_known_end() {
        assert_eq!(place(Some(60.0), Some(40.0)).point(), Some((10.0, 50.0)));
        assert_eq!(place(Some(60.0), None).point(), Some((10.0, 60.0)));
        assert_eq!(place(None, Some(90.0)).point(), Some((10.0, 90.0)));
    }

    #[test]
    fn gaps_lift_the_pen() {
        let style = SeriesStyle::new(0);
        let Item::Mark(mark) = line(&[(0.0, 0.0), (f64::NAN, 1.0), (2.0, 2.0)], &style, 1.0) else {
            panic!("a line is a mark")
        };
        assert_eq!(
            mark.shape,
            Shape::Path(vec![Seg::Move(0.0, 0.0), Seg::Move(2.0, 2.0)])
        );
    }

    #[test]
    fn steps_turn_at_the_next_point() {
        let style = SeriesStyle::new(0);
        let Item::Mark(mark) = step(&[(0.0, 5.0), (10.0, 1.0)], &style, 1.0) else {
            panic!("a step is a mark")
        };
        let want = vec![
            Seg::Move(0.0, 5.0),
            Seg::Line(10.0, 5.0),
            Seg::Line(10.0, 1.0),
        ];
        assert_eq!(mark.shape, Shape::Path(want));
    }
}
