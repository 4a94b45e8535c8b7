//! The gas transfer coefficient from a tank's own pH after gas and lights go off.
//!
//! With alkalinity constant, `d DIC/dt = -kLa (CO2 - CO2eq)` separates: `kLa t` is the integral of
//! `d DIC / (CO2 - CO2eq)` over pH. That integral is tabulated once; every trial value of kLa then
//! costs a look-up in it. The fit is least squares on pH with the pH at the start unknown, the
//! interval by profile likelihood.

use quantity::{Basis, Estimate};

use crate::error::{Unsolvable, within};
use crate::relations::ciaaw_2021 as mass;
use crate::solve::{Given, solve};
use crate::water::Water;

/// kLa that is looked for, per hour; stirred to bubbled tanks lie within 0.1 to 5 (from memory).
pub const SEARCHED: (f64, f64) = (1e-3, 50.0);
/// Points of the table of the integral.
const POINTS: usize = 400;
/// Half the 95 % point of chi squared with one degree of freedom.
const DROP: f64 = 1.920_73;

/// One reading of the series.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PhReading {
    /// Hours from any start.
    pub hours: f64,
    /// pH.
    pub ph: f64,
}

/// `kLa t` as a function of pH, tabulated.
struct Clock {
    ph: Vec<f64>,
    time: Vec<f64>,
}

impl Clock {
    /// Over `low` to `high` pH, both on the same side of the equilibrium.
    fn new(
        water: &Water,
        equilibrium_mmol_l: f64,
        low: f64,
        high: f64,
    ) -> Result<Clock, Unsolvable> {
        let mut clock = Clock {
            ph: Vec::new(),
            time: Vec::new(),
        };
        let mut before: Option<(f64, f64)> = None;
        let mut time = 0.0;
        for i in 0..POINTS {
            let ph = low + (high - low) * i as f64 / (POINTS - 1) as f64;
            let s = solve(water, Given::Ph(ph))?;
            let distance = s.co2_mg_l / mass::CO2 - equilibrium_mmol_l;
            if distance <= 0.0 {
                break;
            }
            let rate = (s.dic_mmol_l, distance);
            if let Some((dic, d)) = before {
                // Mean of 1/distance over the step, exact where DIC is linear in the distance.
                let ratio = d / rate.1;
                let mean = if (ratio - 1.0).abs() < 1e-9 {
                    1.0 / d
                } else {
                    ratio.ln() / (d - rate.1)
                };
                time += (dic - rate.0) * mean;
            }
            clock.ph.push(ph);
            clock.time.push(time);
            before = Some(rate);
        }
        Ok(clock)
    }

    /// pH after `time`, the ends held.
    fn ph(&self, time: f64) -> f64 {
        let i = self.time.partition_point(|t| *t < time);
        match (i, self.ph.get(i)) {
            (0, _) => self.ph[0],
            (_, None) => self.ph[self.ph.len() - 1],
            (_, Some(above)) => {
                let (t0, t1) = (self.time[i - 1], self.time[i]);
                let share = if t1 > t0 {
                    (time - t0) / (t1 - t0)
                } else {
                    0.0
                };
                self.ph[i - 1] + share * (above - self.ph[i - 1])
            }
        }
    }

    /// Smallest sum of squares over the start, for one kLa; readings are hours from the first.
    fn sum_of_squares(&self, readings: &[PhReading], kla: f64) -> f64 {
        let squares = |start: f64| -> f64 {
            readings
                .iter()
                .map(|r| (r.ph - self.ph(start + kla * r.hours)).powi(2))
                .sum()
        };
        // The start is one number in a short range: a scan, then golden-section steps.
        let whole = self.time[self.time.len() - 1];
        let n = 60;
        let at = |i: usize| whole * i as f64 / f64::from(n);
        let best = (0..=n as usize)
            .min_by(|a, b| squares(at(*a)).total_cmp(&squares(at(*b))))
            .unwrap_or(0);
        let (mut a, mut b) = (at(best.saturating_sub(1)), at((best + 1).min(n as usize)));
        let golden = 0.5 * (5f64.sqrt() - 1.0);
        for _ in 0..40 {
            let (x, y) = (b - golden * (b - a), a + golden * (b - a));
            if squares(x) < squares(y) {
                b = y;
            } else {
                a = x;
            }
        }
        squares(0.5 * (a + b))
    }
}

/// kLa per hour, with a 95 % interval, from pH readings taken with gas, lights and feeding off.
///
/// `water` gives alkalinity, ions and temperature, `air_pco2_atm` the air. `ph_sd` is the standard
/// deviation of one reading about the truth (0.02 for a good meter, 0.1 to 0.2 for drops); when the
/// readings scatter more about the curve than that, their own scatter is used. The pH is taken as
/// right in the mean: an error of the meter's zero shifts the equilibrium it is compared with.
/// An end of the interval is open where the readings do not bound it; fewer than three readings, or
/// a pH that does not rise towards the air's, are refused.
pub fn fit(
    water: &Water,
    air_pco2_atm: f64,
    readings: &[PhReading],
    ph_sd: f64,
) -> Result<Estimate, Unsolvable> {
    within("ph_sd", ph_sd, 1e-4, 1.0)?;
    let basis = Basis::of(
        "d DIC/dt = -kLa (CO2 - CO2eq), alkalinity constant; least squares on pH, profile likelihood",
        "first-order gas transfer; carbonate constants Plummer and Busenberg 1982",
    );
    for r in readings {
        within("hours", r.hours, -1e6, 1e6)?;
        within("ph", r.ph, crate::solve::PH.0, crate::solve::PH.1)?;
    }
    if readings.len() < 3 {
        return Ok(Estimate::refused(
            "too_few_readings",
            "at least three pH readings after lights and gas went off are needed",
            basis,
        ));
    }
    let rest = solve(water, Given::Pco2Atm(air_pco2_atm))?;
    let first = readings
        .iter()
        .map(|r| r.hours)
        .fold(f64::INFINITY, f64::min);
    let shifted: Vec<PhReading> = readings
        .iter()
        .map(|r| PhReading {
            hours: r.hours - first,
            ..*r
        })
        .collect();
    let lowest = readings.iter().map(|r| r.ph).fold(f64::INFINITY, f64::min);
    let low = (lowest - 4.0 * ph_sd).max(crate::solve::PH.0);
    let high = rest.ph - 1e-3;
    let refused = || {
        Estimate::refused(
            "no_gas_to_lose",
            "the readings are not below the pH that this water has in equilibrium with the air, so \
             they show no loss of gas; check pH, KH and the CO2 of the room",
            basis.clone(),
        )
    };
    if lowest + 2.0 * ph_sd >= high {
        return Ok(refused());
    }
    let clock = Clock::new(water, rest.co2_mg_l / mass::CO2, low, high)?;
    if clock.ph.len() < 10 {
        return Ok(refused());
    }
    Ok(profile(&clock, &shifted, ph_sd, basis.clone()))
}

fn profile(clock: &Clock, readings: &[PhReading], ph_sd: f64, basis: Basis) -> Estimate {
    const STEPS: usize = 300;
    let (from, to) = (SEARCHED.0.ln(), SEARCHED.1.ln());
    let log_kla = |i: usize| from + (to - from) * i as f64 / STEPS as f64;
    let squares: Vec<f64> = (0..=STEPS)
        .map(|i| clock.sum_of_squares(readings, log_kla(i).exp()))
        .collect();
    let best = (0..=STEPS)
        .min_by(|a, b| squares[*a].total_cmp(&squares[*b]))
        .unwrap_or(0);
    let smallest = squares[best];
    let freedom = (readings.len() as f64 - 2.0).max(1.0);
    let variance = (ph_sd * ph_sd).max(smallest / freedom);
    let limit = smallest + 2.0 * DROP * variance;
    let crossing = |inside: usize, outside: usize| {
        let share = (limit - squares[inside]) / (squares[outside] - squares[inside]);
        (log_kla(inside) + share * (log_kla(outside) - log_kla(inside))).exp()
    };
    let low = (0..best)
        .rev()
        .find(|i| squares[*i] > limit)
        .map(|i| crossing(i + 1, i));
    let high = (best + 1..=STEPS)
        .find(|i| squares[*i] > limit)
        .map(|i| crossing(i - 1, i));
    if low.is_none() && high.is_none() {
        return Estimate::refused(
            "readings_say_nothing",
            "these readings fit any rate of exchange; let the pH rise by several times its error",
            basis,
        );
    }
    Estimate {
        value: (low.is_some() && high.is_some()).then(|| vertex(&squares, best, log_kla)),
        low,
        high,
        level: Some(0.95),
        kind: quantity::EstimateKind::Confidence,
        basis,
    }
}

/// Lowest point of the parabola through the best step and its neighbours.
fn vertex(squares: &[f64], best: usize, log_kla: impl Fn(usize) -> f64) -> f64 {
    let (Some(a), Some(c)) = (
        best.checked_sub(1).and_then(|i| squares.get(i)),
        squares.get(best + 1),
    ) else {
        return log_kla(best).exp();
    };
    let b = squares[best];
    let curve = a - 2.0 * b + c;
    let shift = if curve > 0.0 {
        0.5 * (a - c) / curve
    } else {
        0.0
    };
    (log_kla(best) + shift * (log_kla(1) - log_kla(0))).exp()
}
