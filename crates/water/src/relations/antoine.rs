//! Antoine equation for the vapour pressure of water, 1 to 100 degC (coefficients of the common
//! handbook set; from memory).

/// Saturated vapour pressure, atm.
#[must_use]
pub fn vapour_pressure_atm(celsius: f64) -> f64 {
    10f64.powf(8.071_31 - 1730.63 / (233.426 + celsius)) / 760.0
}

#[cfg(test)]
mod tests {
    #[test]
    fn handbook_value() {
        // 23.76 mmHg at 25 degC (CRC Handbook; from memory); this fit gives 23.69.
        assert!((super::vapour_pressure_atm(25.0) * 760.0 - 23.76).abs() < 0.1);
    }
}
