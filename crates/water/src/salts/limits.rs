//! How much carbonate a water can hold.

use super::dose::{effect, plus};
use crate::error::Unsolvable;
use crate::relations::ciaaw_2021 as mass;
use crate::solve::{Given, solve};
use crate::state::State;
use crate::water::Water;

/// Saturation index of calcite from which scale is to be expected within days; below it a water
/// stays oversaturated for long. From memory, common practice.
pub const SCALE_EXPECTED: f64 = 0.3;

/// Calcite that dissolves, and the water it ends in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dissolved {
    /// CaCO3, mg/L; below zero what falls out of an oversaturated water.
    pub caco3_mg_l: f64,
    /// The water in equilibrium with calcite.
    pub state: State,
}

/// How much calcium carbonate dissolves in `water` before calcite stops dissolving, while the air
/// or a dosing holds its CO2: `held` is a partial pressure ([`Given::Pco2Atm`]) or a level
/// ([`Given::Co2MgL`]). What is weighed beyond that lies on the ground. It takes days to weeks.
///
/// With [`Given::DicMmolL`] the vessel is closed and the carbonate brings its own carbon. A pH
/// cannot be held and is refused.
pub fn calcite(water: &Water, held: Given) -> Result<Dissolved, Unsolvable> {
    let salt = quantity::salt::find("CaCO3").ok_or(Unsolvable::Missing {
        what: "calcium carbonate in the salt table",
        why: "its limit was asked for",
    })?;
    let with = |mg_l: f64| -> Result<State, Unsolvable> {
        let brings = effect(salt, mg_l);
        let given = match held {
            Given::DicMmolL(dic) => Given::DicMmolL(dic + brings.dic_mmol_l),
            Given::Ph(_) => {
                return Err(Unsolvable::Missing {
                    what: "a CO2 level, its pressure or the carbon of a closed vessel",
                    why: "calcite changes the pH, so that cannot be what is held",
                });
            }
            other => other,
        };
        solve(&plus(water, &brings.brings), given)
    };
    let start = with(0.0)?;
    let room = if start.calcite_saturation_index <= 0.0 {
        // More than this is beyond fresh water.
        (0.0, 1500.0)
    } else {
        let calcium = water.ca_mg_l / mass::CA;
        let carbonate = 0.5 * water.alkalinity_meq_l;
        (-calcium.min(carbonate) * mass::CACO3, 0.0)
    };
    let (mut low, mut high) = room;
    let mut found = start;
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        // Beyond the upper end the water is no longer fresh or the carbon is used up: too much.
        match with(middle) {
            Ok(state) if state.calcite_saturation_index <= 0.0 => {
                low = middle;
                found = state;
            }
            Ok(state) => {
                high = middle;
                found = state;
            }
            Err(_) => high = middle,
        }
    }
    Ok(Dissolved {
        caco3_mg_l: 0.5 * (low + high),
        state: found,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn in_pure_water_under_air_and_under_gas() {
        // At 420 ppm and 25 degC calcite stops at 3.04 dKH (pH 8.20); at 30 mg/L CO2 it goes on to
        // 11.9 dKH (pH 7.10): reference solver.
        let pure = Water::default();
        for (held, dkh, ph) in [
            (Given::Pco2Atm(420e-6), 3.04, 8.20),
            (Given::Co2MgL(30.0), 11.9, 7.10),
        ] {
            let found = calcite(&pure, held).unwrap();
            let got = found.state.alkalinity_meq_l / quantity::analyte::MEQ_L_PER_DKH;
            assert!((got / dkh - 1.0).abs() < 0.004, "{got}");
            assert!((found.state.ph - ph).abs() < 0.006);
            assert!((found.caco3_mg_l / (got / 5.60288 * 100.0) - 1.0).abs() < 1e-3);
            assert!(found.state.calcite_saturation_index.abs() < 1e-6);
        }
        assert!(calcite(&pure, Given::Ph(7.0)).is_err());
    }

    #[test]
    fn what_is_too_much_falls_out() {
        let hard = Water {
            ca_mg_l: 80.0,
            alkalinity_meq_l: 4.0,
            ..Water::default()
        };
        let found = calcite(&hard, Given::Pco2Atm(420e-6)).unwrap();
        assert!(found.caco3_mg_l < -50.0, "{}", found.caco3_mg_l);
        assert!(found.state.calcite_saturation_index.abs() < 1e-6);
    }
}
