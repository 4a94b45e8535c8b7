//! From data to px and back: linear, logarithmic, time (in days) and bands for rows.
//!
//! No scale panics. A domain that is empty, reversed, not finite or (for a logarithm) not
//! positive is replaced by one that can be drawn; a value that is not a number maps to one,
//! and the SVG writer leaves such marks out.

use crate::ticks::{self, Tick};

/// Largest magnitude a domain may reach; beyond it spans would overflow.
const LARGEST: f64 = 1e150;
/// Smallest positive value on a logarithmic scale.
const SMALLEST: f64 = 1e-150;

/// How values are spaced.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Spacing {
    /// Equal differences are equal distances.
    #[default]
    Linear,
    /// Equal ratios are equal distances; values must be above 0.
    Log,
}

/// A continuous scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    spacing: Spacing,
    domain: (f64, f64),
    range: (f64, f64),
}

impl Scale {
    /// A linear scale from `domain` (data) to `range` (px; may run backwards).
    #[must_use]
    pub fn linear(domain: (f64, f64), range: (f64, f64)) -> Self {
        let (mut a, mut b) = ordered(domain, (0.0, 1.0));
        a = a.clamp(-LARGEST, LARGEST);
        b = b.clamp(-LARGEST, LARGEST);
        // Closer than this the steps between ticks drown in rounding.
        let least = a.abs().max(b.abs()) * 1e-9;
        if b - a <= least {
            let pad = if a == 0.0 && b == 0.0 {
                0.5
            } else {
                a.abs().max(b.abs()) * 0.05
            };
            (a, b) = (a - pad, b + pad);
        }
        Self {
            spacing: Spacing::Linear,
            domain: (a, b),
            range,
        }
    }

    /// A logarithmic scale from `domain` (data, above 0) to `range` (px; may run backwards).
    #[must_use]
    pub fn log(domain: (f64, f64), range: (f64, f64)) -> Self {
        let (mut a, mut b) = ordered(domain, (1.0, 10.0));
        if b <= 0.0 {
            (a, b) = (1.0, 10.0);
        }
        b = b.clamp(SMALLEST * 10.0, LARGEST);
        a = if a <= 0.0 { b / 1000.0 } else { a }.clamp(SMALLEST, LARGEST);
        if b / a < 1.0 + 1e-9 {
            (a, b) = (a / 1.5, b * 1.5);
        }
        Self {
            spacing: Spacing::Log,
            domain: (a, b),
            range,
        }
    }

    /// A scale of the given spacing.
    #[must_use]
    pub fn new(spacing: Spacing, domain: (f64, f64), range: (f64, f64)) -> Self {
        match spacing {
            Spacing::Linear => Self::linear(domain, range),
            Spacing::Log => Self::log(domain, range),
        }
    }

    /// The domain widened to round values with about `count` steps in it.
    #[must_use]
    pub fn nice(self, count: usize) -> Self {
        let (a, b) = self.domain;
        let domain = match self.spacing {
            Spacing::Linear => {
                let step = ticks::nice_step((b - a) / count.max(1) as f64);
                ((a / step).floor() * step, (b / step).ceil() * step)
            }
            Spacing::Log => (ticks::round_below(a), ticks::round_above(b)),
        };
        Self::new(self.spacing, domain, self.range)
    }

    /// Where a value stands, in px. Values outside the domain land outside the range.
    ///
    /// On a logarithmic scale zero and negative values land on the low edge.
    #[must_use]
    pub fn at(&self, value: f64) -> f64 {
        let (a, b) = self.domain;
        let share = match self.spacing {
            Spacing::Linear => (value - a) / (b - a),
            Spacing::Log if value <= 0.0 => 0.0,
            Spacing::Log => (value / a).ln() / (b / a).ln(),
        };
        self.range.0 + share * (self.range.1 - self.range.0)
    }

    /// Like [`Self::at`], moved to the nearest edge when outside.
    #[must_use]
    pub fn clamped(&self, value: f64) -> f64 {
        let (low, high) = (
            self.range.0.min(self.range.1),
            self.range.0.max(self.range.1),
        );
        let at = self.at(value);
        if at.is_nan() { at } else { at.clamp(low, high) }
    }

    /// The value at a place in px; the inverse of [`Self::at`].
    #[must_use]
    pub fn back(&self, px: f64) -> f64 {
        let (a, b) = self.domain;
        let width = self.range.1 - self.range.0;
        let share = if width == 0.0 {
            0.0
        } else {
            (px - self.range.0) / width
        };
        match self.spacing {
            Spacing::Linear => a + share * (b - a),
            Spacing::Log => a * (share * (b / a).ln()).exp(),
        }
    }

    /// Lowest and highest value.
    #[must_use]
    pub fn domain(&self) -> (f64, f64) {
        self.domain
    }

    /// Places in px of the lowest and the highest value.
    #[must_use]
    pub fn range(&self) -> (f64, f64) {
        self.range
    }

    /// How values are spaced.
    #[must_use]
    pub fn spacing(&self) -> Spacing {
        self.spacing
    }

    /// About `count` ticks at round values inside the domain.
    #[must_use]
    pub fn ticks(&self, count: usize) -> Vec<Tick> {
        match self.spacing {
            Spacing::Linear => ticks::linear(self.domain, count),
            Spacing::Log => ticks::log(self.domain, count),
        }
    }
}

/// Low and high in order, both finite, or `fallback`.
fn ordered((a, b): (f64, f64), fallback: (f64, f64)) -> (f64, f64) {
    match (a.is_finite(), b.is_finite()) {
        (true, true) => (a.min(b), a.max(b)),
        (true, false) => (a, a),
        (false, true) => (b, b),
        (false, false) => fallback,
    }
}

/// The smallest domain that holds every finite value; `None` when there is none.
#[must_use]
pub fn extent(values: impl IntoIterator<Item = f64>) -> Option<(f64, f64)> {
    values
        .into_iter()
        .filter(|v| v.is_finite())
        .fold(None, |seen, v| match seen {
            None => Some((v, v)),
            Some((a, b)) => Some((a.min(v), b.max(v))),
        })
}

/// Rows of equal height in a stretch of px.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bands {
    start: f64,
    step: f64,
    gap: f64,
}

impl Bands {
    /// `count` rows from `range.0` to `range.1`; `gap` is the share of a row left free, 0 to 1.
    #[must_use]
    pub fn new(count: usize, range: (f64, f64), gap: f64) -> Self {
        let gap = if gap.is_finite() {
            gap.clamp(0.0, 1.0)
        } else {
            0.0
        };
        Self {
            start: range.0,
            step: (range.1 - range.0) / count.max(1) as f64,
            gap,
        }
    }

    /// Middle of a row.
    #[must_use]
    pub fn middle(&self, row: usize) -> f64 {
        self.start + (row as f64 + 0.5) * self.step
    }

    /// Start and length of the used part of a row.
    #[must_use]
    pub fn span(&self, row: usize) -> (f64, f64) {
        let free = self.step * self.gap;
        (
            self.start + row as f64 * self.step + free / 2.0,
            self.step - free,
        )
    }

    /// From the start of one row to the start of the next.
    #[must_use]
    pub fn step(&self) -> f64 {
        self.step
    }
}
