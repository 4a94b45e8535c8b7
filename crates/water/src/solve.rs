//! From a water and one statement about its acid or carbon to its whole state.

use std::sync::LazyLock;

use crate::constants::Constants;
use crate::error::{Unsolvable, within};
use crate::speciate::{Carbon, Guess, IONIC_STRENGTH_LIMIT, at_ph, settle};
use crate::species::{Species, Totals};
use crate::state::State;
use crate::water::Water;

/// Temperatures the engine answers for, degC.
pub const TEMPERATURE_C: (f64, f64) = (5.0, 35.0);
/// pH readings the engine answers for.
pub const PH: (f64, f64) = (3.0, 11.0);
/// pH searched when it is the unknown.
const SEARCHED: (f64, f64) = (2.0, 12.0);
/// Alkalinity that does not matter, eq/kg: a thousandth of what a titration sees.
const ALKALINITY_SETTLED: f64 = 1e-12;

/// The statement that, with the alkalinity, fixes a water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Given {
    /// pH (minus log10 of the activity of H+).
    Ph(f64),
    /// Dissolved inorganic carbon, mmol/L.
    DicMmolL(f64),
    /// Partial pressure of CO2 in equilibrium with the water, atm.
    Pco2Atm(f64),
    /// Free CO2, mg/L.
    Co2MgL(f64),
}

/// Solves `water` with `given`.
///
/// Errors: a field that is not finite or out of range, more salt than the model holds for, pH and
/// alkalinity that contradict each other, carbon and alkalinity that no pH joins.
pub fn solve(water: &Water, given: Given) -> Result<State, Unsolvable> {
    within(
        "temperature_c",
        water.temperature_c,
        TEMPERATURE_C.0,
        TEMPERATURE_C.1,
    )?;
    solve_with(&Constants::at(water.temperature_c), water, given)
}

/// [`solve`] with constants at the water's temperature already at hand.
pub fn solve_with(k: &Constants, water: &Water, given: Given) -> Result<State, Unsolvable> {
    let (totals, kg_l) = water.totals(k)?;
    let per_kg = 1e-3 / kg_l;
    let alkalinity = water.alkalinity_meq_l * per_kg;
    let species = match given {
        Given::Ph(ph) => {
            within("ph", ph, PH.0, PH.1)?;
            ph_and_alkalinity(k, &totals, ph, alkalinity, kg_l)?
        }
        Given::DicMmolL(dic) => {
            within("dic_mmol_l", dic, 0.0, 1e3)?;
            search(k, &totals, alkalinity, Carbon::Dic(dic * per_kg), water)?
        }
        Given::Pco2Atm(p) => {
            within("pco2_atm", p, 0.0, 10.0)?;
            search(k, &totals, alkalinity, Carbon::Co2Activity(k.k0 * p), water)?
        }
        Given::Co2MgL(co2) => {
            within("co2_mg_l", co2, 0.0, 1e4)?;
            let mol_kg = co2 / crate::relations::ciaaw_2021::CO2 * per_kg;
            search(k, &totals, alkalinity, Carbon::Co2(mol_kg), water)?
        }
    };
    if species.ionic_strength > IONIC_STRENGTH_LIMIT {
        return Err(Unsolvable::TooSalty {
            ionic_strength_mol_kg: species.ionic_strength,
            limit: IONIC_STRENGTH_LIMIT,
        });
    }
    let at_25 = at_25(k, &totals, &species);
    Ok(State::of(k, species, &at_25, kg_l))
}

/// The same water in a closed vessel at 25 degC, where conductivity is told. The answer is needed
/// to a twentieth of a percent only.
fn at_25(k: &Constants, totals: &Totals, species: &Species) -> Species {
    static K25: LazyLock<Constants> = LazyLock::new(|| Constants::at(25.0));
    if k.celsius == K25.celsius {
        return *species;
    }
    let held = (species.alkalinity, Carbon::Dic(species.dic));
    let mut guess = Guess::of(species);
    // Where it does not settle (it has in every water tried) the ions of the water's own
    // temperature stand in; the difference is below 3 %.
    settle(&K25, totals, held, species.ph, &mut guess, 5e-3).unwrap_or(*species)
}

fn ph_and_alkalinity(
    k: &Constants,
    totals: &Totals,
    ph: f64,
    alkalinity: f64,
    kg_l: f64,
) -> Result<Species, Unsolvable> {
    let contradiction = |other: f64| Unsolvable::NoCarbonateLeft {
        ph,
        alkalinity_meq_l: alkalinity * kg_l * 1e3,
        other_meq_l: other * kg_l * 1e3,
    };
    let mut guess = Guess::start(totals, alkalinity);
    match at_ph(k, totals, ph, Carbon::Alkalinity(alkalinity), &mut guess) {
        Ok(species) if species.co3 < 0.0 => Err(contradiction(species.other_alkalinity)),
        Ok(mut species) => {
            species.residual = species
                .residual
                .max(relative(species.alkalinity, alkalinity));
            Ok(species)
        }
        // Where even a water without carbonate holds more alkalinity there is nothing to find.
        Err(why) => {
            let mut guess = Guess::start(totals, alkalinity);
            match at_ph(k, totals, ph, Carbon::Dic(0.0), &mut guess) {
                Ok(bare) if bare.alkalinity >= alkalinity => Err(contradiction(bare.alkalinity)),
                _ => Err(why),
            }
        }
    }
}

fn relative(got: f64, wanted: f64) -> f64 {
    (got - wanted).abs() / wanted.abs().max(1e-6)
}

/// The pH at which the species carry `alkalinity`, for a fixed carbon: Newton's method on the
/// alkalinity, which rises with pH, kept inside a bracket.
fn search(
    k: &Constants,
    totals: &Totals,
    alkalinity: f64,
    carbon: Carbon,
    water: &Water,
) -> Result<Species, Unsolvable> {
    let mut guess = Guess::start(totals, alkalinity);
    let quick = settle(k, totals, (alkalinity, carbon), 7.0, &mut guess, 1e-10);
    if let Some(mut species) = quick.filter(|s| s.ph > SEARCHED.0 && s.ph < SEARCHED.1) {
        species.residual = species
            .residual
            .max(relative(species.alkalinity, alkalinity));
        return Ok(species);
    }
    let mut guess = Guess::start(totals, alkalinity);
    let (mut low, mut high) = SEARCHED;
    let mut ph = 7.0;
    let mut passes = 0;
    let mut last = (f64::NAN, f64::INFINITY);
    for _ in 0..100 {
        let mut species = at_ph(k, totals, ph, carbon, &mut guess)?;
        passes += species.iterations;
        let excess = species.alkalinity - alkalinity;
        let width = high - low;
        if excess.abs() <= ALKALINITY_SETTLED + 1e-12 * alkalinity.abs() || width < 1e-13 {
            let at_an_end = ph - SEARCHED.0 < 1e-6 || SEARCHED.1 - ph < 1e-6;
            if at_an_end {
                break;
            }
            species.iterations = passes;
            species.residual = species
                .residual
                .max(relative(species.alkalinity, alkalinity));
            return Ok(species);
        }
        if excess > 0.0 {
            high = ph;
        } else {
            low = ph;
        }
        let step = excess / species.buffer_capacity(carbon);
        let newton = ph - step.clamp(-1.5, 1.5);
        // Bisect when Newton leaves the bracket or no longer halves the excess.
        let next = if newton > low && newton < high && excess.abs() < 0.7 * last.1 {
            newton
        } else {
            0.5 * (low + high)
        };
        last = (ph, excess.abs());
        ph = next;
    }
    Err(Unsolvable::NoPh {
        alkalinity_meq_l: water.alkalinity_meq_l,
        low: SEARCHED.0,
        high: SEARCHED.1,
    })
}
