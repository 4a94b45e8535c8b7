//! Kell 1975, J. Chemical and Engineering Data 20:97-105: density of water, 0 to 150 degC, 1 atm
//! (coefficients from memory).

/// Density of pure water, kg/L, at `celsius`.
#[must_use]
pub fn water_density_kg_l(celsius: f64) -> f64 {
    let t = celsius;
    let top = 999.839_52
        + t * (16.945_176
            + t * (-7.987_040_1e-3
                + t * (-46.170_461e-6 + t * (105.563_02e-9 - 280.542_53e-12 * t))));
    top / (1.0 + 16.879_850e-3 * t) / 1000.0
}

#[cfg(test)]
mod tests {
    #[test]
    fn handbook_densities() {
        // 0.99860 at 18, 0.99704 at 25, 0.99503 at 32 degC (handbook; from memory).
        for (t, rho) in [(18.0, 0.99860), (25.0, 0.99704), (32.0, 0.99503)] {
            assert!((super::water_density_kg_l(t) - rho).abs() < 1e-5);
        }
    }
}
