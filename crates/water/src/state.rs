//! What a solved water is like.

use crate::ammonia::fraction_in;
use crate::constants::Constants;
use crate::relations::ciaaw_2021 as mass;
use crate::relations::handbook_volumes as volume;
use crate::relations::robinson_stokes_1959 as rs;
use crate::species::Species;

/// Everything the engine says of one water. Concentrations are per litre of the water at its own
/// temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// degC.
    pub temperature_c: f64,
    /// Minus log10 of the activity of H+.
    pub ph: f64,
    /// Total titrated alkalinity, meq/L.
    pub alkalinity_meq_l: f64,
    /// The part of it that is not carbonate (OH-, phosphate, silicate, borate, ammonia), meq/L.
    pub other_alkalinity_meq_l: f64,
    /// Free CO2, mg/L.
    pub co2_mg_l: f64,
    /// Free HCO3-, mg/L.
    pub hco3_mg_l: f64,
    /// Free CO3--, mg/L.
    pub co3_mg_l: f64,
    /// Dissolved inorganic carbon, mmol/L.
    pub dic_mmol_l: f64,
    /// mol/kg of water.
    pub ionic_strength_mol_kg: f64,
    /// log10 of ion product over solubility product of calcite; -inf without calcium or carbonate.
    pub calcite_saturation_index: f64,
    /// The same for aragonite.
    pub aragonite_saturation_index: f64,
    /// Partial pressure of CO2 in equilibrium with the water, atm.
    pub pco2_atm: f64,
    /// Conductivity at 25 degC, uS/cm.
    pub conductivity_25_us_cm: f64,
    /// kg/L.
    pub density_kg_l: f64,
    /// Un-ionised share of total ammonia, 0 to 1.
    pub nh3_fraction: f64,
    /// Passes the solver made.
    pub iterations: u32,
    /// Largest relative imbalance of a component or of the alkalinity.
    pub residual: f64,
    /// The species, mol/kg of water.
    pub species: Species,
    /// kg of water in a litre.
    pub water_kg_l: f64,
}

impl State {
    pub(crate) fn of(k: &Constants, s: Species, at_25: &Species, kg_l: f64) -> State {
        let g = &s.gammas;
        // Activities' product in one logarithm; 0 gives -inf, which is what an index without
        // calcium or carbonate is.
        let log_product = (s.ca * g.ca * s.co3 * g.co3).log10();
        State {
            temperature_c: k.celsius,
            ph: s.ph,
            alkalinity_meq_l: s.alkalinity * kg_l * 1e3,
            other_alkalinity_meq_l: s.other_alkalinity * kg_l * 1e3,
            co2_mg_l: s.co2 * kg_l * 1e3 * mass::CO2,
            hco3_mg_l: s.hco3 * kg_l * 1e3 * mass::HCO3,
            co3_mg_l: s.co3 * kg_l * 1e3 * mass::CO3,
            dic_mmol_l: s.dic * kg_l * 1e3,
            ionic_strength_mol_kg: s.ionic_strength,
            calcite_saturation_index: log_product - k.log_ksp_calcite,
            aragonite_saturation_index: log_product - k.log_ksp_aragonite,
            pco2_atm: s.co2 * g.neutral / k.k0,
            conductivity_25_us_cm: conductivity(at_25, kg_l),
            // Dissolved CO2 takes room that the ions' volume does not count.
            density_kg_l: kg_l * (1.0 + dissolved_kg_kg(&s)) * (1.0 - 1e-3 * volume::CO2 * s.co2),
            nh3_fraction: fraction_in(k, s.ph, g.nh4, g.neutral),
            iterations: s.iterations,
            residual: s.residual,
            species: s,
            water_kg_l: kg_l,
        }
    }

    /// d DIC / d CO2 at constant alkalinity: how much slower free CO2 changes than the gas that
    /// crosses the surface, because bicarbonate gives or takes the rest. 1 below about pH 7.5.
    #[must_use]
    pub fn dic_per_co2(&self) -> f64 {
        let s = &self.species;
        let one = s.hco3 + s.cahco3 + s.mghco3 + s.nahco3;
        let two = s.co3 + s.caco3 + s.mgco3 + s.naco3;
        // Per unit of pH at constant alkalinity: carbonate alkalinity one + 2 two moves against
        // the other bases. With x = ln h: dco2/co2 = dC + 2x, done/one = dC + x, dtwo/two = dC,
        // where dC is the relative change of free CO3.
        let bases = s.h + s.oh + s.phosphate_capacity() + s.silicate + s.borate;
        let carbonate_per_c = one + 2.0 * two;
        // one (c + x) + 2 two c - bases x = 0 with c the relative change of CO3, x of h.
        let c = (bases - one) / carbonate_per_c;
        let dco2 = s.co2 * (c + 2.0);
        let ddic = dco2 + one * (c + 1.0) + two * c;
        ddic / dco2
    }
}

/// Conductivity of a water at 25 degC, uS/cm.
fn conductivity(s: &Species, kg_l: f64) -> f64 {
    let root = s.ionic_strength.sqrt();
    [
        (rs::H, s.h),
        (rs::OH, s.oh),
        (rs::CA, s.ca),
        (rs::MG, s.mg),
        (rs::NA, s.na),
        (rs::K, s.k),
        (rs::NH4, s.nh4),
        (rs::CL, s.cl),
        (rs::SO4, s.so4),
        (rs::NO3, s.no3),
        (rs::HCO3, s.hco3),
        (rs::CO3, s.co3),
        (rs::H2PO4, s.h2po4),
        (rs::HPO4, s.hpo4),
        (rs::CAHCO3, s.cahco3),
        (rs::MGHCO3, s.mghco3),
        (rs::NASO4, s.naso4),
        (rs::KSO4, s.kso4),
        (rs::NACO3, s.naco3),
    ]
    .into_iter()
    .map(|(ion, mol_kg)| rs::part_us_cm(ion, mol_kg * kg_l, root))
    .sum()
}

/// Dissolved mass per kg of water: totals and carbonate, pairs counted by their parts.
fn dissolved_kg_kg(s: &Species) -> f64 {
    let sulfate = s.so4 + s.caso4 + s.mgso4 + s.naso4 + s.kso4 + s.nh4so4 + s.hso4;
    let calcium = s.ca + s.cahco3 + s.caco3 + s.caso4 + s.caoh;
    let magnesium = s.mg + s.mghco3 + s.mgco3 + s.mgso4 + s.mgoh;
    let sodium = s.na + s.nahco3 + s.naco3 + s.naso4;
    let potassium = s.k + s.kso4;
    let phosphate = s.hpo4 + s.h2po4 + s.hpo4_pairs + s.h2po4_pairs + s.alkali_hpo4;
    let one = s.hco3 + s.cahco3 + s.mghco3 + s.nahco3;
    let two = s.co3 + s.caco3 + s.mgco3 + s.naco3;
    1e-3 * (calcium * mass::CA
        + magnesium * mass::MG
        + sodium * mass::NA
        + potassium * mass::K
        + s.cl * mass::CL
        + sulfate * mass::SO4
        + s.no3 * mass::NO3
        + phosphate * mass::PO4
        + s.nh4 * mass::NH4
        + one * mass::HCO3
        + two * mass::CO3
        + s.co2 * mass::CO2)
}
