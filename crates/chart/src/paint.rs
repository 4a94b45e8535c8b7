//! How areas are filled and outlines drawn.

use crate::series::Dash;
use crate::theme::Role;

/// A colour role with an opacity of 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Paint {
    /// Which colour.
    pub role: Role,
    /// 1 hides what is behind.
    pub opacity: f64,
}

impl From<Role> for Paint {
    fn from(role: Role) -> Self {
        Self { role, opacity: 1.0 }
    }
}

impl Paint {
    /// A see-through colour.
    #[must_use]
    pub fn faint(role: Role, opacity: f64) -> Self {
        Self { role, opacity }
    }
}

/// How an outline is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// Colour.
    pub paint: Paint,
    /// Width in px.
    pub width: f64,
    /// Pattern; empty means solid.
    pub dash: Dash,
    /// Round ends and corners rather than square ones.
    pub round: bool,
}

impl Stroke {
    /// A solid line with square ends.
    #[must_use]
    pub fn new(paint: impl Into<Paint>, width: f64) -> Self {
        Self {
            paint: paint.into(),
            width,
            dash: &[],
            round: false,
        }
    }

    /// With a pattern.
    #[must_use]
    pub fn dashed(mut self, dash: Dash) -> Self {
        self.dash = dash;
        self
    }

    /// With round ends and corners.
    #[must_use]
    pub fn rounded(mut self) -> Self {
        self.round = true;
        self
    }
}
