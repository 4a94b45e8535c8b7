//! Real files made here, and files made to harm.
//!
//! Sources: JPEG segments, ISO/IEC 10918-1 Annex B; EXIF, CIPA DC-008-2019 (4.6.4, 4.6.5); PNG, W3C
//! PNG 3rd edition 5.2, 11.2; CRC-32 of PNG chunks, Annex D; WebP, RFC 9649 section 2.

#![allow(clippy::unwrap_used)]

use std::io::Cursor;

use image::metadata::Orientation;
use image::{DynamicImage, ImageFormat, ImageReader, Rgb, RgbImage, Rgba, RgbaImage};
use picture::{LONGEST_SIDE, Media, PictureError, probe, thumbnail, whole};
use proptest::prelude::*;

/// Left half red, right half blue.
fn halves(width: u32, height: u32) -> DynamicImage {
    RgbImage::from_fn(width, height, |x, _| {
        if x < width / 2 {
            Rgb([200, 20, 20])
        } else {
            Rgb([20, 20, 200])
        }
    })
    .into()
}

fn encoded(picture: &DynamicImage, format: ImageFormat) -> Vec<u8> {
    let mut out = Cursor::new(Vec::new());
    picture.write_to(&mut out, format).unwrap();
    out.into_inner()
}

fn decoded(bytes: &[u8]) -> RgbImage {
    let reader = ImageReader::with_format(Cursor::new(bytes), ImageFormat::Jpeg);
    reader.decode().unwrap().into_rgb8()
}

/// A big-endian TIFF body with one orientation, a time and, when asked, a latitude.
fn exif(orientation: u16, taken: &str, place: bool) -> Vec<u8> {
    let entry = |tag: u16, kind: u16, count: u32, value: [u8; 4]| {
        let mut e = Vec::new();
        e.extend(tag.to_be_bytes());
        e.extend(kind.to_be_bytes());
        e.extend(count.to_be_bytes());
        e.extend(value);
        e
    };
    let short = |v: u16| [v.to_be_bytes()[0], v.to_be_bytes()[1], 0, 0];
    let long = |v: u32| v.to_be_bytes();
    // Header 0..8; first directory at 8 with three entries: 2 + 36 + 4 = 42 bytes, so the EXIF
    // directory is at 50 (one entry, 18 bytes), its text at 68 (20 bytes), the GPS directory at 88.
    let mut tiff = b"MM\0\x2a\0\0\0\x08".to_vec();
    tiff.extend(3u16.to_be_bytes());
    tiff.extend(entry(0x0112, 3, 1, short(orientation)));
    tiff.extend(entry(0x8769, 4, 1, long(50)));
    tiff.extend(entry(0x8825, 4, 1, long(88)));
    tiff.extend(long(0));
    tiff.extend(1u16.to_be_bytes());
    tiff.extend(entry(0x9003, 2, 20, long(68)));
    tiff.extend(long(0));
    tiff.extend(format!("{taken}\0").bytes());
    assert_eq!(tiff.len(), 88);
    tiff.extend(1u16.to_be_bytes());
    if place {
        // 48 deg 8 min 14 s, at 106.
        tiff.extend(entry(0x0002, 5, 3, long(106)));
        tiff.extend(long(0));
        for part in [48u32, 1, 8, 1, 14, 1] {
            tiff.extend(part.to_be_bytes());
        }
    } else {
        tiff.extend(entry(0x0000, 1, 4, [2, 3, 0, 0]));
        tiff.extend(long(0));
    }
    tiff
}

/// Puts a segment straight behind the start of a JPEG.
fn with_segment(jpeg: &[u8], start: &[u8], body: &[u8]) -> Vec<u8> {
    let mut out = vec![0xff, 0xd8, 0xff, 0xe1];
    out.extend(
        u16::try_from(start.len() + body.len() + 2)
            .unwrap()
            .to_be_bytes(),
    );
    out.extend(start);
    out.extend(body);
    out.extend(&jpeg[2..]);
    out
}

fn with_exif(orientation: u16, place: bool) -> Vec<u8> {
    let jpeg = encoded(&halves(40, 20), ImageFormat::Jpeg);
    let body = exif(orientation, "2026:03:01 18:30:05", place);
    with_segment(&jpeg, b"Exif\0\0", &body)
}

#[test]
fn the_three_kinds_are_told_by_content() {
    for (format, media) in [
        (ImageFormat::Jpeg, Media::Jpeg),
        (ImageFormat::Png, Media::Png),
        (ImageFormat::WebP, Media::Webp),
    ] {
        let bytes = encoded(&halves(30, 12), format);
        let facts = probe(&bytes).unwrap();
        assert_eq!(facts.media, media);
        assert_eq!((facts.width_px, facts.height_px), (30, 12));
        assert_eq!(facts.orientation, Orientation::NoTransforms);
        assert_eq!((facts.taken_at, facts.has_location), (None, false));
    }
}

#[test]
fn time_and_orientation_are_read_and_a_place_is_noticed() {
    let facts = probe(&with_exif(6, true)).unwrap();
    assert_eq!(facts.orientation, Orientation::Rotate90);
    assert_eq!((facts.width_px, facts.height_px), (20, 40));
    let taken = jiff::civil::datetime(2026, 3, 1, 18, 30, 5, 0);
    assert_eq!(facts.taken_at, Some(taken));
    assert!(facts.has_location);
    // A GPS directory that holds its version alone says nothing of the place.
    assert!(!probe(&with_exif(1, false)).unwrap().has_location);
}

#[test]
fn a_place_in_an_xmp_packet_is_noticed() {
    let jpeg = encoded(&halves(40, 20), ImageFormat::Jpeg);
    let packet = b"<rdf:Description exif:GPSLatitude=\"48,8.2N\"/>";
    let bytes = with_segment(&jpeg, b"http://ns.adobe.com/xap/1.0/\0", packet);
    assert!(probe(&bytes).unwrap().has_location);
}

/// Pictures of one scene may stand in one file, each with its EXIF (CIPA DC-007, multi-picture format).
#[test]
fn a_place_in_a_second_picture_or_in_words_is_noticed() {
    let plain = with_exif(1, false);
    assert!(!probe(&plain).unwrap().has_location);
    let second = [plain.as_slice(), &with_exif(1, true)].concat();
    assert!(probe(&second).unwrap().has_location);
    let still_none = [plain.as_slice(), &with_exif(1, false)].concat();
    assert!(!probe(&still_none).unwrap().has_location);
    let packet = b"<rdf:Description photoshop:City=\"Lisbon\"/>";
    let words = with_segment(&plain, b"http://ns.adobe.com/xap/1.0/\0", packet);
    assert!(probe(&words).unwrap().has_location);
    // More blocks than any camera writes are not looked through: such a file counts as placed.
    let many = [plain.as_slice(), &b"Exif\0\0".repeat(40)].concat();
    assert!(probe(&many).unwrap().has_location);
    let copy = thumbnail(&second, 16_384).unwrap();
    assert!(!probe(&copy).unwrap().has_location);
}

#[test]
fn copies_stand_upright() {
    // Orientation 6: the stored left edge is shown on top (CIPA DC-008, 4.6.5 figure of Orientation).
    let copy = decoded(&thumbnail(&with_exif(6, false), 640).unwrap());
    assert_eq!(copy.dimensions(), (20, 40));
    let (top, bottom) = (copy.get_pixel(10, 4).0, copy.get_pixel(10, 35).0);
    assert!(top[0] > 150 && bottom[2] > 150, "{top:?} {bottom:?}");
    // Orientation 3: turned by half.
    let copy = decoded(&thumbnail(&with_exif(3, false), 640).unwrap());
    assert!(copy.get_pixel(4, 10).0[2] > 150);
}

#[test]
fn copies_carry_nothing_but_pixels() {
    let copy = thumbnail(&with_exif(1, true), 20).unwrap();
    let holds = |word: &[u8]| copy.windows(word.len()).any(|w| w == word);
    assert!(!holds(b"Exif") && !holds(b"2026") && !holds(b"GPS"));
    let facts = probe(&copy).unwrap();
    assert!(!facts.has_location && facts.taken_at.is_none());
    assert_eq!((facts.width_px, facts.height_px), (20, 10));
}

#[test]
fn wide_pictures_shrink_and_narrow_ones_stay() {
    let bytes = encoded(&halves(1000, 500), ImageFormat::Png);
    let copy = decoded(&thumbnail(&bytes, 100).unwrap());
    assert_eq!(copy.dimensions(), (100, 50));
    assert!(copy.get_pixel(10, 25).0[0] > 150 && copy.get_pixel(90, 25).0[2] > 150);
    let same = decoded(&thumbnail(&bytes, 4000).unwrap());
    assert_eq!(same.dimensions(), (1000, 500));
    assert_eq!(thumbnail(&bytes, 0), Err(PictureError::NoWidth));
    // One row stays one row.
    let line = encoded(&halves(4000, 1), ImageFormat::Png);
    assert_eq!(
        decoded(&thumbnail(&line, 50).unwrap()).dimensions(),
        (50, 1)
    );
}

#[test]
fn transparent_parts_become_white() {
    let clear: DynamicImage = RgbaImage::from_pixel(8, 8, Rgba([0, 0, 0, 0])).into();
    for format in [ImageFormat::Png, ImageFormat::WebP] {
        let copy = decoded(&thumbnail(&encoded(&clear, format), 8).unwrap());
        assert!(copy.pixels().all(|p| p.0.iter().all(|c| *c > 250)));
    }
}

/// A PNG header that claims a size, with a true checksum, and next to nothing behind it.
fn claimed_png(width: u32, height: u32) -> Vec<u8> {
    let mut chunk = b"IHDR".to_vec();
    chunk.extend(width.to_be_bytes());
    chunk.extend(height.to_be_bytes());
    chunk.extend([8, 2, 0, 0, 0]);
    let mut png = b"\x89PNG\r\n\x1a\n\0\0\0\x0d".to_vec();
    png.extend(&chunk);
    png.extend(crc(&chunk).to_be_bytes());
    png.extend(b"\0\0\0\0IDAT");
    png.extend(crc(b"IDAT").to_be_bytes());
    png
}

fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |c, _| {
            if c & 1 == 1 {
                0xedb8_8320 ^ (c >> 1)
            } else {
                c >> 1
            }
        })
    })
}

#[test]
fn sizes_are_refused_from_the_header() {
    for (width, height) in [
        (60_000, 60_000),
        (LONGEST_SIDE + 1, 1),
        (1, LONGEST_SIDE + 1),
        (10_000, 8_001),
        (u32::from(u16::MAX), 1_000_000_000),
    ] {
        let bytes = claimed_png(width, height);
        assert!(bytes.len() < 100);
        let refused = PictureError::TooLarge { width, height };
        assert_eq!(probe(&bytes), Err(refused.clone()));
        assert_eq!(thumbnail(&bytes, 640), Err(refused));
    }
    assert!(probe(&claimed_png(10_000, 8_000)).is_ok());
    let said = probe(&claimed_png(60_000, 60_000)).unwrap_err().to_string();
    assert_eq!(
        said,
        "the picture is 60000 x 60000 pixels; accepted are up to 16384 on a side and 80 million in all"
    );
}

#[test]
fn a_jpeg_that_claims_too_much_is_refused() {
    let mut jpeg = encoded(&halves(40, 20), ImageFormat::Jpeg);
    // SOF0: marker, length (2), precision (1), height (2), width (2).
    let at = jpeg.windows(2).position(|w| w == [0xff, 0xc0]).unwrap();
    jpeg[at + 5..at + 9].copy_from_slice(&[0xff, 0xff, 0xff, 0xff]);
    assert_eq!(
        probe(&jpeg),
        Err(PictureError::TooLarge {
            width: 65_535,
            height: 65_535
        })
    );
}

#[test]
fn other_files_are_refused() {
    for bytes in [
        &b""[..],
        b"\xff\xd8",
        b"GIF89a\x01\0\x01\0",
        b"<svg xmlns=\"http://www.w3.org/2000/svg\"/>",
        b"<!doctype html><script>alert(1)</script>",
        b"MM\0\x2a\0\0\0\x08",
        b"RIFF\x10\0\0\0WAVEfmt ",
    ] {
        assert_eq!(probe(bytes), Err(PictureError::Kind), "{bytes:?}");
    }
}

#[test]
fn files_cut_short_are_damaged() {
    for format in [ImageFormat::Png, ImageFormat::WebP] {
        let whole = encoded(&halves(300, 200), format);
        for share in [1, 10, 30] {
            let part = &whole[..whole.len() * share / 100];
            assert!(thumbnail(part, 64).is_err(), "{format:?} {share} %");
        }
    }
    assert!(matches!(
        probe(b"\xff\xd8\xff\xe0\0\x10JFIF"),
        Err(PictureError::Damaged(_))
    ));
}

#[test]
fn a_file_that_breaks_off_is_not_whole() {
    let jpeg = with_exif(6, true);
    assert_eq!(whole(&jpeg).unwrap(), probe(&jpeg).unwrap());
    // What cameras write behind the end does no harm.
    let mut more = jpeg.clone();
    more.extend(b"and a short film");
    assert!(whole(&more).is_ok());
    // ISO/IEC 10918-1 B.1.1.5: the scan begins at SOS; cut anywhere behind it, the end is missing.
    let scan = jpeg.windows(2).rposition(|w| w == [0xff, 0xda]).unwrap();
    for cut in scan + 20..jpeg.len() - 1 {
        assert!(
            whole(&jpeg[..cut]).is_err(),
            "cut at {cut} of {}",
            jpeg.len()
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Whatever stands behind a good start, the answer is a picture or an error, never a panic.
    #[test]
    fn no_bytes_bring_it_down(
        kind in 0usize..4,
        changes in proptest::collection::vec((0usize..2000, any::<u8>()), 0..40),
        keep in 0usize..2000,
    ) {
        let mut bytes = match kind {
            0 => with_exif(6, true),
            1 => encoded(&halves(40, 20), ImageFormat::Png),
            2 => encoded(&halves(40, 20), ImageFormat::WebP),
            _ => encoded(&halves(40, 20), ImageFormat::Jpeg),
        };
        for (at, byte) in changes {
            let length = bytes.len();
            bytes[at % length] = byte;
        }
        bytes.truncate(keep.max(1));
        if let Ok(copy) = thumbnail(&bytes, 16) {
            prop_assert!(probe(&copy).is_ok_and(|p| p.width_px <= 16));
        }
    }
}
