//! Where the gas comes from: a cylinder, or a fermenting bottle.

use quantity::Interval;

use crate::error::{Unsolvable, within};
use crate::relations::ciaaw_2021 as mass;

/// g of CO2 per g of sucrose: C12H22O11 + H2O = 4 C2H5OH + 4 CO2.
pub const CO2_PER_SUCROSE: f64 = 4.0 * mass::CO2 / mass::SUCROSE;
/// g of ethanol per g of sucrose.
pub const ETHANOL_PER_SUCROSE: f64 = 4.0 * mass::ETHANOL / mass::SUCROSE;
/// Share of the theoretical gas that a ferment gives (the rest is glycerol and yeast); from memory.
pub const YIELD: (f64, f64) = (0.85, 0.95);
/// Ethanol at which yeast stops, % by volume: bread yeast to wine yeast; from memory.
pub const STOPS_AT_PERCENT: (f64, f64) = (10.0, 14.0);
/// Density of ethanol, g/mL at 20 degC (handbook; from memory).
const ETHANOL_G_ML: f64 = 0.789;
/// Molar volume of a gas at 25 degC and 1 atm, L (ideal gas).
const GAS_L_MOL: f64 = 24.465;

/// To be shown with every ferment.
pub const FERMENT_CAUTION: &str = "A sealed bottle bursts. Keep the outlet open and check it daily, \
    use a bottle made for pressure, never glass, and put a second bottle and a non-return valve \
    between ferment and tank: ferment that runs over fouls the tank within hours. The gas cannot \
    be turned off at night; watch the animals in the morning.";

/// To be shown with every cylinder.
pub const CYLINDER_CAUTION: &str = "A cylinder holds gas under 60 bar. Fix it upright, away from \
    heat, and let only a trained filler refill it. Emptying 500 g into a closed 25 m3 room raises \
    its CO2 by about 1 %; above 0.5 % (the usual workplace limit) air the room and leave. Too much \
    CO2 in the tank suffocates animals: gasping at the surface means stop the gas and stir.";

/// What a ferment of `sucrose_g` in `volume_l` of water gives before it stops.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ferment {
    /// CO2, g, by yield and stop condition.
    pub co2_g: Interval,
    /// The same as gas at 25 degC and 1 atm, L.
    pub gas_l: Interval,
    /// Ethanol when all sugar is gone, % by volume, before yeast stops it.
    pub ethanol_if_exhausted_percent: f64,
    /// Whether ethanol may stop it before the sugar is gone.
    pub may_stop_early: bool,
    /// What to mind.
    pub caution: &'static str,
}

/// A fermenting bottle: theory times yield, no more sugar than ethanol tolerance lets through.
pub fn ferment(sucrose_g: f64, volume_l: f64) -> Result<Ferment, Unsolvable> {
    let sugar = within("sucrose_g", sucrose_g, 0.0, 1e6)?;
    let volume = within("volume_l", volume_l, 1e-3, 1e5)?;
    let grams = |share: f64, stop: f64| {
        share * CO2_PER_SUCROSE * sugar.min(sugar_for_percent(stop) * volume / share)
    };
    let low = grams(YIELD.0, STOPS_AT_PERCENT.0);
    let high = grams(YIELD.1, STOPS_AT_PERCENT.1);
    let gas = |g: f64| g / mass::CO2 * GAS_L_MOL;
    let closed = |low: f64, high: f64| {
        Interval::closed(low, high).map_err(|_| Unsolvable::NotFinite {
            field: "co2_g",
            value: high,
        })
    };
    let ethanol_if_exhausted_percent = sugar * ETHANOL_PER_SUCROSE / ETHANOL_G_ML / volume / 10.0;
    Ok(Ferment {
        co2_g: closed(low, high)?,
        gas_l: closed(gas(low), gas(high))?,
        ethanol_if_exhausted_percent,
        may_stop_early: YIELD.1 * ethanol_if_exhausted_percent > STOPS_AT_PERCENT.0,
        caution: FERMENT_CAUTION,
    })
}

/// g of sucrose per litre of ferment that make `percent` ethanol by volume, by theory.
#[must_use]
pub fn sugar_for_percent(percent: f64) -> f64 {
    percent * 10.0 * ETHANOL_G_ML / ETHANOL_PER_SUCROSE
}

/// Days a cylinder of `contents_g` lasts at `g_per_day`.
pub fn cylinder_days(contents_g: f64, g_per_day: f64) -> Result<f64, Unsolvable> {
    within("contents_g", contents_g, 0.0, 1e6)?;
    within("g_per_day", g_per_day, 1e-9, 1e6)?;
    Ok(contents_g / g_per_day)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stoichiometry_of_sucrose() {
        // Computed from CIAAW masses: 0.51428 g CO2 and 0.53835 g ethanol per g; 0.286 L of gas.
        assert!((CO2_PER_SUCROSE - 0.51428).abs() < 1e-5);
        assert!((ETHANOL_PER_SUCROSE - 0.53835).abs() < 1e-5);
        assert!((CO2_PER_SUCROSE / mass::CO2 * GAS_L_MOL - 0.286).abs() < 1e-3);
    }

    #[test]
    fn ethanol_and_gas_of_a_litre() {
        // 10/12/14 % by volume need 147/176/205 g/L by theory and give 75/90/106 g of CO2.
        for (percent, sugar, gas) in [
            (10.0, 147.0, 75.0),
            (12.0, 176.0, 90.0),
            (14.0, 205.0, 106.0),
        ] {
            let got = sugar_for_percent(percent);
            assert!((got - sugar).abs() < 0.6, "{got}");
            assert!((got * CO2_PER_SUCROSE - gas).abs() < 0.6);
        }
    }

    #[test]
    fn much_sugar_stops_early_and_never_gives_more_than_theory() {
        let much = ferment(400.0, 1.0).unwrap();
        assert!(much.may_stop_early && much.co2_g.high().unwrap() < 107.0);
        let little = ferment(50.0, 1.0).unwrap();
        assert!(!little.may_stop_early);
        let theory = 50.0 * CO2_PER_SUCROSE;
        assert!((little.co2_g.low().unwrap() - 0.85 * theory).abs() < 1e-9);
        assert!((little.co2_g.high().unwrap() - 0.95 * theory).abs() < 1e-9);
        assert!(little.caution.contains("bursts"));
        assert!(ferment(f64::NAN, 1.0).is_err());
    }
}
