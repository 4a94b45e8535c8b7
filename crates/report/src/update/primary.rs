//! The primary outcome alone.

use answers::compare::{Comparison, Row, TankChange};
use quantity::Format;
use text::t;
use trial::TankId;
use trial::describe::{measure_name, measure_unit};

/// The same comparison with no other row than that of the primary outcome; without one, no row.
pub(crate) fn only(comparison: &Comparison) -> Comparison {
    with_rows(comparison, |r| r.primary)
}

/// The same comparison with the rows that `keep` holds on to.
pub(crate) fn with_rows(comparison: &Comparison, keep: impl Fn(&Row) -> bool) -> Comparison {
    Comparison {
        rows: comparison
            .rows
            .iter()
            .filter(|r| keep(r))
            .cloned()
            .collect(),
        ..comparison.clone()
    }
}

/// How the primary outcome changed in one tank, as a sentence; none when it was not seen twice.
pub(crate) fn finding(comparison: &Comparison, tank: TankId) -> Option<String> {
    let row = comparison.rows.iter().find(|r| r.primary)?;
    let tank = row.tanks.iter().find(|t| t.tank == tank)?;
    let (start, end) = (tank.start?, tank.end?);
    Some(t!(
        "update.finding_change",
        plant = row.plant.as_deref().unwrap_or(t!("compare.whole_tank")),
        measure = measure_name(row.measure).to_lowercase(),
        start = value(row, start.value),
        end = value(row, end.value)
    ))
}

/// Where the primary outcome stood in one tank at the end, in a few words.
pub(crate) fn end(comparison: &Comparison, tank: TankId) -> Option<String> {
    let row = comparison.rows.iter().find(|r| r.primary)?;
    let end = row.tanks.iter().find(|t| t.tank == tank)?.end?;
    Some(t!(
        "update.finding_end",
        plant = row.plant.as_deref().unwrap_or(t!("compare.whole_tank")),
        measure = measure_name(row.measure).to_lowercase(),
        value = value(row, end.value)
    ))
}

/// A value in the measure's unit.
pub(crate) fn value(row: &Row, value: f64) -> String {
    let number = Format::default().significant(value, 3);
    let unit = measure_unit(row.measure);
    if unit.is_empty() {
        number
    } else {
        format!("{number}\u{a0}{unit}")
    }
}

/// Start and end of one tank without the unit, which stands in the row's heading.
pub(crate) fn start_to_end(tank: &TankChange) -> Option<String> {
    let n = |v| Format::default().significant(v, 3);
    let (start, end) = (tank.start?, tank.end?);
    Some(t!(
        "update.cell_change",
        start = n(start.value),
        end = n(end.value)
    ))
}
