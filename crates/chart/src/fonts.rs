//! The bundled faces of Inter (SIL Open Font License 1.1, text in `fonts/OFL.txt`).
//!
//! `fonts/subset.sh` tells how the files were made.

use std::sync::{Arc, OnceLock};

use resvg::usvg::fontdb;
use skrifa::instance::{LocationRef, Size};
use skrifa::{FontRef, MetadataProvider};

/// Inter regular, Latin subset for browsers (WOFF2).
pub const INTER_REGULAR_WOFF2: &[u8] = include_bytes!("../fonts/Inter-Regular.woff2");
/// Inter italic, Latin subset for browsers (WOFF2).
pub const INTER_ITALIC_WOFF2: &[u8] = include_bytes!("../fonts/Inter-Italic.woff2");
/// Inter semi-bold (weight 600), Latin subset for browsers (WOFF2).
pub const INTER_SEMIBOLD_WOFF2: &[u8] = include_bytes!("../fonts/Inter-SemiBold.woff2");
/// Inter regular with Latin Extended, Greek, arrows and maths (OpenType, TrueType outlines).
pub const INTER_REGULAR_OTF: &[u8] = include_bytes!("../fonts/Inter-Regular.ttf");
/// Inter italic, the same coverage as [`INTER_REGULAR_OTF`].
pub const INTER_ITALIC_OTF: &[u8] = include_bytes!("../fonts/Inter-Italic.ttf");
/// Inter semi-bold, the same coverage as [`INTER_REGULAR_OTF`].
pub const INTER_SEMIBOLD_OTF: &[u8] = include_bytes!("../fonts/Inter-SemiBold.ttf");
/// The licence text that must travel with the fonts.
pub const FONT_LICENCE: &str = include_str!("../fonts/OFL.txt");

/// The family name written into every figure.
pub const FONT_FAMILY: &str = "Inter";
/// Height of a capital letter as a share of the font size (from the font's OS/2 table).
pub const CAP_HEIGHT: f64 = 1490.0 / 2048.0;

/// One of the three bundled faces.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Face {
    /// Upright, weight 400.
    #[default]
    Regular,
    /// Italic, weight 400: species names.
    Italic,
    /// Upright, weight 600: headings and names.
    SemiBold,
}

impl Face {
    const ALL: [Self; 3] = [Self::Regular, Self::Italic, Self::SemiBold];

    fn bytes(self) -> &'static [u8] {
        match self {
            Self::Regular => INTER_REGULAR_OTF,
            Self::Italic => INTER_ITALIC_OTF,
            Self::SemiBold => INTER_SEMIBOLD_OTF,
        }
    }

    fn font(self) -> Option<&'static FontRef<'static>> {
        static FONTS: OnceLock<[Option<FontRef<'static>>; 3]> = OnceLock::new();
        let fonts = FONTS.get_or_init(|| Face::ALL.map(|f| FontRef::new(f.bytes()).ok()));
        fonts[self as usize].as_ref()
    }

    /// Width of `text` in this face at `size`, in the unit of `size`.
    ///
    /// Sums the advances of the characters. Kerning is left out, so the result is a little
    /// wide (about 1 %), which is the safe side for laying out labels. A character the face
    /// lacks counts as the face's missing-character box.
    #[must_use]
    pub fn width(self, text: &str, size: f64) -> f64 {
        let Some(font) = self.font() else {
            return text.chars().count() as f64 * size * 0.6;
        };
        let map = font.charmap();
        let metrics = font.glyph_metrics(Size::new(1.0), LocationRef::default());
        let ems: f64 = text
            .chars()
            .map(|c| {
                let glyph = map.map(c).unwrap_or_default();
                f64::from(metrics.advance_width(glyph).unwrap_or(0.6))
            })
            .sum();
        ems * size
    }

    /// True when the face has a glyph for the character.
    #[must_use]
    pub fn has(self, c: char) -> bool {
        self.font().is_some_and(|f| f.charmap().map(c).is_some())
    }
}

/// The font database for resvg: the three bundled faces and nothing of the machine.
pub(crate) fn database() -> Arc<fontdb::Database> {
    static DATABASE: OnceLock<Arc<fontdb::Database>> = OnceLock::new();
    DATABASE
        .get_or_init(|| {
            let mut db = fontdb::Database::new();
            for face in Face::ALL {
                db.load_font_source(fontdb::Source::Binary(Arc::new(face.bytes())));
            }
            db.set_sans_serif_family(FONT_FAMILY);
            Arc::new(db)
        })
        .clone()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_database_holds_three_faces_of_one_family() {
        let db = database();
        assert_eq!(db.len(), 3);
        for face in db.faces() {
            assert!(
                face.families.iter().any(|(name, _)| name == FONT_FAMILY),
                "{face:?}"
            );
        }
    }

    #[test]
    fn widths_come_from_the_font() {
        // Inter 4.1, units per em 2048, advances read from the hmtx table with fonttools.
        let units = |text: &str| (Face::Regular.width(text, 2048.0)).round();
        assert_eq!(units("n"), ADVANCE_N);
        assert_eq!(units("W"), ADVANCE_W);
        assert!(Face::SemiBold.width("Bacopa", 12.0) > Face::Regular.width("Bacopa", 12.0));
    }

    const ADVANCE_N: f64 = 1210.0;
    const ADVANCE_W: f64 = 2018.0;

    #[test]
    fn the_characters_figures_need_are_there() {
        for face in Face::ALL {
            for c in "−–×≥≤±µμ₂₃₄⁻⁰¹²³°…→↑↓Δ≈½éüßłž".chars()
            {
                assert!(face.has(c), "{face:?} lacks {c}");
            }
        }
    }
}
