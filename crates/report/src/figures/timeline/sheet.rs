//! Marks collected while a figure is laid out: one path for all glyphs of a lane, links apart.

use super::glyphs::{self, PlanMarks, glyph, trace};
use answers::timeline::{Cell, PlanMark};
use chart::marks::Point;
use chart::{Group, Item, Mark, Paint, Role, Seg, Shape};

/// Width that one glyph takes.
pub(super) const PITCH: f64 = 11.0;

/// Half the size of a glyph that stands for `n` entries.
pub(super) fn size(n: u32, most: f64) -> f64 {
    (4.0 + f64::from(n.max(1)).log2() * 0.55).min(most)
}

/// The marks of one lane.
pub(super) struct Sheet {
    role: Role,
    path: Vec<Seg>,
    plans: PlanMarks,
    links: Vec<Item>,
}

impl Sheet {
    pub(super) fn new(role: Role) -> Self {
        Self {
            role,
            path: Vec::new(),
            plans: PlanMarks::default(),
            links: Vec::new(),
        }
    }

    /// Draws as many kinds of a cell around `at` as fit into `width`, the rare and weighty first; a
    /// dot says that there are more. With `link` the cell is a link of its own, as `(href, tip)`.
    pub(super) fn cell(
        &mut self,
        cell: &Cell,
        at: Point,
        width: f64,
        link: Option<(String, String)>,
    ) {
        let room = (((width - 1.0) / PITCH).floor() as usize).max(1);
        let shown = &cell.kinds[..cell.kinds.len().min(room)];
        let most = (width / 2.0).clamp(4.2, 6.0);
        let start = at.0 - PITCH * (shown.len() as f64 - 1.0) / 2.0;
        let mut glyphs = Vec::new();
        for (i, kind) in shown.iter().enumerate() {
            let middle = (start + i as f64 * PITCH, at.1);
            let most = if shown.len() > 1 { most.min(5.0) } else { most };
            trace(&mut glyphs, kind.kind, middle, size(kind.n, most));
        }
        if cell.kinds.len() > shown.len() {
            more(&mut glyphs, (at.0 + 4.5, at.1 - 5.5));
        }
        match link {
            None => self.path.append(&mut glyphs),
            Some((href, tip)) => {
                let mark = Mark::filled(Shape::Path(glyphs), self.role);
                let group = Group::new(vec![target(at, width), mark.into()]);
                self.links.push(group.with_tip(tip).leading_to(href).into());
            }
        }
    }

    /// A planned thing; with `link` it is a link of its own.
    pub(super) fn plan(&mut self, plan: &PlanMark, at: Point, link: Option<String>) {
        let Some(href) = link else {
            return self.plans.add(plan.state, at);
        };
        let mut items = vec![target(at, 12.0)];
        items.extend(glyphs::plan(plan.state, at, self.role));
        let group = Group::new(items).with_tip(plan.words.clone());
        self.links.push(group.leading_to(href).into());
    }

    /// Everything drawn, glyphs below links.
    pub(super) fn items(self) -> Vec<Item> {
        let glyphs = Mark::filled(Shape::Path(self.path), self.role);
        let drawn = !matches!(&glyphs.shape, Shape::Path(segs) if segs.is_empty());
        let glyphs = drawn.then(|| glyphs.into());
        let plans = self.plans.items(self.role);
        glyphs.into_iter().chain(plans).chain(self.links).collect()
    }
}

/// A dot at the shoulder of a glyph: there are further kinds.
fn more(path: &mut Vec<Seg>, (x, y): Point) {
    path.push(Seg::Move(x - 1.0, y - 1.0));
    for (dx, dy) in [(2.0, 0.0), (0.0, 2.0), (-2.0, 0.0)] {
        path.push(Seg::By(dx, dy));
    }
    path.push(Seg::Close);
}

/// Ground around a small mark that can be pointed at.
fn target(at: Point, width: f64) -> Item {
    let w = width.clamp(12.0, 34.0);
    pane((at.0 - w / 2.0, at.1 - 8.0, w, 16.0))
}

/// An unseen rectangle that can be pointed at: left, top, width, height.
pub(super) fn pane((x, y, w, h): (f64, f64, f64, f64)) -> Item {
    let shape = Shape::Rect { x, y, w, h, r: 2.0 };
    Mark::filled(shape, Paint::faint(Role::Ink, 0.0)).into()
}

/// A glyph beside words, for keys.
pub(super) fn single(kind: &str, at: Point) -> Item {
    glyph(kind, at, 4.6, Role::Ink).into()
}

/// The dot for keys.
pub(super) fn single_more(at: Point) -> Vec<Item> {
    let mut path = Vec::new();
    trace(&mut path, "change", at, 4.2);
    more(&mut path, (at.0 + 5.0, at.1 - 5.5));
    vec![Mark::filled(Shape::Path(path), Role::Ink).into()]
}
