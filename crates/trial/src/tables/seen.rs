//! What was seen on a card or meter, in words and back.

use super::column::number;
use crate::Seen;
use quantity::{parse::decimals, parse_number};

/// What was seen, in words: `step 6`, `between 6 and 12`, `at least 3`, `at most 3`, `meter 6.80`,
/// `meter 6.8 plus or minus 0.1`.
pub(crate) fn words(seen: Seen) -> String {
    match seen {
        Seen::Step { step } => format!("step {}", number(step)),
        Seen::Between { low, high } => format!("between {} and {}", number(low), number(high)),
        Seen::AtLeast { value } => format!("at least {}", number(value)),
        Seen::AtMost { value } => format!("at most {}", number(value)),
        Seen::Meter {
            value,
            error,
            decimals,
        } => {
            let shown = shown(value, decimals);
            match error {
                None => format!("meter {shown}"),
                Some(e) => format!("meter {shown} plus or minus {}", number(e)),
            }
        }
    }
}

/// A meter's value with its digits, unless that would lose some of it.
fn shown(value: f64, decimals: u8) -> String {
    let text = format!("{value:.*}", usize::from(decimals.min(15)));
    if text.parse() == Ok(value) {
        text
    } else {
        number(value)
    }
}

/// A meter's value as typed: its digits say how finely it reads.
pub(crate) fn meter(text: &str, error: Option<f64>) -> Option<Seen> {
    let value = parse_number(text).ok()?;
    let decimals = u8::try_from(decimals(text)).unwrap_or(u8::MAX);
    Some(Seen::Meter {
        value,
        error,
        decimals,
    })
}

/// Reads the words of [`words`]; a bare number is a step, and `6-12` or `6 to 12` lie between.
pub(crate) fn read(text: &str) -> Option<Seen> {
    let text = text.trim().to_lowercase();
    let n = |t: &str| parse_number(t).ok();
    let after = |prefix: &str| text.strip_prefix(prefix).map(str::trim);
    if let Some(rest) = after("meter ") {
        return match rest.split_once("plus or minus") {
            Some((value, error)) => meter(value, Some(n(error)?)),
            None => meter(rest, None),
        };
    }
    if let Some(value) = after("at least ").or(after(">=")).or(after(">")) {
        return n(value).map(|value| Seen::AtLeast { value });
    }
    if let Some(value) = after("at most ").or(after("<=")).or(after("<")) {
        return n(value).map(|value| Seen::AtMost { value });
    }
    if let Some(rest) = after("between ") {
        return rest
            .split_once(" and ")
            .and_then(|(l, h)| between(n(l)?, n(h)?));
    }
    if let Some(step) = n(after("step ").unwrap_or(&text)) {
        return Some(Seen::Step { step });
    }
    // The first sign of the text may be its own minus.
    let range = text.split_once(" to ").or_else(|| {
        let split = text
            .char_indices()
            .skip(1)
            .find(|(_, c)| matches!(c, '-' | '\u{2013}'))?;
        Some((&text[..split.0], &text[split.0 + split.1.len_utf8()..]))
    });
    range.and_then(|(l, h)| between(n(l)?, n(h)?))
}

fn between(low: f64, high: f64) -> Option<Seen> {
    Some(Seen::Between { low, high })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn short_forms_are_read() {
        assert_eq!(read("6"), Some(Seen::Step { step: 6.0 }));
        assert_eq!(
            read("6-12"),
            Some(Seen::Between {
                low: 6.0,
                high: 12.0
            })
        );
        assert_eq!(
            read("-2 - 3,5"),
            Some(Seen::Between {
                low: -2.0,
                high: 3.5
            })
        );
        assert_eq!(read(">= 3"), Some(Seen::AtLeast { value: 3.0 }));
        let shown = Some(Seen::Meter {
            value: 6.8,
            error: None,
            decimals: 2,
        });
        assert_eq!(read("meter 6.80"), shown);
        assert_eq!(read("about six"), None);
    }

    proptest! {
        #[test]
        fn words_read_back(a in -50.0..50.0f64, w in 0.0..50.0f64, d in 0u8..5, kind in 0u8..6) {
            let scale = 10f64.powi(i32::from(d));
            let value = (a * scale).round() / scale;
            let seen = match kind {
                0 => Seen::Step { step: a },
                1 => Seen::Between { low: a, high: a + w },
                2 => Seen::AtLeast { value: a },
                3 => Seen::AtMost { value: a },
                4 => Seen::Meter { value, error: None, decimals: d },
                _ => Seen::Meter { value, error: Some(w), decimals: d },
            };
            prop_assert_eq!(read(&words(seen)), Some(seen));
        }

        #[test]
        fn never_panics(text in ".*") {
            let _ = read(&text);
        }
    }
}
