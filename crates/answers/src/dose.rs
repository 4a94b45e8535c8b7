//! Whether a dose is of a plausible size: logging is never blocked, but a slip of the decimal point
//! is named before it hurts an animal.

use quantity::{Analyte, Format};
use text::t;
use trial::act::Into;
use trial::{Act, Bench, TankId};

/// A rise that is named where no range is kept: far above what any tank is dosed at once (common
/// practice, no source).
const LARGE_RISE_MG_L: f64 = 100.0;

/// What a single dose into the water raises beyond all use, tank by tank.
pub fn findings(act: &Act, tanks: &[TankId], bench: &Bench) -> Vec<String> {
    let Act::Dose(dose) = act else { return vec![] };
    if dose.into != Into::Water {
        return vec![];
    }
    let brings = trial::nutrients::nutrients_mg(dose, bench);
    let mut found = Vec::new();
    for (analyte, mg) in brings {
        let limit = limit_mg_l(bench, analyte);
        let rises = tanks.iter().filter_map(|id| {
            let tank = bench.tank(*id)?;
            Some((tank.name.as_str(), mg / tank.water_l().value?))
        });
        let worst = rises
            .filter(|(_, rise)| *rise > limit)
            .max_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((tank, rise)) = worst {
            found.push(t!(
                "log.dose_rise",
                what = analyte.name(),
                rise = Format::default().significant(rise, 2),
                tank = tank
            ));
        }
    }
    found
}

/// Twice the top of the range the trial is kept in, else [`LARGE_RISE_MG_L`].
fn limit_mg_l(bench: &Bench, analyte: Analyte) -> f64 {
    let kept = bench
        .trial
        .kept_ranges
        .iter()
        .find(|k| k.analyte == analyte);
    kept.map_or(LARGE_RISE_MG_L, |k| 2.0 * k.high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::{Amount, Unit};
    use trial::act::{Dose, DoseOf};
    use trial::{Tank, Trial, TrialId};
    use uuid::Uuid;

    #[test]
    fn a_slip_of_the_decimal_point_is_named_and_a_usual_dose_is_not() {
        let trial = Trial::new(TrialId(Uuid::nil()), "t", "UTC");
        let mut bench = Bench::new(trial);
        let mut tank = Tank::new(TankId(Uuid::nil()), TrialId(Uuid::nil()), "Ash", 0);
        tank.water_volume_l = Some(28.0);
        bench.tanks.push(tank);
        let dose = |grams| {
            let act = Act::Dose(Dose {
                of: DoseOf::Salt {
                    formula: "KNO3".into(),
                },
                amount: Amount::new(grams, Unit::Gram),
                into: Into::Water,
            });
            findings(&act, &[TankId(Uuid::nil())], &bench)
        };
        assert!(dose(0.5).is_empty());
        // 500 g x 0.6133 / 28 L = 10,951 mg/L of nitrate.
        assert!(dose(500.0)[0].contains("11000 mg/L"), "{:?}", dose(500.0));
    }
}
