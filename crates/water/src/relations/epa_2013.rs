//! US EPA 2013, "Aquatic life ambient water quality criteria for ammonia - freshwater",
//! EPA-822-R-13-001. Total ammonia nitrogen (TAN), mg N/L.
//!
//! They protect the most sensitive animals tested, mussels first; they are a cautious line and no
//! limit for fish. The temperature factor multiplies the whole bracket of the acute criterion;
//! code is about that multiplies the second term only (11 % low at pH 8.5 and 25 degC). The 51.93
//! cap, for waters without salmonids, and the chronic criterion are from memory.

fn below_and_above(ph: f64, at: f64) -> (f64, f64) {
    (
        1.0 / (1.0 + 10f64.powf(at - ph)),
        1.0 / (1.0 + 10f64.powf(ph - at)),
    )
}

/// Acute criterion (one-hour average), mg N/L.
#[must_use]
pub fn acute_mg_n_l(celsius: f64, ph: f64) -> f64 {
    let (high, low) = below_and_above(ph, 7.204);
    let salmonids = 0.275 * high + 39.0 * low;
    let warmth = (23.12 * 10f64.powf(0.036 * (20.0 - celsius))).min(51.93);
    salmonids.min(0.7249 * (0.0114 * high + 1.6181 * low) * warmth)
}

/// Chronic criterion (30-day average), mg N/L. A four-day average may not exceed 2.5 times it.
#[must_use]
pub fn chronic_mg_n_l(celsius: f64, ph: f64) -> f64 {
    let (high, low) = below_and_above(ph, 7.688);
    let warmth = 2.126 * 10f64.powf(0.028 * (20.0 - celsius.max(7.0)));
    0.8876 * (0.0278 * high + 1.1994 * low) * warmth
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headline_values() {
        // pH 7, 20 degC: 16.8 and 1.89 (the document's headline 17 and 1.9, from memory); 25 degC:
        // pH 7 11.1/1.37, pH 8 2.58/0.563, pH 8.5 0.98/0.252 (computed independently).
        for (t, ph, acute, chronic) in [
            (20.0, 7.0, 16.8, 1.89),
            (25.0, 7.0, 11.1, 1.37),
            (25.0, 8.0, 2.58, 0.563),
            (25.0, 8.5, 0.983, 0.252),
        ] {
            assert!((acute_mg_n_l(t, ph) / acute - 1.0).abs() < 0.006);
            assert!((chronic_mg_n_l(t, ph) / chronic - 1.0).abs() < 0.006);
        }
    }

    #[test]
    fn the_temperature_factor_multiplies_the_whole_sum() {
        // Factor on the second term only gives 0.871 at pH 8.5, 25 degC; the right value is 0.983.
        let (high, low) = below_and_above(8.5, 7.204);
        let warmth = 23.12 * 10f64.powf(0.036 * (20.0 - 25.0));
        let wrong = 0.7249 * (0.0114 * high + 1.6181 * low * warmth);
        assert!((wrong - 0.871).abs() < 0.002, "{wrong}");
        assert!((acute_mg_n_l(25.0, 8.5) - 0.983).abs() < 0.001);
    }
}
