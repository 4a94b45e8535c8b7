//! Small copies, upright and without metadata.

use image::codecs::jpeg::JpegEncoder;
use image::imageops::FilterType;
use image::{DynamicImage, Rgb, RgbImage};

use crate::facts::{damaged, decoder};
use crate::{PictureError, probe};

/// JPEG quality of copies: 85 of 100 leaves no loss one sees at arm's length (common practice, no
/// source).
const QUALITY: u8 = 85;

/// A JPEG copy at most `width` pixels wide, upright, on white where the original is transparent. A
/// picture that is narrower keeps its size.
///
/// The copy holds pixels alone: no EXIF, no XMP, no colour profile, no second picture. A wide colour
/// profile is not converted, so very strong colours may look a little duller.
///
/// # Errors
/// As [`probe`], and when the file is damaged or cut short behind its header.
pub fn thumbnail(bytes: &[u8], width: u32) -> Result<Vec<u8>, PictureError> {
    if width == 0 {
        return Err(PictureError::NoWidth);
    }
    let facts = probe(bytes)?;
    let mut picture = DynamicImage::from_decoder(decoder(bytes)?).map_err(|e| damaged(&e))?;
    // Small first, then upright: turning moves far fewer pixels.
    let shown = facts.width_px;
    if shown > width {
        let scale = |side: u32| {
            let side = u64::from(side) * u64::from(width) / u64::from(shown);
            u32::try_from(side).unwrap_or(u32::MAX).max(1)
        };
        let (w, h) = (scale(picture.width()), scale(picture.height()));
        picture = smaller(&picture, w, h);
    }
    picture.apply_orientation(facts.orientation);
    let mut out = Vec::new();
    JpegEncoder::new_with_quality(&mut out, QUALITY)
        .encode_image(&on_white(picture))
        .map_err(|e| damaged(&e))?;
    Ok(out)
}

/// Halving by plain averages is fast; the last step is done with a filter that keeps edges.
fn smaller(picture: &DynamicImage, width: u32, height: u32) -> DynamicImage {
    let twice = (width.saturating_mul(2), height.saturating_mul(2));
    if picture.width() > twice.0 && picture.height() > twice.1 {
        picture.thumbnail_exact(twice.0, twice.1).resize_exact(
            width,
            height,
            FilterType::CatmullRom,
        )
    } else {
        picture.resize_exact(width, height, FilterType::CatmullRom)
    }
}

fn on_white(picture: DynamicImage) -> RgbImage {
    if !picture.color().has_alpha() {
        return picture.into_rgb8();
    }
    let rgba = picture.into_rgba8();
    RgbImage::from_fn(rgba.width(), rgba.height(), |x, y| {
        let [r, g, b, a] = rgba.get_pixel(x, y).0;
        let over = |c: u8| {
            let (c, a) = (u32::from(c), u32::from(a));
            u8::try_from((c * a + 255 * (255 - a) + 127) / 255).unwrap_or(u8::MAX)
        };
        Rgb([over(r), over(g), over(b)])
    })
}
