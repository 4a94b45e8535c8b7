//! A few line drawings, 24 units square, that take the colour of the text around them.

use maud::{Markup, Render, html};

/// One drawing. They only repeat what a text says, so they are hidden from screen readers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Icon {
    /// Two tanks filled to the same line.
    Bench,
    /// A pen on a line.
    Log,
    /// A vial.
    Readings,
    /// Two intervals beside each other.
    Compare,
    /// A page.
    Update,
    /// Three dots.
    More,
    /// A triangle with a stroke and a dot.
    Caution,
    /// A circle with an i.
    Note,
    /// A tick.
    Done,
}

impl Icon {
    /// Lines to stroke.
    fn strokes(self) -> &'static str {
        match self {
            Self::Bench => "M3 5v14h7.5V5M13.5 5v14H21V5M3 10h7.5M13.5 10H21",
            Self::Log => "M3 20.5h18M6 16.5l.8-3.4L16.2 3.7l2.6 2.6-9.4 9.4zM14 6l2.6 2.6",
            Self::Readings => "M9 3h6M10 3v14.5a2 2 0 0 0 4 0V3M10 11h4",
            Self::Compare => "M7 4v16M4.5 4h5M4.5 20h5M17 8v9M14.5 8h5M14.5 17h5",
            Self::Update => "M6 3h8.5L19 7.5V21H6zM14 3v5h5M9 12h7M9 16h7",
            Self::More => "",
            Self::Caution => "M12 4 21.5 20.5h-19zM12 10v5",
            Self::Note => "M12 3.5a8.5 8.5 0 1 0 0 17 8.5 8.5 0 0 0 0-17M12 11v5.5",
            Self::Done => "M4.5 12.5 10 18 19.5 6.5",
        }
    }

    /// Centres of dots, (x, y).
    fn dots(self) -> &'static [(&'static str, &'static str)] {
        match self {
            Self::More => &[("5", "12"), ("12", "12"), ("19", "12")],
            Self::Caution => &[("12", "17.8")],
            Self::Note => &[("12", "7.8")],
            _ => &[],
        }
    }
}

impl Render for Icon {
    fn render(&self) -> Markup {
        let radius = if *self == Self::More { "1.7" } else { "1.1" };
        html! {
            svg.icon viewBox="0 0 24 24" width="24" height="24" fill="none" aria-hidden="true"
                focusable="false" stroke="currentColor" stroke-width="1.6"
                stroke-linecap="round" stroke-linejoin="round" {
                @if !self.strokes().is_empty() { path d=(self.strokes()) {} }
                @for (x, y) in self.dots() {
                    circle cx=(x) cy=(y) r=(radius) fill="currentColor" stroke="none" {}
                }
            }
        }
    }
}
