//! A small invented bench and entries for the tests of the answers.

use jiff::ToSpan;
use jiff::civil::{Date, date};
use jiff::tz::TimeZone;
use trial::act::{Change, WaterAmount};
use trial::equipment::EquipmentKind;
use trial::types::{Arm, Money};
use trial::*;
use uuid::Uuid;

/// An id that is always the same for the same number.
pub(crate) fn id(n: u128) -> Uuid {
    Uuid::from_u128(n)
}

/// The trial's first day.
pub(crate) const START: Date = date(2024, 1, 1);

/// Ash and Oak in arm `sand`, Elm and Fir in arm `water`; tank ids 1 to 4 by name order.
pub(crate) fn bench() -> Bench {
    let trial_id = TrialId(id(100));
    let mut trial = Trial::new(trial_id, "Invented", "UTC");
    trial.start = Some(START);
    trial.arms = ["sand", "water"]
        .map(|k| Arm {
            key: k.into(),
            name: format!("{k}-fed"),
            control: k == "sand",
        })
        .to_vec();
    let mut bench = Bench::new(trial);
    for (n, name, arm) in [
        (1, "Ash", "sand"),
        (2, "Elm", "water"),
        (3, "Fir", "water"),
        (4, "Oak", "sand"),
    ] {
        let mut tank = Tank::new(TankId(id(n)), trial_id, name, n as u32 - 1);
        tank.arm = Some(arm.into());
        bench.tanks.push(tank);
    }
    bench
}

/// The tank of this number.
pub(crate) fn tank(n: u128) -> TankId {
    TankId(id(n))
}

pub(crate) fn eur(amount: f64) -> Money {
    Money {
        amount,
        currency: "EUR".into(),
    }
}

/// A thing for `tanks`, its price and life in months given.
pub(crate) fn thing(
    n: u128,
    kind: EquipmentKind,
    tanks: &[TankId],
    price: f64,
    life: f64,
) -> Equipment {
    Equipment {
        id: EquipmentId(id(n)),
        trial: TrialId(id(100)),
        name: format!("thing {n}"),
        tanks: tanks.to_vec(),
        kind,
        price: Some(eur(price)),
        bought: None,
        life_months: Some(life),
        power_w: None,
        hours_per_day: None,
        disclosure: String::new(),
    }
}

/// An entry `day` days after the start, written an hour later.
pub(crate) fn entry(n: u128, day: i64, tanks: &[TankId], act: Act) -> Entry {
    let on = START.checked_add(day.days()).unwrap();
    let at = on.at(18, 0, 0, 0).to_zoned_datetime(TimeZone::UTC).unwrap();
    Entry {
        id: EntryId(id(n)),
        trial: TrialId(id(100)),
        written: at.timestamp().checked_add(1.hour()).unwrap(),
        at,
        tanks: tanks.to_vec(),
        all_tanks: tanks.len() == 4,
        who: "Ada (invented)".into(),
        minutes: None,
        note: String::new(),
        origin: Origin::Form,
        supersedes: None,
        act,
    }
}

/// A water change of 40 %.
pub(crate) fn change() -> Act {
    Act::Change(Change {
        amount: WaterAmount::Share { share: 0.4 },
        source: None,
    })
}

/// All four tanks.
pub(crate) fn all() -> Vec<TankId> {
    (1..=4).map(tank).collect()
}

/// Whether a finding of this code is among them.
pub(crate) fn has(findings: &[Finding], code: &str) -> bool {
    findings.iter().any(|f| f.code == code)
}
