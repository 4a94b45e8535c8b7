//! Wanninkhof 1992, J. Geophysical Research 97:7373-7382, table A1: Schmidt numbers in fresh
//! water, 0 to 30 degC (coefficients from memory; the check is that Sc of CO2 is 600 at 20 degC).
//! The exponent with which gas transfer follows them is from Jahne and others 1987, J.
//! Geophysical Research 92:1937-1949.

/// Exponent of the Schmidt number at a smooth surface.
pub const SMOOTH: f64 = 2.0 / 3.0;
/// Exponent of the Schmidt number at a wavy surface.
pub const WAVY: f64 = 0.5;

/// Schmidt number of CO2.
#[must_use]
pub fn schmidt_co2(celsius: f64) -> f64 {
    1911.1 + celsius * (-118.11 + celsius * (3.4527 - 0.041_32 * celsius))
}

/// Schmidt number of O2.
#[must_use]
pub fn schmidt_o2(celsius: f64) -> f64 {
    1800.6 + celsius * (-120.10 + celsius * (3.7818 - 0.047_608 * celsius))
}

/// Gas transfer coefficient per hour from `k600` in cm/h, the mean depth `volume/surface` in m and
/// the exponent.
#[must_use]
pub fn kla_per_h(k600_cm_h: f64, mean_depth_m: f64, celsius: f64, exponent: f64) -> f64 {
    k600_cm_h / 100.0 / mean_depth_m * (600.0 / schmidt_co2(celsius)).powf(exponent)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn schmidt_number_of_co2_is_600_at_20_degrees() {
        assert!((schmidt_co2(20.0) - 599.4).abs() < 0.2);
    }

    #[test]
    fn published_pond_rates_as_kla() {
        // k600 0.65 and 2.83 cm/h (shallow pond, Tellus B 66:23795, 2014, abstract) and about
        // 7 cm/h (boreal lake, Tellus B 66:22827): 0.018, 0.080 and 0.20 per hour at 0.4 m, 25 degC.
        for (k600, kla) in [(0.65, 0.018), (2.83, 0.080), (7.0, 0.20)] {
            assert!((kla_per_h(k600, 0.4, 25.0, WAVY) / kla - 1.0).abs() < 0.05);
        }
    }

    #[test]
    fn oxygen_and_carbon_dioxide_cross_alike() {
        // The ratio is within about 10 % of 1.
        let ratio = (schmidt_o2(25.0) / schmidt_co2(25.0)).powf(WAVY);
        assert!((ratio - 1.0).abs() < 0.1, "{ratio}");
    }
}
