//! `gas`: air equilibrium, then CO2 added.

use csv::ByteRecord;

use super::Options;
use super::states::WaterColumns;
use super::table::{BatchError, Column, Columns, RowProblem, Rows};
use crate::closed::{Change, Closed};
use crate::error::within;
use crate::gas::air::{self, pco2_atm};
use crate::solve::{Given, solve};

pub(super) struct Gas {
    water: WaterColumns,
    added: Column,
    air: Column,
    options: Options,
}

impl Gas {
    pub(super) fn new(columns: &Columns, options: Options) -> Result<Self, BatchError> {
        Ok(Gas {
            water: WaterColumns::new(columns, "")?,
            added: columns.needed("added_co2_mg_l")?,
            air: columns.or("air_co2_ppm", air::OUTDOORS_PPM)?,
            options,
        })
    }
}

impl Rows for Gas {
    const NEEDED: &'static [&'static str] =
        &["temperature_c", "alkalinity_meq_l", "added_co2_mg_l"];
    const RESULTS: &'static [&'static str] = &[
        "air_ph",
        "air_co2_mg_l",
        "ph_after",
        "co2_after_mg_l",
        "calcite_saturation_index_after",
    ];

    fn solve(&mut self, row: &ByteRecord, results: &mut Vec<f64>) -> Result<(), RowProblem> {
        let water = self.water.water(row)?;
        let added = within("added_co2_mg_l", self.added.number(row)?, 0.0, 1e4)?;
        let pco2 = pco2_atm(
            self.air.number(row)?,
            self.options.pressure_atm,
            self.options.humidity,
            water.temperature_c,
        )?;
        let at_rest = solve(&water, Given::Pco2Atm(pco2))?;
        let closed = Closed {
            water,
            dic_mmol_l: at_rest.dic_mmol_l,
        };
        let after = closed.with(&Change::co2(added))?.state()?;
        results.extend([
            at_rest.ph,
            at_rest.co2_mg_l,
            after.ph,
            after.co2_mg_l,
            after.calcite_saturation_index,
        ]);
        Ok(())
    }
}
