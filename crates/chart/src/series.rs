//! What tells one series from another: colour, line pattern and marker, all three different.

/// One of the eight series, counted from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SeriesId(u8);

impl SeriesId {
    /// How many series can be told apart.
    pub const COUNT: usize = 8;

    /// The series for a running number; after eight the identities start again.
    #[must_use]
    pub fn new(index: usize) -> Self {
        Self((index % Self::COUNT) as u8)
    }

    /// The running number, 0 to 7.
    #[must_use]
    pub fn index(self) -> usize {
        usize::from(self.0)
    }

    /// Every series in order.
    pub fn all() -> impl Iterator<Item = Self> {
        (0..Self::COUNT).map(Self::new)
    }
}

/// Shape of a point. Filled and hollow shapes count as different.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Marker {
    /// Filled disc.
    Disc,
    /// Filled square.
    Square,
    /// Filled triangle, point up.
    TriangleUp,
    /// Filled diamond.
    Diamond,
    /// Ring.
    Ring,
    /// Hollow square.
    HollowSquare,
    /// Filled triangle, point down.
    TriangleDown,
    /// Upright cross.
    Plus,
}

/// Line pattern as lengths of dash and gap in px; empty means solid.
pub type Dash = &'static [f64];

/// How one series looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeriesStyle {
    /// Which series colour of the theme is used.
    pub id: SeriesId,
    /// Line pattern.
    pub dash: Dash,
    /// Point shape.
    pub marker: Marker,
}

const STYLES: [(Dash, Marker); SeriesId::COUNT] = [
    (&[], Marker::Disc),
    (&[7.0, 3.0], Marker::Square),
    (&[2.0, 2.5], Marker::TriangleUp),
    (&[9.0, 3.0, 2.0, 3.0], Marker::Diamond),
    (&[12.0, 4.0], Marker::Ring),
    (&[4.0, 2.0, 1.0, 2.0, 1.0, 2.0], Marker::HollowSquare),
    (&[1.0, 3.5], Marker::TriangleDown),
    (&[14.0, 3.0, 4.0, 3.0], Marker::Plus),
];

impl SeriesStyle {
    /// The style of a running number, counted from 0; after eight the styles start again.
    #[must_use]
    pub fn new(index: usize) -> Self {
        let id = SeriesId::new(index);
        let (dash, marker) = STYLES[id.index()];
        Self { id, dash, marker }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_pattern_and_marker_is_used_once() {
        for a in 0..SeriesId::COUNT {
            for b in 0..a {
                let (a, b) = (SeriesStyle::new(a), SeriesStyle::new(b));
                assert_ne!(a.dash, b.dash);
                assert_ne!(a.marker, b.marker);
                assert_ne!(a.id, b.id);
            }
        }
        assert_eq!(SeriesStyle::new(8), SeriesStyle::new(0));
    }
}
