//! `mix`: two waters by volume.

use csv::ByteRecord;

use super::states::WaterColumns;
use super::table::{BatchError, Column, Columns, RowProblem, Rows};
use crate::closed::{Closed, Part};
use crate::error::within;
use crate::solve::Given;

pub(super) struct Mix {
    a: (WaterColumns, Column),
    b: (WaterColumns, Column),
    share: Column,
}

impl Mix {
    pub(super) fn new(columns: &Columns) -> Result<Self, BatchError> {
        let of = |prefix: &str| -> Result<(WaterColumns, Column), BatchError> {
            let ph = columns.needed(&format!("{prefix}ph"))?;
            Ok((WaterColumns::new(columns, prefix)?, ph))
        };
        Ok(Mix {
            a: of("a_")?,
            b: of("b_")?,
            share: columns.needed("share_a")?,
        })
    }
}

fn closed(
    which: char,
    (water, ph): &(WaterColumns, Column),
    row: &ByteRecord,
) -> Result<Closed, RowProblem> {
    let (water, ph) = (water.water(row)?, ph.number(row)?);
    Closed::new(water, Given::Ph(ph)).map_err(|why| RowProblem::Of { which, why })
}

impl Rows for Mix {
    const NEEDED: &'static [&'static str] = &[
        "a_temperature_c",
        "a_ph",
        "a_alkalinity_meq_l",
        "b_temperature_c",
        "b_ph",
        "b_alkalinity_meq_l",
        "share_a",
    ];
    const RESULTS: &'static [&'static str] = &[
        "mix_temperature_c",
        "mix_ph",
        "mix_alkalinity_meq_l",
        "mix_gh_dgh",
        "mix_kh_dkh",
        "mix_co2_mg_l",
        "mix_dic_mmol_l",
        "mix_calcite_saturation_index",
    ];

    fn solve(&mut self, row: &ByteRecord, results: &mut Vec<f64>) -> Result<(), RowProblem> {
        let share = within("share_a", self.share.number(row)?, 0.0, 1.0)?;
        let (a, b) = (closed('a', &self.a, row)?, closed('b', &self.b, row)?);
        let mixed = Closed::mix(&[
            Part {
                volume: share,
                of: a,
            },
            Part {
                volume: 1.0 - share,
                of: b,
            },
        ])?;
        let s = mixed.state()?;
        results.extend([
            s.temperature_c,
            s.ph,
            mixed.water.alkalinity_meq_l,
            mixed.water.gh_dgh(),
            mixed.water.kh_dkh(),
            s.co2_mg_l,
            mixed.dic_mmol_l,
            s.calcite_saturation_index,
        ]);
        Ok(())
    }
}
