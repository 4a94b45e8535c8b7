//! A water as an analysis gives it.

use serde::{Deserialize, Serialize};

use crate::constants::Constants;
use crate::error::{Unsolvable, within};
use crate::relations::ciaaw_2021 as mass;
use crate::relations::handbook_volumes as volume;
use crate::species::Totals;

/// Analysis of a water per litre at its own temperature; a missing ion is 0.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Water {
    /// Temperature, degC, 5 to 35.
    pub temperature_c: f64,
    /// Total titrated alkalinity, meq/L (1 dKH = 0.3567 meq/L).
    pub alkalinity_meq_l: f64,
    /// Calcium, mg/L.
    pub ca_mg_l: f64,
    /// Magnesium, mg/L.
    pub mg_mg_l: f64,
    /// Sodium, mg/L.
    pub na_mg_l: f64,
    /// Potassium, mg/L.
    pub k_mg_l: f64,
    /// Chloride, mg/L.
    pub cl_mg_l: f64,
    /// Sulfate, mg/L of SO4.
    pub so4_mg_l: f64,
    /// Nitrate, mg/L of NO3.
    pub no3_mg_l: f64,
    /// Phosphate, mg/L of PO4.
    pub po4_mg_l: f64,
    /// Silicic acid, mg/L of SiO2.
    pub sio2_mg_l: f64,
    /// Boron, mg/L of B.
    pub b_mg_l: f64,
    /// Total ammonia, mg/L of N.
    pub tan_mg_l: f64,
}

impl Default for Water {
    fn default() -> Self {
        Water {
            temperature_c: 25.0,
            alkalinity_meq_l: 0.0,
            ca_mg_l: 0.0,
            mg_mg_l: 0.0,
            na_mg_l: 0.0,
            k_mg_l: 0.0,
            cl_mg_l: 0.0,
            so4_mg_l: 0.0,
            no3_mg_l: 0.0,
            po4_mg_l: 0.0,
            sio2_mg_l: 0.0,
            b_mg_l: 0.0,
            tan_mg_l: 0.0,
        }
    }
}

/// Largest amount of one ion an analysis may hold, mg/L: far beyond fresh water, so that the ionic
/// strength and not this is what turns a brine away.
const MOST_MG_L: f64 = 1e5;

impl Water {
    /// Everything but temperature, with the name of its field.
    #[must_use]
    pub fn amounts(&self) -> [(&'static str, f64); 11] {
        [
            ("ca_mg_l", self.ca_mg_l),
            ("mg_mg_l", self.mg_mg_l),
            ("na_mg_l", self.na_mg_l),
            ("k_mg_l", self.k_mg_l),
            ("cl_mg_l", self.cl_mg_l),
            ("so4_mg_l", self.so4_mg_l),
            ("no3_mg_l", self.no3_mg_l),
            ("po4_mg_l", self.po4_mg_l),
            ("sio2_mg_l", self.sio2_mg_l),
            ("b_mg_l", self.b_mg_l),
            ("tan_mg_l", self.tan_mg_l),
        ]
    }

    /// General hardness, dGH: calcium and magnesium in units of 10 mg CaO per litre.
    #[must_use]
    pub fn gh_dgh(&self) -> f64 {
        (self.ca_mg_l / mass::CA + self.mg_mg_l / mass::MG) * mass::CAO / 10.0
    }

    /// Titrated alkalinity in degrees, dKH.
    #[must_use]
    pub fn kh_dkh(&self) -> f64 {
        self.alkalinity_meq_l / quantity::analyte::MEQ_L_PER_DKH
    }

    /// Totals, mol/kg of water, and the kg of water in a litre.
    ///
    /// A litre of the water holds less than a litre of pure water by the volume of its ions. The
    /// room that dissolved CO2 takes (0.003 % at 1 mmol/L) is left out, as the reference does.
    pub(crate) fn totals(&self, k: &Constants) -> Result<(Totals, f64), Unsolvable> {
        within("alkalinity_meq_l", self.alkalinity_meq_l, -100.0, 1e3)?;
        for (field, value) in self.amounts() {
            within(field, value, 0.0, MOST_MG_L)?;
        }
        let mut t = Totals {
            ca: self.ca_mg_l / mass::CA,
            mg: self.mg_mg_l / mass::MG,
            na: self.na_mg_l / mass::NA,
            k: self.k_mg_l / mass::K,
            nh4: self.tan_mg_l / mass::N,
            cl: self.cl_mg_l / mass::CL,
            so4: self.so4_mg_l / mass::SO4,
            no3: self.no3_mg_l / mass::NO3,
            p: self.po4_mg_l / mass::PO4,
            si: self.sio2_mg_l / mass::SIO2,
            b: self.b_mg_l / mass::B,
        };
        // cm3 per litre, amounts in mmol/L; alkalinity taken as HCO3-.
        let ions = 1e-3
            * (t.ca * volume::CA
                + t.mg * volume::MG
                + t.na * volume::NA
                + t.k * volume::K
                + t.nh4 * volume::NH4
                + t.cl * volume::CL
                + t.so4 * volume::SO4
                + t.no3 * volume::NO3
                + t.p * volume::H2PO4
                + (t.si + t.b) * volume::NEUTRAL_ACID
                + self.alkalinity_meq_l * volume::HCO3);
        let kg_l = k.water_density_kg_l * (1.0 - 1e-3 * ions);
        // Half a litre of salt is no fresh water; the sum below must stay positive.
        if kg_l < 0.5 {
            return Err(Unsolvable::TooSalty {
                ionic_strength_mol_kg: f64::INFINITY,
                limit: crate::speciate::IONIC_STRENGTH_LIMIT,
            });
        }
        let scale = 1e-3 / kg_l;
        for x in [
            &mut t.ca, &mut t.mg, &mut t.na, &mut t.k, &mut t.nh4, &mut t.cl, &mut t.so4,
            &mut t.no3, &mut t.p, &mut t.si, &mut t.b,
        ] {
            *x *= scale;
        }
        Ok((t, kg_l))
    }

    /// Everything, the temperature too, multiplied with its weight and added.
    #[must_use]
    pub(crate) fn weighted(parts: &[(f64, Water)]) -> Water {
        let sum = |of: fn(&Water) -> f64| parts.iter().map(|(w, water)| w * of(water)).sum::<f64>();
        Water {
            temperature_c: sum(|w| w.temperature_c),
            alkalinity_meq_l: sum(|w| w.alkalinity_meq_l),
            ca_mg_l: sum(|w| w.ca_mg_l),
            mg_mg_l: sum(|w| w.mg_mg_l),
            na_mg_l: sum(|w| w.na_mg_l),
            k_mg_l: sum(|w| w.k_mg_l),
            cl_mg_l: sum(|w| w.cl_mg_l),
            so4_mg_l: sum(|w| w.so4_mg_l),
            no3_mg_l: sum(|w| w.no3_mg_l),
            po4_mg_l: sum(|w| w.po4_mg_l),
            sio2_mg_l: sum(|w| w.sio2_mg_l),
            b_mg_l: sum(|w| w.b_mg_l),
            tan_mg_l: sum(|w| w.tan_mg_l),
        }
    }
}
