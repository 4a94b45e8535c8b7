//! Events and stages above the lanes.

use super::Layout;
use crate::labels::{Hanging, hang};
use crate::marks::{bar, rule};
use crate::scene::{Anchor, Item, Paint, Stroke, TextMark};
use crate::text::RichText;
use crate::theme::Role;

/// Events are written at their rules, or numbered and listed below when there is no room.
pub(super) enum EventWords {
    Written { rows: Vec<usize>, count: usize },
    Numbered { rows: Vec<usize>, count: usize },
}

impl EventWords {
    pub(super) fn rows(&self) -> (&[usize], usize) {
        match self {
            Self::Written { rows, count } | Self::Numbered { rows, count } => (rows, *count),
        }
    }
}
impl Layout<'_> {
    pub(super) fn event_words(&self) -> EventWords {
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

    pub(super) fn events(&self, words: &EventWords, top: f64, base: f64) -> Vec<Item> {
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
            let stroke = Stroke::new(Paint::faint(Role::Guide, 0.55), 1.0);
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
            let text = TextMark::new(place.left, y + size, size, label).coloured(Role::Guide);
            items.push(text.into());
        }
        items
    }

    pub(super) fn event_list(&self, words: &EventWords, top: f64) -> (Vec<Item>, f64) {
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

    pub(super) fn stages(&self, top: f64, base: f64) -> Vec<Item> {
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
}
