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
    #[allow(clippy::too_many_lines)] // one line for each published constant
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
        let mut logs = [
            pb::log_k0(t, lt),
            pb::log_k1(t, lt),
            pb::log_k2(t, lt),
            nord::log_kw(t, lt),
            pb::log_k_cahco3(t, lt),
            pb::log_k_caco3(t, lt),
            nord::log_k_mghco3(t, lt),
            nord::log_k_mgco3(t),
            nord::log_k_nahco3(t),
            nord::log_k_naco3(t),
            nord::log_k_caso4(t),
            nord::log_k_mgso4(t),
            nord::log_k_naso4(t),
            nord::log_k_kso4(t),
            nord::LOG_K_NH4SO4,
            nord::log_k_hso4(t, lt),
            nord::LOG_K_CAOH,
            nord::log_k_mgoh(t),
            -hpo4,
            hpo4 - h2po4,
            h2po4 - h3po4,
            phos::log_k_capo4(t),
            phos::log_k_cahpo4(t),
            phos::log_k_cah2po4(t),
            phos::log_k_mgpo4(t),
            phos::log_k_mghpo4(t),
            phos::log_k_mgh2po4(t),
            phos::LOG_K_ALKALI_HPO4,
            nord::log_k_silicate(t, lt),
            nord::log_k_borate(t),
            -emerson::pka(t),
        ];
        pow10_each(&mut logs);
        let [
            k0,
            k1,
            k2,
            kw,
            cahco3,
            caco3,
            mghco3,
            mgco3,
            nahco3,
            naco3,
            caso4,
            mgso4,
            naso4,
            kso4,
            nh4so4,
            hso4,
            caoh,
            mgoh,
            hpo4_acid,
            h2po4_acid,
            h3po4_acid,
            capo4,
            cahpo4,
            cah2po4,
            mgpo4,
            mghpo4,
            mgh2po4,
            alkali_hpo4,
            silicic_acid,
            boric_acid,
            ammonium_acid,
        ] = logs;
        Constants {
            celsius,
            water_density_kg_l,
            a,
            b,
            k0,
            k1,
            k2,
            kw,
            log_ksp_calcite: pb::log_ksp_calcite(t, lt),
            log_ksp_aragonite: pb::log_ksp_aragonite(t, lt),
            cahco3,
            caco3,
            mghco3,
            mgco3,
            nahco3,
            naco3,
            caso4,
            mgso4,
            naso4,
            kso4,
            nh4so4,
            hso4,
            caoh,
            mgoh,
            hpo4_acid,
            h2po4_acid,
            h3po4_acid,
            capo4,
            cahpo4,
            cah2po4,
            mgpo4,
            mghpo4,
            mgh2po4,
            alkali_hpo4,
            silicic_acid,
            boric_acid,
            ammonium_acid,
        }
    }
}

/// Ten to the power of each, within 1e-13 for -300 to 300: a power of two and the first thirteen
/// terms of the exponential series on what is left. Free of branches, so that the compiler takes
/// several at once: the solver spends most of its time here.
pub(crate) fn pow10_each<const N: usize>(x: &mut [f64; N]) {
    /// 1.5 times 2^52: what is added to it is rounded to an integer, which its last bits then hold.
    const ROUND: f64 = 6_755_399_441_055_744.0;
    /// 1/k!, k = 12 down to 0.
    const TERMS: [f64; 13] = [
        1.0 / 479_001_600.0,
        1.0 / 39_916_800.0,
        1.0 / 3_628_800.0,
        1.0 / 362_880.0,
        1.0 / 40_320.0,
        1.0 / 5_040.0,
        1.0 / 720.0,
        1.0 / 120.0,
        1.0 / 24.0,
        1.0 / 6.0,
        0.5,
        1.0,
        1.0,
    ];
    for x in x {
        let rounded = *x * std::f64::consts::LOG2_10 + ROUND;
        let rest = *x * std::f64::consts::LN_10 - (rounded - ROUND) * std::f64::consts::LN_2;
        let power = TERMS.iter().fold(0.0, |sum, term| sum * rest + term);
        // The integer goes where a double keeps its exponent.
        *x = f64::from_bits(power.to_bits().wrapping_add(rounded.to_bits() << 52));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn powers_agree_with_the_library_function() {
        for step in -60_000..=60_000 {
            let x = f64::from(step) / 2000.0;
            let mut one = [x];
            pow10_each(&mut one);
            let gap = one[0] / 10f64.powf(x) - 1.0;
            assert!(gap.abs() < 1e-13, "{x}: {gap}");
        }
        let mut none = [f64::NAN, 0.0, 1.0, -2.0];
        pow10_each(&mut none);
        assert!(none[0].is_nan() && none[1] == 1.0);
        assert!((none[2] - 10.0).abs() < 1e-13 && (none[3] - 0.01).abs() < 1e-16);
    }
}
