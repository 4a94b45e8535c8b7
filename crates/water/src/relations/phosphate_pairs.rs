//! Phosphoric acid and its ion pairs, values of the public database `phreeqc.dat` (log K at
//! 25 degC and enthalpy in kcal/mol; attribution to papers is not given there). H3PO4 after the
//! NIST 46 collection, as carried by the same database. `log10 K`.

use super::van_t_hoff;

/// PO4--- + H+ = HPO4--.
#[must_use]
pub fn log_k_hpo4(kelvin: f64) -> f64 {
    van_t_hoff(12.346, -3.530, kelvin)
}

/// PO4--- + 2 H+ = H2PO4-.
#[must_use]
pub fn log_k_h2po4(kelvin: f64) -> f64 {
    van_t_hoff(19.553, -4.520, kelvin)
}

/// PO4--- + 3 H+ = H3PO4 (enthalpy -10.1 kJ).
#[must_use]
pub fn log_k_h3po4(kelvin: f64) -> f64 {
    van_t_hoff(21.721, -10.1 / 4.184, kelvin)
}

/// Ca++ + PO4--- = CaPO4-.
#[must_use]
pub fn log_k_capo4(kelvin: f64) -> f64 {
    van_t_hoff(6.459, 3.10, kelvin)
}

/// Ca++ + HPO4-- = CaHPO4(aq).
#[must_use]
pub fn log_k_cahpo4(kelvin: f64) -> f64 {
    van_t_hoff(2.739, 3.3, kelvin)
}

/// Ca++ + H2PO4- = CaH2PO4+.
#[must_use]
pub fn log_k_cah2po4(kelvin: f64) -> f64 {
    van_t_hoff(1.408, 3.4, kelvin)
}

/// Mg++ + PO4--- = MgPO4-.
#[must_use]
pub fn log_k_mgpo4(kelvin: f64) -> f64 {
    van_t_hoff(6.589, 3.10, kelvin)
}

/// Mg++ + HPO4-- = MgHPO4(aq).
#[must_use]
pub fn log_k_mghpo4(kelvin: f64) -> f64 {
    van_t_hoff(2.87, 3.3, kelvin)
}

/// Mg++ + H2PO4- = MgH2PO4+.
#[must_use]
pub fn log_k_mgh2po4(kelvin: f64) -> f64 {
    van_t_hoff(1.513, 3.4, kelvin)
}

/// Na+ (or K+) + HPO4-- = NaHPO4- (KHPO4-); no enthalpy is printed.
pub const LOG_K_ALKALI_HPO4: f64 = 0.29;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn second_dissociation_is_the_handbook_one() {
        // pK2 of phosphoric acid 7.20 to 7.21 at 25 degC (CRC Handbook; from memory).
        let pk2 = log_k_h2po4(298.15) - log_k_hpo4(298.15);
        assert!((pk2 - 7.207).abs() < 1e-9, "{pk2}");
    }
}
