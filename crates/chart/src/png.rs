//! Scenes as PNG, drawn by resvg with the bundled faces only.

use resvg::{tiny_skia, usvg};

use crate::fonts::{FONT_FAMILY, database};
use crate::scene::Scene;
use crate::svg::SvgOptions;
use crate::theme::Theme;

/// The widest picture that is drawn, in px.
pub const MAX_PX: u32 = 8192;

/// Why a scene could not become a PNG.
#[derive(Debug, thiserror::Error)]
pub enum PngError {
    /// The wanted or resulting size cannot be drawn.
    #[error(
        "picture of {width} x {height} px cannot be drawn; width and height must be 1 to {MAX_PX} px"
    )]
    Size {
        /// Width in px.
        width: u32,
        /// Height in px, 0 if unknown.
        height: u32,
    },
    /// The SVG could not be read back.
    #[error("the figure's SVG text could not be read: {0}")]
    Svg(#[from] usvg::Error),
    /// The PNG could not be written.
    #[error("the figure could not be written as PNG: {0}")]
    Write(String),
}

/// Draws a scene `width_px` wide; the height follows from the scene's shape.
///
/// Pictures behind a link are left out: only bytes inside the scene are drawn.
///
/// # Errors
/// [`PngError::Size`] when the width or the height that follows is 0 or above [`MAX_PX`].
pub fn to_png(scene: &Scene, theme: &Theme, width_px: u32) -> Result<Vec<u8>, PngError> {
    let bad = |height| PngError::Size {
        width: width_px,
        height,
    };
    let scale = f64::from(width_px) / scene.width;
    let height = (scene.height * scale).round();
    let max = f64::from(MAX_PX);
    if width_px == 0 || width_px > MAX_PX || !(1.0..=max).contains(&height) {
        return Err(bad(if height.is_finite() {
            height.clamp(0.0, 1e9) as u32
        } else {
            0
        }));
    }
    let svg = scene.to_svg(&SvgOptions::file("figure", theme));
    let mut options = usvg::Options {
        font_family: FONT_FAMILY.to_owned(),
        ..Default::default()
    };
    options.fontdb = database();
    // Nothing is read from disk: a link in a scene must not reach the machine's files.
    options.image_href_resolver.resolve_string = Box::new(|_, _| None);
    let tree = usvg::Tree::from_str(&svg, &options)?;
    let mut pixmap =
        tiny_skia::Pixmap::new(width_px, height as u32).ok_or_else(|| bad(height as u32))?;
    let transform = tiny_skia::Transform::from_scale(
        width_px as f32 / tree.size().width(),
        height as f32 / tree.size().height(),
    );
    resvg::render(&tree, transform, &mut pixmap.as_mut());
    pixmap
        .encode_png()
        .map_err(|e| PngError::Write(e.to_string()))
}
