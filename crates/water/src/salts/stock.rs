//! Stock solutions: how much dissolves and what must not share a bottle.

use quantity::salt::Salt;

use super::dose::{effect, share_of};
use crate::relations::ciaaw_2021 as mass;
use quantity::Analyte;

/// g of the salt as written, hydrate included, that dissolve in a litre of water at 20 degC
/// (handbook solubilities, rounded; from memory). Rounded down: a stock that stands at 15 degC in
/// winter should not grow crystals.
const SOLUBILITY_G_L: &[(&str, f64)] = &[
    ("KNO3", 310.0),
    ("KH2PO4", 220.0),
    ("K2HPO4", 1400.0),
    ("K2SO4", 110.0),
    ("KCl", 340.0),
    ("Ca(NO3)2.4H2O", 1200.0),
    ("Mg(NO3)2.6H2O", 1200.0),
    ("MgSO4.7H2O", 700.0),
    ("MgCl2.6H2O", 1500.0),
    ("CaSO4.2H2O", 2.4),
    ("CaCl2", 740.0),
    ("CaCl2.2H2O", 970.0),
    ("CaCl2.6H2O", 1600.0),
    ("NH4NO3", 1800.0),
    ("(NH4)2SO4", 740.0),
    ("NH4Cl", 370.0),
    ("CO(NH2)2", 1000.0),
    ("NaHCO3", 95.0),
    ("KHCO3", 330.0),
    ("K2CO3", 1100.0),
    ("Na2CO3", 210.0),
    ("CaCO3", 0.05),
    ("CaMg(CO3)2", 0.05),
    ("NaCl", 358.0),
    ("FeSO4.7H2O", 250.0),
    ("FeC12H22O14.2H2O", 80.0),
    ("MnSO4.H2O", 500.0),
    ("ZnSO4.7H2O", 900.0),
    ("CuSO4.5H2O", 310.0),
    ("H3BO3", 47.0),
];

/// Something that will not stay dissolved, or not stay useful.
#[derive(Debug, Clone, PartialEq)]
pub struct Warning {
    /// Stable code.
    pub code: &'static str,
    /// One sentence a keeper can act on.
    pub text: String,
}

/// g/L that dissolve at 20 degC, from the handbook figures; `None` for salts not listed.
#[must_use]
pub fn solubility_g_l(salt: &Salt) -> Option<f64> {
    SOLUBILITY_G_L
        .iter()
        .find(|(formula, _)| *formula == salt.formula)
        .map(|(_, g)| *g)
}

/// What is wrong with a stock of these salts, g/L each.
#[must_use]
pub fn warnings(stock: &[(&Salt, f64)]) -> Vec<Warning> {
    let mut found = Vec::new();
    for (salt, g_l) in stock {
        if let Some(most) = solubility_g_l(salt)
            && *g_l > most
        {
            found.push(Warning {
                code: "beyond_solubility",
                text: format!(
                    "{} {g_l} g/L will not dissolve: about {most} g/L do at 20 degC",
                    salt.name
                ),
            });
        }
    }
    let holds = |analyte: Analyte| {
        stock
            .iter()
            .any(|(s, g)| *g > 0.0 && share_of(s, analyte) > 0.0)
    };
    let carbonate = stock
        .iter()
        .any(|(s, g)| *g > 0.0 && s.formula.contains("CO3"));
    for (together, code, text) in [
        (
            holds(Analyte::Po4) && holds(Analyte::Ca),
            "phosphate_with_calcium",
            "phosphate and calcium fall out of one bottle as calcium phosphate; keep them apart",
        ),
        (
            holds(Analyte::Po4) && holds(Analyte::Fe),
            "phosphate_with_iron",
            "phosphate and iron fall out of one bottle as iron phosphate; keep them apart",
        ),
        (
            carbonate && (holds(Analyte::Ca) || holds(Analyte::Mg)),
            "carbonate_with_hardness",
            "carbonate falls out of a stock with calcium or magnesium; keep them apart",
        ),
        (
            carbonate && holds(Analyte::Fe),
            "carbonate_with_iron",
            "iron falls out of a stock with carbonate; keep them apart",
        ),
    ] {
        if together {
            found.push(Warning {
                code,
                text: text.into(),
            });
        }
    }
    found.extend(gypsum(stock));
    found
}

/// Calcium and sulfate beyond gypsum. The solubility of gypsum in pure water, 2.4 g/L, is taken as
/// the product of concentrations it stands for; salt raises it, so this warns early.
fn gypsum(stock: &[(&Salt, f64)]) -> Option<Warning> {
    let (mut ca, mut so4) = (0.0, 0.0);
    for (salt, g_l) in stock {
        let brings = effect(salt, 1000.0 * g_l).brings;
        ca += brings.ca_mg_l / mass::CA / 1000.0;
        so4 += brings.so4_mg_l / mass::SO4 / 1000.0;
    }
    let alone = 2.4 / 172.164;
    (ca * so4 > alone * alone).then(|| Warning {
        code: "gypsum",
        text: "calcium and sulfate of this stock make gypsum, of which 2.4 g/L dissolve; use two \
               bottles or a thinner stock"
            .into(),
    })
}

/// What a chelate of iron does at `ph`, where common practice says it lets go (from memory, after
/// Lindsay and Norvell 1969); a warning, not a number.
#[must_use]
pub fn chelate_warning(formula_word: &str, ph: f64) -> Option<Warning> {
    let word = formula_word.to_ascii_lowercase();
    let lets_go = if word.contains("edta") {
        6.5
    } else if word.contains("dtpa") {
        7.5
    } else {
        return None;
    };
    (ph > lets_go).then(|| Warning {
        code: "chelate_lets_go",
        text: format!("above pH {lets_go} this chelate loses iron to calcium; little of it lasts"),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::salt::{all, find};

    fn codes(stock: &[(&str, f64)]) -> Vec<&'static str> {
        let stock: Vec<_> = stock.iter().map(|(f, g)| (find(f).unwrap(), *g)).collect();
        warnings(&stock).into_iter().map(|w| w.code).collect()
    }

    #[test]
    fn every_salt_has_a_solubility() {
        assert!(all().iter().all(|s| solubility_g_l(s).is_some()));
    }

    #[test]
    fn what_must_not_share_a_bottle() {
        // Common practice, no source.
        assert_eq!(
            codes(&[("KH2PO4", 10.0), ("CaCl2.2H2O", 10.0)]),
            ["phosphate_with_calcium"]
        );
        assert_eq!(
            codes(&[("KH2PO4", 10.0), ("FeC12H22O14.2H2O", 1.0)]),
            ["phosphate_with_iron"]
        );
        assert_eq!(
            codes(&[("NaHCO3", 10.0), ("CaCl2", 10.0)]),
            ["carbonate_with_hardness"]
        );
        assert_eq!(codes(&[("MgSO4.7H2O", 50.0), ("CaCl2", 50.0)]), ["gypsum"]);
        assert_eq!(
            codes(&[("CaSO4.2H2O", 3.0)]),
            ["beyond_solubility", "gypsum"]
        );
        assert!(codes(&[("KNO3", 100.0), ("KH2PO4", 20.0), ("MgSO4.7H2O", 100.0)]).is_empty());
    }

    #[test]
    fn chelates_let_go_at_their_ph() {
        assert!(chelate_warning("Fe-EDTA", 6.2).is_none());
        assert!(chelate_warning("Fe-EDTA", 7.0).is_some());
        assert!(chelate_warning("Fe-DTPA", 7.0).is_none());
    }
}
