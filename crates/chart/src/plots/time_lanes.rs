//! Lanes over one time axis: intervals, lines and fans of several series, with events.

mod below;
mod events;
mod lane;

pub use below::Rug;

use super::domain::{Holds, inside};
use super::parts::{Look, heading, key};
use super::{About, KeptRange, Known, SeriesName};
use crate::axis::LeftAxis;
use crate::scale::{Scale, Spacing, extent};
use crate::scene::Scene;
use crate::series::SeriesStyle;
use crate::text::RichText;
use crate::ticks::{Tick, TimeTicks};

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
    /// Things done often, as rows of ticks between the lanes and the axis.
    pub rugs: Vec<Rug>,
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
    /// Smallest difference between the scale's ends; 0 for none.
    pub least_span: f64,
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
    /// Whether best values are joined. An interval without one is never joined to its neighbours.
    pub join: Join,
    /// What was observed: a bar from end to end, or a point with its interval when there is a best
    /// value.
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
        let (rugs, below) = layout.rugs(base);
        items.extend(rugs);
        let (axis, below) = layout.axis(below);
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
        let name_widths = names.iter().map(|n| n.name.width(look.body) + 34.0);
        let rug_words = self.rugs.iter().map(|r| RichText::from(r.label.as_str()));
        let beside_width = name_widths
            .chain(rug_words.map(|words| words.width(look.small) + 4.0))
            .fold(0.0, f64::max)
            .min(look.width * 0.22 + 34.0);
        let right = look.right() - if beside { beside_width } else { 4.0 };
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
                .chain(self.rugs.iter().flat_map(|r| r.at.iter().copied()))
                .chain(self.events.iter().map(|e| e.at)),
        )
    }
}

impl Lane {
    /// One lane per series on the same scale.
    fn split(&self) -> Vec<Self> {
        let domain = Some(self.scale((0.0, 1.0)).domain());
        let one = |(i, series): (usize, &LaneSeries)| {
            let title = RichText::default().strong(series.name.to_plain());
            let title = title.plain(format!("\u{a0} {}", self.title.to_plain()));
            let series = LaneSeries {
                name: RichText::default(),
                ..series.clone()
            };
            // The words of the tint are said once.
            let kept = self.kept.clone().map(|mut kept| {
                if i > 0 {
                    kept.words.clear();
                }
                kept
            });
            Self {
                title,
                domain,
                kept,
                series: vec![series],
                ..self.clone()
            }
        };
        self.series.iter().enumerate().map(one).collect()
    }

    /// Room under a lane for the marks that tell whose bars stand above them, px: bars of one series
    /// alone need none.
    fn foot(&self) -> f64 {
        let barred = |s: &LaneSeries| s.observations.iter().any(|o| o.value.mid.is_none());
        if self.series.len() > 1 && self.series.iter().any(barred) {
            12.0
        } else {
            0.0
        }
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
        let series = || self.series.iter();
        let observed = series().flat_map(|s| s.observations.iter());
        let fans = series().flat_map(|s| s.fan.iter().flat_map(|p| [p.low, p.high]));
        let kept = self.kept.iter().flat_map(|k| [k.low, k.high]);
        let holds = Holds {
            spacing: self.spacing,
            seen: observed.map(|o| (o.value, o.doubtful)).collect(),
            also: fans.chain(kept).collect(),
            least_span: self.least_span,
            from_zero: true,
            air: true,
        };
        Scale::new(self.spacing, holds.domain(), range)
    }

    /// The observations that lie outside its scale and are drawn as arrows at its edge.
    #[must_use]
    pub fn off_scale(&self) -> usize {
        let domain = self.scale((0.0, 1.0)).domain();
        let observed = self.series.iter().flat_map(|s| s.observations.iter());
        observed
            .filter(|o| inside(o.value, domain).is_err())
            .count()
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
            base = place.base + place.lane.foot();
            place.y = place.lane.scale((place.base, place.top));
            place.ticks = place.y.ticks(if height < 90.0 { 3 } else { 4 });
        }
        base.max(top)
    }

    fn shows(&self, at: f64) -> bool {
        let (a, b) = self.x.domain();
        at >= a - 1e-9 && at <= b + 1e-9
    }
}
