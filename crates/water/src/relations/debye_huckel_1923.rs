//! Debye and Huckel 1923, Physikalische Zeitschrift 24:185-206: the two constants of the activity
//! equations, in the practical units of the geochemical literature.

/// `A` (log10, kg^0.5 mol^-0.5) and `B` (per angstrom, kg^0.5 mol^-0.5) at `celsius`, from the
/// relative permittivity and the density (kg/L) of water.
#[must_use]
pub fn debye_huckel(celsius: f64, permittivity: f64, water_density_kg_l: f64) -> (f64, f64) {
    let et = permittivity * (celsius + 273.15);
    let root = et.sqrt();
    let density = water_density_kg_l.sqrt();
    (1.824_83e6 * density / (et * root), 50.2916 * density / root)
}
