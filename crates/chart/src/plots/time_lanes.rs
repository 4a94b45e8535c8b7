//! Lanes over one time axis: intervals, lines and fans of several series, with events.

use super::parts::{KnownLook, Look, SAMPLE, heading, key, known};
use super::{About, KeptRange, Known, SeriesName};
use crate::axis::{BottomAxis, LeftAxis};
use crate::labels::{Hanging, hang, spread};
use crate::marks::{Along, Point, band, bar, dot, line, rule, sample, step};
use crate::scale::{Scale, Spacing, extent};
use crate::scene::{Anchor, Item, Paint, Scene, Stroke, TextMark};
use crate::series::SeriesStyle;
use crate::text::RichText;
use crate::theme::Role;
use crate::ticks::{Tick, TimeTicks, time};

/// Lanes under each other with one time axis.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TimeLanes {
    /// Title and description.
    pub about: About,
    /// First and last day shown (days since 1970, see [`crate::days`]); from the data if `None`.
    pub span: Option<(f64, f64)>,
    /// What the axis counts in.
    pub counting: TimeTicks,
    /// What is written under the axis, such as "weeks since feeding was split"; may be empty.
    pub axis_words: String,
    /// The lanes, from the top.
    pub lanes: Vec<Lane>,
    /// Things that happened, as rules through all lanes.
    pub events: Vec<Event>,
    /// Stretches of time with a name, above all lanes.
    pub stages: Vec<Stage>,
    /// Height of one lane's plot in px; chosen for the width if `None`.
    pub lane_height: Option<f64>,
}

/// One lane: a quantity on its own vertical scale.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Lane {
    /// What is shown.
    pub title: RichText,
    /// Its unit, written after the title; may be empty.
    pub unit: String,
    /// Spacing of the vertical scale.
    pub spacing: Spacing,
    /// Lowest and highest value of the scale; from the data if `None`.
    pub domain: Option<(f64, f64)>,
    /// Range kept, as a tint.
    pub kept: Option<KeptRange>,
    /// The series.
    pub series: Vec<LaneSeries>,
}

/// One series of a lane.
#[derive(Debug, Clone, PartialEq)]
pub struct LaneSeries {
    /// Its name.
    pub name: RichText,
    /// How it looks.
    pub style: SeriesStyle,
    /// Whether the points of the observations are joined.
    pub join: Join,
    /// What was observed.
    pub observations: Vec<Observation>,
    /// A course with a band, such as a fit or a look ahead; drawn behind the observations.
    pub fan: Vec<FanPoint>,
}

/// How points are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Join {
    /// Not at all.
    #[default]
    None,
    /// By straight lines.
    Line,
    /// By keeping each value until the next.
    Step,
}

/// One observation.
#[derive(Debug, Clone, PartialEq)]
pub struct Observation {
    /// Day (days since 1970).
    pub at: f64,
    /// What is known.
    pub value: Known,
    /// In doubt: drawn pale and hollow, and not joined.
    pub doubtful: bool,
    /// Tooltip; may be empty.
    pub tip: String,
}

/// One point of a course with a band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FanPoint {
    /// Day (days since 1970).
    pub at: f64,
    /// Lower edge of the band.
    pub low: f64,
    /// Middle course.
    pub mid: f64,
    /// Upper edge of the band.
    pub high: f64,
}

/// Something that happened.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// Day (days since 1970).
    pub at: f64,
    /// A few words.
    pub label: String,
    /// Longer words for the tooltip; may be empty.
    pub tip: String,
}

/// A stretch of time with a name.
#[derive(Debug, Clone, PartialEq)]
pub struct Stage {
    /// First day (days since 1970).
    pub from: f64,
    /// Last day.
    pub to: f64,
    /// A few words.
    pub label: String,
    /// Tint the ground of the lanes.
    pub shaded: bool,
}

/// Where things go: worked out once, before drawing.
struct Layout<'a> {
    plot: &'a TimeLanes,
    look: Look,
    x: Scale,
    left: f64,
    right: f64,
    lanes: Vec<LanePlace>,
    /// Names beside the last points rather than in a key.
    beside: bool,
}

struct LanePlace {
    lane: Lane,
    y: Scale,
    ticks: Vec<Tick>,
    top: f64,
    base: f64,
}

/// Events are written at their rules, or numbered and listed below when there is no room.
enum EventWords {
    Written { rows: Vec<usize>, count: usize },
    Numbered { rows: Vec<usize>, count: usize },
}

impl EventWords {
    fn rows(&self) -> (&[usize], usize) {
        match self {
            Self::Written { rows, count } | Self::Numbered { rows, count } => (rows, *count),
        }
    }
}

impl TimeLanes {
    /// Draws the lanes `width` px wide.
    #[must_use]
    pub fn scene(&self, width: f64) -> Scene {
        let look = Look::new(width);
        let (mut items, mut y) = heading(&self.about, &look);
        let names = self.names();
        let lanes = self.drawn_lanes(&look, &names);
        let several = lanes.iter().any(|l| l.series.len() > 1);
        let beside = !look.narrow && several;
        if several && !beside {
            let (drawn, below) = key(&names, &look, y);
            items.extend(drawn);
            y = below;
        }
        let (x, left, right) = self.horizontal(&look, &names, beside);
        let lanes = lanes.into_iter().map(LanePlace::new).collect();
        let mut layout = Layout {
            plot: self,
            look,
            x,
            left,
            right,
            lanes,
            beside,
        };
        let words = layout.event_words();
        let stages_height = if self.stages.is_empty() {
            0.0
        } else {
            look.small * 2.4
        };
        let events_top = y + stages_height;
        let base = layout.place_lanes(events_top + words.rows().1 as f64 * look.event_row());
        items.extend(layout.stages(y, base));
        items.extend(layout.events(&words, events_top, base));
        for place in &layout.lanes {
            items.extend(layout.lane(place));
        }
        let (axis, below) = layout.axis(base);
        items.extend(axis);
        let (list, height) = layout.event_list(&words, below);
        items.extend(list);
        Scene {
            width: look.width,
            height: height + 8.0,
            title: self.about.title.clone(),
            description: self.about.description.clone(),
            items,
        }
    }

    /// The different series, in order of first appearance.
    fn names(&self) -> Vec<SeriesName> {
        let mut names: Vec<SeriesName> = Vec::new();
        for s in self.lanes.iter().flat_map(|l| &l.series) {
            if !names.iter().any(|n| n.name == s.name && n.style == s.style) {
                names.push(SeriesName {
                    name: s.name.clone(),
                    style: s.style,
                });
            }
        }
        names
    }

    /// The lanes as drawn: one that would be too crowded on a phone becomes one per series.
    fn drawn_lanes(&self, look: &Look, names: &[SeriesName]) -> Vec<Lane> {
        let (x, _, _) = self.horizontal(look, names, false);
        self.lanes
            .iter()
            .flat_map(|lane| {
                let room = lane.nearest(&x) / lane.series.len().max(1) as f64;
                if look.narrow && lane.series.len() > 1 && room < look.point * 2.4 {
                    lane.split()
                } else {
                    vec![lane.clone()]
                }
            })
            .collect()
    }

    fn horizontal(&self, look: &Look, names: &[SeriesName], beside: bool) -> (Scale, f64, f64) {
        let axis_width = self
            .lanes
            .iter()
            .map(|lane| LeftAxis::label_width(&lane.scale((1.0, 0.0)).ticks(4), look.small))
            .fold(0.0, f64::max);
        let left = look.edge + axis_width + 10.0;
        let name_width = names
            .iter()
            .map(|n| n.name.width(look.body))
            .fold(0.0, f64::max)
            .min(look.width * 0.22);
        let right = look.right() - if beside { name_width + 34.0 } else { 4.0 };
        // Room for half a point and the shift between series at both ends.
        let pad = if look.narrow { 10.0 } else { 16.0 };
        let span = self.span.or_else(|| self.data_span()).unwrap_or((0.0, 1.0));
        (Scale::linear(span, (left + pad, right - pad)), left, right)
    }

    fn data_span(&self) -> Option<(f64, f64)> {
        let series = || self.lanes.iter().flat_map(|l| &l.series);
        let observed = series().flat_map(|s| s.observations.iter().map(|o| o.at));
        let fans = series().flat_map(|s| s.fan.iter().map(|p| p.at));
        let stages = self.stages.iter().flat_map(|s| [s.from, s.to]);
        extent(
            observed
                .chain(fans)
                .chain(stages)
                .chain(self.events.iter().map(|e| e.at)),
        )
    }
}

impl Lane {
    /// One lane per series on the same scale.
    fn split(&self) -> Vec<Self> {
        let domain = self.scale((0.0, 1.0)).domain();
        let one = |series: &LaneSeries| {
            let mut title = RichText::default()
                .strong(series.name.to_plain())
                .plain("  ");
            title = title.plain(self.title.to_plain());
            let series = LaneSeries {
                name: RichText::default(),
                ..series.clone()
            };
            Self {
                title,
                domain: Some(domain),
                series: vec![series],
                ..self.clone()
            }
        };
        self.series.iter().map(one).collect()
    }

    /// The smallest distance in px between observations on different days.
    fn nearest(&self, x: &Scale) -> f64 {
        let observed = self
            .series
            .iter()
            .flat_map(|s| s.observations.iter().map(|o| o.at));
        let mut places: Vec<f64> = observed.map(|at| x.at(at)).collect();
        places.sort_by(f64::total_cmp);
        let gaps = places.windows(2).map(|w| w[1] - w[0]);
        gaps.filter(|d| *d > 0.5).fold(f64::INFINITY, f64::min)
    }

    fn scale(&self, range: (f64, f64)) -> Scale {
        if let Some(domain) = self.domain {
            return Scale::new(self.spacing, domain, range);
        }
        let observed = self.series.iter().flat_map(|s| s.observations.iter());
        let known = observed.flat_map(|o| o.value.values());
        let fans = self
            .series
            .iter()
            .flat_map(|s| s.fan.iter())
            .flat_map(|p| [p.low, p.high]);
        let kept = self.kept.iter().flat_map(|k| [k.low, k.high]);
        let log = self.spacing == Spacing::Log;
        let values = known.chain(fans).chain(kept).filter(|v| !log || *v > 0.0);
        let (low, high) = extent(values).unwrap_or((0.0, 1.0));
        // Amounts are read from zero unless that would flatten them.
        let from_zero = !log && low >= 0.0 && low < high * 0.5;
        let (low, high) = match (log, from_zero) {
            (true, _) => (low / 1.15, high * 1.15),
            (false, true) => (0.0, high * 1.04),
            (false, false) => (low - (high - low) * 0.06, high + (high - low) * 0.06),
        };
        Scale::new(self.spacing, (low, high), range)
    }
}

impl LanePlace {
    fn new(lane: Lane) -> Self {
        let y = lane.scale((1.0, 0.0));
        Self {
            lane,
            y,
            ticks: Vec::new(),
            top: 0.0,
            base: 0.0,
        }
    }
}

impl Layout<'_> {
    fn place_lanes(&mut self, top: f64) -> f64 {
        let split = self.lanes.len() > self.plot.lanes.len();
        let usual = match (self.look.narrow, split) {
            (true, true) => 62.0,
            (true, false) => 116.0,
            (false, _) => 140.0,
        };
        let height = self.plot.lane_height.unwrap_or(usual).clamp(30.0, 2000.0);
        let mut base = top - 10.0;
        for place in &mut self.lanes {
            place.top = base + 10.0 + self.look.line_height() + 12.0;
            place.base = place.top + height;
            base = place.base;
            place.y = place.lane.scale((base, place.top));
            place.ticks = place.y.ticks(if height < 90.0 { 2 } else { 4 });
        }
        base.max(top)
    }

    fn event_words(&self) -> EventWords {
        let written: Vec<Hanging> = self
            .plot
            .events
            .iter()
            .map(|e| self.hanging(e.at, &e.label))
            .collect();
        let count_of = |rows: &[usize]| rows.iter().max().map_or(0, |r| r + 1);
        let gap = self.look.small * 0.7;
        if let Some(rows) = hang(&written, gap, if self.look.narrow { 3 } else { 4 }) {
            let count = count_of(&rows);
            return EventWords::Written { rows, count };
        }
        let numbered: Vec<Hanging> = self
            .plot
            .events
            .iter()
            .enumerate()
            .map(|(i, e)| self.hanging(e.at, &(i + 1).to_string()))
            .collect();
        // Numbers are small: as many rows as events always suffice.
        let rows = hang(&numbered, 3.0, self.plot.events.len()).unwrap_or_default();
        let count = count_of(&rows);
        EventWords::Numbered { rows, count }
    }

    /// Words start at their rule; they end at it when the right edge is too near.
    fn hanging(&self, at: f64, words: &str) -> Hanging {
        let line = self.x.clamped(at);
        let width = RichText::from(words).width(self.look.small);
        let gap = 4.0;
        if line + gap + width <= self.look.right() {
            Hanging {
                line,
                left: line + gap,
                right: line + gap + width,
            }
        } else {
            Hanging {
                line,
                left: line - gap - width,
                right: line - gap,
            }
        }
    }

    fn shows(&self, at: f64) -> bool {
        let (a, b) = self.x.domain();
        at >= a - 1e-9 && at <= b + 1e-9
    }

    fn events(&self, words: &EventWords, top: f64, base: f64) -> Vec<Item> {
        let (rows, _) = words.rows();
        let size = self.look.small;
        let mut items = Vec::new();
        for (i, (event, row)) in self.plot.events.iter().zip(rows).enumerate() {
            if !self.shows(event.at) {
                continue;
            }
            let label = match words {
                EventWords::Written { .. } => event.label.clone(),
                EventWords::Numbered { .. } => (i + 1).to_string(),
            };
            let place = self.hanging(event.at, &label);
            let y = top + *row as f64 * self.look.event_row();
            let stroke = Stroke::new(Paint::faint(Role::Accent, 0.55), 1.0);
            let tip = if event.tip.is_empty() {
                &event.label
            } else {
                &event.tip
            };
            let mut line = rule((place.line, y + 1.0), (place.line, base), stroke);
            if let Item::Mark(mark) = &mut line {
                mark.tip = Some(tip.clone());
            }
            items.push(line);
            let text = TextMark::new(place.left, y + size, size, label).coloured(Role::Accent);
            items.push(text.into());
        }
        items
    }

    fn event_list(&self, words: &EventWords, top: f64) -> (Vec<Item>, f64) {
        if matches!(words, EventWords::Written { .. }) {
            return (Vec::new(), top);
        }
        let size = self.look.small;
        let columns = if self.look.narrow { 1 } else { 2 };
        let width = (self.look.right() - self.look.edge) / columns as f64;
        let count = self.plot.events.len().div_ceil(columns);
        let step = (size * 1.55).round();
        let top = top + 10.0;
        let items = self.plot.events.iter().enumerate().flat_map(|(i, event)| {
            let x = self.look.edge + (i / count) as f64 * width;
            let y = top + size + (i % count) as f64 * step;
            let words = RichText::from(event.label.as_str()).ellipsis(size, width - 34.0);
            let number = RichText::default().strong((i + 1).to_string());
            [
                TextMark::new(x + 14.0, y, size, number)
                    .anchored(Anchor::End)
                    .into(),
                TextMark::new(x + 22.0, y, size, words)
                    .coloured(Role::Muted)
                    .into(),
            ]
        });
        (items.collect(), top + count as f64 * step)
    }

    fn stages(&self, top: f64, base: f64) -> Vec<Item> {
        let size = self.look.small;
        let line_y = top + size * 1.6;
        let mut items = Vec::new();
        for stage in &self.plot.stages {
            let (a, b) = (self.x.clamped(stage.from), self.x.clamped(stage.to));
            if stage.shaded {
                items.push(bar((a, line_y), (b, base), Role::Panel).into());
            }
            let stroke = Stroke::new(Role::Muted, 1.5);
            let ends = ((a + 1.5, line_y), (b - 1.5, line_y));
            if let Item::Mark(mark) = rule(ends.0, ends.1, stroke) {
                items.push(mark.with_tip(stage.label.clone()).into());
            }
            let words = RichText::from(stage.label.as_str());
            let shown = words.ellipsis(size, b - a - 2.0);
            if shown.to_plain() != "…" {
                let text = TextMark::new(f64::midpoint(a, b), line_y - 5.0, size, shown);
                items.push(text.anchored(Anchor::Middle).coloured(Role::Muted).into());
            }
        }
        items
    }

    fn lane(&self, place: &LanePlace) -> Vec<Item> {
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
                words = words.plain("  ");
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
        if let Some(kept) = &lane.kept {
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

    /// The observations, and where the last point of the series stands.
    fn series(
        &self,
        series: &LaneSeries,
        place: &LanePlace,
        offset: f64,
    ) -> (Vec<Item>, Option<Point>) {
        let mut marks = Vec::new();
        let mut points = Vec::new();
        for o in series.observations.iter().filter(|o| self.shows(o.at)) {
            let across = self.x.at(o.at) + offset;
            let look = KnownLook {
                scale: &place.y,
                along: Along::Vertical,
                across,
                style: &series.style,
                point: self.look.point,
                doubtful: o.doubtful,
            };
            if let Some((item, point)) = known(o.value, &o.tip, &look) {
                marks.push(item);
                if !o.doubtful {
                    points.push(point);
                }
            }
        }
        let joined = match series.join {
            Join::None => None,
            Join::Line => Some(line(&points, &series.style, 1.4)),
            Join::Step => Some(step(&points, &series.style, 1.4)),
        };
        let fan_end = series.fan.iter().rfind(|p| self.shows(p.at));
        let fan_end = fan_end.map(|p| (self.x.at(p.at), place.y.clamped(p.mid)));
        let last = points.last().copied();
        let last = match (last, fan_end) {
            (Some(a), Some(b)) => Some(if b.0 > a.0 { b } else { a }),
            (a, b) => a.or(b),
        };
        (joined.into_iter().chain(marks).collect(), last)
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

    fn axis(&self, base: f64) -> (Vec<Item>, f64) {
        let label = match self.plot.counting {
            TimeTicks::Calendar => "30 May",
            _ => "100",
        };
        let (a, b) = self.x.range();
        let wide = RichText::from(label).width(self.look.small);
        let ticks = time(
            self.x.domain(),
            self.look.tick_count(b - a, wide),
            self.plot.counting,
        );
        let axis = BottomAxis {
            scale: &self.x,
            ticks: &ticks,
            top: base,
            base: base + 4.0,
            size: self.look.small,
        };
        let mut items = vec![rule(
            (self.left, base + 4.0),
            (self.right, base + 4.0),
            Stroke::new(Role::Muted, 1.0),
        )];
        items.extend(axis.grid());
        items.extend(axis.labels());
        let mut below = base + 4.0 + axis.height();
        if !self.plot.axis_words.is_empty() {
            let size = self.look.small;
            let text = RichText::from(self.plot.axis_words.as_str())
                .ellipsis(size, self.look.right() - self.look.edge);
            let middle = f64::midpoint(self.left, self.right);
            let text = TextMark::new(middle, below + size + 3.0, size, text);
            items.push(text.anchored(Anchor::Middle).coloured(Role::Muted).into());
            below += size + 7.0;
        }
        (items, below)
    }
}
