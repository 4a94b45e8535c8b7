//! First-order exchange of CO2 with the air.
//!
//! `d DIC/dt = -kLa (CO2 - CO2eq) + source`. Only free CO2 crosses the surface, but bicarbonate
//! gives and takes at once, so CO2 falls as `exp(-kLa t)` only while `d DIC/d CO2` is 1, below
//! about pH 7.5; near air equilibrium of hard water it is several times slower.

use crate::closed::Closed;
use crate::error::{Unsolvable, within};
use crate::relations::ciaaw_2021 as mass;
use crate::solve::{Given, solve};

/// Exchange with the air and what else adds or takes carbon.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Exchange {
    /// Gas transfer coefficient, per hour.
    pub kla_per_h: f64,
    /// Partial pressure of CO2 in the air, atm.
    pub air_pco2_atm: f64,
    /// CO2 added (dosing, respiration) less taken (plants), mg/L per hour.
    pub source_mg_l_h: f64,
}

/// One moment of a course.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Hours from the start.
    pub hours: f64,
    /// pH.
    pub ph: f64,
    /// Free CO2, mg/L.
    pub co2_mg_l: f64,
    /// Dissolved inorganic carbon, mmol/L.
    pub dic_mmol_l: f64,
}

/// A course with its carbon balance, mmol/L: start + source - lost to the air = end.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// From the start to the end.
    pub moments: Vec<Moment>,
    /// From the source, mmol/L.
    pub added_mmol_l: f64,
    /// To the air, mmol/L; below zero when the air gave.
    pub lost_mmol_l: f64,
    /// What does not close, mmol/L.
    pub gap_mmol_l: f64,
}

/// Follows `start` for `hours` with `moments` points after the first. Fourth-order Runge-Kutta,
/// steps short against `1/kLa`.
pub fn course(
    start: &Closed,
    exchange: &Exchange,
    hours: f64,
    moments: usize,
) -> Result<Course, Unsolvable> {
    let kla = within("kla_per_h", exchange.kla_per_h, 0.0, 100.0)?;
    within("hours", hours, 0.0, 1e4)?;
    within("source_mg_l_h", exchange.source_mg_l_h, -1e4, 1e4)?;
    let moments = moments.clamp(1, 10_000);
    let source = exchange.source_mg_l_h / mass::CO2;
    let at_rest = solve(&start.water, Given::Pco2Atm(exchange.air_pco2_atm))?.co2_mg_l / mass::CO2;
    let step = hours / moments as f64;
    // A tenth of the time constant per step; what would take 100,000 of them is no question asked.
    within("hours times kla_per_h", hours * kla, 0.0, 1e4)?;
    let parts = (step * kla / 0.1).ceil().max(1.0);
    let h = step / parts;
    let co2 = |dic: f64| -> Result<f64, Unsolvable> {
        Ok(solve(&start.water, Given::DicMmolL(dic))?.co2_mg_l / mass::CO2)
    };
    let lost = |dic: f64| -> Result<f64, Unsolvable> { Ok(kla * (co2(dic)? - at_rest)) };
    let mut dic = start.dic_mmol_l;
    let mut lost_in_all = 0.0;
    let mut found = vec![moment(start, 0.0, dic)?];
    for i in 1..=moments {
        for _ in 0..parts as usize {
            let a = lost(dic)?;
            let b = lost((dic + 0.5 * h * (source - a)).max(0.0))?;
            let c = lost((dic + 0.5 * h * (source - b)).max(0.0))?;
            let d = lost((dic + h * (source - c)).max(0.0))?;
            let out = h * (a + 2.0 * (b + c) + d) / 6.0;
            lost_in_all += out;
            dic += h * source - out;
            within("dic_mmol_l", dic, 0.0, 1e3)?;
        }
        found.push(moment(start, step * i as f64, dic)?);
    }
    let added_mmol_l = source * hours;
    Ok(Course {
        moments: found,
        added_mmol_l,
        lost_mmol_l: lost_in_all,
        gap_mmol_l: start.dic_mmol_l + added_mmol_l - lost_in_all - dic,
    })
}

fn moment(start: &Closed, hours: f64, dic: f64) -> Result<Moment, Unsolvable> {
    let s = solve(&start.water, Given::DicMmolL(dic))?;
    Ok(Moment {
        hours,
        ph: s.ph,
        co2_mg_l: s.co2_mg_l,
        dic_mmol_l: dic,
    })
}

/// CO2 in g that holds `target_mg_l` for `hours` in `volume_l` against the exchange, with
/// `plants_g` taken up by plants meanwhile. Gas that never dissolves comes on top.
#[must_use]
pub fn to_hold_g(
    kla_per_h: f64,
    target_mg_l: f64,
    air_mg_l: f64,
    volume_l: f64,
    hours: f64,
    plants_g: f64,
) -> f64 {
    kla_per_h * (target_mg_l - air_mg_l) * volume_l * hours / 1000.0 + plants_g
}

/// Hours in which the distance of free CO2 from the air's halves, while `d DIC/d CO2` is 1.
#[must_use]
pub fn half_life_h(kla_per_h: f64) -> f64 {
    std::f64::consts::LN_2 / kla_per_h
}
