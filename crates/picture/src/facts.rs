//! Reading a header: kind, size, orientation, time, and whether a place is in it.

use std::io::Cursor;

use exif::{Context, Exif, In, Tag, Value};
use image::metadata::Orientation;
use image::{ImageDecoder, ImageFormat, ImageReader, Limits};
use jiff::civil::DateTime;

use crate::{MOST_PIXELS, Media, PictureError, Probe, check_size};

/// What the header of a picture says; no pixel is decoded.
///
/// EXIF is read for orientation, time and place (CIPA DC-008, tags 0x0112, 0x9003 and the GPS
/// directory); a place in an XMP packet (`exif:GPSLatitude`) or in a second picture's EXIF counts too.
///
/// # Errors
/// Another kind of file, too many pixels, or a header that cannot be read.
pub fn probe(bytes: &[u8]) -> Result<Probe, PictureError> {
    let media = media(bytes)?;
    let (width, height) = decoder(bytes)?.dimensions();
    let exif = exif::Reader::new()
        .read_from_container(&mut Cursor::new(bytes))
        .ok();
    let orientation = exif.as_ref().map_or(Orientation::NoTransforms, orientation);
    let (width_px, height_px) = if turned(orientation) {
        (height, width)
    } else {
        (width, height)
    };
    Ok(Probe {
        media,
        width_px,
        height_px,
        orientation,
        taken_at: exif.as_ref().and_then(taken_at),
        has_location: exif.as_ref().is_some_and(places) || mentions_place(bytes),
    })
}

/// The kind of file by its first bytes: PNG 3rd edition 5.2, ISO/IEC 10918-1 B.1.1.3 (SOI, then a
/// marker), RFC 9649 section 2.4.
fn media(bytes: &[u8]) -> Result<Media, PictureError> {
    match bytes {
        [0xff, 0xd8, 0xff, ..] => Ok(Media::Jpeg),
        [0x89, b'P', b'N', b'G', b'\r', b'\n', 0x1a, b'\n', ..] => Ok(Media::Png),
        [
            b'R',
            b'I',
            b'F',
            b'F',
            _,
            _,
            _,
            _,
            b'W',
            b'E',
            b'B',
            b'P',
            ..,
        ] => Ok(Media::Webp),
        _ => Err(PictureError::Kind),
    }
}

/// A decoder that has read the header and nothing else, its size already found acceptable.
pub(crate) fn decoder(bytes: &[u8]) -> Result<impl ImageDecoder + '_, PictureError> {
    let format = match media(bytes)? {
        Media::Jpeg => ImageFormat::Jpeg,
        Media::Png => ImageFormat::Png,
        Media::Webp => ImageFormat::WebP,
    };
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    // Sizes are checked by us, so that the sentence can name them; this bounds what else a decoder
    // may take: eight bytes for each pixel (16 bits, four channels).
    let mut limits = Limits::no_limits();
    limits.max_alloc = Some(MOST_PIXELS * 8);
    reader.limits(limits);
    let decoder = reader.into_decoder().map_err(|e| damaged(&e))?;
    let (width, height) = decoder.dimensions();
    check_size(width, height)?;
    Ok(decoder)
}

pub(crate) fn damaged(error: &image::ImageError) -> PictureError {
    PictureError::Damaged(error.to_string())
}

/// The orientation EXIF states.
fn orientation(exif: &Exif) -> Orientation {
    exif.get_field(Tag::Orientation, In::PRIMARY)
        .and_then(|field| field.value.get_uint(0))
        .and_then(|value| u8::try_from(value).ok())
        .and_then(Orientation::from_exif)
        .unwrap_or(Orientation::NoTransforms)
}

fn turned(orientation: Orientation) -> bool {
    matches!(
        orientation,
        Orientation::Rotate90
            | Orientation::Rotate270
            | Orientation::Rotate90FlipH
            | Orientation::Rotate270FlipH
    )
}

/// When the shutter opened, else when it was made digital.
fn taken_at(exif: &Exif) -> Option<DateTime> {
    [Tag::DateTimeOriginal, Tag::DateTimeDigitized]
        .into_iter()
        .find_map(|tag| {
            let field = exif.get_field(tag, In::PRIMARY)?;
            let Value::Ascii(texts) = &field.value else {
                return None;
            };
            let read = exif::DateTime::from_ascii(texts.first()?).ok()?;
            DateTime::new(
                i16::try_from(read.year).ok()?,
                i8::try_from(read.month).ok()?,
                i8::try_from(read.day).ok()?,
                i8::try_from(read.hour).ok()?,
                i8::try_from(read.minute).ok()?,
                i8::try_from(read.second).ok()?,
                0,
            )
            .ok()
        })
}

/// Whether the GPS directory holds a place; a version or a time alone is none.
fn places(exif: &Exif) -> bool {
    exif.fields().any(|field| {
        field.tag.context() == Context::Gps
            && [
                Tag::GPSLatitude,
                Tag::GPSLongitude,
                Tag::GPSDestLatitude,
                Tag::GPSDestLongitude,
            ]
            .contains(&field.tag)
    })
}

/// Whether a place is written elsewhere in the file: in an XMP packet, which is text, so its property
/// names stand in the bytes (ISO 16684-1; IPTC Photo Metadata Standard, names from memory), or in the
/// EXIF of a second picture behind the first. A false alarm costs a sentence, a missed place could
/// cost more.
fn mentions_place(bytes: &[u8]) -> bool {
    const WORDS: [&[u8]; 5] = [
        b"GPSLatitude",
        b"GPSLongitude",
        b"Iptc4xmpCore:Location",
        b"Iptc4xmpExt:Location",
        b"photoshop:City",
    ];
    let mut more_exif = 0;
    let mut rest = bytes;
    while let Some(at) = rest
        .iter()
        .position(|b| matches!(b, b'G' | b'I' | b'p' | b'E'))
    {
        rest = &rest[at..];
        if WORDS.iter().any(|word| rest.starts_with(word)) {
            return true;
        }
        if let Some(block) = rest.strip_prefix(EXIF_HEAD) {
            more_exif += 1;
            if more_exif > MOST_EXIF || block_places(block) {
                return true;
            }
        }
        rest = &rest[1..];
    }
    false
}

/// What a block of EXIF begins with in a JPEG file (CIPA DC-008, 4.7.2).
const EXIF_HEAD: &[u8] = b"Exif\0\0";
/// Blocks of EXIF looked into. No camera writes as many; a file that has more counts as one that
/// tells a place.
const MOST_EXIF: u32 = 16;
/// The most a block of EXIF can hold: the length of a JPEG segment has 16 bits.
const LONGEST_EXIF: usize = 65_535;

fn block_places(block: &[u8]) -> bool {
    let block = &block[..block.len().min(LONGEST_EXIF)];
    exif::Reader::new()
        .read_raw(block.to_vec())
        .is_ok_and(|exif| places(&exif))
}
