//! Every constant of one temperature, taken once.

use crate::relations::debye_huckel_1923::debye_huckel;
use crate::relations::{
    bradley_pitzer_1979 as dielectric, emerson_1975 as emerson, kell_1975 as kell,
    nordstrom_1990 as nord, phosphate_pairs as phos, plummer_busenberg_1982 as pb,
};

/// Equilibrium constants (not their logarithms), Debye-Huckel slopes and density of water at one
/// temperature. Association constants unless named `k0`, `k1`, `k2`, `kw`, `ksp_*` or `*_acid`.
#[derive(Debug, Clone, Copy, PartialEq)]
#[allow(missing_docs)] // the names are those of the species
pub struct Constants {
    /// degC.
    pub celsius: f64,
    /// kg/L, pure water.
    pub water_density_kg_l: f64,
    /// Debye-Huckel A, log10.
    pub a: f64,
    /// Debye-Huckel B, per angstrom.
    pub b: f64,
    /// mol/kg/atm.
    pub k0: f64,
    pub k1: f64,
    pub k2: f64,
    pub kw: f64,
    pub log_ksp_calcite: f64,
    pub log_ksp_aragonite: f64,
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
    /// M++ + H2O = MOH+ + H+.
    pub caoh: f64,
    pub mgoh: f64,
    /// HPO4-- = PO4--- + H+.
    pub hpo4_acid: f64,
    /// H2PO4- = HPO4-- + H+.
    pub h2po4_acid: f64,
    /// H3PO4 = H2PO4- + H+.
    pub h3po4_acid: f64,
    pub capo4: f64,
    pub cahpo4: f64,
    pub cah2po4: f64,
    pub mgpo4: f64,
    pub mghpo4: f64,
    pub mgh2po4: f64,
    pub alkali_hpo4: f64,
    pub silicic_acid: f64,
    pub boric_acid: f64,
    /// NH4+ = NH3 + H+, Emerson et al. 1975.
    pub ammonium_acid: f64,
}

/// Debye-Huckel A and B at `celsius`.
pub(crate) fn slopes(celsius: f64, water_density_kg_l: f64) -> (f64, f64) {
    debye_huckel(
        celsius,
        dielectric::permittivity(celsius),
        water_density_kg_l,
    )
}

/// Ten to the power `x`.
#[inline]
pub(crate) fn pow10(x: f64) -> f64 {
    (x * std::f64::consts::LN_10).exp()
}

impl Constants {
    /// At `celsius`, which should be 0 to 40; the caller checks.
    #[must_use]
    pub fn at(celsius: f64) -> Self {
        let t = celsius + 273.15;
        let lt = t.log10();
        let water_density_kg_l = kell::water_density_kg_l(celsius);
        let (a, b) = slopes(celsius, water_density_kg_l);
        let (hpo4, h2po4, h3po4) = (
            phos::log_k_hpo4(t),
            phos::log_k_h2po4(t),
            phos::log_k_h3po4(t),
        );
        Constants {
            celsius,
            water_density_kg_l,
            a,
            b,
            k0: pow10(pb::log_k0(t, lt)),
            k1: pow10(pb::log_k1(t, lt)),
            k2: pow10(pb::log_k2(t, lt)),
            kw: pow10(nord::log_kw(t, lt)),
            log_ksp_calcite: pb::log_ksp_calcite(t, lt),
            log_ksp_aragonite: pb::log_ksp_aragonite(t, lt),
            cahco3: pow10(pb::log_k_cahco3(t, lt)),
            caco3: pow10(pb::log_k_caco3(t, lt)),
            mghco3: pow10(nord::log_k_mghco3(t, lt)),
            mgco3: pow10(nord::log_k_mgco3(t)),
            nahco3: pow10(nord::log_k_nahco3(t)),
            naco3: pow10(nord::log_k_naco3(t)),
            caso4: pow10(nord::log_k_caso4(t)),
            mgso4: pow10(nord::log_k_mgso4(t)),
            naso4: pow10(nord::log_k_naso4(t)),
            kso4: pow10(nord::log_k_kso4(t)),
            nh4so4: pow10(nord::LOG_K_NH4SO4),
            hso4: pow10(nord::log_k_hso4(t, lt)),
            caoh: pow10(nord::LOG_K_CAOH),
            mgoh: pow10(nord::log_k_mgoh(t)),
            hpo4_acid: pow10(-hpo4),
            h2po4_acid: pow10(hpo4 - h2po4),
            h3po4_acid: pow10(h2po4 - h3po4),
            capo4: pow10(phos::log_k_capo4(t)),
            cahpo4: pow10(phos::log_k_cahpo4(t)),
            cah2po4: pow10(phos::log_k_cah2po4(t)),
            mgpo4: pow10(phos::log_k_mgpo4(t)),
            mghpo4: pow10(phos::log_k_mghpo4(t)),
            mgh2po4: pow10(phos::log_k_mgh2po4(t)),
            alkali_hpo4: pow10(phos::LOG_K_ALKALI_HPO4),
            silicic_acid: pow10(nord::log_k_silicate(t, lt)),
            boric_acid: pow10(nord::log_k_borate(t)),
            ammonium_acid: pow10(-emerson::pka(t)),
        }
    }
}
