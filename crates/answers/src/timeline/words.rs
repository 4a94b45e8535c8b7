//! What stretches and counts are called.

use super::{Slot, Unit};
use jiff::civil::Date;
use text::t;
use trial::describe::kind_name;

/// A stretch in words: `2 March 2026`, `2 to 8 March 2026`, `March 2026`.
pub fn slot_words(slot: &Slot, unit: Unit) -> String {
    let (from, to) = (slot.from.date(), slot.to.date());
    let last = to.yesterday().unwrap_or(to);
    match unit {
        Unit::Hour | Unit::SixHours => t!(
            "timeline.hours",
            day = from.strftime("%-d %B"),
            from = slot.from.strftime("%-H:%M"),
            to = slot.to.strftime("%-H:%M")
        ),
        Unit::Day => day(from),
        _ => between(from, last),
    }
}

/// The days from `from` to `last` in words, without what repeats.
fn between(from: Date, last: Date) -> String {
    let first = if from == last {
        return day(last);
    } else if from.year() != last.year() {
        from.strftime("%-d %B %Y")
    } else if from.month() != last.month() {
        from.strftime("%-d %B")
    } else {
        from.strftime("%-d")
    };
    t!("timeline.days", from = first, to = day(last))
}

fn day(day: Date) -> String {
    day.strftime("%-d %B %Y").to_string()
}

/// `3 readings`; a kind without a plural of its own is put as `3 \u{d7} name`.
pub fn count_words(kind: &str, n: u32) -> String {
    let key = format!("timeline.n_{kind}");
    if text::has(&key) {
        text::fill(&key, &[("n", n.to_string())])
    } else {
        t!("timeline.n_other", n = n, kind = kind_name(kind))
    }
}
