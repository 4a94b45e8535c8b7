//! A frame under construction: ground, title of the trial, heading, what it is as of.

use super::{LEAST_TEXT, Size};
use crate::update::html::{day, species_parts, tied};
use answers::update::UpdateView;
use chart::{Anchor, Group, Item, Mark, RichText, Role, Scene, Shape, TextMark};
use text::t;

/// Line height as a share of the text's size.
pub(super) const LEADING: f64 = 1.32;

/// A frame being filled from the top.
pub(super) struct Sheet<'v> {
    pub(super) view: &'v UpdateView,
    pub(super) size: Size,
    title: String,
    description: String,
    items: Vec<Item>,
    /// The y below what is there already.
    pub(super) y: f64,
}

/// Margins in px: left and right, top, bottom. Five per cent is kept free on a screen that lies;
/// upright players lay their own buttons over top and foot (common practice, no source).
fn margins(size: Size) -> (f64, f64, f64) {
    match size {
        Size::Landscape => (96.0, 64.0, 60.0),
        Size::Portrait => (72.0, 170.0, 200.0),
    }
}

impl<'v> Sheet<'v> {
    /// A sheet with the trial's title at its head, and the notice when the trial is invented.
    pub(super) fn new(view: &'v UpdateView, size: Size, heading: &str) -> Self {
        let (side, top, _) = margins(size);
        let mut sheet = Self {
            view,
            size,
            title: format!("{}: {heading}", view.bench.trial.title),
            description: String::new(),
            items: Vec::new(),
            y: top,
        };
        let notice = sheet.notice(top);
        let room = sheet.width() - notice;
        let title = RichText::from(view.bench.trial.title.as_str()).ellipsis(32.0, room);
        let text = TextMark::new(side, top + 32.0, 32.0, title).coloured(Role::Muted);
        sheet.items.push(text.into());
        sheet.footer();
        sheet.y = top + 66.0;
        sheet
    }

    /// Says on every frame of an invented trial that it is one; gives the width taken.
    fn notice(&mut self, top: f64) -> f64 {
        if !self.view.bench.trial.invented {
            return 0.0;
        }
        let text = RichText::default().strong(t!("update.frame_invented"));
        let (size, pad) = (30.0, 22.0);
        let w = text.width(size) + 2.0 * pad;
        let x = self.right() - w;
        let shape = Shape::Rect {
            x,
            y: top - 12.0,
            w,
            h: 62.0,
            r: 4.0,
        };
        self.items.push(Mark::filled(shape, Role::Ink).into());
        let text = TextMark::new(x + pad, top + 19.0, size, text);
        self.items
            .push(text.coloured(Role::Surface).centred().into());
        w + 40.0
    }

    fn footer(&mut self) {
        let as_of = if self.view.closed {
            t!("update.as_of_closed", day = day(self.view.as_of))
        } else {
            t!("update.as_of", day = day(self.view.as_of))
        };
        let keeper = self.view.bench.trial.keeper.as_deref().map(str::trim);
        let text = match keeper.filter(|k| !k.is_empty()) {
            Some(keeper) => format!("{as_of} \u{2013} {}", t!("update.kept_by", keeper = keeper)),
            None => as_of,
        };
        let text = RichText::from(text).ellipsis(LEAST_TEXT, self.width());
        let y = f64::from(self.size.px().1) - margins(self.size).2;
        let text = TextMark::new(self.left(), y, LEAST_TEXT, text).coloured(Role::Muted);
        self.items.push(text.into());
    }

    pub(super) fn left(&self) -> f64 {
        margins(self.size).0
    }

    pub(super) fn right(&self) -> f64 {
        f64::from(self.size.px().0) - self.left()
    }

    pub(super) fn width(&self) -> f64 {
        self.right() - self.left()
    }

    /// The lowest y that may be drawn at.
    pub(super) fn bottom(&self) -> f64 {
        f64::from(self.size.px().1) - margins(self.size).2 - LEAST_TEXT - 24.0
    }

    /// Height left.
    pub(super) fn room(&self) -> f64 {
        self.bottom() - self.y
    }

    pub(super) fn push(&mut self, item: impl Into<Item>) {
        self.items.push(item.into());
    }

    /// A heading.
    pub(super) fn heading(&mut self, text: &str) {
        let size = if self.size == Size::Landscape {
            60.0
        } else {
            62.0
        };
        let text = RichText::default().strong(text);
        self.lines(&text, size, 3, Role::Ink);
        self.y += size * 0.3;
    }

    /// A paragraph with scientific names in italics.
    pub(super) fn paragraph(&mut self, text: &str, size: f64, most_lines: usize) {
        let text = rich(text, self.view);
        self.lines(&text, size, most_lines, Role::Ink);
        self.y += size * 0.45;
    }

    /// Lines of text from `y` on, wrapped to the sheet.
    pub(super) fn lines(&mut self, text: &RichText, size: f64, most: usize, role: Role) {
        for line in text.wrap(size, self.width(), most) {
            self.y += size * LEADING;
            let mark = TextMark::new(self.left(), self.y - size * 0.3, size, line);
            self.items.push(mark.coloured(role).into());
        }
    }

    /// Places a figure at the left edge at `scale`, and says what it shows.
    pub(super) fn figure(&mut self, scene: Scene, scale: f64) {
        self.describe(&scene.description);
        let height = scene.height * scale;
        // Plots keep an edge of their own; the sheet's margin is enough.
        let group = Group::place(scene, self.left(), self.y, scale);
        self.items.push(group.into());
        self.y += height;
    }

    pub(super) fn describe(&mut self, words: &str) {
        if !self.description.is_empty() && !words.is_empty() {
            self.description.push(' ');
        }
        self.description.push_str(words);
    }

    /// The frame as it stands.
    pub(super) fn finish(self) -> Scene {
        let (w, h) = self.size.px();
        Scene {
            width: f64::from(w),
            height: f64::from(h),
            title: self.title,
            description: self.description,
            items: self.items,
        }
    }

    /// A line of text from a point on its baseline, cut to `width`.
    pub(super) fn label(&mut self, at: (f64, f64), text: RichText, size: f64, width: f64) {
        let text = text.ellipsis(size, width);
        let mark = TextMark::new(at.0, at.1, size, text).anchored(Anchor::Start);
        self.items.push(mark.into());
    }
}

/// A text with the scientific names of the bench in italics.
pub(super) fn rich(text: &str, view: &UpdateView) -> RichText {
    species_parts(text, &view.bench).into_iter().fold(
        RichText::default(),
        |rich, (is_name, part)| {
            if is_name {
                rich.italic(part)
            } else {
                rich.plain(tied(part))
            }
        },
    )
}
