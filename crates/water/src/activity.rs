//! Activity coefficients of one ionic strength.

use crate::constants::{Constants, pow10};
use crate::relations::{davies_1962 as davies, truesdell_jones_1974 as tj};

/// Activity coefficients, one per set of parameters (see the relations for who shares which).
#[derive(Debug, Clone, Copy, PartialEq)]
#[allow(missing_docs)] // the names are those of the species
pub struct Gammas {
    pub h: f64,
    pub oh: f64,
    pub ca: f64,
    pub mg: f64,
    pub na: f64,
    pub k: f64,
    pub nh4: f64,
    pub so4: f64,
    pub co3: f64,
    /// HCO3- and the singly charged pairs.
    pub hco3: f64,
    pub hpo4: f64,
    pub po4: f64,
    pub cahco3: f64,
    /// MgHCO3+ and H3SiO4-.
    pub mghco3: f64,
    pub mgoh: f64,
    /// Davies, one charge: NaCO3-, B(OH)4-, CaOH+, HSO4-, NH4SO4-.
    pub davies: f64,
    /// Uncharged species.
    pub neutral: f64,
}

impl Gammas {
    /// At `ionic_strength` mol/kg; those of ions that are absent are 1 when the flag says so, which
    /// spares time and changes nothing.
    #[must_use]
    pub(crate) fn at(k: &Constants, ionic_strength: f64, minor: Minor) -> Self {
        let root = ionic_strength.sqrt();
        let gamma = |ion| pow10(tj::log_gamma(ion, k.a, k.b, ionic_strength, root));
        let if_there = |there: bool, ion| if there { gamma(ion) } else { 1.0 };
        Gammas {
            h: gamma(tj::H),
            oh: gamma(tj::OH),
            ca: gamma(tj::CA),
            mg: gamma(tj::MG),
            na: gamma(tj::NA),
            k: gamma(tj::K),
            nh4: gamma(tj::NH4),
            so4: gamma(tj::SO4),
            co3: gamma(tj::CO3),
            hco3: gamma(tj::HCO3),
            hpo4: if_there(minor.phosphate, tj::HPO4),
            po4: if_there(minor.phosphate, tj::PO4),
            cahco3: gamma(tj::CAHCO3),
            mghco3: gamma(tj::MGHCO3),
            mgoh: gamma(tj::MGOH),
            davies: pow10(davies::log_gamma(1.0, k.a, ionic_strength, root)),
            neutral: pow10(tj::log_gamma_neutral(ionic_strength)),
        }
    }
}

/// Which minor components a water holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Minor {
    pub(crate) phosphate: bool,
}
