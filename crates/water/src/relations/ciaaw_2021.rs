//! Standard atomic weights of 2021, g/mol: CIAAW table, conventional single values for the
//! elements whose weight is an interval (H, B, C, N, O, Mg, Si, S, Cl).

/// Hydrogen.
pub const H: f64 = 1.008;
/// Boron.
pub const B: f64 = 10.81;
/// Carbon.
pub const C: f64 = 12.011;
/// Nitrogen.
pub const N: f64 = 14.007;
/// Oxygen.
pub const O: f64 = 15.999;
/// Sodium.
pub const NA: f64 = 22.989_769_28;
/// Magnesium.
pub const MG: f64 = 24.305;
/// Silicon.
pub const SI: f64 = 28.085;
/// Phosphorus.
pub const P: f64 = 30.973_761_998;
/// Sulfur.
pub const S: f64 = 32.06;
/// Chlorine.
pub const CL: f64 = 35.45;
/// Potassium.
pub const K: f64 = 39.0983;
/// Calcium.
pub const CA: f64 = 40.078;
/// Manganese.
pub const MN: f64 = 54.938_043;
/// Iron.
pub const FE: f64 = 55.845;
/// Copper.
pub const CU: f64 = 63.546;
/// Zinc.
pub const ZN: f64 = 65.38;

/// Carbon dioxide.
pub const CO2: f64 = C + 2.0 * O;
/// Hydrogencarbonate.
pub const HCO3: f64 = H + C + 3.0 * O;
/// Carbonate.
pub const CO3: f64 = C + 3.0 * O;
/// Calcium carbonate.
pub const CACO3: f64 = CA + CO3;
/// Sulfate.
pub const SO4: f64 = S + 4.0 * O;
/// Nitrate.
pub const NO3: f64 = N + 3.0 * O;
/// Phosphate.
pub const PO4: f64 = P + 4.0 * O;
/// Silica.
pub const SIO2: f64 = SI + 2.0 * O;
/// Ammonium.
pub const NH4: f64 = N + 4.0 * H;
/// Ammonia.
pub const NH3: f64 = N + 3.0 * H;
/// Quicklime, in which hardness degrees are defined.
pub const CAO: f64 = CA + O;
/// Sucrose.
pub const SUCROSE: f64 = 12.0 * C + 22.0 * H + 11.0 * O;
/// Ethanol.
pub const ETHANOL: f64 = 2.0 * C + 6.0 * H + O;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn compounds_agree_with_the_salt_table() {
        // checks/water/salts.csv: CaCO3 100.0860, KNO3 101.1023, NH4Cl 53.4890.
        assert!((CACO3 - 100.086).abs() < 5e-5);
        assert!((K + NO3 - 101.1023).abs() < 5e-5);
        assert!((NH4 + CL - 53.489).abs() < 5e-5);
    }

    #[test]
    fn label_units_convert_as_printed() {
        // Conversion factors computed from the CIAAW masses: NO3/N 4.42664, PO4/P 3.06614,
        // P/P2O5 0.436427, K/K2O 0.830151, NH4/N 1.28786, NH3/N 1.21589, SiO2/Si 2.13933.
        let p2o5 = 2.0 * P + 5.0 * O;
        let k2o = 2.0 * K + O;
        for (got, printed) in [
            (NO3 / N, 4.42664),
            (PO4 / P, 3.06614),
            (2.0 * P / p2o5, 0.436_427),
            (2.0 * K / k2o, 0.830_151),
            (NH4 / N, 1.28786),
            (NH3 / N, 1.21589),
            (SIO2 / SI, 2.13933),
        ] {
            assert!((got - printed).abs() < 1e-5, "{got} {printed}");
        }
    }
}
