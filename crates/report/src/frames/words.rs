//! The first frame: title and question.

use super::Size;
use super::sheet::{Sheet, rich};
use answers::update::UpdateView;
use chart::{RichText, Role, Scene};
use text::t;

pub(super) fn question(view: &UpdateView, size: Size) -> Scene {
    let trial = &view.bench.trial;
    let mut sheet = Sheet::new(view, size, t!("update.frame_question"));
    let (title, question, least) = match size {
        Size::Landscape => (104.0, 50.0, 36.0),
        Size::Portrait => (100.0, 50.0, 38.0),
    };
    let words = if trial.question.trim().is_empty() {
        t!("update.no_question")
    } else {
        trial.question.as_str()
    };
    let heading = RichText::default().strong(trial.title.as_str());
    let text = rich(words, view);
    let arms = arms(view);
    // In the optical middle: a little more room below than above.
    let lines = |t: &RichText, s: f64, most| t.wrap(s, sheet.width(), most).len() as f64 * s * 1.32;
    let height = lines(&heading, title, 4) + lines(&text, question, 9) + least * 3.4;
    sheet.y += ((sheet.room() - height) * 0.42).max(0.0);
    sheet.lines(&heading, title, 4, Role::Ink);
    sheet.y += title * 0.35;
    sheet.lines(&text, question, 9, Role::Ink);
    sheet.y += question * 0.7;
    sheet.lines(&RichText::from(arms), least, 3, Role::Muted);
    sheet.describe(words);
    sheet.finish()
}

/// How many tanks there are, and the arms with theirs.
fn arms(view: &UpdateView) -> String {
    let arms: Vec<String> = view
        .comparison
        .arms
        .iter()
        .filter(|a| !a.tanks.is_empty())
        .map(|a| format!("{}: {}", a.name, trial::describe::list(&a.tanks)))
        .collect();
    t!(
        "update.frame_tanks",
        n = view.bench.tanks.len(),
        arms = arms.join("; ")
    )
}
