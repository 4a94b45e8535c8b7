//! Where an axis is marked and what is written there.

use jiff::civil::{Date, DateTime, date};
use jiff::{ToSpan, Unit};

use crate::num::{fixed, significant};

/// One mark on an axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Tick {
    /// Value on the scale.
    pub value: f64,
    /// What is written; empty for a mark without words.
    pub label: String,
    /// A second line under the label, such as the year.
    pub below: Option<String>,
}

impl Tick {
    fn new(value: f64, label: String) -> Self {
        Self {
            value,
            label,
            below: None,
        }
    }
}

/// More ticks than this are never made, whatever is asked for.
const MOST: usize = 200;

/// The nearest of 1, 2, 5 times a power of ten at or above about `rough`.
pub(crate) fn nice_step(rough: f64) -> f64 {
    if !rough.is_finite() || rough <= 0.0 {
        return 1.0;
    }
    let power = 10f64.powf(rough.log10().floor());
    let front = rough / power;
    let nice = if front <= 1.0 + 1e-9 {
        1.0
    } else if front <= 2.0 + 1e-9 {
        2.0
    } else if front <= 5.0 + 1e-9 {
        5.0
    } else {
        10.0
    };
    nice * power
}

/// Digits after the point that a step of this size needs.
fn decimals(step: f64) -> usize {
    if step >= 1.0 {
        0
    } else {
        (-step.log10() - 1e-9).ceil().clamp(0.0, 12.0) as usize
    }
}

/// Ticks for a linear axis.
pub(crate) fn linear((a, b): (f64, f64), count: usize) -> Vec<Tick> {
    let step = nice_step((b - a) / count.clamp(1, MOST) as f64);
    let (first, last) = ((a / step - 1e-9).ceil(), (b / step + 1e-9).floor());
    let n = (last - first).clamp(-1.0, MOST as f64);
    let large = a.abs().max(b.abs()) >= 1e15 || step < 1e-12;
    (0..=n as i64)
        .take((n + 1.0) as usize)
        .map(|i| {
            let value = ((first + i as f64) * step).clamp(a, b);
            let label = if large {
                significant(value, 3)
            } else {
                fixed(value, decimals(step))
            };
            Tick::new(value, label)
        })
        .collect()
}

const FRONTS: [f64; 3] = [1.0, 2.0, 5.0];

/// The 1, 2, 5 step at or below a positive value.
pub(crate) fn round_below(v: f64) -> f64 {
    let power = 10f64.powf(v.log10().floor());
    let fits = |f: &&f64| **f * power <= v * (1.0 + 1e-9);
    FRONTS.iter().rev().find(fits).map_or(power, |f| f * power)
}

/// The 1, 2, 5 step at or above a positive value.
pub(crate) fn round_above(v: f64) -> f64 {
    let power = 10f64.powf(v.log10().floor());
    let fits = |f: &&f64| **f * power >= v * (1.0 - 1e-9);
    FRONTS.iter().find(fits).map_or(power * 10.0, |f| f * power)
}

/// Ticks for a logarithmic axis: decades, or 1, 2, 5, or linear ticks over less than a factor 3.
pub(crate) fn log((a, b): (f64, f64), count: usize) -> Vec<Tick> {
    let count = count.clamp(1, MOST);
    let decades = (b / a).log10();
    if decades < 0.5 {
        return linear((a, b), count);
    }
    let fronts: &[f64] = if decades * 3.0 <= count as f64 + 1.5 {
        &FRONTS
    } else {
        &FRONTS[..1]
    };
    let (low, high) = (a.log10().floor() as i32, b.log10().ceil() as i32);
    let every = if fronts.len() == 1 {
        (decades / count as f64).ceil().max(1.0) as i32
    } else {
        1
    };
    let found: Vec<Tick> = (low..=high)
        .filter(|e| e.rem_euclid(every) == 0)
        .flat_map(|e| fronts.iter().map(move |f| f * 10f64.powi(e)))
        .filter(|v| *v >= a * (1.0 - 1e-9) && *v <= b * (1.0 + 1e-9))
        .map(|v| Tick::new(v.clamp(a, b), significant(v, 3)))
        .collect();
    if found.len() < 2 {
        linear((a, b), count)
    } else {
        found
    }
}

/// Day 0 of the time scale.
const EPOCH: Date = date(1970, 1, 1);

/// A civil moment as days since 1 January 1970, the unit of every time axis.
///
/// Civil means: as the clock on the wall says it; zones are the caller's business.
#[must_use]
pub fn days(moment: impl Into<DateTime>) -> f64 {
    let moment: DateTime = moment.into();
    let whole = moment
        .date()
        .since((Unit::Day, EPOCH))
        .map_or(0.0, |span| f64::from(span.get_days()));
    let time = moment.time();
    let seconds = f64::from(time.hour()) * 3600.0
        + f64::from(time.minute()) * 60.0
        + f64::from(time.second());
    whole + seconds / 86_400.0
}

fn date_at(day: f64) -> Option<Date> {
    EPOCH
        .checked_add((day.floor().clamp(-4e6, 4e6) as i64).days())
        .ok()
}

/// What a time axis counts in.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum TimeTicks {
    /// Dates: days, Mondays, months or years, whichever fits.
    #[default]
    Calendar,
    /// Whole weeks since a day (in days since 1970), written as numbers: 0, 4, 8, ...
    Weeks {
        /// The day that is week 0.
        zero: f64,
    },
    /// Whole days since a day, written as numbers.
    Days {
        /// The day that is day 0.
        zero: f64,
    },
}

/// Calendar dates reach about as far as this, in days before and after 1970 (years -5887 to 9827).
const FARTHEST_DAY: f64 = 2.87e6;

/// At most about `count` ticks of a time axis whose domain is in days since 1970.
///
/// None when the domain is not finite or reaches beyond the calendar (year 9827).
#[must_use]
pub fn time(domain: (f64, f64), count: usize, counting: TimeTicks) -> Vec<Tick> {
    let count = count.clamp(1, MOST);
    let (a, b) = (domain.0.min(domain.1), domain.0.max(domain.1));
    if ![domain.0, domain.1]
        .iter()
        .all(|day| day.abs() <= FARTHEST_DAY)
    {
        return Vec::new();
    }
    match counting {
        TimeTicks::Weeks { zero } => counted((a, b), count, zero, 7.0, &[1, 2, 4, 8, 12, 26, 52]),
        TimeTicks::Days { zero } => counted((a, b), count, zero, 1.0, &[1, 2, 7, 14, 28, 56]),
        TimeTicks::Calendar => calendar((a, b), count),
    }
}

fn counted((a, b): (f64, f64), count: usize, zero: f64, unit: f64, steps: &[i64]) -> Vec<Tick> {
    if !zero.is_finite() {
        return Vec::new();
    }
    let units = (b - a) / unit;
    let longest = steps.last().copied().unwrap_or(1);
    let fits = |s: &&i64| units / **s as f64 <= count as f64;
    let step = steps.iter().find(fits).copied().map_or_else(
        || longest as f64 * (units / longest as f64 / count as f64).ceil(),
        |s| s as f64,
    );
    let first = ((a - zero) / unit / step - 1e-9).ceil();
    (0..=count)
        .map(|i| (first + i as f64) * step)
        .map(|n| (n, zero + n * unit))
        .filter(|(_, value)| *value <= b + 1e-9)
        .map(|(n, value)| Tick::new(value.clamp(a, b), fixed(n, 0)))
        .collect()
}

/// A step of a calendar axis.
#[derive(Clone, Copy)]
enum Step {
    Hours(u8),
    Days(u8),
    Weeks(u8),
    Months(u8),
    Years(u16),
}

impl Step {
    const ALL: [Self; 22] = [
        Self::Hours(1),
        Self::Hours(3),
        Self::Hours(6),
        Self::Hours(12),
        Self::Days(1),
        Self::Days(2),
        Self::Weeks(1),
        Self::Weeks(2),
        Self::Months(1),
        Self::Months(2),
        Self::Months(3),
        Self::Months(6),
        Self::Years(1),
        Self::Years(2),
        Self::Years(5),
        Self::Years(10),
        Self::Years(20),
        Self::Years(50),
        Self::Years(100),
        Self::Years(1000),
        Self::Years(5000),
        Self::Years(20_000),
    ];

    fn length(self) -> f64 {
        match self {
            Self::Hours(n) => f64::from(n) / 24.0,
            Self::Days(n) => f64::from(n),
            Self::Weeks(n) => f64::from(n) * 7.0,
            Self::Months(n) => f64::from(n) * 30.44,
            Self::Years(n) => f64::from(n) * 365.25,
        }
    }

    /// The ticks of this step from `a` to `b`.
    fn values(self, a: f64, b: f64) -> Vec<f64> {
        match self {
            Self::Hours(_) | Self::Days(_) => grid(a, b, self.length(), 0.0),
            // Day 4 of 1970 (5 January) was a Monday.
            Self::Weeks(_) => grid(a, b, self.length(), 4.0),
            Self::Months(n) => months(a, b, i32::from(n)),
            Self::Years(n) => months(a, b, i32::from(n) * 12),
        }
    }
}

fn grid(a: f64, b: f64, step: f64, origin: f64) -> Vec<f64> {
    let first = ((a - origin) / step - 1e-9).ceil();
    (0..MOST)
        .map(|i| origin + (first + i as f64) * step)
        .take_while(|v| *v <= b + 1e-9)
        .collect()
}

fn months(a: f64, b: f64, step: i32) -> Vec<f64> {
    let Some(start) = date_at(a) else {
        return Vec::new();
    };
    let first =
        (i32::from(start.year()) * 12 + i32::from(start.month()) - 1).div_euclid(step) * step;
    (0..MOST as i32)
        .filter_map(|i| {
            let month = first + i * step;
            let year = i16::try_from(month.div_euclid(12)).ok()?;
            Date::new(year, (month.rem_euclid(12) + 1) as i8, 1).ok()
        })
        .map(days)
        .skip_while(|v| *v < a - 1e-9)
        .take_while(|v| *v <= b + 1e-9)
        .collect()
}

fn calendar((a, b): (f64, f64), count: usize) -> Vec<Tick> {
    let fits = |s: &&Step| (b - a) / s.length() <= count as f64;
    let Some(step) = Step::ALL.iter().find(fits).copied() else {
        return Vec::new();
    };
    let mut ticks = Vec::new();
    let mut last_head = String::new();
    for value in step.values(a, b) {
        let Some(day) = date_at(value + 1e-6) else {
            continue;
        };
        let (label, head) = words(step, value, day);
        let mut tick = Tick::new(value.clamp(a, b), label);
        if head != last_head && !head.is_empty() {
            tick.below = Some(head.clone());
            last_head = head;
        }
        ticks.push(tick);
    }
    ticks
}

const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

fn month_name(day: Date) -> &'static str {
    MONTHS[(day.month().clamp(1, 12) - 1) as usize]
}

/// Label and the second line that is written when it changes.
fn words(step: Step, value: f64, day: Date) -> (String, String) {
    match step {
        Step::Hours(_) => {
            let minutes = ((value - value.floor()) * 1440.0).round() as i64 % 1440;
            let label = format!("{:02}:{:02}", minutes / 60, minutes % 60);
            (label, format!("{} {}", day.day(), month_name(day)))
        }
        Step::Days(_) | Step::Weeks(_) => (
            format!("{} {}", day.day(), month_name(day)),
            day.year().to_string(),
        ),
        Step::Months(_) => (month_name(day).to_owned(), day.year().to_string()),
        Step::Years(_) => (day.year().to_string(), String::new()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn labels(ticks: &[Tick]) -> Vec<&str> {
        ticks.iter().map(|t| t.label.as_str()).collect()
    }

    #[test]
    fn linear_ticks_are_round() {
        assert_eq!(
            labels(&linear((0.0, 1.0), 5)),
            ["0.0", "0.2", "0.4", "0.6", "0.8", "1.0"]
        );
        assert_eq!(labels(&linear((-3.0, 48.0), 5)), ["0", "20", "40"]);
    }

    #[test]
    fn log_ticks_follow_the_room() {
        assert_eq!(labels(&log((0.5, 2.0), 5)), ["0.5", "1", "2"]);
        assert_eq!(
            labels(&log((0.001, 1000.0), 7)),
            ["0.001", "0.01", "0.1", "1", "10", "100", "1000"]
        );
        assert_eq!(
            labels(&log((1.0, 1.4), 4)),
            ["1.0", "1.1", "1.2", "1.3", "1.4"]
        );
    }

    #[test]
    fn days_count_from_the_epoch() {
        // 2024-02-29 is day 19782 of the Unix era: 1709164800 s / 86400 s.
        assert_eq!(days(date(2024, 2, 29)), 19_782.0);
        assert_eq!(days(date(1970, 1, 1).at(18, 0, 0, 0)), 0.75);
    }

    #[test]
    fn weeks_start_on_mondays() {
        // 2 March 2026 is a Monday (any calendar).
        let ticks = time(
            (days(date(2026, 3, 1)), days(date(2026, 3, 31))),
            6,
            TimeTicks::Calendar,
        );
        assert_eq!(
            labels(&ticks),
            ["2 Mar", "9 Mar", "16 Mar", "23 Mar", "30 Mar"]
        );
        assert_eq!(ticks[0].below.as_deref(), Some("2026"));
        assert_eq!(ticks[1].below, None);
    }

    #[test]
    fn months_name_the_year_when_it_changes() {
        let span = (days(date(2025, 10, 20)), days(date(2026, 3, 5)));
        let ticks = time(span, 6, TimeTicks::Calendar);
        assert_eq!(labels(&ticks), ["Nov", "Dec", "Jan", "Feb", "Mar"]);
        assert_eq!(ticks[2].below.as_deref(), Some("2026"));
    }

    #[test]
    fn days_beyond_the_calendar_have_no_ticks() {
        assert!(time((-f64::MAX, -f64::MAX), 1, TimeTicks::Calendar).is_empty());
        assert!(time((0.0, f64::NAN), 5, TimeTicks::Calendar).is_empty());
        assert!(!time((-FARTHEST_DAY, FARTHEST_DAY), 12, TimeTicks::Calendar).is_empty());
    }

    #[test]
    fn hours_and_counted_weeks() {
        let noon = days(date(2026, 3, 1));
        let ticks = time((noon, noon + 1.0), 5, TimeTicks::Calendar);
        assert_eq!(
            labels(&ticks),
            ["00:00", "06:00", "12:00", "18:00", "00:00"]
        );
        let weeks = time((93.0, 93.0 + 112.0), 5, TimeTicks::Weeks { zero: 100.0 });
        assert_eq!(labels(&weeks), ["0", "4", "8", "12"]);
        assert_eq!(weeks[1].value, 128.0);
    }
}
