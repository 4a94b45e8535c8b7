//! A scene: shapes, text and pictures at places in px, coloured by role.
//!
//! x runs to the right and y downwards, both from the top left corner.

use std::sync::Arc;

use crate::fonts::{CAP_HEIGHT, Face};
pub use crate::paint::{Paint, Stroke};
use crate::text::RichText;
use crate::theme::Role;

/// A figure.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Scene {
    /// Width in px.
    pub width: f64,
    /// Height in px.
    pub height: f64,
    /// What the figure is, read out by screen readers.
    pub title: String,
    /// What the figure shows, in a sentence or two; may be empty.
    pub description: String,
    /// What is drawn, back to front.
    pub items: Vec<Item>,
}

/// One thing in a scene.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// A shape.
    Mark(Mark),
    /// A line of text.
    Text(TextMark),
    /// A picture.
    Image(ImageMark),
    /// Items drawn together, moved and scaled.
    Group(Group),
}

/// Items that share a place, a scale and a tooltip.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// The items, back to front.
    pub items: Vec<Item>,
    /// Shift to the right and down in px, applied after the scale.
    pub shift: (f64, f64),
    /// Factor on all lengths.
    pub scale: f64,
    /// Tooltip for all of it.
    pub tip: Option<String>,
    /// Where all of it leads on a page; of no effect in PNG output.
    pub href: Option<String>,
}

impl Group {
    /// A group that neither moves nor scales.
    #[must_use]
    pub fn new(items: Vec<Item>) -> Self {
        Self {
            items,
            shift: (0.0, 0.0),
            scale: 1.0,
            tip: None,
            href: None,
        }
    }

    /// The items of a scene, to be placed in another one.
    #[must_use]
    pub fn place(scene: Scene, x: f64, y: f64, scale: f64) -> Self {
        Self {
            items: scene.items,
            shift: (x, y),
            scale,
            tip: None,
            href: None,
        }
    }

    /// Adds a tooltip.
    #[must_use]
    pub fn with_tip(mut self, tip: impl Into<String>) -> Self {
        self.tip = Some(tip.into());
        self
    }

    /// Makes all of it one link.
    #[must_use]
    pub fn leading_to(mut self, href: impl Into<String>) -> Self {
        self.href = Some(href.into());
        self
    }

    /// Whether it or anything in it is a link.
    fn leads(&self) -> bool {
        self.href.is_some() || leads(&self.items)
    }
}

/// Whether any of the items is a link.
pub(crate) fn leads(items: &[Item]) -> bool {
    items
        .iter()
        .any(|i| matches!(i, Item::Group(g) if g.leads()))
}

/// A step of a path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Seg {
    /// Start at a point.
    Move(f64, f64),
    /// Straight to a point.
    Line(f64, f64),
    /// Straight on by so much to the right and downwards: fewer digits where glyphs are many.
    By(f64, f64),
    /// Cubic curve: two control points and the end.
    Cubic([(f64, f64); 3]),
    /// Back to the start.
    Close,
}

/// The outline of a mark.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// Rectangle: left, top, width, height, corner radius.
    Rect {
        /// Left edge.
        x: f64,
        /// Top edge.
        y: f64,
        /// Width.
        w: f64,
        /// Height.
        h: f64,
        /// Corner radius.
        r: f64,
    },
    /// Circle: centre and radius.
    Circle {
        /// Centre.
        x: f64,
        /// Centre.
        y: f64,
        /// Radius.
        r: f64,
    },
    /// Straight line between two points.
    Line {
        /// Start.
        from: (f64, f64),
        /// End.
        to: (f64, f64),
    },
    /// Polygon, polyline or curve.
    Path(Vec<Seg>),
}

/// A shape with its colours and tooltip.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Outline.
    pub shape: Shape,
    /// Inside, if filled.
    pub fill: Option<Paint>,
    /// Outline, if drawn.
    pub stroke: Option<Stroke>,
    /// Tooltip text.
    pub tip: Option<String>,
}

impl Mark {
    /// A filled shape.
    #[must_use]
    pub fn filled(shape: Shape, paint: impl Into<Paint>) -> Self {
        Self {
            shape,
            fill: Some(paint.into()),
            stroke: None,
            tip: None,
        }
    }

    /// An outlined shape.
    #[must_use]
    pub fn outlined(shape: Shape, stroke: Stroke) -> Self {
        Self {
            shape,
            fill: None,
            stroke: Some(stroke),
            tip: None,
        }
    }

    /// Adds an outline.
    #[must_use]
    pub fn with_stroke(mut self, stroke: Stroke) -> Self {
        self.stroke = Some(stroke);
        self
    }

    /// Adds a tooltip.
    #[must_use]
    pub fn with_tip(mut self, tip: impl Into<String>) -> Self {
        self.tip = Some(tip.into());
        self
    }
}

impl From<Mark> for Item {
    fn from(mark: Mark) -> Self {
        Self::Mark(mark)
    }
}

impl From<TextMark> for Item {
    fn from(text: TextMark) -> Self {
        Self::Text(text)
    }
}

impl From<ImageMark> for Item {
    fn from(image: ImageMark) -> Self {
        Self::Image(image)
    }
}

impl From<Group> for Item {
    fn from(group: Group) -> Self {
        Self::Group(group)
    }
}

/// Which part of a text stands at its x.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Anchor {
    /// The start.
    #[default]
    Start,
    /// The middle.
    Middle,
    /// The end.
    End,
}

/// A line of text.
#[derive(Debug, Clone, PartialEq)]
pub struct TextMark {
    /// Where `anchor` stands.
    pub x: f64,
    /// The baseline.
    pub y: f64,
    /// What is written.
    pub text: RichText,
    /// Font size in px.
    pub size: f64,
    /// Which part stands at `x`.
    pub anchor: Anchor,
    /// Colour.
    pub role: Role,
    /// Draw a rim in the surface colour so that the text stays legible over marks.
    pub halo: bool,
}

impl TextMark {
    /// Ink text starting at `x` on the baseline `y`.
    #[must_use]
    pub fn new(x: f64, y: f64, size: f64, text: impl Into<RichText>) -> Self {
        Self {
            x,
            y,
            text: text.into(),
            size,
            anchor: Anchor::Start,
            role: Role::Ink,
            halo: false,
        }
    }

    /// Sets the anchor.
    #[must_use]
    pub fn anchored(mut self, anchor: Anchor) -> Self {
        self.anchor = anchor;
        self
    }

    /// Sets the colour.
    #[must_use]
    pub fn coloured(mut self, role: Role) -> Self {
        self.role = role;
        self
    }

    /// Makes `y` the middle of the capitals rather than the baseline.
    #[must_use]
    pub fn centred(mut self) -> Self {
        self.y += self.size * CAP_HEIGHT / 2.0;
        self
    }

    /// Adds the rim; see [`Self::halo`].
    #[must_use]
    pub fn haloed(mut self) -> Self {
        self.halo = true;
        self
    }

    /// Left and right edge of the text.
    #[must_use]
    pub fn extent(&self) -> (f64, f64) {
        let w = self.text.width(self.size);
        let left = match self.anchor {
            Anchor::Start => self.x,
            Anchor::Middle => self.x - w / 2.0,
            Anchor::End => self.x - w,
        };
        (left, left + w)
    }
}

/// Where a picture comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum ImageSource {
    /// A JPEG file's bytes, written into the SVG.
    Jpeg(Arc<[u8]>),
    /// A PNG file's bytes, written into the SVG.
    Png(Arc<[u8]>),
    /// An address that the page can load; not drawn in PNG output.
    Link(String),
    /// No picture yet: a quiet box with these words.
    Missing(String),
}

/// A picture in a box.
#[derive(Debug, Clone, PartialEq)]
pub struct ImageMark {
    /// Left edge.
    pub x: f64,
    /// Top edge.
    pub y: f64,
    /// Width of the box.
    pub w: f64,
    /// Height of the box.
    pub h: f64,
    /// The picture.
    pub source: ImageSource,
    /// Fill the box and crop (true), or show all of the picture inside it (false).
    pub crop: bool,
    /// What the picture shows, for those who do not see it.
    pub alt: String,
}

impl ImageMark {
    pub(crate) fn placeholder(&self, words: &str) -> Vec<Item> {
        let size = 12.0;
        let shape = Shape::Rect {
            x: self.x,
            y: self.y,
            w: self.w,
            h: self.h,
            r: 3.0,
        };
        let frame = Mark::filled(shape, Role::Panel).with_stroke(Stroke::new(Role::Grid, 1.0));
        let text = RichText::from(words);
        let lines = text.wrap(size, (self.w - 16.0).max(1.0), 3);
        let top = self.y + self.h / 2.0 - (lines.len() as f64 - 1.0) * size * 0.7;
        let words = lines.into_iter().enumerate().map(|(i, line)| {
            TextMark::new(
                self.x + self.w / 2.0,
                top + i as f64 * size * 1.4,
                size,
                line,
            )
            .anchored(Anchor::Middle)
            .coloured(Role::Muted)
            .centred()
            .into()
        });
        std::iter::once(frame.into()).chain(words).collect()
    }
}

/// Font weight and slant of a face as SVG attributes.
pub(crate) fn face_attributes(face: Face) -> &'static str {
    match face {
        Face::Regular => "",
        Face::Italic => " font-style=\"italic\"",
        Face::SemiBold => " font-weight=\"600\"",
    }
}
