//! The wide layout: time to the right, a lane of thin rows per tank.

use super::glyphs::{self, Signs, hatched, rules};
use super::sheet::{Sheet, pane};
use super::{Drawing, fine, key};
use answers::timeline::{Cell, Family, Lane, Unit};
use answers::unequal::Alike;
use chart::marks::{Point, bar, rule, sample};
use chart::{Anchor, Group, Item, RichText, Role, Stroke, TextMark};
use text::t;
use trial::describe::phase_name;
use trial::types::PhaseKind;

/// Room for the names of rows.
const GUTTER: f64 = 128.0;
const ROW: f64 = 18.0;
const HEAD: f64 = 24.0;
const SMALL: f64 = 12.0;
const BAND: f64 = 22.0;
/// Most counts written into one figure.
const NUMBERS: usize = 160;

/// A figure being laid out.
struct Across<'a> {
    drawing: &'a Drawing<'a>,
    fine: bool,
    /// Whether counts are written beside marks: not where they would be too many.
    numbered: bool,
    right: f64,
    slot: f64,
    back: Vec<Item>,
    front: Vec<Item>,
}

/// All items and the height.
pub(super) fn draw(drawing: &Drawing, width: f64) -> (Vec<Item>, f64) {
    let count = drawing.timeline.slots.len().max(1) as f64;
    let right = width - 6.0;
    let mut across = Across {
        drawing,
        fine: fine(drawing.timeline),
        numbered: drawing.timeline.lanes.iter().map(several).sum::<usize>() <= NUMBERS,
        right,
        slot: (right - GUTTER) / count,
        back: Vec::new(),
        front: Vec::new(),
    };
    let top = across.phases(0.0);
    let lanes_top = across.unlike_rows(top + 24.0);
    across.axis_labels(top + 15.0);
    let mut y = lanes_top;
    for (i, lane) in drawing.timeline.lanes.iter().enumerate() {
        y = across.lane(i, lane, y);
    }
    across.grid(top + 20.0, y);
    across.now(top + 20.0, y);
    across.columns(top, y);
    let (key, end) = key::draw(drawing, 0.0, right, y + 12.0);
    let mut items = across.back;
    items.extend(across.front);
    items.extend(key);
    (items, end + 4.0)
}

impl Across<'_> {
    fn x(&self, slots: f64) -> f64 {
        GUTTER + slots * self.slot
    }

    fn middle(&self, slot: usize) -> f64 {
        self.x(slot as f64 + 0.5)
    }

    /// The phases as named bands.
    fn phases(&mut self, top: f64) -> f64 {
        let mut drawn = false;
        for phase in &self.drawing.timeline.phases {
            let (a, b) = (self.drawing.place(phase.from), self.drawing.place(phase.to));
            let (a, b) = (self.x(a), self.x(b));
            if b - a < 1.0 {
                continue;
            }
            drawn = true;
            let shade = match phase.kind {
                PhaseKind::Treatment | PhaseKind::AfterSwitch => Role::Kept,
                _ => Role::Panel,
            };
            self.back
                .push(bar((a, top), (b - 1.0, top + BAND - 2.0), shade).into());
            let edge = Stroke::new(Role::Guide, 1.5);
            if !phase.began_before {
                self.back.push(rule((a, top), (a, top + BAND - 2.0), edge));
            }
            let name =
                RichText::default().strong(super::super::readings::capital(phase_name(phase.kind)));
            let name = name.ellipsis(SMALL, b - a - 12.0);
            let text = TextMark::new(a + 7.0, top + BAND / 2.0 - 1.0, SMALL, name);
            if b - a > 30.0 {
                self.front.push(text.centred().into());
            }
        }
        if drawn { top + BAND } else { top }
    }

    fn row_name(&mut self, words: &str, middle: f64) {
        let text = TextMark::new(GUTTER - 10.0, middle, SMALL, words);
        let text = text.anchored(Anchor::End).coloured(Role::Muted);
        self.front.push(text.centred().into());
    }

    /// The rows that say where treatment was unlike.
    fn unlike_rows(&mut self, top: f64) -> f64 {
        let mut y = top;
        for (alike, words) in [
            (Alike::WithinArm, t!("timeline.short_within")),
            (Alike::BetweenArms, t!("timeline.short_between")),
        ] {
            let of = |u: &&answers::timeline::Unlike| u.alike == alike;
            let marks: Vec<_> = self.drawing.timeline.unlike.iter().filter(of).collect();
            if marks.is_empty() {
                continue;
            }
            let middle = y + ROW / 2.0;
            self.row_name(words, middle);
            let mut signs = Signs::default();
            let mut last = None;
            for mark in marks {
                if last == Some(mark.first) {
                    continue;
                }
                last = Some(mark.first);
                let (a, b) = (self.x(mark.first as f64), self.x(mark.last as f64 + 1.0));
                if mark.last > mark.first {
                    signs.bracket((a + 3.0, b - 3.0), middle);
                }
                signs.add((f64::midpoint(a, b), middle), alike == Alike::WithinArm);
            }
            self.front.extend(signs.items());
            y += ROW + 1.0;
        }
        y
    }

    /// One lane: its head, its rows, what stands in them.
    fn lane(&mut self, index: usize, lane: &Lane, top: f64) -> f64 {
        let rows = self.rows(lane);
        let edge = Stroke::new(Role::Grid, 1.0);
        self.back
            .push(rule((0.0, top + 2.0), (self.right, top + 2.0), edge));
        self.head(index, lane, top + 2.0 + HEAD / 2.0);
        let first = top + HEAD;
        let foot = first + rows.len() as f64 * ROW;
        if let Some(style) = self.drawing.styles[index] {
            let line =
                chart::marks::line(&[(GUTTER - 4.0, first), (GUTTER - 4.0, foot)], &style, 2.0);
            self.front.push(line);
        }
        let middle = |row: Row| {
            let at = rows.iter().position(|r| *r == row);
            at.map(|at| first + (at as f64 + 0.5) * ROW)
        };
        let middles: Vec<f64> = rows.iter().filter_map(|r| middle(*r)).collect();
        for (row, y) in rows.iter().zip(&middles) {
            self.row_name(row.name(), *y);
        }
        let length = self.right - GUTTER;
        let faint = Stroke::new(Role::Grid, 1.0).dashed(&[1.0, 3.0]);
        let lines = middles.iter().map(|y| ((GUTTER, *y), (length, 0.0)));
        self.back.push(rules(lines, faint));
        self.hatching(lane, &middle);
        let mut sheet = Sheet::new(self.drawing.role(index));
        for cell in &lane.cells {
            let Some(y) = middle(Row::Acts(cell.family)) else {
                continue;
            };
            self.cell(&mut sheet, lane, cell, (self.middle(cell.slot), y));
        }
        for plan in &lane.plans {
            let Some(y) = middle(Row::Plans) else {
                continue;
            };
            self.plan(&mut sheet, plan, y);
        }
        self.front.extend(sheet.items());
        foot + 4.0
    }

    fn rows(&self, lane: &Lane) -> Vec<Row> {
        let shown = |f: &&Family| lane.tank.is_some() || lane.cells.iter().any(|c| c.family == **f);
        let families = self.drawing.families.iter().filter(shown);
        let mut rows: Vec<Row> = families.map(|f| Row::Acts(*f)).collect();
        if self.drawing.plans && lane.tank.is_some() {
            rows.push(Row::Plans);
        }
        rows
    }

    fn head(&mut self, index: usize, lane: &Lane, middle: f64) {
        let mut x = 0.0;
        if let Some(style) = self.drawing.styles[index] {
            self.front.push(sample(0.0, middle, 26.0, &style));
            x = 34.0;
        }
        let name = RichText::default().strong(lane.name.as_str());
        let name = match &lane.arm {
            Some(arm) => name.plain(format!("  {arm}")),
            None => name,
        };
        let text = TextMark::new(x, middle, 13.0, name);
        self.front.push(text.centred().into());
    }

    /// Hatching behind what was not alike inside an arm.
    fn hatching(&mut self, lane: &Lane, middle: &dyn Fn(Row) -> Option<f64>) {
        let Some(tank) = lane.tank else { return };
        let mut rects = Vec::new();
        for unlike in self.drawing.timeline.unlike.iter() {
            let Some(y) = middle(Row::Acts(unlike.family)).filter(|_| unlike.tanks.contains(&tank))
            else {
                continue;
            };
            let (a, b) = (
                self.x(unlike.first as f64),
                self.x(unlike.last as f64 + 1.0),
            );
            rects.push((a + 0.5, y - ROW / 2.0 + 1.0, b - a - 1.0, ROW - 2.0));
        }
        self.back.extend(hatched(&rects));
    }

    fn cell(&mut self, sheet: &mut Sheet, lane: &Lane, cell: &Cell, at: Point) {
        let link = self.fine.then(|| {
            let href = match cell.entry {
                Some(entry) => (self.drawing.ways.entry)(entry),
                None => self.drawing.closer(cell.slot),
            };
            (href, format!("{}, {}", lane.name, cell.words))
        });
        let numbered = self.numbered && counts_one_kind(cell) && self.slot >= 27.0;
        let at = if numbered { (at.0 - 5.0, at.1) } else { at };
        let width = if numbered { 12.0 } else { self.slot };
        sheet.cell(cell, at, width, link);
        if numbered {
            let number = TextMark::new(at.0 + 7.5, at.1, 11.0, cell.n.to_string());
            let number = number.coloured(Role::Ink).centred();
            self.front.push(number.into());
        }
    }

    fn plan(&mut self, sheet: &mut Sheet, plan: &answers::timeline::PlanMark, y: f64) {
        let at = (self.middle(plan.slot), y);
        if let Some(planned) = plan.planned_slot {
            let from = (self.middle(planned), y);
            let dots = Stroke::new(Role::Ink, 1.3).dashed(&[2.0, 2.0]);
            self.front.push(rule(from, at, dots));
            let asked = glyphs::plan(answers::timeline::PlanState::Ahead, from, Role::Ink);
            self.front.push(Group::new(asked).into());
        }
        let href = self.fine.then(|| match plan.entry {
            Some(entry) => (self.drawing.ways.entry)(entry),
            None => "#plans".to_owned(),
        });
        sheet.plan(plan, at, href);
    }

    fn axis_labels(&mut self, base: f64) {
        let mut free = f64::NEG_INFINITY;
        for (slot, label) in labels(self.drawing) {
            let wide = self.drawing.timeline.unit == Unit::SixHours;
            let x = if wide {
                self.x(slot as f64 + 2.0)
            } else {
                self.x(slot as f64) + 3.0
            };
            let text = TextMark::new(x, base, SMALL, label.as_str()).coloured(Role::Muted);
            let text = if wide {
                text.anchored(Anchor::Middle)
            } else {
                text
            };
            let (left, right) = text.extent();
            if left >= free && right <= self.right + 2.0 {
                free = right + 8.0;
                self.front.push(text.into());
            }
        }
    }

    fn grid(&mut self, top: f64, foot: f64) {
        let line = Stroke::new(Role::Grid, 1.0);
        let labelled = labels(self.drawing).into_iter();
        let at = labelled.map(|(slot, _)| self.x(slot as f64));
        let lines = at.chain([self.right]);
        let lines = lines.map(|x| ((x, top - 16.0), (0.0, foot - top + 16.0)));
        self.back.insert(0, rules(lines, line));
    }

    /// Where today ends, when the window goes on.
    fn now(&mut self, top: f64, foot: f64) {
        if let Some(place) = self.drawing.now() {
            let x = self.x(place);
            let line = Stroke::new(Role::Guide, 1.5).dashed(&[5.0, 3.0]);
            self.front.push(rule((x, top - 16.0), (x, foot), line));
        }
    }

    /// Where marks are many, each stretch is one link over the whole height.
    fn columns(&mut self, top: f64, foot: f64) {
        if self.fine {
            return;
        }
        for slot in 0..self.drawing.timeline.slots.len() {
            let x = self.x(slot as f64);
            let group = Group::new(vec![pane((x, top, self.slot, foot - top))]);
            let group = group.with_tip(self.drawing.tip(slot));
            self.front
                .push(group.leading_to(self.drawing.closer(slot)).into());
        }
    }
}

/// Whether a number beside a cell's mark says all of it.
fn counts_one_kind(cell: &Cell) -> bool {
    cell.n > 1 && cell.kinds.len() == 1
}

fn several(lane: &Lane) -> usize {
    lane.cells.iter().filter(|c| counts_one_kind(c)).count()
}

/// A row of a lane.
#[derive(Clone, Copy, PartialEq)]
enum Row {
    Acts(Family),
    Plans,
}

impl Row {
    fn name(self) -> &'static str {
        match self {
            Row::Acts(family) => family.name(),
            Row::Plans => t!("timeline.row_planned"),
        }
    }
}

/// The stretches that are named on the axis.
fn labels(drawing: &Drawing) -> Vec<(usize, String)> {
    let timeline = drawing.timeline;
    let first_of_year = |day: jiff::civil::Date, slot: usize| slot == 0 || day.month() == 1;
    let label = |(i, slot): (usize, &answers::timeline::Slot)| -> Option<(usize, String)> {
        let day = slot.from.date();
        let last = slot.to.date().yesterday().unwrap_or(day);
        let words = match timeline.unit {
            Unit::Hour => {
                (slot.from.hour() % 3 == 0).then(|| slot.from.strftime("%-H:00").to_string())
            }
            Unit::SixHours => {
                (slot.from.hour() == 0).then(|| day.strftime("%a %-d %b").to_string())
            }
            Unit::Day => {
                let monday = day.weekday() == jiff::civil::Weekday::Monday;
                (i == 0 || monday).then(|| day.strftime("%-d %b").to_string())
            }
            Unit::Week | Unit::Month => {
                let begins = i == 0 || day.day() == 1 || day.month() != last.month();
                let month = if i == 0 { day } else { last };
                begins.then(|| match first_of_year(month, i) {
                    true => month.strftime("%b %Y").to_string(),
                    false => month.strftime("%b").to_string(),
                })
            }
            Unit::Quarter | Unit::Year => {
                (i == 0 || day.month() == 1).then(|| day.strftime("%Y").to_string())
            }
        };
        words.map(|w| (i, w))
    };
    timeline
        .slots
        .iter()
        .enumerate()
        .filter_map(label)
        .collect()
}
