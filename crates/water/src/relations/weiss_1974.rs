//! Weiss 1974, Marine Chemistry 2:203-215: solubility of carbon dioxide, here at salinity 0, -1 to
//! 40 degC. Kept as a second opinion on K0.

/// K0, mol/L/atm.
#[must_use]
pub fn k0_mol_l_atm(kelvin: f64) -> f64 {
    let t = kelvin / 100.0;
    (-58.0931 + 90.5069 / t + 22.2940 * t.ln()).exp()
}

/// K0, mol/kg/atm.
#[must_use]
pub fn k0_mol_kg_atm(kelvin: f64) -> f64 {
    let t = kelvin / 100.0;
    (-60.2409 + 93.4517 / t + 23.3585 * t.ln()).exp()
}

#[cfg(test)]
mod tests {
    use super::super::plummer_busenberg_1982 as pb;

    #[test]
    fn values_at_25_and_agreement_with_the_engine() {
        // 25 degC: 0.033967 mol/L, 0.034061 mol/kg; the engine's K0 is 0.034046 and 0.3 % off at
        // worst over 18 to 32 degC (computed independently).
        assert!((super::k0_mol_l_atm(298.15) - 0.033_967).abs() < 2e-6);
        assert!((super::k0_mol_kg_atm(298.15) - 0.034_061).abs() < 2e-6);
        assert!((10f64.powf(pb::log_k0(298.15, 298.15f64.log10())) - 0.034_046).abs() < 2e-6);
        for celsius in 18..=32 {
            let t = f64::from(celsius) + 273.15;
            let ratio = super::k0_mol_kg_atm(t) / 10f64.powf(pb::log_k0(t, t.log10()));
            assert!((ratio - 1.0).abs() < 0.0035, "{celsius} {ratio}");
        }
    }
}
