//! Oxygen at equilibrium with air.

use crate::error::{Unsolvable, within};
use crate::relations::benson_krause_1984 as bk;

/// Saturation in fresh water under moist air, mg/L, 0 to 40 degC, 0.5 to 1.1 atm.
pub fn saturation_mg_l(temperature_c: f64, pressure_atm: f64) -> Result<f64, Unsolvable> {
    within("temperature_c", temperature_c, 0.0, 40.0)?;
    within("pressure_atm", pressure_atm, 0.5, 1.1)?;
    Ok(bk::saturation_at_mg_l(temperature_c, pressure_atm))
}

/// Oxygen as a share of saturation, 1 at equilibrium.
pub fn saturation_share(
    o2_mg_l: f64,
    temperature_c: f64,
    pressure_atm: f64,
) -> Result<f64, Unsolvable> {
    within("o2_mg_l", o2_mg_l, 0.0, 1e3)?;
    Ok(o2_mg_l / saturation_mg_l(temperature_c, pressure_atm)?)
}
