//! The inside of one lane.

use super::{FanPoint, Join, Lane, LanePlace, LaneSeries, Layout};
use crate::axis::LeftAxis;
use crate::labels::spread;
use crate::marks::{Along, Point, band, bar, dot, line, rule, sample, step};
use crate::plots::KeptRange;
use crate::plots::parts::{KnownLook, SAMPLE, known};
use crate::scene::{Anchor, Item, Paint, Stroke, TextMark};
use crate::text::RichText;
use crate::theme::Role;

impl Layout<'_> {
    pub(super) fn lane(&self, place: &LanePlace) -> Vec<Item> {
        let lane = &place.lane;
        let mut items = Vec::new();
        if let Some(kept) = &lane.kept {
            let (a, b) = (place.y.clamped(kept.low), place.y.clamped(kept.high));
            let ground = bar((self.left, a), (self.right, b), Role::Kept);
            items.push(ground.with_tip(kept.words.clone()).into());
        }
        let axis = LeftAxis {
            scale: &place.y,
            ticks: &place.ticks,
            left: self.left,
            right: self.right,
            size: self.look.small,
        };
        items.extend(axis.items());
        items.extend(self.lane_title(lane, place));
        let shift = self.shift(lane);
        let n = lane.series.len() as f64;
        let mut last_points = Vec::new();
        for series in &lane.series {
            items.extend(self.fan(series, place));
        }
        for (i, series) in lane.series.iter().enumerate() {
            let offset = (i as f64 - (n - 1.0) / 2.0) * shift;
            let (drawn, last) = self.series(series, place, offset);
            items.extend(drawn);
            last_points.push(last);
        }
        if self.beside && lane.series.len() > 1 {
            items.extend(self.names_beside(lane, place, &last_points));
        }
        items
    }

    fn lane_title(&self, lane: &Lane, place: &LanePlace) -> Vec<Item> {
        let size = self.look.body;
        let y = place.top - 12.0;
        let mut x = self.look.edge;
        let mut items = Vec::new();
        let mut words = lane.title.clone();
        if let [only] = lane.series.as_slice() {
            items.push(sample(x, y - size * 0.36, SAMPLE, &only.style));
            x += SAMPLE + 7.0;
            if only.name.to_plain() != lane.title.to_plain() && !only.name.is_empty() {
                words = words.plain("\u{a0} ");
                words.runs.extend(only.name.runs.iter().cloned());
            }
        }
        let words = words.ellipsis(size, self.look.right() - x);
        let after = x + words.width(size) + size * 0.5;
        items.push(TextMark::new(x, y, size, words).haloed().into());
        let unit = TextMark::new(after, y, self.look.small, lane.unit.as_str());
        let free_from = unit.extent().1 + 10.0;
        if !lane.unit.is_empty() {
            items.push(unit.coloured(Role::Muted).haloed().into());
        }
        if let Some(kept) = lane.kept.as_ref().filter(|k| !k.words.is_empty()) {
            items.extend(self.kept_words(kept, y, free_from));
        }
        items
    }

    /// What the tint means, at the right end of the title's line: a swatch and its words.
    fn kept_words(&self, kept: &KeptRange, y: f64, free_from: f64) -> Vec<Item> {
        let size = self.look.small;
        let words = RichText::from(kept.words.as_str());
        let words = words.ellipsis(size, self.right - free_from - 34.0);
        let text = TextMark::new(self.right, y, size, words)
            .anchored(Anchor::End)
            .coloured(Role::Muted)
            .haloed();
        let left = text.extent().0 - 20.0;
        let swatch = bar((left, y - size * 0.8), (left + 14.0, y + 1.0), Role::Kept);
        let swatch = swatch.with_stroke(Stroke::new(Role::Grid, 1.0));
        vec![swatch.into(), text.into()]
    }

    /// Distance in px between the points of two series on the same day.
    fn shift(&self, lane: &Lane) -> f64 {
        let n = lane.series.len();
        if n < 2 || lane.series.iter().all(|s| s.observations.is_empty()) {
            return 0.0;
        }

        (lane.nearest(&self.x) * 0.6 / n as f64).min(self.look.point * 2.2)
    }

    fn fan(&self, series: &LaneSeries, place: &LanePlace) -> Vec<Item> {
        if series.fan.is_empty() {
            return Vec::new();
        }
        let at = |p: &FanPoint, v: f64| (self.x.at(p.at), place.y.clamped(v));
        let shown = || series.fan.iter().filter(|p| self.shows(p.at));
        let edges: Vec<(f64, f64, f64)> = shown()
            .map(|p| (self.x.at(p.at), at(p, p.low).1, at(p, p.high).1))
            .collect();
        let middle: Vec<Point> = shown().map(|p| at(p, p.mid)).collect();
        let tint = Paint::faint(Role::Series(series.style.id), 0.16);
        vec![band(&edges, tint), line(&middle, &series.style, 1.8)]
    }

    /// The observations, and where the last of the series stands.
    fn series(
        &self,
        series: &LaneSeries,
        place: &LanePlace,
        offset: f64,
    ) -> (Vec<Item>, Option<Point>) {
        let thick = self.thickness(&place.lane);
        let mut marks = Vec::new();
        let mut points = Vec::new();
        let mut last = None;
        for o in series.observations.iter().filter(|o| self.shows(o.at)) {
            let across = self.x.at(o.at) + offset;
            let look = KnownLook {
                scale: &place.y,
                along: Along::Vertical,
                across,
                style: &series.style,
                point: self.look.point,
                small: self.look.small,
                bar: Some(thick),
                doubtful: o.doubtful,
            };
            let Some((item, point)) = known(o.value, &o.tip, &look) else {
                continue;
            };
            marks.push(item);
            if o.value.mid.is_none() {
                marks.extend(self.foot_mark(series, place, across));
            }
            if !o.doubtful {
                last = Some(point);
                // An interval has no value to lead a line to: it parts the line.
                let gap = (f64::NAN, f64::NAN);
                points.push(o.value.mid.map_or(gap, |_| point));
            }
        }
        let joined = match series.join {
            Join::None => None,
            Join::Line => Some(line(&points, &series.style, 1.4)),
            Join::Step => Some(step(&points, &series.style, 1.4)),
        };
        let joined = joined.filter(|_| points.iter().any(|p| p.0.is_finite()));
        let fan_end = series.fan.iter().rfind(|p| self.shows(p.at));
        let fan_end = fan_end.map(|p| (self.x.at(p.at), place.y.clamped(p.mid)));
        let last = match (last, fan_end) {
            (Some(a), Some(b)) => Some(if b.0 > a.0 { b } else { a }),
            (a, b) => a.or(b),
        };
        (joined.into_iter().chain(marks).collect(), last)
    }

    /// How thick the bars of a lane are, px.
    fn thickness(&self, lane: &Lane) -> f64 {
        let room = match self.shift(lane) {
            shift if shift > 0.0 => shift * 0.62,
            _ => lane.nearest(&self.x) * 0.4,
        };
        room.clamp(1.6, 6.0)
    }

    /// Whose bar it is, under the lane, where it cannot pass for a value.
    fn foot_mark(&self, series: &LaneSeries, place: &LanePlace, across: f64) -> Option<Item> {
        let foot = place.lane.foot();
        let r = (self.shift(&place.lane) * 0.42).clamp(1.8, 3.2);
        (foot > 0.0).then(|| dot((across, place.base + foot / 2.0 + 1.0), &series.style, r).into())
    }

    fn names_beside(&self, lane: &Lane, place: &LanePlace, last: &[Option<Point>]) -> Vec<Item> {
        let gap = self.look.line_height();
        let middle = f64::midpoint(place.top, place.base);
        let wanted: Vec<f64> = last.iter().map(|p| p.map_or(middle, |p| p.1)).collect();
        let placed = spread(&wanted, gap, place.top, place.base);
        let x = self.right + 22.0;
        let mut items = Vec::new();
        for ((series, y), point) in lane.series.iter().zip(placed).zip(last) {
            if let Some(point) = point {
                let colour = Paint::faint(Role::Series(series.style.id), 0.7);
                let from = (point.0 + self.look.point + 2.0, point.1);
                items.push(rule(from, (x - 7.0, y), Stroke::new(colour, 0.75)));
            }
            items.push(dot((x, y), &series.style, self.look.point).into());
            let name = series
                .name
                .ellipsis(self.look.body, self.look.width - x - 10.0);
            items.push(
                TextMark::new(x + 9.0, y, self.look.body, name)
                    .centred()
                    .into(),
            );
        }
        items
    }
}
