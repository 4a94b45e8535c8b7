//! Taking a new picture: all of it must be there.

use crate::{Media, PictureError, Probe, probe};

/// As [`probe`], for a file that is to be kept: a JPEG that breaks off within its pixels is refused
/// too, which decoders let pass with a grey rest. The other kinds are found cut by decoding them.
///
/// # Errors
/// As [`probe`], and for a JPEG without its end.
pub fn whole(bytes: &[u8]) -> Result<Probe, PictureError> {
    let facts = probe(bytes)?;
    if facts.media == Media::Jpeg && !ends(bytes) {
        return Err(PictureError::Damaged(
            "it breaks off before its end".to_owned(),
        ));
    }
    Ok(facts)
}

/// Whether a JPEG's end marker (EOI, FF D9) follows its first scan: ISO/IEC 10918-1, B.1.1.2 to
/// B.1.1.5. Before the scan the segments are stepped over, since a small picture within one has an
/// end of its own; within a scan FF is always followed by 0 or a restart, so FF D9 is the end.
/// Cameras may write more behind it.
fn ends(bytes: &[u8]) -> bool {
    let mut at = 2;
    loop {
        let Some(&[0xff, marker]) = bytes.get(at..at + 2) else {
            return false;
        };
        match marker {
            // Fill bytes; markers without a length.
            0xff => at += 1,
            0x01 | 0xd0..=0xd8 => at += 2,
            0xda => return bytes[at..].windows(2).any(|w| w == [0xff, 0xd9]),
            _ => {
                let Some(&[high, low]) = bytes.get(at + 2..at + 4) else {
                    return false;
                };
                at += 2 + usize::from(u16::from_be_bytes([high, low]));
            }
        }
    }
}
