//! Whatever is typed, a jot never panics, and what it returns can be written.

#![allow(clippy::unwrap_used, clippy::panic)] // helpers fail a test by panicking

mod common;

use common::*;
use proptest::prelude::*;
use trial::jot::read;
use trial::rules::check_draft;

/// Words of the grammar and of the bench, some with slips.
const WORDS: &[&str] = &[
    "ash:",
    "ash, elm:",
    "all:",
    "oak",
    "sand:",
    "dose",
    "kno3",
    "evening mix",
    "root tab",
    "change",
    "topup",
    "light",
    "set",
    "temp",
    "flow",
    "gas",
    "on",
    "off",
    "read",
    "no3",
    "po4",
    "gh",
    "ph",
    "tap",
    "rain",
    "with",
    "trim",
    "thin",
    "keep",
    "out",
    "leave",
    "bacopa",
    "eleocharis",
    "salvinia",
    "second lot",
    "replant",
    "into",
    "move",
    "to",
    "elm",
    "score",
    "vigour",
    "leaves",
    "height",
    "cover",
    "film",
    "thread",
    "pane",
    "lost",
    "plantlets",
    "harvest",
    "disposed",
    "arrived",
    "fish",
    "swap",
    "for",
    "feed",
    "flakes",
    "clean",
    "filter",
    "note",
    "by",
    "mina",
    "(5 min)",
    "between",
    "and",
    "at least",
    "meter",
    "~",
    "+/-",
    "diluted",
    "blank",
    "standard",
    "\"",
    "\"x\"",
    "@",
    "yesterday",
    "monday",
    "ago",
    "2026-02-03",
    "18:30",
    "days",
    ",",
    "-",
    ":",
    "%",
    "g",
    "mg",
    "ml",
    "l",
    "h",
    "cm",
    "min",
    "stems",
    "EUR",
    "dried",
    "of",
    "in",
    "no card",
    "x5",
    "doze",
    "nO3",
];

/// Such words with numbers and symbols between them.
fn piece() -> impl Strategy<Value = String> {
    prop_oneof![
        6 => proptest::sample::select(WORDS).prop_map(str::to_string),
        3 => (-5i32..60).prop_map(|n| n.to_string()),
        1 => (0.0..20.0f64).prop_map(|n| format!("{n:.2}")),
        1 => "\\PC{0,6}",
    ]
}

fn check(line: &str) -> Result<(), TestCaseError> {
    match read(line, &bench(), &now()) {
        Ok(j) => {
            prop_assert_eq!(check_draft(&j.draft, &bench()), vec![], "{}", line);
            prop_assert!(j.read_back.ends_with('.'), "{}", line);
            prop_assert!(!j.read_back.contains("act."), "{}", j.read_back);
        }
        Err(e) => {
            let length = line.chars().count();
            prop_assert!(
                e.column <= length && e.width >= 1,
                "{} at {}",
                line,
                e.column
            );
            prop_assert!(e.column + e.width <= length.max(e.column + 1), "{}", line);
            prop_assert!(e.to_string().ends_with("Nothing was written."));
            prop_assert!(!e.to_string().contains("act."), "{}", e);
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3000))]

    #[test]
    fn any_text_is_read_or_refused(line in "\\PC{0,60}") {
        check(&line)?;
    }

    #[test]
    fn any_bytes_are_read_or_refused(line in any::<String>()) {
        let line: String = line.chars().take(80).collect();
        let _ = read(&line, &bench(), &now());
    }

    #[test]
    fn any_words_are_read_or_refused(words in proptest::collection::vec(piece(), 0..10)) {
        check(&words.join(" "))?;
    }

    /// Lines that begin well are understood often enough for the property to mean something.
    #[test]
    fn a_dose_reads_back_its_numbers(
        mg in 1u32..100_000, tanks in proptest::sample::subsequence(TANKS.to_vec(), 1..=4),
    ) {
        let grams = f64::from(mg) / 1000.0;
        let line = format!("{}: dose kno3 {grams} g", tanks.join(", "));
        let j = read(&line, &bench(), &now()).unwrap();
        let trial::Act::Dose(d) = &j.draft.act else { panic!("{line}") };
        prop_assert_eq!(d.amount.value, grams);
        prop_assert_eq!(j.draft.tanks, tanks.into_iter().map(tank).collect::<Vec<_>>());
    }
}
