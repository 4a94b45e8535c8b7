//! `states`: pH and alkalinity to everything.

use csv::ByteRecord;

use super::table::{BatchError, Column, Columns, RowProblem, Rows};
use crate::constants::Constants;
use crate::error::within;
use crate::solve::{Given, TEMPERATURE_C, solve_with};
use crate::water::Water;

/// The columns of one water, with a prefix.
pub(super) struct WaterColumns {
    temperature: Column,
    alkalinity: Column,
    ions: [Column; 10],
}

impl WaterColumns {
    pub(super) fn new(columns: &Columns, prefix: &str) -> Result<Self, BatchError> {
        let named = |name: &str| format!("{prefix}{name}");
        let ion = |name: &str| columns.or(&named(name), 0.0);
        Ok(WaterColumns {
            temperature: columns.needed(&named("temperature_c"))?,
            alkalinity: columns.needed(&named("alkalinity_meq_l"))?,
            ions: [
                ion("ca_mg_l")?,
                ion("mg_mg_l")?,
                ion("na_mg_l")?,
                ion("k_mg_l")?,
                ion("cl_mg_l")?,
                ion("so4_mg_l")?,
                ion("no3_mg_l")?,
                ion("po4_mg_l")?,
                ion("sio2_mg_l")?,
                ion("b_mg_l")?,
            ],
        })
    }

    pub(super) fn water(&self, row: &ByteRecord) -> Result<Water, RowProblem> {
        let [ca, mg, na, k, cl, so4, no3, po4, sio2, b] = &self.ions;
        Ok(Water {
            temperature_c: self.temperature.number(row)?,
            alkalinity_meq_l: self.alkalinity.number(row)?,
            ca_mg_l: ca.number(row)?,
            mg_mg_l: mg.number(row)?,
            na_mg_l: na.number(row)?,
            k_mg_l: k.number(row)?,
            cl_mg_l: cl.number(row)?,
            so4_mg_l: so4.number(row)?,
            no3_mg_l: no3.number(row)?,
            po4_mg_l: po4.number(row)?,
            sio2_mg_l: sio2.number(row)?,
            b_mg_l: b.number(row)?,
            tan_mg_l: 0.0,
        })
    }
}

pub(super) struct States {
    water: WaterColumns,
    ph: Column,
    /// Of the last row: neighbours often share their temperature.
    constants: Constants,
}

impl States {
    pub(super) fn new(columns: &Columns) -> Result<Self, BatchError> {
        Ok(States {
            ph: columns.needed("ph")?,
            water: WaterColumns::new(columns, "")?,
            constants: Constants::at(25.0),
        })
    }
}

impl Rows for States {
    const NEEDED: &'static [&'static str] = &["temperature_c", "ph", "alkalinity_meq_l"];
    const RESULTS: &'static [&'static str] = &[
        "co2_mg_l",
        "hco3_mg_l",
        "co3_mg_l",
        "dic_mmol_l",
        "ionic_strength_mol_kg",
        "calcite_saturation_index",
        "pco2_atm",
        "conductivity_25_us_cm",
        "nh3_fraction",
    ];

    fn solve(&mut self, row: &ByteRecord, results: &mut Vec<f64>) -> Result<(), RowProblem> {
        let water = self.water.water(row)?;
        let ph = self.ph.number(row)?;
        within(
            "temperature_c",
            water.temperature_c,
            TEMPERATURE_C.0,
            TEMPERATURE_C.1,
        )?;
        if self.constants.celsius != water.temperature_c {
            self.constants = Constants::at(water.temperature_c);
        }
        let s = solve_with(&self.constants, &water, Given::Ph(ph))?;
        results.extend([
            s.co2_mg_l,
            s.hco3_mg_l,
            s.co3_mg_l,
            s.dic_mmol_l,
            s.ionic_strength_mol_kg,
            s.calcite_saturation_index,
            s.pco2_atm,
            s.conductivity_25_us_cm,
            s.nh3_fraction,
        ]);
        Ok(())
    }
}
