//! What stands under the lanes: rows of ticks for what was done often, and the time axis.

use super::Layout;
use crate::axis::BottomAxis;
use crate::marks::{bar, rule};
use crate::scene::{Anchor, Item, Stroke, TextMark};
use crate::text::RichText;
use crate::theme::Role;
use crate::ticks::{TimeTicks, time};

/// Things done so often that a rule through the lanes for each would hide them: a thin row of
/// ticks on the lanes' time scale. Ticks that would touch run together into one block.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Rug {
    /// What the ticks are.
    pub label: String,
    /// Days (days since 1970), in any order.
    pub at: Vec<f64>,
    /// One tooltip for each of `at`; missing ones are empty.
    pub tips: Vec<String>,
}

/// Width of a tick, px.
const TICK: f64 = 2.0;
/// Height of a tick, px.
const TALL: f64 = 9.0;
/// Ticks nearer than this to each other run together, px.
const APART: f64 = TICK + 1.0;
/// Most tooltips written at one block.
const MOST_TIPS: usize = 6;

/// Ticks that run together: from where to where, and what they say.
struct Block {
    from: f64,
    to: f64,
    tips: Vec<String>,
}

impl Block {
    fn tip(&self) -> String {
        let shown = self.tips.len().min(MOST_TIPS);
        let mut tip = self.tips[..shown].join("; ");
        if shown < self.tips.len() {
            tip.push_str("; …");
        }
        tip
    }
}

impl Rug {
    /// The ticks as blocks, from the left; `place` gives px, or nothing outside the span.
    fn blocks(&self, place: impl Fn(f64) -> Option<f64>) -> Vec<Block> {
        let tip = |i: usize| self.tips.get(i).cloned().unwrap_or_default();
        let mut ticks: Vec<(f64, String)> = self
            .at
            .iter()
            .enumerate()
            .filter_map(|(i, at)| Some((place(*at)?, tip(i))))
            .collect();
        ticks.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut blocks: Vec<Block> = Vec::new();
        for (x, tip) in ticks {
            let tips = Some(tip).filter(|t| !t.is_empty());
            match blocks.last_mut().filter(|last| x - last.to < APART) {
                Some(last) => {
                    last.to = x;
                    last.tips.extend(tips);
                }
                None => blocks.push(Block {
                    from: x,
                    to: x,
                    tips: tips.into_iter().collect(),
                }),
            }
        }
        blocks
    }
}

impl Layout<'_> {
    /// The rows of ticks below `top`, and the y below them.
    pub(super) fn rugs(&self, top: f64) -> (Vec<Item>, f64) {
        let size = self.look.small;
        // Beside the names there is room for the labels; else they stand above their ticks.
        let height = if self.beside {
            size + 5.0
        } else {
            size + TALL + 9.0
        };
        let mut items = Vec::new();
        let mut y = top;
        if !self.plot.rugs.is_empty() {
            y += 8.0;
        }
        for rug in &self.plot.rugs {
            let base = y + height - 2.0;
            let words = RichText::from(rug.label.as_str());
            let (label, room) = if self.beside {
                let x = self.right + 10.0;
                ((x, base - 1.0), self.look.width - x - 4.0)
            } else {
                (
                    (self.look.edge, base - TALL - 4.0),
                    self.look.right() - self.look.edge,
                )
            };
            let text = TextMark::new(label.0, label.1, size, words.ellipsis(size, room));
            items.push(text.coloured(Role::Muted).into());
            let line = ((self.left, base), (self.right, base));
            items.push(rule(line.0, line.1, Stroke::new(Role::Grid, 1.0)));
            let place = |at: f64| self.shows(at).then(|| self.x.at(at));
            for block in rug.blocks(place) {
                let (from, to) = (block.from - TICK / 2.0, block.to + TICK / 2.0);
                let mut mark = bar((from, base - TALL), (to, base), Role::Guide);
                let tip = block.tip();
                if !tip.is_empty() {
                    mark = mark.with_tip(tip);
                }
                items.push(mark.into());
            }
            y += height;
        }
        (items, y)
    }

    /// The time axis under `base`, and the y below its words.
    pub(super) fn axis(&self, base: f64) -> (Vec<Item>, f64) {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_that_would_touch_run_together_and_none_is_lost() {
        let rug = Rug {
            at: vec![30.0, 0.0, 2.0, 2.0, 4.0, 99.0],
            tips: ["far", "a", "b", "c", "d", "outside"]
                .map(str::to_owned)
                .to_vec(),
            ..Rug::default()
        };
        let blocks = rug.blocks(|at| (at < 90.0).then_some(at));
        let ends: Vec<(f64, f64)> = blocks.iter().map(|b| (b.from, b.to)).collect();
        assert_eq!(ends, [(0.0, 4.0), (30.0, 30.0)]);
        assert_eq!(blocks[0].tip(), "a; b; c; d");
        assert_eq!(blocks[1].tip(), "far");
    }

    #[test]
    fn a_long_block_says_that_it_says_not_all() {
        let rug = Rug {
            at: (0..9).map(f64::from).collect(),
            tips: (0..9).map(|i| i.to_string()).collect(),
            ..Rug::default()
        };
        let blocks = rug.blocks(Some);
        assert_eq!(blocks.len(), 1);
        assert_eq!(blocks[0].tip(), "0; 1; 2; 3; 4; 5; …");
    }
}
