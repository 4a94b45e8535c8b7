//! Texts, numbers and times that are valid but awkward.

use jiff::civil::{Date, Time};
use jiff::tz::{Offset, TimeZone};
use jiff::{Timestamp, ZonedDateTime};
use proptest::prelude::*;
use quantity::{Amount, Analyte, Interval, Unit};
use trial::types::Money;

/// Empty, plain, and everything a table or a page could trip over.
pub fn arb_text() -> impl Strategy<Value = String> {
    const AWKWARD: [&str; 16] = [
        "",
        "ash",
        "a,b;c\td",
        "she said \"no\"",
        "two\nlines",
        "two\r\nlines",
        "'); DROP TABLE entry; --",
        "=1+1",
        "-1",
        " spaces around ",
        "\u{feff}mark",
        "e\u{301} and \u{e9}",
        "\u{5d0}\u{5d1} \u{202e}turned",
        "\u{1f331}\u{200d}\u{1f420}",
        "<b>&amp;</b>",
        "nul\0inside",
    ];
    prop_oneof![
        3 => prop::sample::select(&AWKWARD[..]).prop_map(str::to_string),
        2 => "[a-z ]{0,12}",
        1 => any::<String>(),
    ]
}

/// Any finite number, extreme ones often.
pub fn arb_number() -> impl Strategy<Value = f64> {
    const EXTREME: [f64; 12] = [
        0.0,
        -0.0,
        1.0,
        -1.0,
        0.1 + 0.2,
        f64::MAX,
        f64::MIN,
        f64::MIN_POSITIVE,
        5e-324,
        9_007_199_254_740_993.0,
        1e-7,
        123_456_789.123_456_78,
    ];
    prop_oneof![
        2 => prop::sample::select(&EXTREME[..]),
        2 => (0u32..100_000).prop_map(|n| f64::from(n) / 100.0),
        1 => any::<f64>().prop_filter("finite", |v| v.is_finite()),
    ]
}

pub(super) fn number() -> impl Strategy<Value = Option<f64>> {
    prop::option::of(arb_number())
}

pub(super) fn text() -> impl Strategy<Value = Option<String>> {
    prop::option::of(arb_text())
}

/// An instant of the years 1900 to 2200, to the nanosecond or to the second.
pub fn arb_timestamp() -> impl Strategy<Value = Timestamp> {
    let seconds = -2_208_988_800i64..7_258_118_400;
    let nanoseconds = prop_oneof![Just(0), 0..1_000_000_000i32];
    (seconds, nanoseconds).prop_map(|(s, ns)| Timestamp::new(s, ns).unwrap_or_default())
}

/// A time with its zone: zones with odd offsets, skipped days, hours that come twice, and fixed
/// offsets.
pub fn arb_at() -> impl Strategy<Value = ZonedDateTime> {
    const ZONES: [&str; 8] = [
        "UTC",
        "Europe/Berlin",
        "America/New_York",
        "America/St_Johns",
        "Asia/Kathmandu",
        "Pacific/Apia",
        "Australia/Lord_Howe",
        "Africa/Monrovia",
    ];
    // 2026-10-25 00:30 and 01:30 UTC are both 02:30 in Berlin (EU summer time directive 2000/84/EC).
    let twice = prop::sample::select(vec![1_792_888_200i64, 1_792_891_800])
        .prop_map(|s| Timestamp::new(s, 0).unwrap_or_default());
    let zone = prop_oneof![
        4 => prop::sample::select(&ZONES[..]).prop_map(|name| TimeZone::get(name).unwrap_or(TimeZone::UTC)),
        1 => (-14i8..=14).prop_map(|hours| TimeZone::fixed(Offset::constant(hours))),
    ];
    (prop_oneof![4 => arb_timestamp(), 1 => twice], zone)
        .prop_map(|(at, zone)| at.to_zoned_datetime(zone))
}

pub(super) fn date() -> impl Strategy<Value = Date> {
    arb_timestamp().prop_map(|at| at.to_zoned_datetime(TimeZone::UTC).date())
}

pub(super) fn time() -> impl Strategy<Value = Time> {
    arb_timestamp().prop_map(|at| at.to_zoned_datetime(TimeZone::UTC).time())
}

pub(super) fn money() -> impl Strategy<Value = Money> {
    (arb_number(), "[A-Z]{3}").prop_map(|(amount, currency)| Money { amount, currency })
}

pub(super) fn analyte() -> impl Strategy<Value = Analyte> {
    prop::sample::select(Analyte::all().collect::<Vec<_>>())
}

pub(super) fn amount() -> impl Strategy<Value = Amount> {
    let unit = prop::sample::select(vec![
        Unit::Gram,
        Unit::Milligram,
        Unit::Millilitre,
        Unit::Piece,
    ]);
    (arb_number(), unit).prop_map(|(value, unit)| Amount { value, unit })
}

/// Closed, open on either side, or open on both.
pub(super) fn interval() -> impl Strategy<Value = Interval> {
    (number(), number()).prop_map(|(a, b)| {
        let (low, high) = match (a, b) {
            (Some(a), Some(b)) if a > b => (Some(b), Some(a)),
            ends => ends,
        };
        Interval::new(low, high).unwrap_or(Interval::UNBOUNDED)
    })
}
