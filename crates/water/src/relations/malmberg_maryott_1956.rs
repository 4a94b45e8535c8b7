//! Malmberg and Maryott 1956, J. Res. National Bureau of Standards 56:1-8: dielectric constant of
//! water, 0 to 100 degC (equation from memory; it reproduces 78.30 at 25 degC). Kept as a second
//! opinion; the engine uses Bradley and Pitzer's.

/// Relative permittivity of water at `celsius`.
#[must_use]
pub fn permittivity(celsius: f64) -> f64 {
    87.740 + celsius * (-0.400_08 + celsius * (9.398e-4 - 1.410e-6 * celsius))
}

#[cfg(test)]
mod tests {
    use super::super::debye_huckel_1923::debye_huckel;
    use super::super::kell_1975::water_density_kg_l;
    use super::*;

    #[test]
    fn debye_huckel_slope_over_temperature() {
        // Computed independently with the same permittivity: A at 5, 20, 25, 30, 35 degC.
        for (t, a) in [
            (5.0, 0.4953),
            (20.0, 0.5067),
            (25.0, 0.5108),
            (30.0, 0.5151),
            (35.0, 0.5196),
        ] {
            let (got, _) = debye_huckel(t, permittivity(t), water_density_kg_l(t));
            assert!((got - a).abs() < 6e-5, "{t}: {got} {a}");
        }
        // Malmberg and Maryott's own table: 78.30 at 25 degC (from memory).
        assert!((permittivity(25.0) - 78.30).abs() < 0.01);
    }
}
