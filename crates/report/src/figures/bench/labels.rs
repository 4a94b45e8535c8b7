//! Names in a tank so that none covers another.

use chart::marks::bar;
use chart::{Anchor, Item, Paint, RichText, Role, TextMark};

/// Left, top, right, bottom in px.
type Area = (f64, f64, f64, f64);

/// The names placed so far, inside the water and the substrate of one tank.
pub(super) struct Labels {
    inside: Area,
    size: f64,
    taken: Vec<Area>,
    pub(super) items: Vec<Item>,
}

impl Labels {
    pub(super) fn new(inside: Area, size: f64) -> Self {
        Self {
            inside,
            size,
            taken: Vec::new(),
            items: Vec::new(),
        }
    }

    /// Writes a name in its zone, or as near to it as there is room.
    pub(super) fn in_zone(&mut self, words: RichText, zone: &[(f64, f64)]) {
        let fold = |pick: fn(&(f64, f64)) -> f64, by: fn(f64, f64) -> f64, start: f64| {
            zone.iter().map(pick).fold(start, by)
        };
        let (left, right) = (
            fold(|p| p.0, f64::min, f64::INFINITY),
            fold(|p| p.0, f64::max, f64::NEG_INFINITY),
        );
        let (top, bottom) = (
            fold(|p| p.1, f64::min, f64::INFINITY),
            fold(|p| p.1, f64::max, f64::NEG_INFINITY),
        );
        let middle = f64::midpoint(left, right);
        let half = self.size * 0.75;
        let tall = bottom - top > self.size * 2.2 && right - left < 3.0 * (bottom - top);
        // A low plant is named in the sand below it, a tall one in its own leaves.
        let mut heights = if tall {
            vec![0.5, 0.3, 0.7, 0.15, 0.85]
                .into_iter()
                .map(|part| top + (bottom - top) * part)
                .collect()
        } else {
            vec![bottom + half + 1.0, top - half, f64::midpoint(top, bottom)]
        };
        heights.extend([bottom + half, top - half]);
        let wanted: Vec<(f64, f64)> = heights.iter().map(|y| (middle, *y)).collect();
        self.place(words, &wanted);
    }

    /// Writes a name just below the surface, wherever there is room.
    pub(super) fn along_surface(&mut self, words: RichText) {
        let (left, top, right, _) = self.inside;
        let half = words.width(self.size) / 2.0;
        let y = top + self.size * 1.35;
        let at = |part: f64| left + half + (right - left - 2.0 * half).max(0.0) * part;
        let wanted: Vec<(f64, f64)> = [0.97, 0.75, 0.5, 0.25, 0.03]
            .iter()
            .map(|p| (at(*p), y))
            .collect();
        self.place(words, &wanted);
    }

    /// The first of the wanted middles at which nothing is covered; else the one covering least.
    fn place(&mut self, words: RichText, wanted: &[(f64, f64)]) {
        let (left, top, right, bottom) = self.inside;
        let words = words.ellipsis(self.size, right - left);
        let (w, h) = (words.width(self.size) + 4.0, self.size * 1.15);
        let area = |(x, y): (f64, f64)| {
            let x = x.clamp(left + w / 2.0, (right - w / 2.0).max(left + w / 2.0));
            let y = y.clamp(top + h / 2.0, (bottom - h / 2.0).max(top + h / 2.0));
            (x - w / 2.0, y - h / 2.0, x + w / 2.0, y + h / 2.0)
        };
        let covered = |a: &Area| -> f64 { self.taken.iter().map(|b| shared(a, b)).sum() };
        let best = wanted
            .iter()
            .map(|at| area(*at))
            .min_by(|a, b| covered(a).total_cmp(&covered(b)));
        let Some(best) = best else { return };
        let (x, y) = (f64::midpoint(best.0, best.2), f64::midpoint(best.1, best.3));
        self.taken.push(best);
        // A plate in the colour of water: a rim in the page's colour would shine in the dark.
        let plate = bar(
            (best.0, best.1),
            (best.2, best.3),
            Paint::faint(Role::Kept, 0.85),
        );
        let text = TextMark::new(x, y, self.size, words).anchored(Anchor::Middle);
        self.items.push(plate.into());
        self.items.push(text.centred().into());
    }
}

/// The area two rectangles share.
fn shared(a: &Area, b: &Area) -> f64 {
    let w = (a.2.min(b.2) - a.0.max(b.0)).max(0.0);
    let h = (a.3.min(b.3) - a.1.max(b.1)).max(0.0);
    w * h
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_second_name_gives_way() {
        let mut labels = Labels::new((0.0, 0.0, 200.0, 200.0), 11.0);
        let zone = [(40.0, 20.0), (90.0, 20.0), (90.0, 120.0), (40.0, 120.0)];
        labels.in_zone(RichText::from("Rotala"), &zone);
        labels.in_zone(RichText::from("Bacopa"), &zone);
        assert_eq!(shared(&labels.taken[0], &labels.taken[1]), 0.0);
        assert_eq!(labels.items.len(), 4); // each a plate and a name
    }

    #[test]
    fn names_stay_inside_the_tank() {
        let mut labels = Labels::new((0.0, 0.0, 60.0, 60.0), 11.0);
        labels.in_zone(
            RichText::from("Cryptocoryne"),
            &[(50.0, 50.0), (58.0, 50.0), (58.0, 58.0)],
        );
        let (left, top, right, bottom) = labels.taken[0];
        assert!(left >= 0.0 && top >= 0.0 && right <= 64.0 && bottom <= 60.0);
    }
}
