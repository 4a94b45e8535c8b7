//! What a water test measures, and whether its number means the ion or the element.

use serde::{Deserialize, Serialize};

/// What a reading is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)] // the names are the documentation
pub enum Analyte {
    No3,
    No2,
    Nh4,
    Po4,
    K,
    Fe,
    Ca,
    Mg,
    Na,
    Cl,
    So4,
    Sio2,
    B,
    Mn,
    Zn,
    Cu,
    S,
    Kh,
    Gh,
    Ph,
    Co2,
    O2,
    Conductivity,
    Temperature,
}

/// Whether a concentration counts the ion (NO3) or the element in it (N).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Means {
    /// mg/L of the ion: NO3, PO4, NH4.
    #[default]
    Ion,
    /// mg/L of the element: N, P.
    Element,
}

/// Key, spoken name, symbol, unit, and the mass of element in one mass of ion.
/// Molar masses: IUPAC 2021 abridged standard atomic weights (N 14.007, P 30.974, O 15.999,
/// H 1.008, S 32.06, Si 28.085).
const TABLE: &[(Analyte, &str, &str, &str, &str, f64)] = &[
    (
        Analyte::No3,
        "no3",
        "nitrate",
        "NO3",
        "mg/L",
        14.007 / (14.007 + 3.0 * 15.999),
    ),
    (
        Analyte::No2,
        "no2",
        "nitrite",
        "NO2",
        "mg/L",
        14.007 / (14.007 + 2.0 * 15.999),
    ),
    (
        Analyte::Nh4,
        "nh4",
        "total ammonium",
        "NH4",
        "mg/L",
        14.007 / (14.007 + 4.0 * 1.008),
    ),
    (
        Analyte::Po4,
        "po4",
        "phosphate",
        "PO4",
        "mg/L",
        30.974 / (30.974 + 4.0 * 15.999),
    ),
    (Analyte::K, "k", "potassium", "K", "mg/L", 1.0),
    (Analyte::Fe, "fe", "iron", "Fe", "mg/L", 1.0),
    (Analyte::Ca, "ca", "calcium", "Ca", "mg/L", 1.0),
    (Analyte::Mg, "mg", "magnesium", "Mg", "mg/L", 1.0),
    (Analyte::Na, "na", "sodium", "Na", "mg/L", 1.0),
    (Analyte::Cl, "cl", "chloride", "Cl", "mg/L", 1.0),
    (
        Analyte::So4,
        "so4",
        "sulfate",
        "SO4",
        "mg/L",
        32.06 / (32.06 + 4.0 * 15.999),
    ),
    (
        Analyte::Sio2,
        "sio2",
        "silica",
        "SiO2",
        "mg/L",
        28.085 / (28.085 + 2.0 * 15.999),
    ),
    (Analyte::B, "b", "boron", "B", "mg/L", 1.0),
    (Analyte::Mn, "mn", "manganese", "Mn", "mg/L", 1.0),
    (Analyte::Zn, "zn", "zinc", "Zn", "mg/L", 1.0),
    (Analyte::Cu, "cu", "copper", "Cu", "mg/L", 1.0),
    (Analyte::S, "s", "sulfur", "S", "mg/L", 1.0),
    (Analyte::Kh, "kh", "alkalinity (KH)", "KH", "dKH", 1.0),
    (Analyte::Gh, "gh", "general hardness (GH)", "GH", "dGH", 1.0),
    (Analyte::Ph, "ph", "pH", "pH", "", 1.0),
    (Analyte::Co2, "co2", "carbon dioxide", "CO2", "mg/L", 1.0),
    (Analyte::O2, "o2", "oxygen", "O2", "mg/L", 1.0),
    (
        Analyte::Conductivity,
        "conductivity",
        "conductivity",
        "conductivity",
        "uS/cm",
        1.0,
    ),
    (
        Analyte::Temperature,
        "temperature",
        "temperature",
        "temperature",
        "\u{b0}C",
        1.0,
    ),
];

/// Other words people use.
const ALIASES: &[(&str, Analyte)] = &[
    ("nitrate", Analyte::No3),
    ("nitrite", Analyte::No2),
    ("ammonium", Analyte::Nh4),
    ("ammonia", Analyte::Nh4),
    ("nh3", Analyte::Nh4),
    ("tan", Analyte::Nh4),
    ("phosphate", Analyte::Po4),
    ("potassium", Analyte::K),
    ("iron", Analyte::Fe),
    ("calcium", Analyte::Ca),
    ("magnesium", Analyte::Mg),
    ("alkalinity", Analyte::Kh),
    ("hardness", Analyte::Gh),
    ("oxygen", Analyte::O2),
    ("temp", Analyte::Temperature),
    ("ec", Analyte::Conductivity),
    ("silica", Analyte::Sio2),
    ("silicate", Analyte::Sio2),
    ("sulfate", Analyte::So4),
    ("chloride", Analyte::Cl),
    ("sodium", Analyte::Na),
];

impl Analyte {
    /// All analytes, in the order tables show them.
    pub fn all() -> impl Iterator<Item = Analyte> {
        TABLE.iter().map(|row| row.0)
    }

    fn row(
        self,
    ) -> &'static (
        Analyte,
        &'static str,
        &'static str,
        &'static str,
        &'static str,
        f64,
    ) {
        // Every variant has its row (tested), so the first row is never the fallback.
        TABLE.iter().find(|row| row.0 == self).unwrap_or(&TABLE[0])
    }

    /// The key used in jots, files and commands (`no3`).
    pub fn key(self) -> &'static str {
        self.row().1
    }

    /// The spoken name (`nitrate`).
    pub fn name(self) -> &'static str {
        self.row().2
    }

    /// The symbol (`NO3`), or `N` when the element is meant.
    pub fn symbol(self, means: Means) -> &'static str {
        match (self, means) {
            (Analyte::No3, Means::Element) => "NO3-N",
            (Analyte::No2, Means::Element) => "NO2-N",
            (Analyte::Nh4, Means::Element) => "NH4-N",
            (Analyte::Po4, Means::Element) => "PO4-P",
            _ => self.row().3,
        }
    }

    /// The unit its readings are in.
    pub fn unit(self) -> &'static str {
        self.row().4
    }

    /// Mass of the element in one mass of the ion.
    pub fn element_share(self) -> f64 {
        self.row().5
    }

    /// Whether the value is an amount that cannot be below zero (pH and temperature can).
    pub fn is_amount(self) -> bool {
        !matches!(self, Analyte::Ph | Analyte::Temperature)
    }

    /// The analyte people mean by `word`, whatever its case.
    pub fn from_word(word: &str) -> Option<Analyte> {
        let lower = word.to_lowercase();
        TABLE
            .iter()
            .find(|row| row.1 == lower)
            .map(|row| row.0)
            .or_else(|| ALIASES.iter().find(|(w, _)| *w == lower).map(|(_, a)| *a))
    }

    /// A value that means `means`, as the ion.
    pub fn as_ion(self, value: f64, means: Means) -> f64 {
        match means {
            Means::Ion => value,
            Means::Element => value / self.element_share(),
        }
    }
}

/// Milliequivalents per litre in one degree of carbonate hardness: 10 mg CaO per litre, CaO
/// 56.077 g/mol (IUPAC 2021), two equivalents a mole.
pub const MEQ_L_PER_DKH: f64 = 2.0 * 10.0 / 56.077;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_variant_has_its_row_and_reads_back() {
        for a in Analyte::all() {
            assert_eq!(a.row().0, a);
            assert_eq!(Analyte::from_word(a.key()), Some(a));
            let json = serde_json::to_string(&a).unwrap();
            assert_eq!(json, format!("\"{}\"", a.key()));
        }
    }

    #[test]
    fn ion_and_element_agree_with_the_handbook() {
        // NO3-N to NO3 is 4.427, PO4-P to PO4 3.066 (Standard Methods for the Examination of
        // Water and Wastewater, conversion factors; from memory).
        assert!((Analyte::No3.as_ion(1.0, Means::Element) - 4.427).abs() < 1e-3);
        assert!((Analyte::Po4.as_ion(1.0, Means::Element) - 3.066).abs() < 1e-3);
        // 1 dKH = 0.3566 meq/L (DIN 38409-7 usage; from memory).
        assert!((MEQ_L_PER_DKH - 0.3566).abs() < 1e-4);
    }
}
