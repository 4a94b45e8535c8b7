//! Photographs as bytes: what their header says, and small copies of them. Pure: bytes in, bytes or
//! facts out.
//!
//! [`probe`] reads the header alone and refuses what is too large before a pixel is decoded;
//! [`whole`] refuses a file that breaks off as well.
//! [`thumbnail`] decodes within the same limits, turns the picture upright and encodes it anew, so
//! that nothing but pixels goes into the copy: no place, no camera, no name. Originals are never
//! changed here.

mod copy;
mod facts;
mod whole;

pub use copy::thumbnail;
pub use facts::probe;
pub use whole::whole;

use image::metadata::Orientation;
use jiff::civil::DateTime;

/// Longest side taken, in pixels.
pub const LONGEST_SIDE: u32 = 16_384;
/// Most pixels taken: 240 MB once decoded. Telephones take 12 to 50 million (common practice, no
/// source).
pub const MOST_PIXELS: u64 = 80_000_000;

/// The kinds of file taken, told by their first bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Media {
    /// JPEG.
    Jpeg,
    /// PNG.
    Png,
    /// WebP.
    Webp,
}

impl Media {
    /// Its media type, such as `image/jpeg`.
    pub fn media_type(self) -> &'static str {
        match self {
            Self::Jpeg => "image/jpeg",
            Self::Png => "image/png",
            Self::Webp => "image/webp",
        }
    }
}

/// What a picture's header says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Probe {
    /// What kind of file it is.
    pub media: Media,
    /// Width as shown, in pixels: upright.
    pub width_px: u32,
    /// Height as shown, in pixels.
    pub height_px: u32,
    /// How its pixels are to be turned to stand upright.
    pub orientation: Orientation,
    /// When it was taken, by the camera's own clock, which knows no zone; none when it does not say.
    pub taken_at: Option<DateTime>,
    /// Whether the file says where it was taken.
    pub has_location: bool,
}

/// Why bytes are not taken as a picture.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PictureError {
    /// Not one of the kinds taken.
    #[error("the file is not a picture that can be kept; accepted are JPEG, PNG and WebP")]
    Kind,
    /// More pixels than are taken.
    #[error(
        "the picture is {width} x {height} pixels; accepted are up to {LONGEST_SIDE} on a side \
         and {} million in all", MOST_PIXELS / 1_000_000
    )]
    TooLarge {
        /// Width as stored.
        width: u32,
        /// Height as stored.
        height: u32,
    },
    /// Damaged, cut short, or not what its first bytes say.
    #[error("the picture cannot be read ({0}); accepted is a whole JPEG, PNG or WebP file")]
    Damaged(String),
    /// A copy without width.
    #[error("a copy 0 pixels wide was asked for; accepted are widths from 1")]
    NoWidth,
}

/// Refuses sizes before anything is decoded.
fn check_size(width: u32, height: u32) -> Result<(), PictureError> {
    let pixels = u64::from(width) * u64::from(height);
    if width > LONGEST_SIDE || height > LONGEST_SIDE || pixels > MOST_PIXELS {
        return Err(PictureError::TooLarge { width, height });
    }
    if pixels == 0 {
        return Err(PictureError::Damaged("it has no pixels".to_owned()));
    }
    Ok(())
}
