//! What a solved water consists of.

use crate::activity::Gammas;
use crate::speciate::Carbon;

/// Totals of the conservative components, mol/kg water.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
#[allow(missing_docs)]
pub struct Totals {
    pub ca: f64,
    pub mg: f64,
    pub na: f64,
    pub k: f64,
    pub nh4: f64,
    pub cl: f64,
    pub so4: f64,
    pub no3: f64,
    pub p: f64,
    pub si: f64,
    pub b: f64,
}

/// Free ions, pairs and acids, mol/kg water, with the sums they make.
#[derive(Debug, Clone, Copy, PartialEq)]
#[allow(missing_docs)]
pub struct Species {
    pub ph: f64,
    pub h: f64,
    pub oh: f64,
    pub ca: f64,
    pub mg: f64,
    pub na: f64,
    pub k: f64,
    pub nh4: f64,
    pub nh3: f64,
    pub cl: f64,
    pub no3: f64,
    pub so4: f64,
    pub co2: f64,
    pub hco3: f64,
    pub co3: f64,
    pub cahco3: f64,
    pub caco3: f64,
    pub mghco3: f64,
    pub mgco3: f64,
    pub nahco3: f64,
    pub naco3: f64,
    pub caso4: f64,
    pub mgso4: f64,
    pub naso4: f64,
    pub kso4: f64,
    pub nh4so4: f64,
    pub hso4: f64,
    pub caoh: f64,
    pub mgoh: f64,
    pub po4: f64,
    pub hpo4: f64,
    pub h2po4: f64,
    pub h3po4: f64,
    /// CaPO4- and MgPO4-.
    pub po4_pairs: f64,
    /// CaHPO4 and MgHPO4.
    pub hpo4_pairs: f64,
    /// NaHPO4- and KHPO4-.
    pub alkali_hpo4: f64,
    /// CaH2PO4+ and MgH2PO4+.
    pub h2po4_pairs: f64,
    pub silicate: f64,
    pub borate: f64,
    /// Titrated alkalinity that carries no carbonate, eq/kg.
    pub other_alkalinity: f64,
    /// All titrated alkalinity, eq/kg.
    pub alkalinity: f64,
    /// Dissolved inorganic carbon, mol/kg.
    pub dic: f64,
    /// mol/kg.
    pub ionic_strength: f64,
    /// Activity coefficients in force.
    pub gammas: Gammas,
    /// Passes made.
    pub iterations: u32,
    /// Largest relative imbalance of a component after the last pass.
    pub residual: f64,
}

impl Species {
    /// Alkalinity, carbon and ionic strength from the species.
    pub(crate) fn sum_up(&mut self) {
        let s = self;
        s.other_alkalinity = s.oh - s.h - s.hso4
            + s.caoh
            + s.mgoh
            + s.hpo4
            + s.hpo4_pairs
            + s.alkali_hpo4
            + 2.0 * (s.po4 + s.po4_pairs)
            - s.h3po4
            + s.silicate
            + s.borate
            + s.nh3;
        let one = s.hco3 + s.cahco3 + s.mghco3 + s.nahco3;
        let two = s.co3 + s.caco3 + s.mgco3 + s.naco3;
        s.alkalinity = s.other_alkalinity + one + 2.0 * two;
        s.dic = s.co2 + one + two;
        let single = s.h
            + s.oh
            + s.na
            + s.k
            + s.nh4
            + s.cl
            + s.no3
            + s.hco3
            + s.cahco3
            + s.mghco3
            + s.naco3
            + s.naso4
            + s.kso4
            + s.nh4so4
            + s.hso4
            + s.caoh
            + s.mgoh
            + s.h2po4
            + s.po4_pairs
            + s.alkali_hpo4
            + s.h2po4_pairs
            + s.silicate
            + s.borate;
        let double = s.ca + s.mg + s.so4 + s.co3 + s.hpo4;
        s.ionic_strength = 0.5 * (single + 4.0 * double + 9.0 * s.po4).max(0.0);
    }

    /// Largest relative difference between a component's total and the sum of its species.
    pub(crate) fn imbalance(&self, t: &Totals) -> f64 {
        let s = self;
        let phosphate_pairs = s.po4_pairs + s.hpo4_pairs + s.h2po4_pairs;
        let phosphate = s.po4 + s.hpo4 + s.h2po4 + s.h3po4 + phosphate_pairs + s.alkali_hpo4;
        let sulfate = s.so4 + s.caso4 + s.mgso4 + s.naso4 + s.kso4 + s.nh4so4 + s.hso4;
        let calcium = s.ca + s.cahco3 + s.caco3 + s.caso4 + s.caoh;
        let magnesium = s.mg + s.mghco3 + s.mgco3 + s.mgso4 + s.mgoh;
        let alkali = s.na + s.k + s.nahco3 + s.naco3 + s.naso4 + s.kso4 + s.alkali_hpo4;
        [
            (t.so4, sulfate),
            (t.p, phosphate),
            (t.nh4, s.nh4 + s.nh3 + s.nh4so4),
            (t.ca + t.mg, calcium + magnesium + phosphate_pairs),
            (t.na + t.k, alkali),
        ]
        .into_iter()
        .map(|(total, sum)| (total - sum).abs() / total.max(1e-12))
        .fold(0.0, f64::max)
    }

    /// Sum of charges, eq/kg: zero in a water whose analysis is complete.
    #[must_use]
    pub fn charge(&self) -> f64 {
        let s = self;
        2.0 * (s.ca + s.mg - s.so4 - s.co3 - s.hpo4) - 3.0 * s.po4
            + s.h
            + s.na
            + s.k
            + s.nh4
            + s.cahco3
            + s.mghco3
            + s.caoh
            + s.mgoh
            + s.h2po4_pairs
            - (s.oh + s.cl + s.no3 + s.hco3 + s.naco3 + s.naso4 + s.kso4 + s.nh4so4 + s.hso4)
            - (s.h2po4 + s.po4_pairs + s.alkali_hpo4 + s.silicate + s.borate)
    }

    /// Acid and base of the phosphate, as a buffer, mol/kg.
    pub(crate) fn phosphate_capacity(&self) -> f64 {
        let acid = self.h2po4 + self.h2po4_pairs;
        let base = self.hpo4 + self.hpo4_pairs + self.alkali_hpo4;
        if acid + base > 0.0 {
            acid * base / (acid + base)
        } else {
            0.0
        }
    }

    /// Approximate change of alkalinity per pH, eq/kg (pairs and activities held).
    pub(crate) fn buffer_capacity(&self, carbon: Carbon) -> f64 {
        let s = self;
        let one = s.hco3 + s.cahco3 + s.mghco3 + s.nahco3;
        let two = s.co3 + s.caco3 + s.mgco3 + s.naco3;
        let carbonate = match carbon {
            Carbon::Dic(_) | Carbon::Alkalinity(_) => {
                (one * (s.co2 + two) + 4.0 * s.co2 * two) / s.dic.max(1e-30)
            }
            Carbon::Co2Activity(_) | Carbon::Co2(_) => one + 4.0 * two,
        };
        let ammonia = if s.nh4 > 0.0 {
            s.nh3 * s.nh4 / (s.nh4 + s.nh3)
        } else {
            0.0
        };
        let minor = self.phosphate_capacity() + ammonia + s.silicate + s.borate;
        std::f64::consts::LN_10 * (s.h + s.oh + carbonate + minor).max(1e-12)
    }
}
