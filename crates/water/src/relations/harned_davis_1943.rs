//! Harned and Davis 1943, J. American Chemical Society 65:2030-2037: first dissociation of
//! carbonic acid, 0 to 50 degC. Kept as a second opinion on K1; the engine uses Plummer and
//! Busenberg's set.

/// `log10 K1` at `kelvin`.
#[must_use]
pub fn log_k1(kelvin: f64) -> f64 {
    -(3404.71 / kelvin + 0.032_786 * kelvin - 14.8435)
}

#[cfg(test)]
mod tests {
    use super::super::plummer_busenberg_1982 as pb;

    #[test]
    fn agrees_with_plummer_and_busenberg_to_0_0018() {
        // The largest difference over 5 to 35 degC, computed independently.
        let worst = (50..=350)
            .map(|tenth| f64::from(tenth) / 10.0 + 273.15)
            .map(|t| (super::log_k1(t) - pb::log_k1(t, t.log10())).abs())
            .fold(0.0, f64::max);
        assert!(worst < 0.0018 + 5e-5 && worst > 0.001, "{worst}");
    }
}
