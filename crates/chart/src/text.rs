//! Rich text: runs of plain, italic and semi-bold text, measured with the real font.

use crate::fonts::Face;

/// A stretch of text in one face.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Run {
    /// The characters.
    pub text: String,
    /// The face they are set in.
    pub face: Face,
}

/// Text made of runs: `RichText::default().italic("Bacopa caroliniana").plain(", stem")`.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct RichText {
    /// The runs in reading order.
    pub runs: Vec<Run>,
}

impl From<&str> for RichText {
    fn from(text: &str) -> Self {
        Self::default().plain(text)
    }
}

impl From<String> for RichText {
    fn from(text: String) -> Self {
        Self::default().plain(text)
    }
}

impl RichText {
    fn with(mut self, text: impl Into<String>, face: Face) -> Self {
        self.runs.push(Run {
            text: text.into(),
            face,
        });
        self
    }

    /// Adds regular text.
    #[must_use]
    pub fn plain(self, text: impl Into<String>) -> Self {
        self.with(text, Face::Regular)
    }

    /// Adds italic text, as for species names.
    #[must_use]
    pub fn italic(self, text: impl Into<String>) -> Self {
        self.with(text, Face::Italic)
    }

    /// Adds semi-bold text.
    #[must_use]
    pub fn strong(self, text: impl Into<String>) -> Self {
        self.with(text, Face::SemiBold)
    }

    /// The characters without their faces.
    #[must_use]
    pub fn to_plain(&self) -> String {
        self.runs.iter().map(|r| r.text.as_str()).collect()
    }

    /// True when there is nothing to draw.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.runs.iter().all(|r| r.text.is_empty())
    }

    /// Width at a font size, in the unit of `size`; see [`Face::width`].
    #[must_use]
    pub fn width(&self, size: f64) -> f64 {
        self.runs.iter().map(|r| r.face.width(&r.text, size)).sum()
    }

    /// The largest size of at most `size` and at least `smallest` at which the text fits
    /// `width`; at `smallest` it may still be too wide and wants [`Self::ellipsis`].
    #[must_use]
    pub fn fit(&self, size: f64, smallest: f64, width: f64) -> f64 {
        let natural = self.width(size);
        if natural <= width || natural <= 0.0 {
            size
        } else {
            (size * width / natural).clamp(smallest.min(size), size)
        }
    }

    /// The text cut to `width` with `…` at the end when it does not fit.
    #[must_use]
    pub fn ellipsis(&self, size: f64, width: f64) -> Self {
        if self.width(size) <= width {
            return self.clone();
        }
        let mut chars: Vec<(char, Face)> = self.chars().collect();
        while let Some((_, face)) = chars.pop() {
            while chars
                .last()
                .is_some_and(|(c, _)| c.is_whitespace() || *c == ',')
            {
                chars.pop();
            }
            let cut = Self::from_chars(chars.iter().copied().chain([('…', face)]));
            if cut.width(size) <= width {
                return cut;
            }
        }
        Self::from("…")
    }

    /// The text broken at spaces into lines of at most `width`; a single word that is wider
    /// is cut with `…`. At most `max_lines` lines; what does not fit ends in `…`.
    #[must_use]
    pub fn wrap(&self, size: f64, width: f64, max_lines: usize) -> Vec<Self> {
        let mut lines: Vec<Self> = Vec::new();
        let mut line = Self::default();
        for word in self.words() {
            let mut longer = line.clone();
            longer.append(&word);
            if line.is_empty() || longer.trimmed().width(size) <= width {
                line = longer;
            } else if lines.len() + 1 < max_lines {
                lines.push(line.trimmed().ellipsis(size, width));
                line = word;
            } else {
                line = longer;
            }
        }
        if !line.is_empty() {
            lines.push(line.trimmed().ellipsis(size, width));
        }
        lines
    }

    fn append(&mut self, other: &Self) {
        *self = Self::from_chars(self.chars().chain(other.chars()));
    }

    fn chars(&self) -> impl Iterator<Item = (char, Face)> + '_ {
        self.runs
            .iter()
            .flat_map(|r| r.text.chars().map(|c| (c, r.face)))
    }

    fn from_chars(chars: impl Iterator<Item = (char, Face)>) -> Self {
        let mut runs: Vec<Run> = Vec::new();
        for (c, face) in chars {
            match runs.last_mut() {
                Some(run) if run.face == face => run.text.push(c),
                _ => runs.push(Run {
                    text: c.to_string(),
                    face,
                }),
            }
        }
        Self { runs }
    }

    /// Words with the space that follows them; no-break spaces do not part words.
    fn words(&self) -> Vec<Self> {
        let mut words = Vec::new();
        let mut word = Vec::new();
        let breaks = |c: char| c.is_whitespace() && c != '\u{a0}' && c != '\u{202f}';
        for (c, face) in self.chars() {
            if !breaks(c) && word.last().is_some_and(|(last, _)| breaks(*last)) {
                words.push(Self::from_chars(word.drain(..)));
            }
            word.push((c, face));
        }
        if !word.is_empty() {
            words.push(Self::from_chars(word.into_iter()));
        }
        words
    }

    fn trimmed(&self) -> Self {
        let mut chars: Vec<(char, Face)> = self.chars().collect();
        while chars.last().is_some_and(|(c, _)| c.is_whitespace()) {
            chars.pop();
        }
        let start = chars.iter().take_while(|(c, _)| c.is_whitespace()).count();
        Self::from_chars(chars.into_iter().skip(start))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn species() -> RichText {
        RichText::default()
            .italic("Cryptocoryne wendtii")
            .plain(", rosette, brownish")
    }

    #[test]
    fn ellipsis_fits_and_keeps_the_face() {
        let cut = species().ellipsis(12.0, 90.0);
        assert!(cut.width(12.0) <= 90.0);
        assert!(cut.to_plain().ends_with('…'));
        assert_eq!(cut.runs[0].face, Face::Italic);
        assert_eq!(species().ellipsis(12.0, 1000.0), species());
        assert_eq!(species().ellipsis(12.0, 1.0).to_plain(), "…");
    }

    #[test]
    fn wrap_loses_no_word_when_there_is_room() {
        let lines = species().wrap(12.0, 100.0, 9);
        assert!(lines.len() > 1);
        let joined: Vec<String> = lines.iter().map(RichText::to_plain).collect();
        assert_eq!(joined.join(" "), species().to_plain());
        assert!(lines.iter().all(|l| l.width(12.0) <= 100.0));
    }

    #[test]
    fn wrap_says_when_it_cuts() {
        let lines = species().wrap(12.0, 80.0, 2);
        assert_eq!(lines.len(), 2);
        assert!(lines[1].to_plain().ends_with('…'));
        assert!(RichText::default().wrap(12.0, 80.0, 2).is_empty());
    }

    #[test]
    fn fit_shrinks_only_when_needed() {
        let text = RichText::from("Needle spikerush");
        assert_eq!(text.fit(14.0, 11.0, 500.0), 14.0);
        let size = text.fit(14.0, 11.0, text.width(12.0));
        assert!((size - 12.0).abs() < 0.01);
        assert_eq!(text.fit(14.0, 11.0, 5.0), 11.0);
    }
}
