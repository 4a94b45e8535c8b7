//! Benson and Krause 1984, Limnology and Oceanography 29:620-632: oxygen in fresh water at
//! equilibrium with moist air, 0 to 40 degC. The vapour pressure of the pressure correction is
//! from memory.

/// Saturation at 1 atm, mg/L.
#[must_use]
pub fn saturation_mg_l(kelvin: f64) -> f64 {
    let r = 1.0 / kelvin;
    (-139.344_11 + r * (1.575_701e5 + r * (-6.642_308e7 + r * (1.243_8e10 - 8.621_949e11 * r))))
        .exp()
}

/// Saturation at `pressure_atm`, mg/L.
#[must_use]
pub fn saturation_at_mg_l(celsius: f64, pressure_atm: f64) -> f64 {
    let kelvin = celsius + 273.15;
    let vapour = (11.8571 - 3840.70 / kelvin - 216_961.0 / (kelvin * kelvin)).exp();
    let theta = 0.000_975 + celsius * (-1.426e-5 + 6.436e-8 * celsius);
    let p = pressure_atm;
    saturation_mg_l(kelvin) * (p - vapour) * (1.0 - theta * p) / ((1.0 - vapour) * (1.0 - theta))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn table_of_saturation() {
        // The equation worked independently: mg/L at 1 atm; and 7.411 at 25 degC, 0.9 atm.
        for (t, c) in [
            (18.0, 9.467),
            (20.0, 9.092),
            (22.0, 8.744),
            (25.0, 8.263),
            (28.0, 7.828),
            (30.0, 7.559),
            (32.0, 7.305),
        ] {
            assert!((saturation_at_mg_l(t, 1.0) - c).abs() < 6e-4, "{t}");
        }
        assert!((saturation_at_mg_l(25.0, 0.9) - 7.411).abs() < 6e-4);
    }
}
