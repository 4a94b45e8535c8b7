//! When it happened: what stands behind the `@`.

use super::cursor::Span;
use super::error::JotError;
use super::nearest::nearest;
use super::parts::{self, Parts};
use crate::Bench;
use jiff::ZonedDateTime;
use jiff::civil::{Date, Time, Weekday};
use jiff::tz::TimeZone;
use text::t;

/// The forms accepted, for refusals and help.
pub(super) fn forms() -> Vec<String> {
    let forms = [
        "18:30",
        "today",
        "yesterday 18:30",
        "monday",
        "2 days ago",
        "2026-02-03 18:30",
    ];
    forms.map(String::from).to_vec()
}

/// The time of an entry in the trial's zone, `now` when none is given; with what was taken for
/// granted.
pub(super) fn read(
    parts: &Parts,
    bench: &Bench,
    now: &ZonedDateTime,
) -> Result<(ZonedDateTime, Vec<String>), JotError> {
    let zone = TimeZone::get(&bench.trial.zone)
        .map_err(|_| parts::zone_error(parts, &bench.trial.zone))?;
    let now = now.with_time_zone(zone.clone());
    let Some((from, to)) = parts.when else {
        return Ok((now, vec![]));
    };
    let span = parts.trimmed(from, to);
    let mut said = Said::default();
    for (word, place) in words(parts, span) {
        said.take(&word, &now).map_err(|refusal| {
            let known = KNOWN.iter().chain(WEEKDAYS).copied();
            let mut near = nearest(&word, known);
            if near.is_empty() {
                near = forms();
            }
            parts.error(place, &[], refusal, near)
        })?;
    }
    let refuse = |problem: String, near| parts.error(span, &[], problem, near);
    let Some(resolved) = said.resolve(&now) else {
        return Err(refuse(t!("act.jot_when_missing").to_string(), forms()));
    };
    let (at, noon) = resolved.map_err(|_| {
        let problem = t!("act.jot_when_impossible").to_string();
        refuse(problem, forms())
    })?;
    if at > now {
        let problem = t!(
            "act.jot_future",
            when = at.strftime("%Y-%m-%d %H:%M"),
            now = now.strftime("%Y-%m-%d %H:%M")
        );
        return Err(refuse(problem, vec![]));
    }
    let findings = noon.then(|| t!("act.jot_noon").to_string());
    Ok((at, findings.into_iter().collect()))
}

const KNOWN: &[&str] = &[
    "today",
    "yesterday",
    "now",
    "noon",
    "days",
    "weeks",
    "hours",
    "minutes",
    "ago",
    "last",
];
const WEEKDAYS: &[&str] = &[
    "monday",
    "tuesday",
    "wednesday",
    "thursday",
    "friday",
    "saturday",
    "sunday",
];

fn words(parts: &Parts, span: Span) -> Vec<(String, Span)> {
    let mut found = Vec::new();
    let mut start = None;
    let end = span.at + span.width;
    for i in span.at..=end {
        let apart = i == end || parts.chars[i].is_whitespace() || parts.chars[i] == ',';
        match (apart, start) {
            (false, None) => start = Some(i),
            (true, Some(s)) => {
                let word = parts.text(s, i).to_lowercase();
                found.push((word, Span::new(s, i - s)));
                start = None;
            }
            _ => {}
        }
    }
    found
}

/// What has been said of a time so far.
#[derive(Default)]
struct Said {
    day: Option<Date>,
    time: Option<Time>,
    /// A count that waits for its unit.
    count: Option<i64>,
    /// A span that waits for `ago`.
    span: Option<jiff::Span>,
    /// A moment `ago` by hours or minutes.
    moment: Option<ZonedDateTime>,
    /// `last` waits for its weekday.
    last: bool,
    now: bool,
}

impl Said {
    fn take(&mut self, word: &str, now: &ZonedDateTime) -> Result<(), String> {
        let unclear = || t!("act.jot_when", word = word);
        match word {
            "at" | "on" | "the" => return Ok(()),
            "now" => {
                self.now = true;
                return Ok(());
            }
            "last" => {
                self.last = true;
                return Ok(());
            }
            "ago" => return self.ago(now).ok_or_else(unclear),
            "a" | "an" => {
                self.count = Some(1);
                return Ok(());
            }
            "am" | "pm" => return self.half_day(word).ok_or_else(unclear),
            _ => {}
        }
        if let Some(span) = self.count.and_then(|n| unit_span(word, n)) {
            self.count = None;
            self.span = Some(span);
            return Ok(());
        }
        if let Some(day) = self.a_day(word, now) {
            return put(&mut self.day, day).ok_or_else(unclear);
        }
        if let Some(time) = a_time(word) {
            return put(&mut self.time, time).ok_or_else(unclear);
        }
        if let Some((day, time)) = word.split_once('t')
            && let (Some(day), Some(time)) = (iso_day(day), a_time(time))
        {
            let both = put(&mut self.day, day).and(put(&mut self.time, time));
            return both.ok_or_else(unclear);
        }
        let digits = !word.is_empty() && word.chars().all(|c| c.is_ascii_digit());
        match word.parse::<i64>().ok().filter(|n| digits && *n <= 10_000) {
            Some(n) => put(&mut self.count, n).ok_or_else(unclear),
            None => Err(unclear()),
        }
    }

    fn a_day(&mut self, word: &str, now: &ZonedDateTime) -> Option<Date> {
        let today = now.date();
        match word {
            "today" => return Some(today),
            "yesterday" => return today.yesterday().ok(),
            _ => {}
        }
        if let Some(day) = iso_day(word) {
            return Some(day);
        }
        let number = WEEKDAYS
            .iter()
            .position(|d| *d == word || (word.len() >= 3 && d.starts_with(word)))?;
        let weekday = Weekday::from_monday_zero_offset(i8::try_from(number).ok()?).ok()?;
        if today.weekday() == weekday && !std::mem::take(&mut self.last) {
            return Some(today);
        }
        self.last = false;
        today.nth_weekday(-1, weekday).ok()
    }

    /// `6 pm`: the count becomes a time.
    fn half_day(&mut self, word: &str) -> Option<()> {
        let hour = self.count.take().and_then(|n| i8::try_from(n).ok())?;
        put(&mut self.time, twelve_hours(hour, 0, word)?)
    }

    fn ago(&mut self, now: &ZonedDateTime) -> Option<()> {
        let span = self.span.take()?;
        let then = now.checked_sub(span).ok()?;
        if span.get_hours() != 0 || span.get_minutes() != 0 {
            put(&mut self.moment, then)
        } else {
            put(&mut self.day, then.date())
        }
    }

    /// The moment, and whether noon was taken for a missing time; `None` when nothing was said or
    /// something was left hanging.
    fn resolve(self, now: &ZonedDateTime) -> Option<Result<(ZonedDateTime, bool), jiff::Error>> {
        if self.count.is_some() || self.span.is_some() || self.last {
            return None;
        }
        match (self.moment, self.day, self.time, self.now) {
            (Some(moment), None, None, false) => Some(Ok((moment, false))),
            (None, None, None, true) => Some(Ok((now.clone(), false))),
            (None, None, Some(time), false) => Some(on(now.date(), time, now).map(|z| (z, false))),
            (None, Some(day), None, false) if day == now.date() => Some(Ok((now.clone(), false))),
            (None, Some(day), Some(time), false) => Some(on(day, time, now).map(|z| (z, false))),
            (None, Some(day), None, false) => {
                let noon = Time::constant(12, 0, 0, 0);
                Some(on(day, noon, now).map(|z| (z, true)))
            }
            _ => None,
        }
    }
}

/// Only the full form `2026-02-03`: jiff would also read week dates and the like.
pub(super) fn iso_day(word: &str) -> Option<Date> {
    let full = word.len() == 10 && word.as_bytes()[4] == b'-' && word.as_bytes()[7] == b'-';
    if full { word.parse().ok() } else { None }
}

fn put<T>(slot: &mut Option<T>, value: T) -> Option<()> {
    if slot.is_some() {
        return None;
    }
    *slot = Some(value);
    Some(())
}

/// A civil time in the trial's zone; gaps and folds as jiff's compatible strategy has them.
fn on(day: Date, time: Time, now: &ZonedDateTime) -> Result<ZonedDateTime, jiff::Error> {
    day.to_datetime(time)
        .to_zoned_datetime(now.time_zone().clone())
}

fn unit_span(word: &str, n: i64) -> Option<jiff::Span> {
    let made = match word {
        "day" | "days" => jiff::Span::new().try_days(n),
        "week" | "weeks" => jiff::Span::new().try_weeks(n),
        "hour" | "hours" | "h" => jiff::Span::new().try_hours(n),
        "minute" | "minutes" | "min" => jiff::Span::new().try_minutes(n),
        _ => return None,
    };
    made.ok()
}

/// `18:30`, `6:30pm`, `6pm`, `noon`.
pub(super) fn a_time(word: &str) -> Option<Time> {
    if word == "noon" {
        return Some(Time::constant(12, 0, 0, 0));
    }
    let (digits, half) = match (word.strip_suffix("am"), word.strip_suffix("pm")) {
        (Some(d), _) => (d, "am"),
        (_, Some(d)) => (d, "pm"),
        _ => (word, ""),
    };
    let (hour, minute) = match digits.split_once(':') {
        Some((h, m)) if m.len() == 2 => (two_digits(h)?, two_digits(m)?),
        None if !half.is_empty() => (two_digits(digits)?, 0),
        _ => return None,
    };
    if half.is_empty() {
        Time::new(hour, minute, 0, 0).ok()
    } else {
        twelve_hours(hour, minute, half)
    }
}

fn two_digits(text: &str) -> Option<i8> {
    let ok = (1..=2).contains(&text.len()) && text.chars().all(|c| c.is_ascii_digit());
    if ok { text.parse().ok() } else { None }
}

fn twelve_hours(hour: i8, minute: i8, half: &str) -> Option<Time> {
    if !(1..=12).contains(&hour) {
        return None;
    }
    let hour = hour % 12 + if half == "pm" { 12 } else { 0 };
    Time::new(hour, minute, 0, 0).ok()
}
