//! The narrow layout: time runs downwards, a column per tank, so that it is read by scrolling.

use super::glyphs::{Signs, hatched, rules};
use super::sheet::{PITCH, Sheet, pane};
use super::{Drawing, key};
use answers::timeline::{Family, Lane, Slot, Unit};
use answers::unequal::Alike;
use chart::marks::{Point, bar, rule, sample};
use chart::{Anchor, Group, Item, RichText, Role, Stroke, TextMark};
use jiff::civil::Weekday;
use trial::describe::phase_name;

/// Room for days at the left and for signs at the right.
const LEFT: f64 = 52.0;
const RIGHT: f64 = 16.0;
/// Width of the column of the whole trial, which has little.
const WHOLE: f64 = 18.0;
const SMALL: f64 = 11.5;
const HEAD: f64 = 36.0;
/// Height of one line of glyphs.
const LINE: f64 = 13.0;
/// After so many stretches the heads of the columns are repeated.
const REPEAT: usize = 28;

struct Down<'a> {
    drawing: &'a Drawing<'a>,
    right: f64,
    /// Left edge and width of each lane.
    columns: Vec<(f64, f64)>,
    /// Glyphs in one line of a tank's column.
    per_line: usize,
    /// Top and height of each stretch.
    tops: Vec<(f64, f64)>,
    /// Tops of stretches that are ruled off faintly and clearly.
    edges: [Vec<f64>; 2],
    back: Vec<Item>,
    front: Vec<Item>,
}

/// All items and the height.
pub(super) fn draw(drawing: &Drawing, width: f64) -> (Vec<Item>, f64) {
    let lanes = &drawing.timeline.lanes;
    let whole = lanes.iter().filter(|l| l.tank.is_none()).count() as f64 * WHOLE;
    let tanks = lanes.iter().filter(|l| l.tank.is_some()).count().max(1) as f64;
    let each = (width - LEFT - RIGHT - whole) / tanks;
    let mut x = LEFT;
    let columns = lanes.iter().map(|l| {
        let w = if l.tank.is_some() { each } else { WHOLE };
        x += w;
        (x - w, w)
    });
    let places = drawing.families.len() + usize::from(drawing.plans);
    let per_line = (((each - 4.0) / (PITCH - 0.4)) as usize).clamp(1, places.max(1));
    let mut down = Down {
        drawing,
        right: width - RIGHT,
        columns: columns.collect(),
        per_line,
        tops: Vec::new(),
        edges: [Vec::new(), Vec::new()],
        back: Vec::new(),
        front: Vec::new(),
    };
    let foot = down.rows();
    down.hatching();
    for (i, lane) in lanes.iter().enumerate() {
        down.lane(i, lane);
    }
    down.signs();
    down.now();
    down.links(width);
    let (key, end) = key::draw(drawing, 0.0, width, foot + 12.0);
    let mut items = down.back;
    items.extend(down.front);
    items.extend(key);
    (items, end + 4.0)
}

impl Down<'_> {
    /// Where every stretch begins, with the names of columns, phases and days on the way.
    fn rows(&mut self) -> f64 {
        let timeline = self.drawing.timeline;
        let mut y = 0.0;
        for (i, slot) in timeline.slots.iter().enumerate() {
            let left = timeline.slots.len() - i;
            if i == 0 || (i % REPEAT == 0 && left > REPEAT / 3) {
                y = self.heads(y);
            }
            for phase in &timeline.phases {
                let begins = slot.from.date() <= phase.from && phase.from < slot.to.date();
                let first = i == 0 && phase.began_before;
                let at_once = slot.from.date() == phase.from && slot.from.hour() == 0;
                let whole_days = slot.from.date() < slot.to.date() && slot.from.hour() == 0;
                if first || (begins && whole_days && timeline.unit >= Unit::Day) || at_once {
                    y = self.phase(phase.kind, y);
                }
            }
            self.day(i, slot, y);
            let height = self.height(i);
            self.tops.push((y, height));
            y += height;
        }
        let line = Stroke::new(Role::Grid, 1.0);
        let sides = self.columns.iter().flat_map(|(x, w)| [*x, x + w]);
        let sides = sides.map(|x| ((x, HEAD), (0.0, y - HEAD)));
        self.back.push(rules(sides, line));
        let [faint, clear] = &self.edges;
        for (tops, stroke) in [(faint, line), (clear, Stroke::new(Role::Muted, 0.8))] {
            let across = tops.iter().map(|top| ((0.0, *top), (self.right, 0.0)));
            self.back.push(rules(across, stroke));
        }
        y
    }

    /// A stretch has a line for plans only where there are any.
    fn height(&self, slot: usize) -> f64 {
        let mut plans = self.drawing.timeline.lanes.iter().flat_map(|l| &l.plans);
        let planned = plans.any(|p| p.slot == slot || p.planned_slot == Some(slot));
        let places = self.drawing.families.len() + usize::from(planned);
        let lines = places.max(1).div_ceil(self.per_line) as f64;
        (lines * LINE + 6.0).max(20.0)
    }

    fn heads(&mut self, top: f64) -> f64 {
        for (i, lane) in self.drawing.timeline.lanes.iter().enumerate() {
            let (x, w) = self.columns[i];
            let Some(style) = self.drawing.styles[i] else {
                continue;
            };
            let middle = x + w / 2.0;
            let length = 26.0f64.min(w - 6.0);
            self.front
                .push(sample(middle - length / 2.0, top + 10.0, length, &style));
            let name = RichText::default().strong(lane.name.as_str());
            let name = name.ellipsis(SMALL, w - 2.0);
            let text = TextMark::new(middle, top + 25.0, SMALL, name);
            self.front
                .push(text.anchored(Anchor::Middle).centred().into());
        }
        top + HEAD
    }

    fn phase(&mut self, kind: trial::types::PhaseKind, top: f64) -> f64 {
        let shade = bar((0.0, top), (self.right + RIGHT, top + 20.0), Role::Kept);
        self.back.push(shade.into());
        let name = RichText::default().strong(super::super::readings::capital(phase_name(kind)));
        let text = TextMark::new(6.0, top + 10.0, SMALL, name);
        self.front.push(text.centred().into());
        top + 20.0
    }

    fn day(&mut self, index: usize, slot: &Slot, top: f64) {
        let day = slot.from.date();
        let unit = self.drawing.timeline.unit;
        let words = match unit {
            Unit::Hour => slot.from.strftime("%-H:00").to_string(),
            Unit::SixHours if slot.from.hour() == 0 => day.strftime("%a %-d").to_string(),
            Unit::SixHours => slot.from.strftime("%-H:00").to_string(),
            Unit::Day if index == 0 || day.day() == 1 => day.strftime("%-d %b").to_string(),
            Unit::Day => day.strftime("%a %-d").to_string(),
            Unit::Week => day.strftime("%-d %b").to_string(),
            Unit::Month | Unit::Quarter => day.strftime("%b %y").to_string(),
            Unit::Year => day.strftime("%Y").to_string(),
        };
        let strong = match unit {
            Unit::Hour => slot.from.hour() == 12,
            Unit::SixHours => slot.from.hour() == 0,
            Unit::Day => day.weekday() == Weekday::Monday || day.day() == 1,
            Unit::Week => day.day() <= 7,
            _ => day.month() == 1,
        };
        self.edges[usize::from(strong)].push(top);
        let role = if strong { Role::Ink } else { Role::Muted };
        let text = TextMark::new(0.0, top + 10.0, SMALL, words.as_str());
        self.front.push(text.coloured(role).centred().into());
    }

    /// The middle of a place in a tank's cell: families in their order, plans last.
    fn place(&self, lane: usize, slot: usize, place: usize) -> Point {
        let (x, w) = self.columns[lane];
        let (line, at) = (place / self.per_line, place % self.per_line);
        let pitch = (w - 4.0) / self.per_line as f64;
        let top = self.tops[slot].0 + 3.0;
        (
            x + 2.0 + (at as f64 + 0.5) * pitch,
            top + (line as f64 + 0.5) * LINE,
        )
    }

    fn place_of(&self, family: Family) -> Option<usize> {
        self.drawing.families.iter().position(|f| *f == family)
    }

    fn lane(&mut self, index: usize, lane: &Lane) {
        let mut sheet = Sheet::new(self.drawing.role(index));
        let mut used = None;
        for cell in &lane.cells {
            let at = if lane.tank.is_some() {
                let Some(place) = self.place_of(cell.family) else {
                    continue;
                };
                self.place(index, cell.slot, place)
            } else {
                // The whole trial's column holds one glyph: its first family's.
                if used == Some(cell.slot) {
                    continue;
                }
                used = Some(cell.slot);
                let (x, w) = self.columns[index];
                (x + w / 2.0, self.tops[cell.slot].0 + 3.0 + LINE / 2.0)
            };
            sheet.cell(cell, at, PITCH, None);
        }
        let last = self.drawing.families.len();
        for plan in &lane.plans {
            let at = self.place(index, plan.slot, last);
            if let Some(planned) = plan.planned_slot {
                let from = self.place(index, planned, last);
                let dots = Stroke::new(Role::Ink, 1.3).dashed(&[2.0, 2.0]);
                self.front.push(rule(from, at, dots));
            }
            sheet.plan(plan, at, None);
        }
        self.front.extend(sheet.items());
    }

    /// Hatching behind the places of what was not alike inside an arm.
    fn hatching(&mut self) {
        let timeline = self.drawing.timeline;
        let mut rects = Vec::new();
        for unlike in &timeline.unlike {
            let Some(place) = self.place_of(unlike.family) else {
                continue;
            };
            let lanes = timeline.lanes.iter().enumerate();
            for (i, _) in lanes.filter(|(_, l)| l.tank.is_some_and(|t| unlike.tanks.contains(&t))) {
                let (x, y) = self.place(i, unlike.first, place);
                let (_, foot) = self.place(i, unlike.last, place);
                rects.push((x - 5.2, y - LINE / 2.0, 10.4, foot - y + LINE));
            }
        }
        self.back.extend(hatched(&rects));
    }

    /// The signs of unlike treatment at the right edge.
    fn signs(&mut self) {
        let timeline = self.drawing.timeline;
        let mut signs = Signs::default();
        for (slot, (top, _)) in self.tops.iter().enumerate() {
            let at = (self.right + RIGHT / 2.0 + 1.0, top + 10.0);
            let of = |alike| {
                let mut all = timeline.unlike.iter();
                all.any(|u| u.first == slot && u.alike == alike)
            };
            if of(Alike::WithinArm) {
                signs.add(at, true);
            } else if of(Alike::BetweenArms) {
                signs.add(at, false);
            }
        }
        self.front.extend(signs.items());
    }

    /// Where today ends, when the span goes on.
    fn now(&mut self) {
        let Some(place) = self.drawing.now() else {
            return;
        };
        let slot = (place as usize).min(self.tops.len().saturating_sub(1));
        if let Some((top, height)) = self.tops.get(slot) {
            let y = top + (place - slot as f64) * height;
            let line = Stroke::new(Role::Guide, 1.5).dashed(&[5.0, 3.0]);
            self.front.push(rule((0.0, y), (self.right, y), line));
        }
    }

    /// Each stretch is one link over the whole width.
    fn links(&mut self, width: f64) {
        for (slot, (top, height)) in self.tops.iter().enumerate() {
            let group = Group::new(vec![pane((0.0, *top, width, *height))]);
            let group = group.with_tip(self.drawing.tip(slot));
            self.front
                .push(group.leading_to(self.drawing.closer(slot)).into());
        }
    }
}
