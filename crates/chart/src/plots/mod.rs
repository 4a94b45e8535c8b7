//! Whole figures that fit themselves to a width: from a phone (360 px) to a desk (900 px).
//!
//! Each plot is a plain struct; `scene(width)` draws it. The height follows from the content.

mod bars;
mod domain;
mod paired_dots;
mod parts;
mod scale_interval;
mod time_lanes;

pub use bars::{Bar, BarRow, Bars};
pub use paired_dots::{DotRow, PairedDots, Reference};
pub use scale_interval::{ScaleInterval, ScaleRow};
pub use time_lanes::{Event, FanPoint, Join, Lane, LaneSeries, Observation, Rug, Stage, TimeLanes};

use crate::series::SeriesStyle;
use crate::text::RichText;

/// What is said about a figure as a whole.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct About {
    /// Name of the figure, for screen readers and, if `heading`, written above it.
    pub title: String,
    /// What it shows, for screen readers.
    pub description: String,
    /// Write the title above the figure, as for files that stand alone.
    pub heading: bool,
}

/// A value known as an interval. An end that is `None` is open: nothing is known beyond.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Known {
    /// Best value, if there is one.
    pub mid: Option<f64>,
    /// Low end.
    pub low: Option<f64>,
    /// High end.
    pub high: Option<f64>,
}

impl Known {
    /// Somewhere from `low` to `high`.
    #[must_use]
    pub fn between(low: f64, high: f64) -> Self {
        Self {
            mid: None,
            low: Some(low),
            high: Some(high),
        }
    }

    /// A best value with an interval.
    #[must_use]
    pub fn around(mid: f64, low: f64, high: f64) -> Self {
        Self {
            mid: Some(mid),
            low: Some(low),
            high: Some(high),
        }
    }

    /// `low` or more.
    #[must_use]
    pub fn at_least(low: f64) -> Self {
        Self {
            mid: None,
            low: Some(low),
            high: None,
        }
    }

    /// `high` or less.
    #[must_use]
    pub fn at_most(high: f64) -> Self {
        Self {
            mid: None,
            low: None,
            high: Some(high),
        }
    }

    /// A value without an interval.
    #[must_use]
    pub fn exactly(value: f64) -> Self {
        Self {
            mid: Some(value),
            low: None,
            high: None,
        }
    }

    fn values(self) -> impl Iterator<Item = f64> {
        [self.mid, self.low, self.high].into_iter().flatten()
    }

    fn is_bare(self) -> bool {
        self.low.is_none() && self.high.is_none()
    }
}

/// The range something is kept in: drawn as a neutral tint with words, never as good or bad.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptRange {
    /// Low end.
    pub low: f64,
    /// High end.
    pub high: f64,
    /// What is written at it, such as "kept 5 to 15".
    pub words: String,
}

/// The name of a series and how it looks.
#[derive(Debug, Clone, PartialEq)]
pub struct SeriesName {
    /// What is written.
    pub name: RichText,
    /// How it looks.
    pub style: SeriesStyle,
}
