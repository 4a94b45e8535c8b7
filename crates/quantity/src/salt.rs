//! Salts keepers weigh, with their composition computed from atomic weights.

use crate::Analyte;
use std::sync::OnceLock;

/// The table beside this file: percentages by mass, from IUPAC 2021 atomic weights.
const TABLE: &str = include_str!("../data/salts.csv");

/// A salt as bought, hydrate included.
#[derive(Debug, Clone, PartialEq)]
pub struct Salt {
    /// Formula with its water of crystallisation (`MgSO4.7H2O`).
    pub formula: &'static str,
    /// Name (`magnesium sulfate heptahydrate`).
    pub name: &'static str,
    /// g/mol.
    pub molar_mass_g_mol: f64,
    /// What one mg of it brings, in mg of the ion for nitrate and phosphate, else of the element.
    pub brings_mg_per_mg: Vec<(Analyte, f64)>,
    /// Titrated alkalinity it adds on dissolving, equivalents per mole.
    pub alkalinity_eq_mol: f64,
    /// What to mind: hydrate, solubility, what happens later. May be empty.
    pub note: &'static str,
}

/// Every salt of the table.
pub fn all() -> &'static [Salt] {
    static SALTS: OnceLock<Vec<Salt>> = OnceLock::new();
    SALTS.get_or_init(|| TABLE.lines().skip(1).filter_map(read_row).collect())
}

/// The salt of this formula (case and spaces do not matter) or name.
pub fn find(word: &str) -> Option<&'static Salt> {
    let key = |s: &str| s.to_lowercase().replace([' ', '.', '*', '\u{b7}'], "");
    let wanted = key(word);
    all()
        .iter()
        .find(|s| key(s.formula) == wanted || key(s.name) == wanted)
}

const COLUMNS: &[(usize, Analyte)] = &[
    (5, Analyte::K),
    (6, Analyte::Ca),
    (7, Analyte::Mg),
    (8, Analyte::S),
    (9, Analyte::Na),
    (10, Analyte::Cl),
    (11, Analyte::Fe),
    (12, Analyte::Mn),
    (13, Analyte::Zn),
    (14, Analyte::Cu),
    (15, Analyte::B),
];

fn read_row(line: &'static str) -> Option<Salt> {
    let cells: Vec<&'static str> = line.split(',').collect();
    let number = |i: usize| {
        cells
            .get(i)
            .and_then(|c| c.parse::<f64>().ok())
            .unwrap_or(0.0)
    };
    let mut brings = Vec::new();
    for (column, analyte) in [(16, Analyte::No3), (17, Analyte::Po4)] {
        if number(column) > 0.0 {
            brings.push((analyte, number(column)));
        }
    }
    let ammonium_n = number(3) / 100.0 - number(16) * Analyte::No3.element_share();
    // The nitrogen that is not nitrate is ammonium; urea's becomes ammonium after hydrolysis.
    if ammonium_n > 1e-3 {
        brings.push((Analyte::Nh4, ammonium_n / Analyte::Nh4.element_share()));
    }
    brings.extend(
        COLUMNS
            .iter()
            .filter(|(c, _)| number(*c) > 0.0)
            .map(|(c, a)| (*a, number(*c) / 100.0)),
    );
    Some(Salt {
        formula: cells.first()?,
        name: cells.get(1)?,
        molar_mass_g_mol: number(2),
        brings_mg_per_mg: brings,
        alkalinity_eq_mol: number(20),
        // The last cell may be quoted and hold commas.
        note: line
            .splitn(22, ',')
            .nth(21)
            .unwrap_or("")
            .trim()
            .trim_matches('"'),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn potassium_nitrate_is_61_percent_nitrate() {
        // 62.004 / 101.102 from IUPAC 2021 atomic weights.
        let salt = find("kno3").unwrap();
        let share = |a| {
            salt.brings_mg_per_mg
                .iter()
                .find(|(x, _)| *x == a)
                .map(|(_, v)| *v)
        };
        assert!((share(Analyte::No3).unwrap() - 62.004 / 101.102).abs() < 1e-4);
        assert!((share(Analyte::K).unwrap() - 39.098 / 101.102).abs() < 1e-4);
        assert_eq!(share(Analyte::Nh4), None);
    }

    #[test]
    fn alkalinity_and_notes_are_read() {
        // Equivalents: one for a bicarbonate, two for a carbonate, one for K2HPO4 (from H2PO4-).
        for (formula, eq) in [
            ("NaHCO3", 1.0),
            ("K2CO3", 2.0),
            ("K2HPO4", 1.0),
            ("KCl", 0.0),
        ] {
            assert_eq!(find(formula).unwrap().alkalinity_eq_mol, eq, "{formula}");
        }
        assert_eq!(
            find("gypsum").unwrap().note,
            "solubility ~2.4 g/L, dissolves slowly"
        );
    }

    #[test]
    fn half_of_ammonium_nitrates_nitrogen_is_ammonium() {
        let salt = find("ammonium nitrate").unwrap();
        let nh4 = salt
            .brings_mg_per_mg
            .iter()
            .find(|(a, _)| *a == Analyte::Nh4)
            .unwrap()
            .1;
        // 18.039 / 80.043.
        assert!((nh4 - 18.039 / 80.043).abs() < 1e-3);
    }

    #[test]
    fn hydrates_are_told_apart() {
        assert_eq!(all().len(), 30);
        assert!(
            find("CaCl2").unwrap().molar_mass_g_mol < find("CaCl2.2H2O").unwrap().molar_mass_g_mol
        );
        assert_eq!(find("MgSO4 7H2O").unwrap().formula, "MgSO4.7H2O");
    }
}
