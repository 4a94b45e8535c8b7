//! Activity coefficients of one ionic strength.

use crate::constants::{Constants, pow10_each};
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
    /// At `ionic_strength`, mol/kg, 0 to 1.
    #[must_use]
    pub fn at(k: &Constants, ionic_strength: f64) -> Self {
        const IONS: [tj::Ion; 14] = [
            tj::H,
            tj::OH,
            tj::CA,
            tj::MG,
            tj::NA,
            tj::NH4,
            tj::SO4,
            tj::CO3,
            tj::HCO3,
            tj::HPO4,
            tj::PO4,
            tj::CAHCO3,
            tj::MGHCO3,
            tj::MGOH,
        ];
        let root = ionic_strength.sqrt();
        let mut x = [0.0; 18];
        for (x, ion) in x.iter_mut().zip(IONS) {
            *x = tj::log_gamma(ion, k.a, k.b, ionic_strength, root);
        }
        x[14] = tj::log_gamma(tj::K, k.a, k.b, ionic_strength, root);
        x[15] = davies::log_gamma(1.0, k.a, ionic_strength, root);
        x[16] = tj::log_gamma_neutral(ionic_strength);
        pow10_each(&mut x);
        let [
            h,
            oh,
            ca,
            mg,
            na,
            nh4,
            so4,
            co3,
            hco3,
            hpo4,
            po4,
            cahco3,
            mghco3,
            mgoh,
            k,
            davies,
            neutral,
            _,
        ] = x;
        Gammas {
            h,
            oh,
            ca,
            mg,
            na,
            k,
            nh4,
            so4,
            co3,
            hco3,
            hpo4,
            po4,
            cahco3,
            mghco3,
            mgoh,
            davies,
            neutral,
        }
    }
}
