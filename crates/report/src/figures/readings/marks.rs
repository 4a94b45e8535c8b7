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

/// A row of ticks for each kind and the tanks it went to, most frequent first within a kind; tanks
/// treated otherwise than the rest are seen by their own row.
pub(super) fn rugs(readings: &Readings) -> Vec<Rug> {
    let mut rows: Vec<(&str, Vec<(&str, Vec<&Mark>)>)> = Vec::new();
    for mark in &readings.marks {
        if !is_ticks(readings, mark.kind) {
            continue;
        }
        let groups = found(&mut rows, mark.kind);
        found(groups, mark.tanks.as_str()).push(mark);
    }
    rows.sort_by_key(|(kind, _)| (*kind != CHANGE, *kind != DOSE));
    let mut rugs = Vec::new();
    for (kind, mut groups) in rows {
        let name = kind_plural(kind);
        if groups.len() > MOST_GROUPS {
            let all: Vec<&Mark> = groups.into_iter().flat_map(|(_, marks)| marks).collect();
            rugs.push(rug(t!("readings.ticks", what = name, n = all.len()), &all));
            continue;
        }
        groups.sort_by_key(|(_, marks)| std::cmp::Reverse(marks.len()));
        rugs.extend(groups.iter().map(|(tanks, marks)| {
            let n = marks.len();
            rug(
                t!("readings.ticks_in", what = name, tanks = tanks, n = n),
                marks,
            )
        }));
    }
    rugs
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
