//! Why two pictures may differ though what they show does not: lamp, time of day, fresh water.

use crate::days;
use jiff::civil::Time;
use jiff::tz::TimeZone;
use text::t;
use trial::describe;
use trial::finding::Subject;
use trial::{Act, Bench, Entry, Finding, Severity, TankId};

/// Pictures further apart in the day than this are told, in minutes: leaves fold and bubbles form
/// through the day (our own choice, no source).
const APART_MIN: i64 = 60;
/// So near to a switch of the lamp its state is not told, in minutes: clocks of cameras and timers
/// differ, and lamps may dim up and down (our own choice, no source).
const NEAR_SWITCH_MIN: i64 = 10;
const DAY_MIN: i64 = 24 * 60;

/// What differs between these pictures, each under the name it is shown with. `entries` holds the
/// settings and changes of the trial, oldest first.
pub(super) fn findings(
    bench: &Bench,
    entries: &[Entry],
    shown: &[(String, &Entry)],
) -> Vec<Finding> {
    [
        lamps(bench, entries, shown),
        hours(shown),
        changes(entries, shown),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// The names of those for which `is` holds, and of those for which it does not.
fn parted(
    shown: &[(String, &Entry)],
    is: impl Fn(&Entry) -> Option<bool>,
) -> (Vec<String>, Vec<String>) {
    let (mut yes, mut no) = (Vec::new(), Vec::new());
    for (label, entry) in shown {
        match is(entry) {
            Some(true) => yes.push(label.clone()),
            Some(false) => no.push(label.clone()),
            None => {}
        }
    }
    (yes, no)
}

fn about(shown: &[(String, &Entry)], finding: Finding) -> Finding {
    finding.about(shown.iter().map(|(_, e)| Subject::Entry(e.id)))
}

fn lamps(bench: &Bench, entries: &[Entry], shown: &[(String, &Entry)]) -> Option<Finding> {
    let (on, off) = parted(shown, |e| lamp_on(bench, entries, e));
    if on.is_empty() || off.is_empty() {
        return None;
    }
    let what = t!(
        "pictures.lamp_differs",
        on = describe::list(&on),
        off = describe::list(&off)
    );
    let remedy = t!("pictures.lamp_differs_do");
    let finding = Finding::new("pictures_lamp_differs", Severity::Weakens, what, remedy);
    Some(about(shown, finding))
}

/// Whether the lamp over the picture's tank was on, by its timer: as set up, or as set since. None
/// when the hours are not recorded, and close to a switch.
pub(super) fn lamp_on(bench: &Bench, entries: &[Entry], picture: &Entry) -> Option<bool> {
    let tank: TankId = *picture.tanks.first()?;
    let lamp = bench.tank(tank)?.lamps.first()?;
    let (mut on_at, mut hours, mut clock) = (lamp.on_at, lamp.photoperiod_h, None);
    for entry in entries {
        if let Act::Setting(s) = &entry.act
            && entry.at <= picture.at
            && entry.tanks.contains(&tank)
        {
            on_at = s.light_on_at.or(on_at);
            hours = s.photoperiod_h.or(hours);
            clock = s.timer_clock.as_deref().or(clock);
        }
    }
    let zone = match clock {
        Some(name) => TimeZone::get(name).ok()?,
        None => days::zone(bench),
    };
    let now = minute_of_day(picture.at.with_time_zone(zone).time());
    // Whole minutes of at most a day: the rules take 0 to 24 h.
    let lit = (hours? * 60.0).round().clamp(0.0, DAY_MIN as f64) as i64;
    if lit == 0 || lit == DAY_MIN {
        return Some(lit == DAY_MIN);
    }
    let since = (now - minute_of_day(on_at?)).rem_euclid(DAY_MIN);
    let near = [since, (since - lit).abs(), DAY_MIN - since];
    let told = near.iter().all(|away| *away >= NEAR_SWITCH_MIN);
    told.then_some(since < lit)
}

fn minute_of_day(time: Time) -> i64 {
    i64::from(time.hour()) * 60 + i64::from(time.minute())
}

fn hours(shown: &[(String, &Entry)]) -> Option<Finding> {
    let at = |(label, entry): &(String, &Entry)| (minute_of_day(entry.at.time()), label.clone());
    let first = shown.iter().map(at).min()?;
    let last = shown.iter().map(at).max()?;
    if last.0 - first.0 <= APART_MIN {
        return None;
    }
    let clock = |minutes: i64| format!("{:02}:{:02}", minutes / 60, minutes % 60);
    let what = t!(
        "pictures.hours_apart",
        first = first.1,
        at = clock(first.0),
        last = last.1,
        until = clock(last.0)
    );
    let remedy = t!("pictures.hours_apart_do");
    let finding = Finding::new("pictures_hours_apart", Severity::Weakens, what, remedy);
    Some(about(shown, finding))
}

fn changes(entries: &[Entry], shown: &[(String, &Entry)]) -> Option<Finding> {
    let changed = |picture: &Entry| {
        entries.iter().any(|e| {
            matches!(e.act, Act::Change(_))
                && days::of(e) == days::of(picture)
                && e.at <= picture.at
                && e.tanks.iter().any(|t| picture.tanks.contains(t))
        })
    };
    let (after, before) = parted(shown, |e| Some(changed(e)));
    if after.is_empty() || before.is_empty() {
        return None;
    }
    let what = t!(
        "pictures.after_change",
        after = describe::list(&after),
        before = describe::list(&before)
    );
    let remedy = t!("pictures.after_change_do");
    let finding = Finding::new("pictures_after_change", Severity::Weakens, what, remedy);
    Some(about(shown, finding))
}
