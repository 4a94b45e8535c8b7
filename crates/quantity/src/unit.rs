//! The units keepers write, with their factors.

use serde::{Deserialize, Serialize};

/// What kind of quantity a unit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Dimension {
    /// Base unit gram.
    Mass,
    /// Base unit litre.
    Volume,
    /// Base unit centimetre.
    Length,
    /// Base unit hour.
    Duration,
    /// Base unit degree Celsius.
    Temperature,
    /// Base unit share (1 = all).
    Share,
    /// Base unit piece.
    Count,
}

/// A unit keepers write. Conversions are exact by definition (SI Brochure, 9th edition; NIST SP 811
/// for the gallon, ounce and inch).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)] // the names are the documentation
pub enum Unit {
    Milligram,
    Gram,
    Kilogram,
    Ounce,
    Millilitre,
    Litre,
    UsGallon,
    Millimetre,
    Centimetre,
    Metre,
    Inch,
    Minute,
    Hour,
    Day,
    Celsius,
    Fahrenheit,
    Percent,
    Share,
    Piece,
}

/// Every unit with the words people write for it; the first is the one we print.
const WORDS: &[(Unit, &[&str])] = &[
    (Unit::Milligram, &["mg", "milligram", "milligrams"]),
    (Unit::Gram, &["g", "gram", "grams", "gr"]),
    (Unit::Kilogram, &["kg", "kilogram", "kilograms", "kilo"]),
    (Unit::Ounce, &["oz", "ounce", "ounces"]),
    (
        Unit::Millilitre,
        &[
            "ml",
            "millilitre",
            "millilitres",
            "milliliter",
            "milliliters",
        ],
    ),
    (Unit::Litre, &["l", "litre", "litres", "liter", "liters"]),
    (Unit::UsGallon, &["gal", "gallon", "gallons"]),
    (
        Unit::Millimetre,
        &[
            "mm",
            "millimetre",
            "millimetres",
            "millimeter",
            "millimeters",
        ],
    ),
    (
        Unit::Centimetre,
        &[
            "cm",
            "centimetre",
            "centimetres",
            "centimeter",
            "centimeters",
        ],
    ),
    (Unit::Metre, &["m", "metre", "metres", "meter", "meters"]),
    (Unit::Inch, &["in", "inch", "inches"]),
    (Unit::Minute, &["min", "minute", "minutes"]),
    (Unit::Hour, &["h", "hour", "hours", "hr", "hrs"]),
    (Unit::Day, &["d", "day", "days"]),
    (Unit::Celsius, &["degC", "c", "°c", "celsius", "degrees"]),
    (Unit::Fahrenheit, &["degF", "f", "°f", "fahrenheit"]),
    (Unit::Percent, &["%", "percent", "pct"]),
    (Unit::Share, &["share"]),
    (
        Unit::Piece,
        &[
            "pieces", "piece", "pc", "pcs", "tablet", "tablets", "tab", "tabs",
        ],
    ),
];

/// Two amounts cannot be brought to one unit.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{from} cannot be turned into {to}: one is {from_dimension:?}, the other {to_dimension:?}")]
pub struct UnitError {
    from: &'static str,
    to: &'static str,
    from_dimension: Dimension,
    to_dimension: Dimension,
}

impl Unit {
    /// The unit people mean by `word`, whatever its case.
    pub fn from_word(word: &str) -> Option<Unit> {
        let lower = word.to_lowercase();
        WORDS
            .iter()
            .find(|(_, words)| words.iter().any(|w| w.to_lowercase() == lower))
            .map(|(u, _)| *u)
    }

    /// The short form we print.
    pub fn symbol(self) -> &'static str {
        WORDS
            .iter()
            .find(|(u, _)| *u == self)
            .map_or("", |(_, words)| words[0])
    }

    /// What the unit measures.
    pub fn dimension(self) -> Dimension {
        use Unit::*;
        match self {
            Milligram | Gram | Kilogram | Ounce => Dimension::Mass,
            Millilitre | Litre | UsGallon => Dimension::Volume,
            Millimetre | Centimetre | Metre | Inch => Dimension::Length,
            Minute | Hour | Day => Dimension::Duration,
            Celsius | Fahrenheit => Dimension::Temperature,
            Percent | Share => Dimension::Share,
            Piece => Dimension::Count,
        }
    }

    /// `(factor, offset)`: base = value * factor + offset.
    fn to_base(self) -> (f64, f64) {
        use Unit::*;
        match self {
            Milligram => (1e-3, 0.0),
            Gram | Litre | Centimetre | Hour | Celsius | Share | Piece => (1.0, 0.0),
            Kilogram => (1e3, 0.0),
            Ounce => (28.349_523_125, 0.0),
            Millilitre => (1e-3, 0.0),
            UsGallon => (3.785_411_784, 0.0),
            Millimetre => (0.1, 0.0),
            Metre => (100.0, 0.0),
            Inch => (2.54, 0.0),
            Minute => (1.0 / 60.0, 0.0),
            Day => (24.0, 0.0),
            Fahrenheit => (5.0 / 9.0, -160.0 / 9.0),
            Percent => (0.01, 0.0),
        }
    }
}

/// A number with its unit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Amount {
    /// The number as written.
    pub value: f64,
    /// Its unit.
    pub unit: Unit,
}

impl Amount {
    /// A number with its unit.
    pub fn new(value: f64, unit: Unit) -> Self {
        Amount { value, unit }
    }

    /// The same amount in another unit of the same dimension.
    pub fn to(self, unit: Unit) -> Result<f64, UnitError> {
        if self.unit == unit {
            return Ok(self.value);
        }
        if self.unit.dimension() != unit.dimension() {
            return Err(UnitError {
                from: self.unit.symbol(),
                to: unit.symbol(),
                from_dimension: self.unit.dimension(),
                to_dimension: unit.dimension(),
            });
        }
        let (f1, o1) = self.unit.to_base();
        let (f2, o2) = unit.to_base();
        Ok((self.value * f1 + o1 - o2) / f2)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn conversions_agree_with_nist_sp_811() {
        // NIST SP 811 (2008) appendix B.8: 1 gallon (US) = 3.785 412 L, 1 ounce = 28.349 52 g,
        // 1 inch = 2.54 cm; t/degC = (t/degF - 32)/1.8.
        let close = |a: f64, b: f64| assert!((a - b).abs() < 1e-6 * b.abs().max(1.0), "{a} {b}");
        close(
            Amount::new(1.0, Unit::UsGallon).to(Unit::Litre).unwrap(),
            3.785412,
        );
        close(
            Amount::new(1.0, Unit::Ounce).to(Unit::Gram).unwrap(),
            28.34952,
        );
        close(
            Amount::new(10.0, Unit::Inch).to(Unit::Centimetre).unwrap(),
            25.4,
        );
        close(
            Amount::new(212.0, Unit::Fahrenheit)
                .to(Unit::Celsius)
                .unwrap(),
            100.0,
        );
        close(
            Amount::new(25.0, Unit::Celsius)
                .to(Unit::Fahrenheit)
                .unwrap(),
            77.0,
        );
    }

    #[test]
    fn a_mass_is_not_a_volume() {
        let error = Amount::new(1.0, Unit::Gram).to(Unit::Litre).unwrap_err();
        assert_eq!(
            error.to_string(),
            "g cannot be turned into l: one is Mass, the other Volume"
        );
    }
}
