//! What was done, drawn against the readings: rules through the lanes and rows of ticks under them.

use answers::readings::{Mark, Readings};
use chart::plots::{Event, Rug};
use jiff::civil::Date;
use text::t;
use trial::describe::kind_name;

/// Settings that come more often than this in the span are drawn as ticks: as rules through the
/// lanes they would hide the readings.
const MOST_EVENTS: usize = 6;
/// Acts of one kind that went to more groups of tanks than this share one row of ticks.
const MOST_GROUPS: usize = 4;
/// Keys of the kinds of act that are marked.
const DOSE: &str = "dose";
const CHANGE: &str = "change";
const SETTING: &str = "setting";
/// Longest sentence written at an event; a longer one is in its tooltip.
const LABEL: usize = 26;

/// Rules through the lanes.
pub(super) fn events(readings: &Readings) -> Vec<Event> {
    let marks = readings.marks.iter();
    marks
        .filter(|m| !is_ticks(readings, m.kind))
        .map(event)
        .collect()
}

/// Whether acts of this kind are drawn as ticks rather than as rules.
fn is_ticks(readings: &Readings, kind: &str) -> bool {
    let routine = kind == DOSE || kind == CHANGE;
    routine || readings.marks.iter().filter(|m| m.kind == kind).count() > MOST_EVENTS
}

/// A row of ticks for each kind and the tanks it went to, most frequent first within a kind, so that
/// tanks treated otherwise than the rest are seen; a row for each kind when that makes more than
/// `most` rows.
pub(super) fn rugs(readings: &Readings, most: usize) -> Vec<Rug> {
    let mut kinds: Vec<(&str, Vec<&Mark>)> = Vec::new();
    for mark in readings.marks.iter().filter(|m| is_ticks(readings, m.kind)) {
        found(&mut kinds, mark.kind).push(mark);
    }
    kinds.sort_by_key(|(kind, _)| (*kind != CHANGE, *kind != DOSE));
    let by_tanks: Vec<Vec<Rug>> = kinds.iter().map(|(kind, all)| groups(kind, all)).collect();
    let rows: usize = by_tanks.iter().map(Vec::len).sum();
    if rows <= most {
        return by_tanks.into_iter().flatten().collect();
    }
    kinds.iter().map(|(kind, all)| whole(kind, all)).collect()
}

/// One row for all of a kind.
fn whole(kind: &str, all: &[&Mark]) -> Rug {
    let label = t!("readings.ticks", what = kind_plural(kind), n = all.len());
    rug(label, all)
}

/// A row for each group of tanks; one for all when they are many.
fn groups(kind: &str, all: &[&Mark]) -> Vec<Rug> {
    let mut groups: Vec<(&str, Vec<&Mark>)> = Vec::new();
    for mark in all {
        found(&mut groups, mark.tanks.as_str()).push(mark);
    }
    if groups.len() > MOST_GROUPS {
        return vec![whole(kind, all)];
    }
    groups.sort_by_key(|(_, marks)| std::cmp::Reverse(marks.len()));
    let row = |(tanks, marks): &(&str, Vec<&Mark>)| {
        let (what, n) = (kind_plural(kind), marks.len());
        rug(
            t!("readings.ticks_in", what = what, tanks = tanks, n = n),
            marks,
        )
    };
    groups.iter().map(row).collect()
}

/// The entry of `key`, made when there is none.
fn found<'a, 'k, V: Default>(all: &'a mut Vec<(&'k str, V)>, key: &'k str) -> &'a mut V {
    let at = all.iter().position(|(k, _)| *k == key).unwrap_or_else(|| {
        all.push((key, V::default()));
        all.len() - 1
    });
    &mut all[at].1
}

fn rug(label: String, marks: &[&Mark]) -> Rug {
    Rug {
        label,
        at: marks.iter().map(|m| noon(m.day)).collect(),
        tips: marks.iter().map(|m| tip(m)).collect(),
    }
}

fn kind_plural(kind: &str) -> String {
    match kind {
        DOSE => t!("readings.doses").to_string(),
        CHANGE => t!("readings.changes").to_string(),
        SETTING => t!("readings.settings").to_string(),
        other => kind_name(other).to_string(),
    }
}

/// Noon: an act or a reading belongs to its day, not to the night before it.
pub(super) fn noon(day: Date) -> f64 {
    chart::days(day) + 0.5
}

fn tip(mark: &Mark) -> String {
    format!("{}, {}: {}", mark.day, mark.tanks, mark.what)
}

fn event(mark: &Mark) -> Event {
    let label = if mark.what.chars().count() <= LABEL {
        mark.what.clone()
    } else {
        kind_name(mark.kind).to_lowercase()
    };
    Event {
        at: noon(mark.day),
        label,
        tip: tip(mark),
    }
}
