//! A thin layer for figures: scenes of marks, scales, ticks and text to SVG and PNG.
//!
//! ```text
//! your numbers --plots::*--> Scene --to_svg--> SVG text  (classes for pages, colours for files)
//!                              \----to_png--> PNG bytes (resvg, bundled faces only)
//! ```
//!
//! Nothing here knows what the figures are about. Scenes name colour roles ([`Role`]); a
//! [`Theme`] gives the colours, and [`css`] the style sheet with the same ones. A series is told
//! apart by colour, line pattern and marker ([`SeriesStyle`]).
//!
//! ```
//! use chart::{Scene, SvgOptions, TextMark};
//!
//! let scene = Scene {
//!     width: 120.0,
//!     height: 40.0,
//!     title: "A greeting".to_owned(),
//!     items: vec![TextMark::new(10.0, 25.0, 14.0, "Good morning").into()],
//!     ..Scene::default()
//! };
//! assert!(scene.to_svg(&SvgOptions::page("hello")).contains("Good morning"));
//! ```

pub mod axis;
pub mod labels;
pub mod marks;
pub mod num;
pub mod plots;

mod colour;
mod fonts;
mod paint;
mod png;
mod scale;
mod scene;
mod series;
mod svg;
mod text;
mod theme;
mod ticks;

pub use colour::Rgb;
pub use fonts::{
    CAP_HEIGHT, FONT_FAMILY, FONT_LICENCE, Face, INTER_ITALIC_OTF, INTER_ITALIC_WOFF2,
    INTER_REGULAR_OTF, INTER_REGULAR_WOFF2, INTER_SEMIBOLD_OTF, INTER_SEMIBOLD_WOFF2,
};
pub use png::{MAX_PX, PngError, to_png};
pub use scale::{Bands, Scale, Spacing, extent};
pub use scene::{
    Anchor, Group, ImageMark, ImageSource, Item, Mark, Paint, Scene, Seg, Shape, Stroke, TextMark,
};
pub use series::{Dash, Marker, SeriesId, SeriesStyle};
pub use svg::{Colours, SvgOptions, escape};
pub use text::{RichText, Run};
pub use theme::{Role, Theme, css};
pub use ticks::{Tick, TimeTicks, days, time};
