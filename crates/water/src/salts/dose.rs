//! A dose to mg per litre and back, and its effect on a water.

use quantity::Analyte;
use quantity::salt::Salt;

use crate::closed::Closed;
use crate::error::{Unsolvable, within};
use crate::relations::ciaaw_2021 as mass;
use crate::water::Water;

/// What a dose of a salt brings once dissolved, per litre of water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effect {
    /// Ions and alkalinity (the temperature in it means nothing). Ammonium counts as TAN.
    pub brings: Water,
    /// Inorganic carbon, mmol/L.
    pub dic_mmol_l: f64,
    /// Nitrogen still bound in urea, mg/L of N: no charge and no TAN before hydrolysis.
    pub urea_n_mg_l: f64,
    /// Iron, mg/L; of chelates by the stated share of iron, see [`chelate_fe_mg_l`].
    pub fe_mg_l: f64,
    /// Manganese, mg/L.
    pub mn_mg_l: f64,
    /// Zinc, mg/L.
    pub zn_mg_l: f64,
    /// Copper, mg/L.
    pub cu_mg_l: f64,
}

/// mg/L in `volume_l` from `mg` of anything.
pub fn to_mg_l(mg: f64, volume_l: f64) -> Result<f64, Unsolvable> {
    within("dose_mg", mg, 0.0, 1e9)?;
    within("volume_l", volume_l, 1e-3, 1e9)?;
    Ok(mg / volume_l)
}

/// mg of a salt that brings `mg_l` of `analyte` (ion or element as the salt table has it) to
/// `volume_l`; `None` when the salt holds none of it.
#[must_use]
pub fn to_weigh_mg(salt: &Salt, analyte: Analyte, mg_l: f64, volume_l: f64) -> Option<f64> {
    let share = share_of(salt, analyte);
    (share > 0.0).then(|| mg_l * volume_l / share)
}

/// mg/L of iron from a chelate: only the product's stated % Fe says how much it holds.
pub fn chelate_fe_mg_l(mg_l: f64, stated_fe_percent: f64) -> Result<f64, Unsolvable> {
    within("dose_mg_l", mg_l, 0.0, 1e6)?;
    within("stated_fe_percent", stated_fe_percent, 0.01, 40.0)?;
    Ok(mg_l * stated_fe_percent / 100.0)
}

/// mg of `analyte` per mg of `salt`.
#[must_use]
pub fn share_of(salt: &Salt, analyte: Analyte) -> f64 {
    salt.brings_mg_per_mg
        .iter()
        .find(|(a, _)| *a == analyte)
        .map_or(0.0, |(_, share)| *share)
}

/// Inorganic carbon of one formula unit.
fn carbons(salt: &Salt) -> f64 {
    match salt.formula {
        "CaMg(CO3)2" => 2.0,
        formula if formula.contains("CO3") => 1.0,
        _ => 0.0,
    }
}

/// What `mg_l` of `salt` brings when all of it dissolves.
#[must_use]
pub fn effect(salt: &Salt, mg_l: f64) -> Effect {
    let of = |analyte| mg_l * share_of(salt, analyte);
    let mmol_l = mg_l / salt.molar_mass_g_mol;
    // The salt table counts urea's nitrogen as ammonium, which it becomes only later.
    let nitrogen = of(Analyte::Nh4) * mass::N / mass::NH4;
    let urea = salt.formula == "CO(NH2)2";
    Effect {
        brings: Water {
            alkalinity_meq_l: mmol_l * salt.alkalinity_eq_mol,
            ca_mg_l: of(Analyte::Ca),
            mg_mg_l: of(Analyte::Mg),
            na_mg_l: of(Analyte::Na),
            k_mg_l: of(Analyte::K),
            cl_mg_l: of(Analyte::Cl),
            so4_mg_l: of(Analyte::S) * mass::SO4 / mass::S,
            no3_mg_l: of(Analyte::No3),
            po4_mg_l: of(Analyte::Po4),
            b_mg_l: of(Analyte::B),
            tan_mg_l: if urea { 0.0 } else { nitrogen },
            ..Water::default()
        },
        dic_mmol_l: mmol_l * carbons(salt),
        urea_n_mg_l: if urea { nitrogen } else { 0.0 },
        fe_mg_l: of(Analyte::Fe),
        mn_mg_l: of(Analyte::Mn),
        zn_mg_l: of(Analyte::Zn),
        cu_mg_l: of(Analyte::Cu),
    }
}

/// A water before and after a dose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dosed {
    /// The water after it.
    pub after: Closed,
    /// Change of general hardness, dGH.
    pub gh_dgh: f64,
    /// Change of alkalinity, dKH.
    pub kh_dkh: f64,
    /// Change of conductivity at 25 degC, uS/cm.
    pub conductivity_us_cm: f64,
    /// Change of pH before any gas is exchanged.
    pub ph: f64,
    /// Calcite saturation index after it; above 0 carbonate hardness may not stay dissolved.
    pub calcite_saturation_index: f64,
}

/// Doses `mg_l` of `salt` to `water` in a closed vessel, all of it dissolving.
pub fn dose(water: &Closed, salt: &Salt, mg_l: f64) -> Result<Dosed, Unsolvable> {
    within("dose_mg_l", mg_l, 0.0, 1e5)?;
    let effect = effect(salt, mg_l);
    let before = water.state()?;
    let after = Closed {
        water: plus(&water.water, &effect.brings),
        dic_mmol_l: water.dic_mmol_l + effect.dic_mmol_l,
    };
    let s = after.state()?;
    Ok(Dosed {
        after,
        gh_dgh: effect.brings.gh_dgh(),
        kh_dkh: effect.brings.kh_dkh(),
        conductivity_us_cm: s.conductivity_25_us_cm - before.conductivity_25_us_cm,
        ph: s.ph - before.ph,
        calcite_saturation_index: s.calcite_saturation_index,
    })
}

/// `water` with the amounts of `more` added; its temperature stays.
#[must_use]
pub(crate) fn plus(water: &Water, more: &Water) -> Water {
    let sum = Water::weighted(&[(1.0, *water), (1.0, *more)]);
    Water {
        temperature_c: water.temperature_c,
        ..sum
    }
}
