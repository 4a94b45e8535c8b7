//! Signs: glyphs of kinds, of plans and of unlike treatment.

use super::shapes::{FLAG, outline};
use answers::timeline::PlanState;
use chart::marks::Point;
use chart::{Item, Mark, Role, Seg, Shape, Stroke};

/// Adds the outline of a kind around a point to a path, so that one path draws many glyphs.
pub(super) fn trace(path: &mut Vec<Seg>, kind: &str, at: Point, size: f64) {
    trace_points(path, outline(kind), at, size);
}

/// Half a px is all that an eye sees; short numbers keep the page light.
fn trace_points(path: &mut Vec<Seg>, points: &[Point], (x, y): Point, size: f64) {
    let round = |v: f64| (v * 2.0).round() / 2.0;
    let mut last = (0.0, 0.0);
    for (i, (dx, dy)) in points.iter().enumerate() {
        let at = (round(x + dx * size), round(y + dy * size));
        path.push(match i {
            0 => Seg::Move(at.0, at.1),
            _ => Seg::By(at.0 - last.0, at.1 - last.1),
        });
        last = at;
    }
    path.push(Seg::Close);
}

/// One glyph of a kind.
pub(super) fn glyph(kind: &str, at: Point, size: f64, role: Role) -> Mark {
    let mut path = Vec::new();
    trace(&mut path, kind, at, size);
    Mark::filled(Shape::Path(path), role)
}

/// The outline of a kind's glyph in a square of 14 px, as SVG path data, for use beside words.
pub fn sign(kind: &str) -> String {
    let corner = |(x, y): &Point| format!("{:.1} {:.1}", 7.0 + x * 5.0, 7.0 + y * 5.0);
    let corners: Vec<String> = outline(kind).iter().map(corner).collect();
    format!("M{}Z", corners.join("L"))
}

/// Half the size of plan marks.
const PLAN: f64 = 4.8;

/// Planned things, collected so that few paths draw them all: filled when done, outlined otherwise.
#[derive(Default)]
pub(super) struct PlanMarks {
    done: Vec<Seg>,
    open: Vec<Seg>,
    strokes: Vec<Seg>,
    rings: Vec<Point>,
}

impl PlanMarks {
    pub(super) fn add(&mut self, state: PlanState, at: Point) {
        let flag = |path: &mut Vec<Seg>| trace_points(path, FLAG, at, PLAN);
        match state {
            PlanState::Done => flag(&mut self.done),
            PlanState::Ahead => flag(&mut self.open),
            PlanState::Overdue => {
                flag(&mut self.open);
                self.stroke(at, (0.75, 0.25), (0.75, 0.8));
                self.stroke(at, (0.75, 1.25), (0.75, 1.3));
            }
            PlanState::Dropped => {
                flag(&mut self.open);
                self.stroke(at, (-1.2, 0.9), (1.2, -1.0));
            }
            PlanState::Missed => {
                self.rings.push(at);
                self.stroke(at, (-0.62, -0.62), (0.62, 0.62));
                self.stroke(at, (-0.62, 0.62), (0.62, -0.62));
            }
        }
    }

    fn stroke(&mut self, (x, y): Point, a: Point, b: Point) {
        self.strokes.push(Seg::Move(x + a.0 * PLAN, y + a.1 * PLAN));
        let (dx, dy) = ((b.0 - a.0) * PLAN, (b.1 - a.1) * PLAN);
        self.strokes.push(Seg::By(dx, dy));
    }

    pub(super) fn items(self, role: Role) -> Vec<Item> {
        let edge = Stroke::new(role, 1.3);
        let mut items: Vec<Item> = Vec::new();
        let mut add = |path: Vec<Seg>, fill: Option<Role>, stroke: Stroke| {
            if !path.is_empty() {
                let mark = Mark::outlined(Shape::Path(path), stroke);
                let fill = fill.map(Into::into);
                items.push(Mark { fill, ..mark }.into());
            }
        };
        add(self.done, Some(role), edge);
        add(self.open, Some(Role::Surface), edge);
        for (x, y) in self.rings {
            let shape = Shape::Circle { x, y, r: PLAN };
            items.push(Mark::filled(shape, Role::Surface).with_stroke(edge).into());
        }
        if !self.strokes.is_empty() {
            let thick = Stroke::new(Role::Ink, 1.5).rounded();
            items.push(Mark::outlined(Shape::Path(self.strokes), thick).into());
        }
        items
    }
}

/// One planned thing.
pub(super) fn plan(state: PlanState, at: Point, role: Role) -> Vec<Item> {
    let mut marks = PlanMarks::default();
    marks.add(state, at);
    marks.items(role)
}

/// Signs of unlike treatment, in a box when it is inside an arm.
#[derive(Default)]
pub(super) struct Signs {
    boxes: Vec<Seg>,
    strokes: Vec<Seg>,
}

impl Signs {
    pub(super) fn add(&mut self, (x, y): Point, boxed: bool) {
        if boxed {
            let (left, top) = (x - 5.0, y - 5.5);
            self.boxes.push(Seg::Move(left, top));
            for (dx, dy) in [(10.0, 0.0), (0.0, 11.0), (-10.0, 0.0)] {
                self.boxes.push(Seg::By(dx, dy));
            }
            self.boxes.push(Seg::Close);
        }
        self.line((x - 3.0, y - 1.5), (6.0, 0.0));
        self.line((x - 3.0, y + 1.5), (6.0, 0.0));
        self.line((x - 1.7, y + 3.6), (3.4, -7.2));
    }

    /// A bracket along a day of several stretches, open where the sign stands.
    pub(super) fn bracket(&mut self, (from, to): (f64, f64), y: f64) {
        let middle = f64::midpoint(from, to);
        for (end, inwards) in [(from, 1.0), (to, -1.0)] {
            self.line((end, y - 3.0), (0.0, 6.0));
            let length = ((middle - end).abs() - 9.0).max(0.0);
            self.line((end, y), (inwards * length, 0.0));
        }
    }

    fn line(&mut self, from: Point, by: Point) {
        self.strokes.push(Seg::Move(from.0, from.1));
        self.strokes.push(Seg::By(by.0, by.1));
    }

    pub(super) fn items(self) -> Vec<Item> {
        let thin = Stroke::new(Role::Ink, 1.3);
        let boxes = Mark::filled(Shape::Path(self.boxes), Role::Surface).with_stroke(thin);
        let strokes = Mark::outlined(Shape::Path(self.strokes), thin);
        let drawn = |m: &Mark| !matches!(&m.shape, Shape::Path(segs) if segs.is_empty());
        let marks = [boxes, strokes].into_iter().filter(drawn);
        marks.map(Into::into).collect()
    }
}

/// One sign.
pub(super) fn unlike(at: Point, boxed: bool) -> Vec<Item> {
    let mut signs = Signs::default();
    signs.add(at, boxed);
    signs.items()
}

/// Straight lines as one path: each from a point by so much.
pub(super) fn rules(lines: impl Iterator<Item = (Point, Point)>, stroke: Stroke) -> Item {
    let segs = lines.flat_map(|(from, by)| [Seg::Move(from.0, from.1), Seg::By(by.0, by.1)]);
    Mark::outlined(Shape::Path(segs.collect()), stroke).into()
}

/// Diagonal strokes over a rectangle: left, top, width, height.
pub(super) fn hatch(path: &mut Vec<Seg>, (x, y, w, h): (f64, f64, f64, f64)) {
    const STEP: f64 = 4.0;
    let count = ((w + h) / STEP).ceil() as usize;
    for i in 1..count {
        // Where x + y = d crosses the frame: at the left or the foot, at the top or the right.
        let d = i as f64 * STEP;
        let low = if d <= h {
            (x, y + d)
        } else {
            (x + d - h, y + h)
        };
        let high = if d <= w {
            (x + d, y)
        } else {
            (x + w, y + d - w)
        };
        path.push(Seg::Move(low.0, low.1));
        path.push(Seg::By(high.0 - low.0, high.1 - low.1));
    }
}

/// The frame and the strokes of hatching over rectangles.
pub(super) fn hatched(rects: &[(f64, f64, f64, f64)]) -> Vec<Item> {
    if rects.is_empty() {
        return Vec::new();
    }
    let (mut frames, mut strokes) = (Vec::new(), Vec::new());
    for (x, y, w, h) in rects {
        frames.push(Seg::Move(*x, *y));
        for (dx, dy) in [(*w, 0.0), (0.0, *h), (-w, 0.0)] {
            frames.push(Seg::By(dx, dy));
        }
        frames.push(Seg::Close);
        hatch(&mut strokes, (*x, *y, *w, *h));
    }
    vec![
        Mark::outlined(Shape::Path(strokes), Stroke::new(Role::Muted, 1.0)).into(),
        Mark::outlined(Shape::Path(frames), Stroke::new(Role::Ink, 1.0)).into(),
    ]
}
