//! Carbon dioxide in the air above a tank.

use crate::error::{Unsolvable, within};
use crate::relations::antoine;

/// How the share of CO2 in the air is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Humidity {
    /// Share times pressure; water vapour is ignored.
    #[default]
    Dry,
    /// The share is of dry air and the air above the water is saturated with vapour, which takes 2
    /// to 5 % of the pressure.
    Moist,
}

/// CO2 outdoors, parts per million of dry air, where nothing better is known.
pub const OUTDOORS_PPM: f64 = 420.0;

/// Partial pressure of CO2, atm, from its share in parts per million (0 to 1e6) and the air
/// pressure in atm (0.5 to 1.1).
pub fn pco2_atm(
    ppm: f64,
    pressure_atm: f64,
    humidity: Humidity,
    temperature_c: f64,
) -> Result<f64, Unsolvable> {
    within("air_co2_ppm", ppm, 0.0, 1e6)?;
    within("pressure_atm", pressure_atm, 0.5, 1.1)?;
    within("temperature_c", temperature_c, 0.0, 40.0)?;
    let vapour = match humidity {
        Humidity::Dry => 0.0,
        Humidity::Moist => antoine::vapour_pressure_atm(temperature_c),
    };
    Ok(ppm * 1e-6 * (pressure_atm - vapour))
}
