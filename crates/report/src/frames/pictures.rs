//! Frames that hold photographs.

use super::sheet::{Sheet, rich};
use super::{Drawn, Size, slug};
use crate::update::html::day;
use crate::update::{Pictures, Shot, arm_name, days_shown, primary};
use answers::pictures::PictureLine;
use answers::update::UpdateView;
use chart::marks::dot;
use chart::{ImageMark, ImageSource, RichText, Role, TextMark};
use text::t;

/// Size of the words under a picture.
const CAPTION: f64 = 34.0;
/// Room for them.
const CAPTION_ROOM: f64 = 56.0;
/// Between pictures.
const GAP: f64 = 40.0;

/// Each tank before and after.
pub(super) fn pairs(view: &UpdateView, pictures: &Pictures, size: Size) -> Vec<Drawn> {
    let frame = |pair: &answers::pictures::Pair| {
        let title = t!("update.frame_pair", tank = pair.tank);
        let mut sheet = Sheet::new(view, size, &title);
        sheet.heading(&title);
        let arm = arm_name(view, pair.before.tank);
        let finding = primary::finding(&view.comparison, pair.before.tank);
        let words = match finding {
            Some(finding) => format!("{arm}. {finding}"),
            None => arm,
        };
        let text = rich(&words, view);
        sheet.lines(&text, CAPTION, 3, Role::Muted);
        sheet.y += 24.0;
        let shots = [&pair.before, &pair.after].map(|line| Shown {
            line,
            shot: pictures.large(&line.picture.sha256),
            words: RichText::default()
                .strong(if std::ptr::eq(line, &pair.before) {
                    t!("update.before")
                } else {
                    t!("update.after")
                })
                .plain(format!("  {}", day(line.day))),
            marked: false,
        });
        let columns = if size == Size::Landscape { 2 } else { 1 };
        grid(&mut sheet, &shots, columns);
        Drawn::new(format!("{}-before-after", slug(&pair.tank)), sheet.finish())
    };
    view.pairs.iter().map(frame).collect()
}

/// All tanks on the last day on which more than one was photographed.
pub(super) fn together(view: &UpdateView, pictures: &Pictures, size: Size) -> Option<Drawn> {
    let last = days_shown(&view.together).last().copied()?;
    let title = t!("update.frame_together", day = day(last.day));
    let mut sheet = Sheet::new(view, size, &title);
    sheet.heading(&title);
    let shots: Vec<Shown<'_>> = last
        .pictures
        .iter()
        .map(|line| Shown {
            line,
            shot: pictures
                .large(&line.picture.sha256)
                .or_else(|| pictures.small(&line.picture.sha256)),
            words: RichText::default()
                .strong(line.tank_name.as_str())
                .plain(format!("  {}", arm_name(view, line.tank))),
            marked: true,
        })
        .collect();
    if size == Size::Landscape && (3..=4).contains(&shots.len()) {
        two_by_two(&mut sheet, &shots);
    } else {
        let columns = best_columns(&sheet, &shots);
        grid(&mut sheet, &shots, columns);
    }
    Some(Drawn::new("all-tanks", sheet.finish()))
}

/// A picture with its words.
struct Shown<'a> {
    line: &'a PictureLine,
    shot: Option<&'a Shot>,
    words: RichText,
    /// With the tank's own mark, as in the figures.
    marked: bool,
}

impl Shown<'_> {
    /// Width over height.
    fn shape(&self) -> f64 {
        self.shot
            .filter(|s| s.height > 0)
            .map_or(1.5, |s| f64::from(s.width) / f64::from(s.height))
    }
}

/// The number of columns that gives the widest pictures.
fn best_columns(sheet: &Sheet<'_>, shots: &[Shown<'_>]) -> usize {
    let widest = |n: &usize| (cell(sheet, shots, *n).0 * 100.0) as i64;
    // Of equals the fewest columns: fewer gaps in the last row.
    (1..=shots.len()).rev().max_by_key(widest).unwrap_or(1)
}

/// Width and height of every picture's box with so many columns.
fn cell(sheet: &Sheet<'_>, shots: &[Shown<'_>], columns: usize) -> (f64, f64) {
    let rows = shots.len().div_ceil(columns).max(1) as f64;
    let n = columns as f64;
    let width = (sheet.width() - GAP * (n - 1.0)) / n;
    let height = (sheet.room() - GAP * 0.5 * (rows - 1.0)) / rows - CAPTION_ROOM;
    let shape = shots.iter().map(Shown::shape).fold(0.4, f64::max);
    let width = width.min(height * shape).max(1.0);
    (width, width / shape)
}

fn grid(sheet: &mut Sheet<'_>, shots: &[Shown<'_>], columns: usize) {
    let (w, h) = cell(sheet, shots, columns);
    let (left, top) = (sheet.left(), sheet.y);
    for (at, shown) in shots.iter().enumerate() {
        let x = left + (at % columns) as f64 * (w + GAP);
        let y = top + (at / columns) as f64 * (h + CAPTION_ROOM + GAP * 0.5);
        image(sheet, shown, (x, y, w, h));
        let baseline = y + h + 42.0;
        let from = mark(sheet, shown, (x, baseline));
        sheet.label((from, baseline), shown.words.clone(), CAPTION, x + w - from);
    }
}

/// Three or four pictures on a frame that lies, with their words beside them.
fn two_by_two(sheet: &mut Sheet<'_>, shots: &[Shown<'_>]) {
    let (left, top) = (sheet.left(), sheet.y);
    let cell = (sheet.width() - GAP) / 2.0;
    let shape = shots.iter().map(Shown::shape).fold(0.4, f64::max);
    let h = (sheet.room() - GAP * 0.6) / 2.0;
    let w = (h * shape).min(cell * 0.64);
    let h = w / shape;
    for (at, shown) in shots.iter().enumerate() {
        let x = left + (at % 2) as f64 * (cell + GAP);
        let y = top + (at / 2) as f64 * (h + GAP * 0.6);
        image(sheet, shown, (x, y, w, h));
        let from = x + w + 24.0;
        let room = x + cell - from;
        let mut baseline = y + 40.0;
        let after = mark(sheet, shown, (from, baseline));
        let name = RichText::default().strong(shown.line.tank_name.as_str());
        sheet.label((after, baseline), name, 40.0, x + cell - after);
        baseline += 8.0;
        let arm = RichText::from(arm_name(sheet.view, shown.line.tank));
        let found = primary::end(&sheet.view.comparison, shown.line.tank);
        let found = found.map(|f| rich(&f, sheet.view));
        for (text, role) in [(Some(arm), Role::Ink), (found, Role::Muted)] {
            let lines = text.map_or_else(Vec::new, |t| t.wrap(30.0, room, 5));
            for line in lines {
                baseline += 40.0;
                let text = TextMark::new(from, baseline, 30.0, line);
                sheet.push(text.coloured(role));
            }
            baseline += 10.0;
        }
    }
}

fn image(sheet: &mut Sheet<'_>, shown: &Shown<'_>, (x, y, w, h): (f64, f64, f64, f64)) {
    let source = match shown.shot {
        Some(shot) => ImageSource::Jpeg(shot.jpeg.clone()),
        None => ImageSource::Missing(t!("update.picture_missing").to_string()),
    };
    let alt = format!("{}, {}", shown.line.tank_name, day(shown.line.day));
    sheet.describe(&format!("{alt}."));
    sheet.push(ImageMark {
        x,
        y,
        w,
        h,
        source,
        crop: false,
        alt,
    });
}

/// The tank's own mark before its name, when it is wanted; gives the x behind it.
fn mark(sheet: &mut Sheet<'_>, shown: &Shown<'_>, (x, baseline): (f64, f64)) -> f64 {
    let tank = sheet.view.bench.tank(shown.line.tank);
    let (true, Some(tank)) = (shown.marked, tank) else {
        return x;
    };
    let style = crate::figures::tank_style(tank);
    sheet.push(dot((x + 12.0, baseline - CAPTION * 0.36), &style, 11.0));
    x + 36.0
}
