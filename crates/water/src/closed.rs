//! What a parcel of water keeps while it is warmed, mixed, dosed or fed with gas.

use crate::error::{Unsolvable, within};
use crate::relations::ciaaw_2021 as mass;
use crate::relations::kell_1975::water_density_kg_l;
use crate::solve::{Given, TEMPERATURE_C, solve};
use crate::state::State;
use crate::water::Water;

/// A water in a closed vessel: its analysis, alkalinity included, and its inorganic carbon. pH
/// follows from these and is never carried along.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Closed {
    /// Analysis and temperature.
    pub water: Water,
    /// Dissolved inorganic carbon, mmol/L.
    pub dic_mmol_l: f64,
}

/// A change of what a closed water keeps, per litre.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Change {
    /// meq/L.
    pub alkalinity_meq_l: f64,
    /// mmol/L.
    pub dic_mmol_l: f64,
    /// mg/L of N.
    pub tan_mg_l: f64,
    /// mg/L of NO3.
    pub no3_mg_l: f64,
    /// mg/L.
    pub ca_mg_l: f64,
}

impl Change {
    /// CO2 in (or, below zero, out): carbon only, alkalinity stays.
    #[must_use]
    pub fn co2(mg_l: f64) -> Self {
        Change {
            dic_mmol_l: mg_l / mass::CO2,
            ..Change::default()
        }
    }

    /// Nitrification of ammonium: two equivalents lost per mole of N, TAN becomes nitrate.
    #[must_use]
    pub fn nitrification(n_mg_l: f64) -> Self {
        let mmol = n_mg_l / mass::N;
        Change {
            alkalinity_meq_l: -2.0 * mmol,
            tan_mg_l: -n_mg_l,
            no3_mg_l: mmol * mass::NO3,
            ..Change::default()
        }
    }

    /// Nitrate taken up by plants (or denitrified): one equivalent gained per mole.
    #[must_use]
    pub fn nitrate_uptake(no3_mg_l: f64) -> Self {
        Change {
            alkalinity_meq_l: no3_mg_l / mass::NO3,
            no3_mg_l: -no3_mg_l,
            ..Change::default()
        }
    }

    /// Ammonium taken up by plants: one equivalent lost per mole of N.
    #[must_use]
    pub fn ammonium_uptake(n_mg_l: f64) -> Self {
        Change {
            alkalinity_meq_l: -n_mg_l / mass::N,
            tan_mg_l: -n_mg_l,
            ..Change::default()
        }
    }

    /// Hydrolysis of urea: two equivalents, two ammonium and one CO2 per mole. Before it, urea is
    /// neither charged nor seen by an ammonia kit.
    #[must_use]
    pub fn urea_hydrolysis(urea_mg_l: f64) -> Self {
        let mmol = urea_mg_l / (mass::C + mass::O + 2.0 * (mass::N + 2.0 * mass::H));
        Change {
            alkalinity_meq_l: 2.0 * mmol,
            dic_mmol_l: mmol,
            tan_mg_l: 2.0 * mmol * mass::N,
            ..Change::default()
        }
    }

    /// A strong acid, in meq/L.
    #[must_use]
    pub fn strong_acid(meq_l: f64) -> Self {
        Change {
            alkalinity_meq_l: -meq_l,
            ..Change::default()
        }
    }

    /// Bicarbonate (its cation is dosed apart): one equivalent and one carbon per mole.
    #[must_use]
    pub fn bicarbonate(mmol_l: f64) -> Self {
        Change {
            alkalinity_meq_l: mmol_l,
            dic_mmol_l: mmol_l,
            ..Change::default()
        }
    }

    /// Calcium carbonate dissolved (or, below zero, precipitated), mg/L.
    #[must_use]
    pub fn calcium_carbonate(mg_l: f64) -> Self {
        let mmol = mg_l / mass::CACO3;
        Change {
            alkalinity_meq_l: 2.0 * mmol,
            dic_mmol_l: mmol,
            ca_mg_l: mmol * mass::CA,
            ..Change::default()
        }
    }
}

/// One water of a mixture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part {
    /// Volume, in any one unit.
    pub volume: f64,
    /// The water.
    pub of: Closed,
}

impl Closed {
    /// The water of an analysis, closed.
    pub fn new(water: Water, given: Given) -> Result<Closed, Unsolvable> {
        let dic_mmol_l = match given {
            Given::DicMmolL(dic) => dic,
            other => solve(&water, other)?.dic_mmol_l,
        };
        Ok(Closed { water, dic_mmol_l })
    }

    /// In equilibrium with air that holds CO2 at `pco2_atm`.
    pub fn with_air(water: Water, pco2_atm: f64) -> Result<Closed, Unsolvable> {
        Self::new(water, Given::Pco2Atm(pco2_atm))
    }

    /// Its state now.
    pub fn state(&self) -> Result<State, Unsolvable> {
        solve(&self.water, Given::DicMmolL(self.dic_mmol_l))
    }

    /// The same water warmed or cooled without losing gas. (The litre grows by 0.4 % at most over
    /// 5 to 35 degC; amounts per litre are kept.)
    pub fn at_temperature(&self, celsius: f64) -> Result<Closed, Unsolvable> {
        within("temperature_c", celsius, TEMPERATURE_C.0, TEMPERATURE_C.1)?;
        let water = Water {
            temperature_c: celsius,
            ..self.water
        };
        Ok(Closed { water, ..*self })
    }

    /// After `change`.
    ///
    /// Errors when more is taken out than is there.
    pub fn with(&self, change: &Change) -> Result<Closed, Unsolvable> {
        let mut water = self.water;
        water.alkalinity_meq_l += change.alkalinity_meq_l;
        water.tan_mg_l = left("tan_mg_l", water.tan_mg_l, change.tan_mg_l)?;
        water.no3_mg_l = left("no3_mg_l", water.no3_mg_l, change.no3_mg_l)?;
        water.ca_mg_l = left("ca_mg_l", water.ca_mg_l, change.ca_mg_l)?;
        let dic_mmol_l = left("dic_mmol_l", self.dic_mmol_l, change.dic_mmol_l)?;
        Ok(Closed { water, dic_mmol_l })
    }

    /// A mixture of any number of waters: alkalinity, carbon and every total by volume, heat by
    /// mass. pH is solved afterwards, never averaged.
    pub fn mix(parts: &[Part]) -> Result<Closed, Unsolvable> {
        let mut whole = 0.0;
        for part in parts {
            whole += within("volume", part.volume, 0.0, 1e12)?;
        }
        if whole <= 0.0 {
            return Err(Unsolvable::Missing {
                what: "a volume above 0",
                why: "a mixture has to consist of something",
            });
        }
        let weighted: Vec<(f64, Water)> = parts
            .iter()
            .map(|p| (p.volume / whole, p.of.water))
            .collect();
        // Heat goes with mass, not volume: warm water is lighter. The difference is 0.01 degC.
        let mass = |p: &Part| p.volume * water_density_kg_l(p.of.water.temperature_c);
        let heat: f64 = parts
            .iter()
            .map(|p| mass(p) * p.of.water.temperature_c)
            .sum();
        let temperature_c = heat / parts.iter().map(mass).sum::<f64>();
        Ok(Closed {
            water: Water {
                temperature_c,
                ..Water::weighted(&weighted)
            },
            dic_mmol_l: parts
                .iter()
                .map(|p| p.volume / whole * p.of.dic_mmol_l)
                .sum(),
        })
    }
}

/// What is left of `there` after `change`; a remainder that is rounding alone is 0.
fn left(field: &'static str, there: f64, change: f64) -> Result<f64, Unsolvable> {
    let rest = there + change;
    if rest < 0.0 && rest > -1e-9 * there.abs() {
        return Ok(0.0);
    }
    within(field, rest, 0.0, 1e6)
}
