//! Published relations, one file per source.
//!
//! Every function says what it takes and gives, its unit and range, and what is known of its
//! error and of misprints. `log10 K` are on the molal scale, infinite dilution, 1 atm. Nothing
//! here was fitted by us.

pub mod antoine;
pub mod benson_krause_1984;
pub mod bradley_pitzer_1979;
pub mod ciaaw_2021;
pub mod davies_1962;
pub mod debye_huckel_1923;
pub mod emerson_1975;
pub mod epa_2013;
pub mod handbook_volumes;
pub mod harned_davis_1943;
pub mod kell_1975;
pub mod malmberg_maryott_1956;
pub mod nordstrom_1990;
pub mod oliver_1983;
pub mod phosphate_pairs;
pub mod plummer_busenberg_1982;
pub mod robinson_stokes_1959;
pub mod truesdell_jones_1974;
pub mod wanninkhof_1992;
pub mod weiss_1974;

/// Gas constant, kcal/(mol K), for the van 't Hoff forms printed in kcal (CODATA 8.314 46 J/mol/K
/// over 4.184).
const R_KCAL: f64 = 8.314_462_618e-3 / 4.184;

/// Kelvin at 25 degC.
const T25: f64 = 298.15;

/// `log10 K` at `kelvin` from its value at 25 degC and the enthalpy in kcal/mol, by van 't Hoff's
/// integrated equation with constant enthalpy.
#[must_use]
pub fn van_t_hoff(log_k25: f64, enthalpy_kcal: f64, kelvin: f64) -> f64 {
    log_k25 + enthalpy_kcal / (R_KCAL * std::f64::consts::LN_10) * (1.0 / T25 - 1.0 / kelvin)
}

/// `a + b T + c/T + d log10 T + e/T^2`, the form the geochemical tables print. `log_t` is
/// `log10(kelvin)`, taken once for all constants of a temperature.
#[inline]
fn analytic([a, b, c, d, e]: [f64; 5], kelvin: f64, log_t: f64) -> f64 {
    a + b * kelvin + (c + e / kelvin) / kelvin + d * log_t
}
