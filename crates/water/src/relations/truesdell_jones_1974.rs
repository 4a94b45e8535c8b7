//! Truesdell and Jones 1974, "WATEQ, a computer program for calculating chemical equilibria of
//! natural waters", J. Res. U.S. Geological Survey 2:233-248: extended Debye-Huckel equation with
//! two parameters per ion. Parameters of the public database `phreeqc.dat` (Na and Cl there from
//! halite solubility; `wateq4f.dat` has Na 4.0, 0.075).
//!
//! `log10 gamma = -A z^2 sqrt(I) / (1 + B a sqrt(I)) + b I`.

/// Charge, ion size `a` in angstrom and `b` in kg/mol.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ion {
    /// Charge squared.
    pub z2: f64,
    /// Ion size, angstrom.
    pub a: f64,
    /// Linear term, kg/mol.
    pub b: f64,
}

const fn ion(z: f64, a: f64, b: f64) -> Ion {
    Ion { z2: z * z, a, b }
}

/// H+.
pub const H: Ion = ion(1.0, 9.0, 0.0);
/// OH-; the same parameters.
pub const OH: Ion = ion(1.0, 3.5, 0.0);
/// Ca++.
pub const CA: Ion = ion(2.0, 5.0, 0.165);
/// Mg++.
pub const MG: Ion = ion(2.0, 5.5, 0.20);
/// Na+.
pub const NA: Ion = ion(1.0, 4.08, 0.082);
/// K+.
pub const K: Ion = ion(1.0, 3.5, 0.015);
/// NH4+.
pub const NH4: Ion = ion(1.0, 2.5, 0.0);
/// SO4--.
pub const SO4: Ion = ion(2.0, 5.0, -0.04);
/// CO3--.
pub const CO3: Ion = ion(2.0, 5.4, 0.0);
/// HCO3-, H2PO4-, NaSO4-, KSO4-, NaHPO4-, KHPO4-, CaPO4-, MgPO4-, CaH2PO4+, MgH2PO4+.
pub const HCO3: Ion = ion(1.0, 5.4, 0.0);
/// HPO4--.
pub const HPO4: Ion = ion(2.0, 5.0, 0.0);
/// PO4---.
pub const PO4: Ion = ion(3.0, 4.0, 0.0);
/// CaHCO3+.
pub const CAHCO3: Ion = ion(1.0, 6.0, 0.0);
/// MgHCO3+ and H3SiO4-.
pub const MGHCO3: Ion = ion(1.0, 4.0, 0.0);
/// MgOH+.
pub const MGOH: Ion = ion(1.0, 6.5, 0.0);
/// Cl-.
pub const CL: Ion = ion(1.0, 3.63, 0.017);
/// NO3-.
pub const NO3: Ion = ion(1.0, 3.0, 0.0);

/// `log10` of the activity coefficient of `ion` from `A`, `B` (per angstrom) and the ionic
/// strength in mol/kg with its square root.
#[inline]
#[must_use]
pub fn log_gamma(ion: Ion, a: f64, b: f64, ionic_strength: f64, root: f64) -> f64 {
    -a * ion.z2 * root / (1.0 + b * ion.a * root) + ion.b * ionic_strength
}

/// `log10` of the activity coefficient of an uncharged species: 0.1 I, as the WATEQ program takes
/// it.
#[inline]
#[must_use]
pub fn log_gamma_neutral(ionic_strength: f64) -> f64 {
    0.1 * ionic_strength
}
