//! Holds the crate against tables computed by a general-purpose geochemical solver.
//!
//! The tables are embedded; every row is answered by the same functions that answer a water from
//! outside, and compared value by value. No constant was fitted to them.

use serde::Serialize;

use crate::ammonia;
use crate::closed::{Change, Closed, Part};
use crate::error::Unsolvable;
use crate::gas::air::{Humidity, OUTDOORS_PPM, pco2_atm};
use crate::relations::ciaaw_2021 as mass;
use crate::solve::{Given, solve};
use crate::water::Water;

/// Result of one table.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CheckResult {
    /// Name of the table.
    pub id: String,
    /// What it is about.
    pub title: String,
    /// Where the data or the method come from.
    pub source: String,
    /// What computed the expected values.
    pub computed_by: String,
    /// Whether every value is within its tolerance.
    pub passed: bool,
    /// Number of values compared.
    pub compared: usize,
    /// Largest |value - expected| / |expected| over values that are not zero.
    pub worst_relative_error: f64,
    /// The first value that is out, or the worst of each kind.
    pub detail: String,
}

const SOLVER: &str = "geochemical solver library 3.7.3-15968, database phreeqc.dat";
const CONSTANTS: &str = "Plummer and Busenberg 1982; Truesdell and Jones 1974; WATEQ constants";

/// Runs every embedded table.
#[must_use]
pub fn run() -> Vec<CheckResult> {
    vec![states(), noncarbonate(), gas(), mix(), ammonia(), salts()]
}

/// How a value is compared.
#[derive(Debug, Clone, Copy)]
enum Tolerance {
    Relative(f64),
    Absolute(f64),
}

use Tolerance::{Absolute, Relative};

/// A table being compared.
struct Check {
    result: CheckResult,
    first_out: Option<String>,
    /// Worst deviation of each column.
    worst: Vec<(&'static str, f64)>,
}

impl Check {
    fn new(id: &str, title: &str, source: &str, computed_by: &str) -> Self {
        Check {
            result: CheckResult {
                id: id.into(),
                title: title.into(),
                source: source.into(),
                computed_by: computed_by.into(),
                passed: false,
                compared: 0,
                worst_relative_error: 0.0,
                detail: String::new(),
            },
            first_out: None,
            worst: Vec::new(),
        }
    }

    fn value(&mut self, row: &Row, column: &'static str, got: f64, tolerance: Tolerance) {
        let expected = row.number(column);
        self.result.compared += 1;
        let gap = (got - expected).abs();
        let relative = gap / expected.abs();
        if expected != 0.0 && relative.is_finite() {
            self.result.worst_relative_error = self.result.worst_relative_error.max(relative);
        }
        let (deviation, allowed) = match tolerance {
            Relative(share) => (if gap == 0.0 { 0.0 } else { relative }, share),
            Absolute(most) => (gap, most),
        };
        match self.worst.iter_mut().find(|(name, _)| *name == column) {
            Some((_, worst)) => *worst = worst.max(deviation),
            None => self.worst.push((column, deviation)),
        }
        // A NaN is out: it is not within the tolerance.
        if deviation.is_nan() || deviation > allowed {
            self.first_out.get_or_insert(format!(
                "{} {column}: {got} instead of {expected}",
                row.id()
            ));
        }
    }

    fn unsolved(&mut self, row: &Row, why: &Unsolvable) {
        self.first_out.get_or_insert(format!("{}: {why}", row.id()));
    }

    fn done(mut self) -> CheckResult {
        self.result.passed = self.first_out.is_none() && self.result.compared > 0;
        self.result.detail = self.first_out.unwrap_or_else(|| {
            let each: Vec<String> = self
                .worst
                .iter()
                .map(|(name, worst)| format!("{name} {worst:.1e}"))
                .collect();
            format!("worst: {}", each.join(", "))
        });
        self.result
    }
}

/// A row of a table, by column name.
struct Row<'a> {
    names: &'a [&'a str],
    cells: Vec<&'a str>,
}

impl Row<'_> {
    fn id(&self) -> &str {
        self.cells.first().copied().unwrap_or_default()
    }

    fn number(&self, column: &str) -> f64 {
        self.text(column)
            .and_then(|cell| cell.parse().ok())
            .unwrap_or(f64::NAN)
    }

    fn or_zero(&self, column: &str) -> f64 {
        self.text(column)
            .and_then(|cell| cell.parse().ok())
            .unwrap_or(0.0)
    }

    fn text(&self, column: &str) -> Option<&str> {
        let at = self.names.iter().position(|name| *name == column)?;
        self.cells.get(at).copied()
    }

    /// The analysis in the columns that start with `prefix`.
    fn water(&self, prefix: &str, alkalinity: &str) -> Water {
        let of = |name: &str| self.or_zero(&format!("{prefix}{name}"));
        Water {
            temperature_c: of("T_C"),
            alkalinity_meq_l: of(alkalinity),
            ca_mg_l: of("Ca_mgL"),
            mg_mg_l: of("Mg_mgL"),
            na_mg_l: of("Na_mgL"),
            k_mg_l: of("K_mgL"),
            cl_mg_l: of("Cl_mgL"),
            so4_mg_l: of("SO4_mgL"),
            no3_mg_l: of("NO3_mgL"),
            po4_mg_l: of("PO4_mgL"),
            sio2_mg_l: of("SiO2_mgL"),
            b_mg_l: of("B_mgL"),
            tan_mg_l: 0.0,
        }
    }
}

/// Every row of a table without quoted cells, the lines with `#` left out.
fn each_row(table: &str, mut see: impl FnMut(&Row)) {
    let mut lines = table.lines().filter(|line| !line.starts_with('#'));
    let names: Vec<&str> = lines.next().unwrap_or_default().split(',').collect();
    for line in lines {
        see(&Row {
            names: &names,
            cells: line.split(',').collect(),
        });
    }
}

fn states() -> CheckResult {
    let mut check = Check::new(
        "water_states",
        "pH and alkalinity to the whole state",
        CONSTANTS,
        SOLVER,
    );
    each_row(
        include_str!("../../../checks/water/cases.csv"),
        |row| match solve(&row.water("", "alk_meqL"), Given::Ph(row.number("pH"))) {
            Ok(s) => {
                check.value(row, "co2_mgL", s.co2_mg_l, Relative(1e-3));
                check.value(row, "hco3_mgL", s.hco3_mg_l, Relative(1e-3));
                check.value(row, "co3_mgL", s.co3_mg_l, Relative(2e-3));
                check.value(row, "dic_mmolL", s.dic_mmol_l, Relative(1e-3));
                let strength = s.ionic_strength_mol_kg;
                check.value(row, "ionic_strength_molkg", strength, Relative(1e-3));
                check.value(
                    row,
                    "si_calcite",
                    s.calcite_saturation_index,
                    Absolute(2e-3),
                );
                check.value(row, "pco2_atm", s.pco2_atm, Relative(6e-3));
                check.value(row, "sc_25_uScm", s.conductivity_25_us_cm, Relative(1.5e-2));
                check.value(row, "density_kgL", s.density_kg_l, Absolute(2e-4));
            }
            Err(why) => check.unsolved(row, &why),
        },
    );
    check.done()
}

fn noncarbonate() -> CheckResult {
    let mut check = Check::new(
        "water_noncarbonate",
        "alkalinity that is not all carbonate",
        CONSTANTS,
        SOLVER,
    );
    each_row(
        include_str!("../../../checks/water/cases_noncarb.csv"),
        |row| match solve(
            &row.water("", "total_alk_meqL"),
            Given::Ph(row.number("pH")),
        ) {
            Ok(s) => {
                check.value(row, "co2_mgL", s.co2_mg_l, Relative(5e-3));
                check.value(row, "hco3_mgL", s.hco3_mg_l, Relative(2e-3));
                check.value(row, "dic_mmolL", s.dic_mmol_l, Relative(2e-3));
            }
            Err(why) => check.unsolved(row, &why),
        },
    );
    check.done()
}

fn gas() -> CheckResult {
    let mut check = Check::new(
        "water_gas",
        "air equilibrium, then CO2 added",
        CONSTANTS,
        SOLVER,
    );
    each_row(include_str!("../../../checks/water/cases_co2.csv"), |row| {
        let water = row.water("", "alk_meqL");
        let at_rest = |humidity| {
            let pco2 = pco2_atm(OUTDOORS_PPM, 1.0, humidity, water.temperature_c)?;
            solve(&water, Given::Pco2Atm(pco2))
        };
        let worked = (|| {
            let (dry, moist) = (at_rest(Humidity::Dry)?, at_rest(Humidity::Moist)?);
            let closed = Closed {
                water,
                dic_mmol_l: dry.dic_mmol_l,
            };
            let after = closed
                .with(&Change::co2(row.number("added_co2_mgL")))?
                .state()?;
            Ok((dry, moist, after))
        })();
        match worked {
            Ok((dry, moist, after)) => {
                check.value(row, "air_pH_420ppm_dry", dry.ph, Absolute(6e-3));
                check.value(row, "air_pH_420ppm_moist", moist.ph, Absolute(6e-3));
                check.value(row, "air_co2_mgL", dry.co2_mg_l, Relative(5e-3));
                check.value(
                    row,
                    "air_si_calcite",
                    dry.calcite_saturation_index,
                    Absolute(8e-3),
                );
                check.value(row, "pH_after", after.ph, Absolute(6e-3));
                check.value(row, "free_co2_after_mgL", after.co2_mg_l, Relative(1.5e-2));
                let si = after.calcite_saturation_index;
                check.value(row, "si_calcite_after", si, Absolute(8e-3));
            }
            Err(why) => check.unsolved(row, &why),
        }
    });
    check.done()
}

fn mix() -> CheckResult {
    let mut check = Check::new("water_mix", "two waters mixed by volume", CONSTANTS, SOLVER);
    each_row(include_str!("../../../checks/water/cases_mix.csv"), |row| {
        let part = |prefix: &str, volume| {
            let ph = row.number(&format!("{prefix}pH"));
            let of = Closed::new(row.water(prefix, "alk_meqL"), Given::Ph(ph))?;
            Ok(Part { volume, of })
        };
        let share = row.number("f_A_volume");
        let worked = (|| {
            let mixed = Closed::mix(&[part("A_", share)?, part("B_", 1.0 - share)?])?;
            Ok((mixed, mixed.state()?))
        })();
        match worked {
            Ok((mixed, s)) => {
                check.value(row, "mix_T_C", s.temperature_c, Absolute(1e-3));
                check.value(row, "mix_pH", s.ph, Absolute(6e-3));
                check.value(
                    row,
                    "mix_alk_meqL",
                    mixed.water.alkalinity_meq_l,
                    Relative(1e-3),
                );
                check.value(row, "mix_dGH", mixed.water.gh_dgh(), Relative(1e-3));
                check.value(row, "mix_dKH", mixed.water.kh_dkh(), Relative(1e-3));
                check.value(row, "mix_dic_mmolL", s.dic_mmol_l, Relative(1e-3));
                check.value(row, "mix_co2_mgL", s.co2_mg_l, Relative(1.5e-2));
                check.value(
                    row,
                    "mix_si_calcite",
                    s.calcite_saturation_index,
                    Absolute(8e-3),
                );
            }
            Err(why) => check.unsolved(row, &why),
        }
    });
    check.done()
}

fn ammonia() -> CheckResult {
    let mut check = Check::new(
        "water_ammonia",
        "un-ionised share of ammonia",
        "Emerson et al. 1975; Truesdell and Jones 1974",
        SOLVER,
    );
    each_row(include_str!("../../../checks/water/ammonia.csv"), |row| {
        for (column, strength, tolerance) in [
            ("frac_emerson", 0.0, Absolute(1e-6)),
            ("frac_phreeqc_I0", 0.0, Relative(1e-2)),
            ("frac_phreeqc_I5mM", 0.005, Relative(1e-2)),
            ("frac_phreeqc_I20mM", 0.02, Relative(1e-2)),
        ] {
            match ammonia::fraction(row.number("T_C"), row.number("pH"), strength) {
                Ok(share) => check.value(row, column, share, tolerance),
                Err(why) => check.unsolved(row, &why),
            }
        }
    });
    check.done()
}

fn salts() -> CheckResult {
    let mut check = Check::new(
        "water_salts",
        "hardness and alkalinity that salts bring",
        "CIAAW 2021 atomic weights; degrees of hardness by definition",
        "closed form",
    );
    let table = include_str!("../../../checks/water/salts.csv");
    each_row(table, |row| {
        let Some(salt) = quantity::salt::find(row.id()) else {
            check
                .first_out
                .get_or_insert(format!("{}: no such salt", row.id()));
            return;
        };
        let water = crate::salts::dose::effect(salt, 100.0).brings;
        let per_mg = |of: f64| of / 100.0;
        check.value(row, "dGH_per_100mgL", water.gh_dgh(), Absolute(2e-4));
        check.value(row, "dKH_per_100mgL", water.kh_dkh(), Absolute(2e-4));
        check.value(row, "mgNO3_per_mg", per_mg(water.no3_mg_l), Absolute(2e-5));
        check.value(row, "mgPO4_per_mg", per_mg(water.po4_mg_l), Absolute(2e-5));
        check.value(row, "pct_K", water.k_mg_l, Absolute(1e-3));
        check.value(
            row,
            "pct_S",
            water.so4_mg_l * mass::S / mass::SO4,
            Absolute(1e-3),
        );
    });
    check.done()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_table_is_within_its_tolerance() {
        for result in run() {
            println!("{} ({}): {}", result.id, result.compared, result.detail);
            assert!(result.passed, "{}: {}", result.id, result.detail);
            assert!(result.compared >= 30);
        }
    }

    #[test]
    fn a_value_that_is_out_or_no_number_fails() {
        for wrong in [1.002, f64::NAN] {
            let mut check = Check::new("x", "x", "x", "x");
            each_row("id,v\nA,1.0\n", |row| {
                check.value(row, "v", wrong, Relative(1e-3))
            });
            assert!(!check.done().passed);
        }
        assert!(
            !Check::new("x", "x", "x", "x").done().passed,
            "nothing compared"
        );
    }
}
