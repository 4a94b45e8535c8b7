//! Partial molal volumes of ions at infinite dilution and 25 degC, cm3/mol, on the convention
//! V(H+) = 0: Millero 1971, Chemical Reviews 71:147-176 (from memory). They turn mg per litre into
//! mol per kg of water and give the density; the whole effect is below 0.1 % in fresh water.

/// Ca++.
pub const CA: f64 = -17.85;
/// Mg++.
pub const MG: f64 = -21.17;
/// Na+.
pub const NA: f64 = -1.21;
/// K+.
pub const K: f64 = 9.02;
/// NH4+.
pub const NH4: f64 = 17.86;
/// Cl-.
pub const CL: f64 = 17.83;
/// SO4--.
pub const SO4: f64 = 13.98;
/// NO3-.
pub const NO3: f64 = 29.0;
/// HCO3-.
pub const HCO3: f64 = 23.4;
/// Phosphate, taken as H2PO4-.
pub const H2PO4: f64 = 29.1;
/// Silicic and boric acid, rounded: their part is below 1e-5.
pub const NEUTRAL_ACID: f64 = 50.0;
/// Dissolved CO2.
pub const CO2: f64 = 34.0;
