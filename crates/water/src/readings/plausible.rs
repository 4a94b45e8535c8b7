//! Whether an analysis can be true: charges and conductivity, and which reading is the odd one.

use crate::error::{Unsolvable, within};
use crate::relations::ciaaw_2021 as mass;
use crate::solve::{Given, solve};
use crate::water::Water;

/// An analysis to be checked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Analysis {
    /// Ions and alkalinity.
    pub water: Water,
    /// pH.
    pub ph: f64,
    /// Measured conductivity at 25 degC, uS/cm.
    pub conductivity_us_cm: Option<f64>,
}

/// What the check found.
#[derive(Debug, Clone, PartialEq)]
pub struct Plausibility {
    /// (cations - anions) / (half their sum), in percent.
    pub charge_error_percent: f64,
    /// Conductivity that the ions come to, uS/cm.
    pub conductivity_us_cm: f64,
    /// That against the measured one, in percent.
    pub conductivity_error_percent: Option<f64>,
    /// Whether both are within what analyses usually reach.
    pub plausible: bool,
    /// The one reading whose correction would mend everything, where there is one.
    pub odd: Option<Odd>,
}

/// The odd reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Odd {
    /// Its field.
    pub field: &'static str,
    /// As given.
    pub given: f64,
    /// What would balance the charges.
    pub would_fit: f64,
    /// One sentence.
    pub text: String,
}

/// Charge error that a full analysis of fresh water may have, percent (Standard Methods 1030 E
/// allows 2 to 5 % of the sum, from memory; kits are coarser).
pub const CHARGE_ALLOWED_PERCENT: f64 = 10.0;
/// The same for conductivity (Standard Methods 1030 E: 0.9 to 1.1, from memory).
pub const CONDUCTIVITY_ALLOWED_PERCENT: f64 = 10.0;

/// Equivalents per mmol and molar mass of what can be odd; alkalinity is in meq.
const CANDIDATES: [(&str, f64, f64); 8] = [
    ("ca_mg_l", 2.0, mass::CA),
    ("mg_mg_l", 2.0, mass::MG),
    ("na_mg_l", 1.0, mass::NA),
    ("k_mg_l", 1.0, mass::K),
    ("cl_mg_l", -1.0, mass::CL),
    ("so4_mg_l", -2.0, mass::SO4),
    ("no3_mg_l", -1.0, mass::NO3),
    ("alkalinity_meq_l", -1.0, 1.0),
];

/// Checks an analysis against its own charges and the measured conductivity.
///
/// Charge alone says that something is wrong, not what. With a conductivity the odd reading is the
/// one whose correction mends both at once; where several or none do, none is named. pH is blamed
/// by neither.
pub fn check(analysis: &Analysis) -> Result<Plausibility, Unsolvable> {
    if let Some(measured) = analysis.conductivity_us_cm {
        within("conductivity_us_cm", measured, 0.0, 1e5)?;
    }
    let (gap, size, conductivity) = balance(&analysis.water, analysis.ph)?;
    let charge_error_percent = if size > 0.0 {
        100.0 * gap / (0.5 * size)
    } else {
        0.0
    };
    let off = |conductivity: f64| {
        let measured = analysis.conductivity_us_cm.filter(|m| *m > 0.0);
        measured.map(|measured| 100.0 * (conductivity / measured - 1.0))
    };
    let conductivity_error_percent = off(conductivity);
    let plausible = charge_error_percent.abs() <= CHARGE_ALLOWED_PERCENT
        && conductivity_error_percent.is_none_or(|e| e.abs() <= CONDUCTIVITY_ALLOWED_PERCENT);
    let odd = if plausible {
        None
    } else {
        odd_one(analysis, gap, &off)
    };
    Ok(Plausibility {
        charge_error_percent,
        conductivity_us_cm: conductivity,
        conductivity_error_percent,
        plausible,
        odd,
    })
}

/// Charge gap and sum of charges of the strong ions and the alkalinity, meq/L, and conductivity.
fn balance(water: &Water, ph: f64) -> Result<(f64, f64, f64), Unsolvable> {
    let s = solve(water, Given::Ph(ph))?;
    let per_litre = s.water_kg_l * 1e3;
    let size = 2.0 * s.ionic_strength_mol_kg * per_litre;
    Ok((
        s.species.charge() * per_litre,
        size,
        s.conductivity_25_us_cm,
    ))
}

fn odd_one(analysis: &Analysis, gap_meq: f64, off: &dyn Fn(f64) -> Option<f64>) -> Option<Odd> {
    let mut fitting: Vec<(f64, Odd)> = Vec::new();
    for (field, equivalents, molar) in CANDIDATES {
        let mut water = analysis.water;
        let Some(value) = field_mut(&mut water, field) else {
            continue;
        };
        let given = *value;
        *value -= gap_meq / equivalents * molar;
        let would_fit = *value;
        // Nothing can be below zero, and a correction within a tenth is no oddity.
        if would_fit < 0.0 || (would_fit - given).abs() < 0.1 * given.max(would_fit) {
            continue;
        }
        let Ok((_, _, conductivity)) = balance(&water, analysis.ph) else {
            continue;
        };
        let Some(error) = off(conductivity) else {
            continue;
        };
        let text = format!(
            "{field} {given} stands out: {would_fit:.3} would balance the charges and fit the \
             conductivity within {:.0} %",
            error.abs().max(1.0)
        );
        fitting.push((
            error.abs(),
            Odd {
                field,
                given,
                would_fit,
                text,
            },
        ));
    }
    fitting.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut best = fitting.into_iter();
    let (error, odd) = best.next()?;
    let next = best.next().map_or(f64::INFINITY, |(error, _)| error);
    // Named only when it mends the conductivity and is clearly ahead of the next.
    (error <= CONDUCTIVITY_ALLOWED_PERCENT && next > error + 2.0).then_some(odd)
}

fn field_mut<'a>(water: &'a mut Water, field: &str) -> Option<&'a mut f64> {
    Some(match field {
        "ca_mg_l" => &mut water.ca_mg_l,
        "mg_mg_l" => &mut water.mg_mg_l,
        "na_mg_l" => &mut water.na_mg_l,
        "k_mg_l" => &mut water.k_mg_l,
        "cl_mg_l" => &mut water.cl_mg_l,
        "so4_mg_l" => &mut water.so4_mg_l,
        "no3_mg_l" => &mut water.no3_mg_l,
        "alkalinity_meq_l" => &mut water.alkalinity_meq_l,
        _ => return None,
    })
}
