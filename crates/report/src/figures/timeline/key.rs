//! The key: every sign that the figure uses, with its words.

use super::Drawing;
use super::glyphs::{self, hatched};
use super::sheet::{single, single_more};
use answers::timeline::{Cell, Family, PlanState};
use answers::unequal::Alike;
use chart::marks::{Point, rule};
use chart::{Item, RichText, Role, Stroke, TextMark};
use text::t;
use trial::describe::kind_name;

const SIZE: f64 = 12.0;
const LINE: f64 = 20.0;

/// One sign with its words.
struct Entry {
    draw: Box<dyn Fn(Point) -> Vec<Item>>,
    words: String,
}

/// The key from `top` on, between `left` and `right`, and where it ends.
pub(super) fn draw(drawing: &Drawing, left: f64, right: f64, top: f64) -> (Vec<Item>, f64) {
    let mut items = Vec::new();
    let (mut x, mut y) = (left, top + LINE / 2.0);
    for entry in entries(drawing) {
        let words = RichText::from(entry.words.as_str());
        let room = right - left - 20.0;
        let lines = words.wrap(SIZE, room, 2);
        let widest = lines.iter().map(|l| l.width(SIZE)).fold(0.0, f64::max);
        if x > left && x + 20.0 + widest > right {
            (x, y) = (left, y + LINE);
        }
        items.extend((entry.draw)((x + 7.0, y)));
        for (i, line) in lines.into_iter().enumerate() {
            if i > 0 {
                y += SIZE * 1.3;
            }
            let text = TextMark::new(x + 20.0, y, SIZE, line);
            items.push(text.coloured(Role::Muted).centred().into());
        }
        x += 20.0 + widest + 18.0;
    }
    (items, y + LINE / 2.0)
}

fn entries(drawing: &Drawing) -> Vec<Entry> {
    let timeline = drawing.timeline;
    let cells = || timeline.lanes.iter().flat_map(|l| &l.cells);
    let mut all = Vec::new();
    let mut add = |draw: Box<dyn Fn(Point) -> Vec<Item>>, words: &str| {
        let words = words.to_owned();
        all.push(Entry { draw, words });
    };
    for family in Family::ALL {
        // Everyday kinds first, as they are looked for.
        for kind in family.kinds().iter().rev() {
            let shows = |c: &Cell| c.kinds.iter().any(|k| k.kind == *kind);
            if cells().any(shows) {
                add(Box::new(move |at| vec![single(kind, at)]), kind_name(kind));
            }
        }
    }
    if cells().any(|c| c.n > 1) {
        add(Box::new(sizes), t!("timeline.key_size"));
    }
    if cells().any(|c| c.kinds.len() > 1) {
        add(Box::new(single_more), t!("timeline.key_more"));
    }
    let plans = || timeline.lanes.iter().flat_map(|l| &l.plans);
    for (state, words) in [
        (PlanState::Done, t!("timeline.key_done")),
        (PlanState::Ahead, t!("timeline.key_ahead")),
        (PlanState::Overdue, t!("timeline.key_overdue")),
        (PlanState::Dropped, t!("timeline.key_dropped")),
        (PlanState::Missed, t!("timeline.key_missed")),
    ] {
        if plans().any(|p| p.state == state) {
            add(
                Box::new(move |at| glyphs::plan(state, at, Role::Ink)),
                words,
            );
        }
    }
    if plans().any(|p| p.planned_slot.is_some()) {
        add(Box::new(late), t!("timeline.key_late"));
    }
    let unlike = |alike: Alike| timeline.unlike.iter().any(|u| u.alike == alike);
    if unlike(Alike::WithinArm) {
        add(Box::new(within), t!("timeline.key_within"));
    }
    if unlike(Alike::BetweenArms) {
        let draw = |at| glyphs::unlike(at, false);
        add(Box::new(draw), t!("timeline.key_between"));
    }
    all
}

fn sizes((x, y): Point) -> Vec<Item> {
    let one = |at: Point, size| glyphs::glyph("change", at, size, Role::Ink).into();
    vec![one((x - 4.0, y), 2.6), one((x + 4.0, y), 5.0)]
}

fn within((x, y): Point) -> Vec<Item> {
    let mut items = hatched(&[(x - 7.0, y - 7.0, 14.0, 14.0)]);
    items.extend(glyphs::unlike((x, y), true));
    items
}

/// The line from the planned day to the day it was done.
fn late((x, y): Point) -> Vec<Item> {
    let dots = Stroke::new(Role::Ink, 1.3).dashed(&[2.0, 2.0]);
    vec![rule((x - 7.0, y), (x + 7.0, y), dots)]
}
