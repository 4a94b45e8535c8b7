//! Un-ionised ammonia and the published criteria for total ammonia.

use crate::constants::Constants;
use crate::error::{Unsolvable, within};
use crate::relations::truesdell_jones_1974 as tj;
use crate::relations::{ciaaw_2021 as mass, emerson_1975 as emerson, epa_2013 as epa};

/// Temperatures of the relation, degC.
pub const TEMPERATURE_C: (f64, f64) = (0.0, 40.0);

/// Ammonia of a water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ammonia {
    /// Un-ionised share of total ammonia, 0 to 1.
    pub nh3_fraction: f64,
    /// Un-ionised ammonia, mg/L of N.
    pub nh3_n_mg_l: f64,
    /// Un-ionised ammonia, mg/L of NH3.
    pub nh3_mg_l: f64,
}

/// Published limits of total ammonia at one temperature and pH, mg/L of N, with what they protect.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Criteria {
    /// One-hour average.
    pub acute_mg_n_l: f64,
    /// 30-day average.
    pub chronic_mg_n_l: f64,
    /// What they are and are not.
    pub caution: &'static str,
}

/// To be shown beside the criteria.
pub const CRITERIA_CAUTION: &str = "US EPA 2013 criteria for fresh water, total ammonia as N. They \
    protect the most sensitive animals tested, mussels and snails first; they are a cautious line, \
    not the limit of any one fish or shrimp. Total ammonia alone says nothing: what harms is the \
    un-ionised part, which depends on pH and temperature.";

/// Un-ionised share of total ammonia: Emerson and others' pKa (zero ionic strength) with the
/// activity coefficients of ammonium and ammonia. 0 to 40 degC, pH 0 to 14, ionic strength 0 to
/// 0.1 mol/kg.
///
/// Without the correction the share is 5 to 7 % too high at 0.005 mol/kg and up to 16 % at 0.02.
pub fn fraction(
    temperature_c: f64,
    ph: f64,
    ionic_strength_mol_kg: f64,
) -> Result<f64, Unsolvable> {
    within(
        "temperature_c",
        temperature_c,
        TEMPERATURE_C.0,
        TEMPERATURE_C.1,
    )?;
    within("ph", ph, 0.0, 14.0)?;
    let i = within("ionic_strength_mol_kg", ionic_strength_mol_kg, 0.0, 0.1)?;
    let pka = emerson::pka(temperature_c + 273.15);
    // Not worth a whole set of constants: A and B are all that is needed.
    let density = crate::relations::kell_1975::water_density_kg_l(temperature_c);
    let (a, b) = crate::constants::slopes(temperature_c, density);
    let correction = tj::log_gamma(tj::NH4, a, b, i, i.sqrt()) - tj::log_gamma_neutral(i);
    Ok(1.0 / (1.0 + 10f64.powf(pka - ph - correction)))
}

/// Un-ionised ammonia in `tan_mg_l` mg/L of total ammonia nitrogen.
pub fn ammonia(
    temperature_c: f64,
    ph: f64,
    ionic_strength_mol_kg: f64,
    tan_mg_l: f64,
) -> Result<Ammonia, Unsolvable> {
    within("tan_mg_l", tan_mg_l, 0.0, 1e5)?;
    let nh3_fraction = fraction(temperature_c, ph, ionic_strength_mol_kg)?;
    let nh3_n_mg_l = nh3_fraction * tan_mg_l;
    Ok(Ammonia {
        nh3_fraction,
        nh3_n_mg_l,
        nh3_mg_l: nh3_n_mg_l * mass::NH3 / mass::N,
    })
}

/// The published criteria at `temperature_c` (0 to 40) and `ph` (6 to 9.5, their range).
pub fn criteria(temperature_c: f64, ph: f64) -> Result<Criteria, Unsolvable> {
    within(
        "temperature_c",
        temperature_c,
        TEMPERATURE_C.0,
        TEMPERATURE_C.1,
    )?;
    within("ph", ph, 6.0, 9.5)?;
    Ok(Criteria {
        acute_mg_n_l: epa::acute_mg_n_l(temperature_c, ph),
        chronic_mg_n_l: epa::chronic_mg_n_l(temperature_c, ph),
        caution: CRITERIA_CAUTION,
    })
}

/// Un-ionised share in a solved water's constants, as [`crate::State`] gives it.
pub(crate) fn fraction_in(k: &Constants, ph: f64, gamma_nh4: f64, gamma_neutral: f64) -> f64 {
    let nh3_per_nh4 = k.ammonium_acid * gamma_nh4 * crate::constants::pow10(ph) / gamma_neutral;
    nh3_per_nh4 / (1.0 + nh3_per_nh4)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn trap_8_total_ammonia_is_not_ammonia() {
        // Worked: 0.5 mg/L TAN-N at 28 degC, pH 8.4 = 0.0747 mg/L NH3-N (14.9 %) = 0.0909 mg/L NH3;
        // at 25 degC, pH 7 only 0.0028 mg/L NH3-N (Emerson et al. 1975, zero ionic strength).
        let high = ammonia(28.0, 8.4, 0.0, 0.5).unwrap();
        assert!((high.nh3_n_mg_l - 0.0747).abs() < 6e-5);
        assert!((high.nh3_mg_l - 0.0909).abs() < 6e-5);
        assert!((high.nh3_fraction - 0.149).abs() < 1e-3);
        let low = ammonia(25.0, 7.0, 0.0, 0.5).unwrap();
        assert!((low.nh3_n_mg_l - 0.0028).abs() < 5e-5);
    }

    #[test]
    fn trap_9_ionic_strength_lowers_the_share() {
        // Reference solver: at I = 0.02 and pH 5.5 to 8.8 Emerson overstates by 10 to 16 %, rounded.
        for (t, ph) in [(18.0, 5.5), (25.0, 7.0), (28.0, 8.8), (32.0, 6.8)] {
            let over = fraction(t, ph, 0.0).unwrap() / fraction(t, ph, 0.02).unwrap() - 1.0;
            assert!((0.10..0.17).contains(&over), "{t} {ph} {over}");
        }
    }

    #[test]
    fn criteria_carry_their_caution() {
        let c = criteria(20.0, 7.0).unwrap();
        // 17 and 1.9 mg N/L, the document's headline (from memory).
        assert!((c.acute_mg_n_l - 17.0).abs() < 0.3 && (c.chronic_mg_n_l - 1.9).abs() < 0.05);
        assert!(c.caution.contains("mussels") && c.caution.contains("not the limit"));
        assert!(criteria(20.0, 11.0).is_err());
    }
}
