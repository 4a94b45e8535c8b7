//! sRGB colours and the contrast ratio of WCAG 2.2.

/// An opaque sRGB colour, eight bits a channel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rgb(pub u8, pub u8, pub u8);

impl Rgb {
    /// The colour as `#rrggbb`.
    #[must_use]
    pub fn hex(self) -> String {
        format!("#{:02x}{:02x}{:02x}", self.0, self.1, self.2)
    }

    /// Linear-light channels, 0 to 1.
    #[must_use]
    pub fn linear(self) -> [f64; 3] {
        [self.0, self.1, self.2].map(|channel| {
            let c = f64::from(channel) / 255.0;
            // Threshold 0.04045 as in IEC 61966-2-1 and WCAG 2.2, "relative luminance".
            if c <= 0.040_45 {
                c / 12.92
            } else {
                ((c + 0.055) / 1.055).powf(2.4)
            }
        })
    }

    /// Relative luminance, 0 (black) to 1 (white), as WCAG 2.2 defines it.
    #[must_use]
    pub fn luminance(self) -> f64 {
        let [r, g, b] = self.linear();
        0.2126 * r + 0.7152 * g + 0.0722 * b
    }

    /// Contrast ratio of WCAG 2.2, 1 to 21; the order of the two does not matter.
    #[must_use]
    pub fn contrast(self, other: Self) -> f64 {
        let (a, b) = (self.luminance(), other.luminance());
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn contrast_matches_known_pairs() {
        // WCAG 2.2: black on white is 21:1. #767676 on white is the well-known lightest grey
        // at 4.54:1, #949494 at 3.03:1 (from memory).
        let white = Rgb(255, 255, 255);
        assert!((Rgb(0, 0, 0).contrast(white) - 21.0).abs() < 1e-9);
        assert!((Rgb(0x76, 0x76, 0x76).contrast(white) - 4.54).abs() < 0.005);
        assert!((white.contrast(Rgb(0x94, 0x94, 0x94)) - 3.03).abs() < 0.005);
        assert_eq!(Rgb(1, 171, 255).hex(), "#01abff");
    }
}
