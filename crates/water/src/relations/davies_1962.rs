//! Davies 1962, "Ion Association": activity coefficients where no ion has parameters of its own.
//!
//! `log10 gamma = -A z^2 (sqrt(I)/(1 + sqrt(I)) - 0.3 I)`; good to about 3 % at 0.1 mol/kg.

/// `log10` of the activity coefficient for charge squared `z2`.
#[inline]
#[must_use]
pub fn log_gamma(z2: f64, a: f64, ionic_strength: f64, root: f64) -> f64 {
    -a * z2 * (root / (1.0 + root) - 0.3 * ionic_strength)
}

#[cfg(test)]
mod tests {
    #[test]
    fn a_tenth_molal_one_to_one() {
        // gamma = 0.78 at I = 0.1 and 25 degC (worked example of the equation; from memory).
        let log = super::log_gamma(1.0, 0.5108, 0.1, 0.1f64.sqrt());
        assert!((10f64.powf(log) - 0.78).abs() < 0.005);
    }
}
