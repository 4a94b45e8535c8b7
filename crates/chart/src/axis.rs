//! Axes: grid lines, ticks and their labels.

use crate::marks::rule;
use crate::scale::Scale;
use crate::scene::{Anchor, Item, Stroke, TextMark};
use crate::theme::Role;
use crate::ticks::Tick;

/// A horizontal axis under a plot.
#[derive(Debug, Clone, Copy)]
pub struct BottomAxis<'a> {
    /// Where values stand.
    pub scale: &'a Scale,
    /// What is marked.
    pub ticks: &'a [Tick],
    /// Top of the grid lines; equal to `base` for none.
    pub top: f64,
    /// The line of the axis.
    pub base: f64,
    /// Font size of the labels.
    pub size: f64,
}

impl BottomAxis<'_> {
    /// The grid lines and short ticks, to be drawn behind the marks.
    #[must_use]
    pub fn grid(&self) -> Vec<Item> {
        let stroke = Stroke::new(Role::Grid, 1.0);
        self.ticks
            .iter()
            .map(|t| {
                let x = self.scale.at(t.value);
                rule((x, self.top), (x, self.base + 4.0), stroke)
            })
            .collect()
    }

    /// The labels; one that would touch its left neighbour is left out.
    #[must_use]
    pub fn labels(&self) -> Vec<Item> {
        let mut items = Vec::new();
        let mut free_from = f64::NEG_INFINITY;
        let y = self.base + 6.0 + self.size;
        for tick in self.ticks {
            let x = self.scale.at(tick.value);
            let text = TextMark::new(x, y, self.size, tick.label.as_str())
                .anchored(Anchor::Middle)
                .coloured(Role::Muted);
            let (left, right) = text.extent();
            if left >= free_from {
                items.push(text.into());
                free_from = right + self.size * 0.6;
                if let Some(below) = &tick.below {
                    let second = TextMark::new(x, y + self.size * 1.3, self.size, below.as_str());
                    items.push(second.anchored(Anchor::Middle).coloured(Role::Muted).into());
                }
            }
        }
        items
    }

    /// Height that the labels take under `base`.
    #[must_use]
    pub fn height(&self) -> f64 {
        let two = self.ticks.iter().any(|t| t.below.is_some());
        8.0 + self.size * if two { 2.5 } else { 1.2 }
    }
}

/// A vertical axis at the left of a plot.
#[derive(Debug, Clone, Copy)]
pub struct LeftAxis<'a> {
    /// Where values stand.
    pub scale: &'a Scale,
    /// What is marked.
    pub ticks: &'a [Tick],
    /// Left end of the grid lines; labels end 8 px before it.
    pub left: f64,
    /// Right end of the grid lines.
    pub right: f64,
    /// Font size of the labels.
    pub size: f64,
}

impl LeftAxis<'_> {
    /// Grid lines and labels.
    #[must_use]
    pub fn items(&self) -> Vec<Item> {
        let stroke = Stroke::new(Role::Grid, 1.0);
        self.ticks
            .iter()
            .flat_map(|t| {
                let y = self.scale.at(t.value);
                let label = TextMark::new(self.left - 8.0, y, self.size, t.label.as_str())
                    .anchored(Anchor::End)
                    .coloured(Role::Muted)
                    .centred();
                [rule((self.left, y), (self.right, y), stroke), label.into()]
            })
            .collect()
    }

    /// Width of the widest label.
    #[must_use]
    pub fn label_width(ticks: &[Tick], size: f64) -> f64 {
        ticks
            .iter()
            .map(|t| crate::fonts::Face::Regular.width(&t.label, size))
            .fold(0.0, f64::max)
    }
}
