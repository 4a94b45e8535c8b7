//! Reading what people type: decimal point or comma, a number with or without its unit.

use crate::{Amount, Unit};

/// Why a text is not the number or amount asked for.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ParseError {
    /// Nothing was typed.
    #[error("a number is missing")]
    Empty,
    /// Not a number.
    #[error("\"{0}\" is not a number; write it like 12, 0.5 or 0,5")]
    NotANumber(String),
    /// Infinite or too large to mean anything.
    #[error("\"{0}\" is too large")]
    TooLarge(String),
    /// A unit nobody knows.
    #[error("\"{0}\" is not a unit; known are mg, g, kg, ml, l, gal, mm, cm, in, min, h, d, %")]
    UnknownUnit(String),
}

/// A finite number as people type it: `12`, `0.5`, `0,5`, `-3`, `.5`. No thousands separators,
/// since `1,200` would be ambiguous; a comma is always the decimal sign.
pub fn parse_number(text: &str) -> Result<f64, ParseError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(ParseError::Empty);
    }
    let ok = text.char_indices().all(|(i, c)| {
        c.is_ascii_digit() || c == '.' || c == ',' || (i == 0 && (c == '-' || c == '+'))
    });
    let separators = text.chars().filter(|c| *c == '.' || *c == ',').count();
    if !ok || separators > 1 || !text.chars().any(|c| c.is_ascii_digit()) {
        return Err(ParseError::NotANumber(text.to_string()));
    }
    let number: f64 = text
        .replace(',', ".")
        .parse()
        .map_err(|_| ParseError::NotANumber(text.to_string()))?;
    if number.is_finite() && number.abs() < 1e15 {
        Ok(number)
    } else {
        Err(ParseError::TooLarge(text.to_string()))
    }
}

/// How many digits stand behind the decimal sign of a number as typed.
pub fn decimals(text: &str) -> usize {
    text.trim().split_once(['.', ',']).map_or(0, |(_, d)| {
        d.chars().take_while(char::is_ascii_digit).count()
    })
}

/// A number and its unit, joined or apart: `1.2 g`, `5ml`, `40%`. Without a unit, `default` is used
/// where one is given.
pub fn parse_amount(text: &str, default: Option<Unit>) -> Result<Amount, ParseError> {
    let text = text.trim();
    let split = text
        .char_indices()
        .find(|(_, c)| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+')))
        .map_or(text.len(), |(i, _)| i);
    let (number, word) = text.split_at(split);
    let value = parse_number(number).map_err(|e| match e {
        ParseError::Empty if !text.is_empty() => ParseError::NotANumber(text.to_string()),
        other => other,
    })?;
    match word.trim() {
        "" => default
            .map(|unit| Amount::new(value, unit))
            .ok_or_else(|| ParseError::UnknownUnit(String::new())),
        word => Unit::from_word(word)
            .map(|unit| Amount::new(value, unit))
            .ok_or_else(|| ParseError::UnknownUnit(word.to_string())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn decimal_comma_and_point_are_the_same() {
        assert_eq!(parse_number(" 0,5 "), Ok(0.5));
        assert_eq!(parse_number(".5"), Ok(0.5));
        assert!(parse_number("1,200.5").is_err());
        assert!(parse_number("1e5").is_err());
        assert!(parse_number("inf").is_err());
        assert_eq!(decimals("6.80"), 2);
    }

    #[test]
    fn amounts_join_or_split_their_unit() {
        assert_eq!(
            parse_amount("5ml", None),
            Ok(Amount::new(5.0, Unit::Millilitre))
        );
        assert_eq!(
            parse_amount("1,2 g", None),
            Ok(Amount::new(1.2, Unit::Gram))
        );
        assert_eq!(
            parse_amount("40 %", None),
            Ok(Amount::new(40.0, Unit::Percent))
        );
        assert_eq!(
            parse_amount("7", Some(Unit::Hour)),
            Ok(Amount::new(7.0, Unit::Hour))
        );
        assert!(matches!(
            parse_amount("5 spoons", None),
            Err(ParseError::UnknownUnit(_))
        ));
    }

    proptest! {
        #[test]
        fn never_panics(text in ".*") {
            let _ = parse_number(&text);
            let _ = parse_amount(&text, None);
        }

        #[test]
        fn reads_back_what_it_prints(n in -1e6..1e6f64) {
            prop_assert_eq!(parse_number(&n.to_string()), Ok(n));
        }
    }
}
