//! Oliver, Thurman and Malcolm 1983, Geochimica et Cosmochimica Acta 47:2031-2035: acidity of
//! aquatic humic matter (model from memory). 10 microequivalents of sites per mg of dissolved
//! organic carbon, with an apparent `pK = 0.96 + 0.90 pH - 0.039 pH^2`.

/// Ionised sites, microequivalents per mg of dissolved organic carbon.
#[must_use]
pub fn ionised_ueq_per_mg(ph: f64) -> f64 {
    let pk = 0.96 + 0.90 * ph - 0.039 * ph * ph;
    10.0 / (1.0 + 10f64.powf(pk - ph))
}

/// What an alkalinity titration from `ph` to `end` (pH 4.5 by habit) counts as alkalinity though it
/// is humic matter, meq/L.
#[must_use]
pub fn titrated_meq_l(doc_mg_l: f64, ph: f64, end: f64) -> f64 {
    doc_mg_l * (ionised_ueq_per_mg(ph) - ionised_ueq_per_mg(end)) / 1000.0
}

#[cfg(test)]
mod tests {
    #[test]
    fn fifteen_mg_doc_is_an_eighth_of_a_degree() {
        // 3.0 ueq/mg between pH 6.5 and 4.5; 15 mg/L DOC = 0.126 dKH (model worked by hand).
        let meq = super::titrated_meq_l(15.0, 6.5, 4.5);
        assert!((meq / 15.0 * 1000.0 - 3.0).abs() < 0.05, "{meq}");
        assert!((meq / quantity::analyte::MEQ_L_PER_DKH - 0.126).abs() < 0.002);
    }
}
