//! Frames: still pictures of fixed size for a video, each in two sizes.
//!
//! A frame is laid out for its size, not cropped: figures are drawn anew at the width that makes
//! their smallest words [`LEAST_TEXT`] px, and what does not fit one frame goes on in a further one.

mod pictures;
mod plots;
mod sheet;
mod words;

use crate::update::Pictures;
use answers::update::UpdateView;
use chart::{PngError, Scene, Theme};

/// The smallest text in px: legible on a telephone that shows the frame a third of its size (common
/// practice, no source).
pub const LEAST_TEXT: f64 = 28.0;

/// The two sizes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Size {
    /// 1920 x 1080 px.
    Landscape,
    /// 1080 x 1920 px.
    Portrait,
}

impl Size {
    /// Both.
    pub const ALL: [Size; 2] = [Size::Landscape, Size::Portrait];

    /// Width and height in px.
    pub fn px(self) -> (u32, u32) {
        match self {
            Size::Landscape => (1920, 1080),
            Size::Portrait => (1080, 1920),
        }
    }

    fn ending(self) -> String {
        let (w, h) = self.px();
        format!("-{w}x{h}.png")
    }
}

/// One frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    /// The place of its topic in the row, from 1; the same in both sizes.
    pub number: usize,
    /// What it shows, for its file's name (`question`, `ash-before-after`).
    pub word: String,
    /// Which part of its topic, from 1, when one frame does not hold it all.
    pub part: Option<usize>,
    /// Its size.
    pub size: Size,
    /// What is drawn.
    pub scene: Scene,
}

/// What a frame is about before it has its place in the row.
struct Drawn {
    word: String,
    part: Option<usize>,
    scene: Scene,
}

impl Drawn {
    fn new(word: impl Into<String>, scene: Scene) -> Drawn {
        Drawn {
            word: word.into(),
            part: None,
            scene,
        }
    }
}

impl Frame {
    /// Its file's name: `01-question-1920x1080.png`, `06-vigour-2-1920x1080.png`.
    pub fn file_name(&self) -> String {
        let part = self.part.map_or_else(String::new, |n| format!("-{n}"));
        let (number, word) = (self.number, &self.word);
        format!("{number:02}-{word}{part}{}", self.size.ending())
    }

    /// The picture as PNG.
    ///
    /// # Errors
    /// As [`chart::to_png`]; the sizes here can always be drawn.
    pub fn png(&self) -> Result<Vec<u8>, PngError> {
        chart::to_png(&self.scene, &Theme::light(), self.size.px().0)
    }
}

/// Whether a file's name is one that frames are given.
pub fn is_frame_name(name: &str) -> bool {
    let stem = Size::ALL
        .iter()
        .find_map(|size| name.strip_suffix(size.ending().as_str()));
    let Some((number, word)) = stem.and_then(|s| s.split_once('-')) else {
        return false;
    };
    number.len() >= 2
        && number.bytes().all(|b| b.is_ascii_digit())
        && !word.is_empty()
        && word.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-')
}

/// Every frame of an update: for each size the question, the tanks, the primary outcome, all rows
/// measure by measure, water tests, all tanks on the last day, and each tank before and after.
pub fn frames(view: &UpdateView, pictures: &Pictures) -> Vec<Frame> {
    let mut frames = Vec::new();
    for size in Size::ALL {
        let mut drawn = vec![Drawn::new("question", words::question(view, size))];
        drawn.push(Drawn::new("tanks", plots::bench(view, size)));
        drawn.extend(plots::primary(view, size).map(|s| Drawn::new("primary-outcome", s)));
        drawn.extend(plots::rows(view, size));
        drawn.extend(plots::readings(view, size));
        drawn.extend(pictures::together(view, pictures, size));
        drawn.extend(pictures::pairs(view, pictures, size));
        let mut number = 0;
        for Drawn { word, part, scene } in drawn {
            number += usize::from(part.is_none_or(|n| n == 1));
            frames.push(Frame {
                number,
                word,
                part,
                size,
                scene,
            });
        }
    }
    frames
}

/// A text as part of a file's name: small letters, digits and hyphens.
fn slug(text: &str) -> String {
    let mut slug = String::new();
    for c in text.to_lowercase().chars() {
        if c.is_ascii_alphanumeric() {
            slug.push(c);
        } else if !slug.ends_with('-') && !slug.is_empty() {
            slug.push('-');
        }
    }
    let slug = slug.trim_end_matches('-');
    if slug.is_empty() {
        "tank".to_string()
    } else {
        slug.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_frames_are_known_again() {
        for word in ["question", "ash-before-after", &slug("Ä large Tank/../x")] {
            for size in Size::ALL {
                let frame = Frame {
                    number: 3,
                    word: word.to_string(),
                    part: Some(2),
                    size,
                    scene: Scene::default(),
                };
                assert!(is_frame_name(&frame.file_name()), "{}", frame.file_name());
            }
        }
        for other in [
            "holiday.png",
            "01-x-100x100.png",
            "x-y-1920x1080.png",
            "../01-a-1920x1080.png",
        ] {
            assert!(!is_frame_name(other), "{other}");
        }
        assert_eq!(slug("Elm"), "elm");
        assert_eq!(slug("Бук"), "tank");
    }
}
