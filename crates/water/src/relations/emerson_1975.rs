//! Emerson, Russo, Lund and Thurston 1975, J. Fisheries Research Board of Canada 32:2379-2383:
//! dissociation of ammonium at zero ionic strength, 0 to 50 degC.
//!
//! A package manual prints 2727.92 for 2729.92; that misprint makes un-ionised ammonia 1.5 % too
//! high.

/// pKa of ammonium at `kelvin`.
#[must_use]
pub fn pka(kelvin: f64) -> f64 {
    0.090_18 + 2729.92 / kelvin
}

#[cfg(test)]
mod tests {
    use super::pka;

    fn fraction(celsius: f64, ph: f64) -> f64 {
        1.0 / (1.0 + 10f64.powf(pka(celsius + 273.15) - ph))
    }

    #[test]
    fn worked_fractions() {
        // 0.564 % (25 degC, pH 7.0), 5.366 % (25, 8.0), 14.95 % (28, 8.4): the equation worked by
        // hand, and the same in the public tables.
        for (t, ph, f) in [
            (25.0, 7.0, 0.00564),
            (25.0, 8.0, 0.05366),
            (28.0, 8.4, 0.1495),
        ] {
            assert!(
                (fraction(t, ph) - f).abs() < 6e-5_f64.max(f * 1e-3),
                "{t} {ph}"
            );
        }
    }

    #[test]
    fn the_misprinted_constant_is_not_used() {
        let misprinted = 0.090_18 + 2727.92 / 298.15;
        let ratio = 10f64.powf(pka(298.15) - misprinted);
        assert!((ratio - 1.0155).abs() < 5e-4, "{ratio}");
    }
}
