//! Spans from a day to the whole trial, and the stretches a span is cut into.

use crate::compare::Window;
use crate::days;
use jiff::civil::{Date, DateTime, Weekday};
use jiff::{Timestamp, ToSpan};
use serde::Serialize;
use trial::Bench;

/// How much of the trial is looked at. Weeks begin on Monday (ISO 8601).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Span {
    /// One day.
    Day,
    /// Monday to Sunday.
    Week,
    /// A calendar month.
    Month,
    /// Three calendar months.
    Quarter,
    /// A calendar year.
    Year,
    /// From the first record to today or the trial's end.
    Whole,
}

impl Span {
    /// Every span, the shortest first.
    pub const ALL: [Span; 6] = [
        Span::Day,
        Span::Week,
        Span::Month,
        Span::Quarter,
        Span::Year,
        Span::Whole,
    ];

    /// The stable key, as in links.
    pub fn key(self) -> &'static str {
        match self {
            Span::Day => "day",
            Span::Week => "week",
            Span::Month => "month",
            Span::Quarter => "quarter",
            Span::Year => "year",
            Span::Whole => "whole",
        }
    }

    /// The span of this key.
    pub fn of_key(key: &str) -> Option<Span> {
        Span::ALL.into_iter().find(|s| s.key() == key)
    }

    /// The days of the span that holds `day`.
    pub(super) fn window(self, day: Date, whole: Window) -> Window {
        let month = |year, month| Date::new(year, month, 1).unwrap_or(day);
        let from = match self {
            Span::Day => day,
            Span::Week => week_of(day),
            Span::Month => month(day.year(), day.month()),
            Span::Quarter => month(day.year(), (day.month() - 1) / 3 * 3 + 1),
            Span::Year => month(day.year(), 1),
            Span::Whole => return whole,
        };
        let length = match self {
            Span::Day | Span::Whole => 1.day(),
            Span::Week => 7.days(),
            Span::Month => 1.month(),
            Span::Quarter => 3.months(),
            Span::Year => 1.year(),
        };
        let to = from.checked_add(length).unwrap_or(Date::MAX);
        Window { from, to }
    }
}

fn week_of(day: Date) -> Date {
    let since = day.weekday().since(Weekday::Monday);
    day.checked_sub(i32::from(since).days()).unwrap_or(day)
}

/// What one stretch measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Unit {
    /// An hour.
    Hour,
    /// Six hours.
    SixHours,
    /// A day.
    Day,
    /// Monday to Sunday.
    Week,
    /// A calendar month.
    Month,
    /// Three calendar months.
    Quarter,
    /// A calendar year.
    Year,
}

impl Unit {
    const ALL: [Unit; 7] = [
        Unit::Hour,
        Unit::SixHours,
        Unit::Day,
        Unit::Week,
        Unit::Month,
        Unit::Quarter,
        Unit::Year,
    ];

    /// Days it measures, about.
    fn days(self) -> f64 {
        match self {
            Unit::Hour => 1.0 / 24.0,
            Unit::SixHours => 0.25,
            Unit::Day => 1.0,
            Unit::Week => 7.0,
            Unit::Month => 30.44,
            Unit::Quarter => 91.3,
            Unit::Year => 365.25,
        }
    }

    /// The span that shows one stretch of it in full; none below a day.
    pub fn span(self) -> Option<Span> {
        match self {
            Unit::Hour | Unit::SixHours => None,
            Unit::Day => Some(Span::Day),
            Unit::Week => Some(Span::Week),
            Unit::Month => Some(Span::Month),
            Unit::Quarter => Some(Span::Quarter),
            Unit::Year => Some(Span::Year),
        }
    }

    /// The first moment of the stretch after the one that holds `at`.
    fn after(self, at: DateTime) -> Option<DateTime> {
        let day = at.date();
        let next = |span: Span| {
            let unused = Window { from: day, to: day };
            Some(span.window(day, unused).to.to_datetime(Default::default()))
        };
        match self {
            Unit::Hour => at.checked_add(1.hour()).ok(),
            Unit::SixHours => at.checked_add(6.hours()).ok(),
            _ => next(self.span()?),
        }
    }
}

/// One stretch of a span.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Slot {
    /// Where it begins, as the clock on the wall says it.
    pub from: DateTime,
    /// Where the next one begins.
    pub to: DateTime,
    /// The same instant as `from`.
    pub start: Timestamp,
}

/// Most stretches of one span: more cannot be told apart on a desk's screen.
const MOST: f64 = 100.0;
/// Most stretches of all lanes together: what a light page can hold where few and where most of
/// them have something in them.
const MOST_SPARSE: f64 = 480.0;
const MOST_DENSE: f64 = 260.0;
/// Entries from which on most stretches have something in them.
const DENSE: u64 = 500;

/// The finest unit that cuts `window` into few enough stretches for so many lanes and entries.
pub(super) fn unit(window: Window, lanes: usize, entries: u64) -> Unit {
    let most = if entries < DENSE {
        MOST_SPARSE
    } else {
        MOST_DENSE
    };
    let length = days::between(window.from, window.to);
    let few = |unit: &Unit| {
        let count = (length / unit.days()).ceil();
        count <= MOST && count * lanes as f64 <= most
    };
    // A day and a week are looked at closely whatever the number of lanes.
    let close = |unit: &Unit| match unit {
        Unit::Hour => length <= 1.0,
        Unit::SixHours => length <= 7.0,
        _ => few(unit),
    };
    Unit::ALL.into_iter().find(close).unwrap_or(Unit::Year)
}

/// The stretches of `window`, the first and the last cut off where it begins and ends, and the
/// instant at which it ends.
pub(super) fn slots(bench: &Bench, window: Window, unit: Unit) -> (Vec<Slot>, Timestamp) {
    let zone = days::zone(bench);
    let instant = |at: DateTime| {
        let zoned = at.to_zoned_datetime(zone.clone());
        zoned.map_or(Timestamp::MAX, |z| z.timestamp())
    };
    let end = window.to.to_datetime(Default::default());
    let mut slots = Vec::new();
    let mut from = window.from.to_datetime(Default::default());
    while from < end {
        let to = unit.after(from).filter(|to| *to > from).unwrap_or(end);
        let to = to.min(end);
        let start = instant(from);
        slots.push(Slot { from, to, start });
        from = to;
    }
    (slots, instant(end))
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;
    use trial::{Trial, TrialId};

    fn whole() -> Window {
        Window {
            from: date(2025, 11, 3),
            to: date(2026, 5, 27),
        }
    }

    // ISO 8601: 2026-W10 runs from Monday 2 March to Sunday 8 March; 1 January 2026 is a Thursday.
    #[test]
    fn spans_follow_the_calendar() {
        let of = |span: Span, day| {
            let w = span.window(day, whole());
            (w.from, w.to)
        };
        let day = date(2026, 3, 8);
        assert_eq!(of(Span::Day, day), (day, date(2026, 3, 9)));
        assert_eq!(of(Span::Week, day), (date(2026, 3, 2), date(2026, 3, 9)));
        assert_eq!(of(Span::Month, day), (date(2026, 3, 1), date(2026, 4, 1)));
        assert_eq!(of(Span::Quarter, day), (date(2026, 1, 1), date(2026, 4, 1)));
        assert_eq!(of(Span::Year, day), (date(2026, 1, 1), date(2027, 1, 1)));
        assert_eq!(of(Span::Whole, day), (whole().from, whole().to));
        let new_year = of(Span::Week, date(2026, 1, 1));
        assert_eq!(new_year, (date(2025, 12, 29), date(2026, 1, 5)));
        assert_eq!(of(Span::Year, Date::MAX).1, Date::MAX);
        for span in Span::ALL {
            assert_eq!(Span::of_key(span.key()), Some(span));
        }
    }

    #[test]
    fn units_keep_the_stretches_few() {
        let unit_of = |span: Span, lanes| unit(span.window(date(2026, 3, 8), whole()), lanes, 100);
        assert_eq!(unit_of(Span::Day, 8), Unit::Hour);
        assert_eq!(unit_of(Span::Week, 8), Unit::SixHours);
        assert_eq!(unit_of(Span::Month, 8), Unit::Day);
        assert_eq!(unit_of(Span::Quarter, 5), Unit::Day);
        assert_eq!(unit_of(Span::Quarter, 9), Unit::Week);
        assert_eq!(unit_of(Span::Year, 9), Unit::Week);
        let long = Window {
            from: date(1900, 1, 1),
            to: date(2026, 1, 1),
        };
        assert_eq!(unit(long, 4, 0), Unit::Year);
        let year = Span::Year.window(date(2026, 3, 8), whole());
        assert_eq!(unit(year, 8, 499), Unit::Week);
        assert_eq!(unit(year, 8, 500), Unit::Month);
    }

    // The European Union's clocks went forward on 29 March 2026 (directive 2000/84/EC: the last
    // Sunday of March): that day has 23 hours.
    #[test]
    fn stretches_cover_the_window_and_follow_the_clock() {
        let trial = Trial::new(TrialId(uuid::Uuid::nil()), "t", "Europe/Berlin");
        let bench = Bench::new(trial);
        let day = Span::Day.window(date(2026, 3, 29), whole());
        let (hours, end) = slots(&bench, day, Unit::Hour);
        assert_eq!(hours.len(), 24);
        assert_eq!(end.as_second() - hours[0].start.as_second(), 23 * 3600);
        let (weeks, _) = slots(
            &bench,
            Span::Year.window(date(2026, 5, 1), whole()),
            Unit::Week,
        );
        assert_eq!(weeks.len(), 53);
        assert_eq!(weeks[0].to.date(), date(2026, 1, 5));
        assert_eq!(weeks[52].from.date(), date(2026, 12, 28));
        assert_eq!(weeks[52].to.date(), date(2027, 1, 1));
        assert!(weeks.windows(2).all(|w| w[0].to == w[1].from));
    }
}
