//! The timeline: lanes of glyphs from left to right on a desk, columns of them downwards on a phone.
//!
//! What was done is filled and planned things are outlined; kinds are told apart by shape, tanks by
//! their lane and its style, unlike treatment by hatching and signs. Nothing hangs on colour.

mod across;
mod down;
mod glyphs;
mod key;
mod shapes;
mod sheet;

pub use glyphs::sign;

use answers::timeline::{Family, Lane, Span, Timeline, count_words, slot_words};
use chart::{Role, Scene, SeriesStyle};
use jiff::civil::Date;
use std::collections::BTreeMap;
use text::t;
use trial::{Bench, EntryId};

/// Narrower figures run downwards.
const NARROW: f64 = 600.0;
/// Up to so many marks each is a link of its own.
const FINE: usize = 160;

/// Where marks lead to.
pub struct Ways<'a> {
    /// To an entry.
    pub entry: &'a dyn Fn(EntryId) -> String,
    /// To another span.
    pub span: &'a dyn Fn(Span, Date) -> String,
    /// To the list of the span's entries, where nothing is closer.
    pub list: &'a str,
}

/// Whether each mark of a wide figure is a link of its own.
pub fn fine(timeline: &Timeline) -> bool {
    let marks = timeline.lanes.iter().map(|l| l.cells.len() + l.plans.len());
    marks.sum::<usize>() <= FINE
}

/// The figure, `width` px wide.
pub fn timeline(timeline: &Timeline, bench: &Bench, ways: &Ways, width: f64) -> Scene {
    let drawing = Drawing::of(timeline, bench, ways);
    let (items, height) = if width < NARROW {
        down::draw(&drawing, width)
    } else {
        across::draw(&drawing, width)
    };
    Scene {
        width,
        height,
        title: t!("timeline.figure_title", when = window_words(timeline)),
        description: description(timeline),
        items,
    }
}

/// The span in words: `March 2026`, `2 to 8 March 2026`.
pub fn window_words(timeline: &Timeline) -> String {
    let window = answers::timeline::Slot {
        from: timeline.window.from.to_datetime(Default::default()),
        to: timeline.window.to.to_datetime(Default::default()),
        start: jiff::Timestamp::UNIX_EPOCH,
    };
    slot_words(&window, answers::timeline::Unit::Year)
}

/// The families that any lane shows, in the order of rows.
pub fn families(timeline: &Timeline) -> Vec<Family> {
    let shown = |f: &Family| {
        let mut cells = timeline.lanes.iter().flat_map(|l| &l.cells);
        cells.any(|c| c.family == *f) || timeline.unlike.iter().any(|u| u.family == *f)
    };
    Family::ALL.into_iter().filter(shown).collect()
}

/// Whether any lane shows plans.
pub fn has_plans(timeline: &Timeline) -> bool {
    timeline.lanes.iter().any(|l| !l.plans.is_empty())
}

/// Whether the span goes on after today, so that a dashed rule says where that ends.
pub fn goes_on(timeline: &Timeline) -> bool {
    let tomorrow = timeline.as_of.tomorrow().unwrap_or(timeline.as_of);
    timeline.window.from <= timeline.as_of && tomorrow < timeline.window.to
}

/// What both layouts draw from.
struct Drawing<'a> {
    timeline: &'a Timeline,
    ways: &'a Ways<'a>,
    families: Vec<Family>,
    plans: bool,
    /// The style of each lane; none for the whole trial's.
    styles: Vec<Option<SeriesStyle>>,
}

impl<'a> Drawing<'a> {
    fn of(timeline: &'a Timeline, bench: &Bench, ways: &'a Ways<'a>) -> Self {
        let style = |l: &Lane| l.tank.map(|id| super::style_of(bench, id));
        Self {
            timeline,
            ways,
            families: families(timeline),
            plans: has_plans(timeline),
            styles: timeline.lanes.iter().map(style).collect(),
        }
    }

    /// The colour of a lane's marks.
    fn role(&self, lane: usize) -> Role {
        let style = self.styles.get(lane).copied().flatten();
        style.map_or(Role::Ink, |s| Role::Series(s.id))
    }

    /// Where today ends, counted in stretches, when the span goes on.
    fn now(&self) -> Option<f64> {
        let tomorrow = self.timeline.as_of.tomorrow().ok()?;
        goes_on(self.timeline).then(|| self.place(tomorrow))
    }

    /// Where a stretch leads.
    fn closer(&self, slot: usize) -> String {
        let closer = self.timeline.closer(slot);
        closer.map_or_else(
            || self.ways.list.to_owned(),
            |(span, day)| (self.ways.span)(span, day),
        )
    }

    /// What lies in a stretch, lane by lane.
    fn tip(&self, slot: usize) -> String {
        let count = |l: &Lane| -> u32 {
            let cells = l.cells.iter().filter(|c| c.slot == slot);
            cells.map(|c| c.n).sum()
        };
        let lanes = self.timeline.lanes.iter();
        let told: Vec<String> = lanes
            .filter(|l| count(l) > 0)
            .map(|l| format!("{} {}", l.name, count(l)))
            .collect();
        let what = if told.is_empty() {
            t!("timeline.column_nothing").to_owned()
        } else {
            told.join(", ")
        };
        let when = slot_words(&self.timeline.slots[slot], self.timeline.unit);
        t!("timeline.column_tip", when = when, what = what)
    }

    /// Where a day begins, counted in stretches; both ends of the figure for days outside it.
    fn place(&self, day: Date) -> f64 {
        let at = chart::days(day);
        let slots = &self.timeline.slots;
        let ends = |i: usize| (chart::days(slots[i].from), chart::days(slots[i].to));
        match slots.iter().position(|s| at < chart::days(s.to)) {
            Some(i) if at > ends(i).0 => {
                let (from, to) = ends(i);
                i as f64 + (at - from) / (to - from)
            }
            Some(i) => i as f64,
            None => slots.len() as f64,
        }
    }
}

/// What is to be seen, in words: how often what, lane by lane.
fn description(timeline: &Timeline) -> String {
    let mut sentences: Vec<String> = timeline.lanes.iter().map(lane_words).collect();
    let within = timeline.unlike.iter().filter(|u| !u.tanks.is_empty());
    let n = within.count();
    if n > 0 {
        sentences.push(t!("timeline.figure_unlike", n = n));
    }
    sentences.join(" ")
}

fn lane_words(lane: &Lane) -> String {
    let mut kinds: BTreeMap<&str, u32> = BTreeMap::new();
    for kind in lane.cells.iter().flat_map(|c| &c.kinds) {
        *kinds.entry(kind.kind).or_default() += kind.n;
    }
    let in_order = trial::Act::KINDS.into_iter();
    let counted = in_order.filter_map(|k| kinds.get(k).map(|n| count_words(k, *n)));
    let mut told: Vec<String> = counted.collect();
    let missed = |p: &&answers::timeline::PlanMark| p.state == answers::timeline::PlanState::Missed;
    let missed = lane.plans.iter().filter(missed).count();
    let planned = lane.plans.len() - missed;
    if planned > 0 {
        told.push(t!("timeline.figure_planned", n = planned));
    }
    if missed > 0 {
        told.push(t!("timeline.figure_missed", n = missed));
    }
    if told.is_empty() {
        told.push(t!("timeline.figure_nothing").to_owned());
    }
    format!("{}: {}.", lane.name, told.join(", "))
}
