//! `ammonia`: the un-ionised share.

use csv::ByteRecord;

use super::table::{BatchError, Column, Columns, RowProblem, Rows};

pub(super) struct Ammonia {
    temperature: Column,
    ph: Column,
    ionic_strength: Column,
    tan: Column,
}

impl Ammonia {
    pub(super) fn new(columns: &Columns) -> Result<Self, BatchError> {
        Ok(Ammonia {
            temperature: columns.needed("temperature_c")?,
            ph: columns.needed("ph")?,
            ionic_strength: columns.or("ionic_strength_mol_kg", 0.0)?,
            tan: columns.needed("tan_mg_l")?,
        })
    }
}

impl Rows for Ammonia {
    const NEEDED: &'static [&'static str] = &["temperature_c", "ph", "tan_mg_l"];
    const RESULTS: &'static [&'static str] = &["nh3_fraction", "nh3_n_mg_l"];

    fn solve(&mut self, row: &ByteRecord, results: &mut Vec<f64>) -> Result<(), RowProblem> {
        let a = crate::ammonia::ammonia(
            self.temperature.number(row)?,
            self.ph.number(row)?,
            self.ionic_strength.number(row)?,
            self.tan.number(row)?,
        )?;
        results.extend([a.nh3_fraction, a.nh3_n_mg_l]);
        Ok(())
    }
}
