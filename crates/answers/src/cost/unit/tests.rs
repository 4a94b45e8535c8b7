//! Worked by hand; the t quantile is that of the usual printed table (one degree of freedom, 97.5 %:
//! 12.706; from memory).

use super::*;
use crate::compare::{Seen, Window};
use crate::cost::cost;
use crate::cost::sample::*;
use jiff::ToSpan;
use trial::TankId;
use trial::equipment::EquipmentKind::{Consumable, Durable};
use trial::types::{Measure, Outcome};

/// Cover from 20 % in Ash, Elm, Fir and Oak up by these points over 61 days.
fn compared(better: Better, scale: Scale, gains: [f64; 4]) -> (Bench, Comparison) {
    let mut bench = bench();
    bench.trial.primary = Some(Outcome {
        name: "Carpet cover".into(),
        measure: Measure::Cover,
        plant: None,
        better,
    });
    // 1 a tank and month of wear, 0.5 of cash.
    bench.equipment = vec![
        thing(10, Durable, &[], 240.0, 60.0),
        thing(12, Consumable, &[], 12.0, 6.0),
    ];
    let to = START.checked_add(61.days()).unwrap();
    let window = Window { from: START, to };
    let mut comparison = crate::compare::compare(&bench, &[], window, String::new());
    let seen = |value| {
        Some(Seen {
            from: START,
            to,
            value,
        })
    };
    let tanks = bench.tanks.iter().zip(gains).map(|(t, gain)| TankChange {
        tank: TankId(t.id.0),
        name: t.name.clone(),
        arm: t.arm.clone(),
        start: seen(20.0),
        end: seen(20.0 + gain),
        change: Estimate::exact(gain, Basis::default()),
        plantings: 1,
        lost: 0,
    });
    comparison.rows = vec![Row {
        plant: None,
        common_name: None,
        measure: Measure::Cover,
        scale,
        primary: true,
        better: Some(better),
        tanks: tanks.collect(),
        differences: vec![],
    }];
    (bench, comparison)
}

fn of(better: Better, scale: Scale, gains: [f64; 4]) -> UnitCosts {
    let (bench, comparison) = compared(better, scale, gains);
    let to = comparison.window.to;
    per_unit(&bench, &cost(&bench, &[], to), &comparison)
}

fn near(got: Option<f64>, wanted: f64) {
    let got = got.unwrap_or(f64::NAN);
    assert!((got - wanted).abs() < 1e-4, "{got} is not {wanted}");
}

#[test]
fn a_unit_costs_the_span_over_the_gain_with_its_interval() {
    // Ash and Oak gained 10.0 and 10.4: mean 10.2, standard error 0.2, so 10.2 -+ 12.7062 x 0.2 =
    // 7.65876 to 12.74124. A tank ran 61 / 30.4375 months at 1.5: 3.00616.
    let costs = of(Better::More, Scale::Factor, [10.0, 0.1, 5.0, 10.4]);
    assert_eq!(costs.refused, None);
    let sand = &costs.arms[0];
    let (code, money) = &sand.money[0];
    assert_eq!((sand.arm.as_str(), code.as_str()), ("sand", "EUR"));
    near(money.value, 3.00616 / 10.2);
    near(money.low, 3.00616 / 12.74124);
    near(money.high, 3.00616 / 7.65876);
    // Elm and Fir gained 0.1 and 5.0: the interval reaches zero, so there is no price.
    assert!(costs.arms[1].money[0].1.refusal().is_some());
    assert!(costs.arms[1].minutes.refusal().is_some());
}

#[test]
fn less_of_what_is_unwanted_is_a_gain() {
    let costs = of(Better::Less, Scale::Count, [-10.0, -3.0, -3.1, -10.4]);
    near(costs.arms[0].gain.value, 10.2);
    near(costs.arms[1].gain.value, 3.05);
}

#[test]
fn what_has_no_unit_is_refused_in_words() {
    let gains = [10.0, 3.0, 3.1, 10.4];
    for (better, scale) in [
        (Better::More, Scale::Rate),
        (Better::More, Scale::Score),
        (Better::Target { value: 40.0 }, Scale::Factor),
    ] {
        let costs = of(better, scale, gains);
        assert!(
            costs.refused.is_some() && costs.arms.is_empty(),
            "{scale:?}"
        );
    }
    let (mut bench, comparison) = compared(Better::More, Scale::Factor, gains);
    bench.trial.primary = None;
    let answer = per_unit(&bench, &cost(&bench, &[], START), &comparison);
    assert!(answer.refused.is_some());
}

#[test]
fn a_month_is_cash_and_more_tanks_are_what_narrows() {
    let (bench, comparison) = compared(Better::More, Scale::Factor, [1.0; 4]);
    let next = next_month(&bench, &cost(&bench, &[], comparison.window.to));
    near(next.cash[0].1.value, 2.0);
    assert_eq!(next.tanks_per_arm, 2);
    let (now, more) = next.detectable.unwrap();
    assert!(now > more && more > 1.0, "{now} {more}");
    // Half the tanks of each arm gone: nothing can be said, whatever the time.
    let mut few = bench.clone();
    few.tanks.truncate(2);
    let alone = next_month(&few, &cost(&few, &[], START));
    assert_eq!((alone.tanks_per_arm, alone.detectable), (1, None));
}
