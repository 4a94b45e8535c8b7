//! An invented bench for the tests of jots and rules: four tanks, two arms, five plants.
// Each test file uses its own part; helpers fail a test by panicking.
#![allow(dead_code, clippy::unwrap_used, clippy::panic)]

use jiff::ZonedDateTime;
use quantity::{Amount, Analyte, Interval, Means, Unit};
use trial::act::{Change, Dose, DoseOf, Into, Reading, ReadingOf, WaterAmount};
use trial::jot::{JotDraft, read};
use trial::supply::{Brings, ProductKind, WaterKind};
use trial::types::Arm;
use trial::*;
use uuid::Uuid;

pub(crate) const PLANTS: [&str; 5] = [
    "Eleocharis acicularis",
    "Bacopa caroliniana",
    "Cryptocoryne wendtii",
    "Rotala rotundifolia",
    "Salvinia natans",
];
pub(crate) const TANKS: [&str; 4] = ["Ash", "Elm", "Fir", "Oak"];

pub(crate) fn trial_id() -> TrialId {
    TrialId(Uuid::from_u128(1))
}

pub(crate) fn tank(name: &str) -> TankId {
    let place = TANKS.iter().position(|t| *t == name).unwrap();
    TankId(Uuid::from_u128(100 + place as u128))
}

/// The planting of a plant in a tank, by the start of its name.
pub(crate) fn plant(name: &str, in_tank: &str) -> PlantingId {
    let p = PLANTS.iter().position(|p| p.starts_with(name)).unwrap();
    let t = TANKS.iter().position(|t| *t == in_tank).unwrap();
    PlantingId(Uuid::from_u128(1000 + 10 * t as u128 + p as u128))
}

/// Ash holds a second lot of Bacopa.
pub(crate) fn second_lot() -> PlantingId {
    PlantingId(Uuid::from_u128(2000))
}

pub(crate) fn product(n: u128) -> ProductId {
    ProductId(Uuid::from_u128(300 + n))
}

pub(crate) fn water(n: u128) -> WaterId {
    WaterId(Uuid::from_u128(400 + n))
}

pub(crate) fn card(n: u128) -> CardId {
    CardId(Uuid::from_u128(500 + n))
}

fn a_product(n: u128, name: &str, kind: ProductKind, per: Unit) -> Product {
    Product {
        id: product(n),
        name: name.into(),
        kind,
        brings: vec![Brings {
            analyte: Analyte::Fe,
            mg: 0.2,
        }],
        per,
        recipe: vec![],
        made_up_to_ml: None,
        note: String::new(),
    }
}

fn a_water(n: u128, name: &str, kind: WaterKind) -> SourceWater {
    SourceWater {
        id: water(n),
        name: name.into(),
        kind,
        parts: vec![],
        disinfectant: String::new(),
        neutraliser: String::new(),
        note: String::new(),
    }
}

fn a_card(n: u128, name: &str, analyte: Analyte, steps: &[f64]) -> Card {
    Card {
        id: card(n),
        name: name.into(),
        analyte,
        means: Means::Ion,
        steps: steps.to_vec(),
        invented: true,
    }
}

pub(crate) fn bench() -> Bench {
    let mut trial = Trial::new(trial_id(), "In the sand or in the water?", "Europe/Berlin");
    for (key, name) in [("sand", "Sand-fed"), ("water-fed", "Water-fed")] {
        trial.arms.push(Arm {
            key: key.into(),
            name: name.into(),
            control: key == "sand",
        });
    }
    let mut bench = Bench::new(trial);
    for (place, name) in TANKS.iter().enumerate() {
        let mut t = Tank::new(tank(name), trial_id(), *name, place as u32);
        let arm = if ["Ash", "Oak"].contains(name) {
            "sand"
        } else {
            "water-fed"
        };
        t.arm = Some(arm.into());
        bench.tanks.push(t);
        for p in PLANTS {
            let id = plant(p, name);
            bench
                .plantings
                .push(Planting::new(id, trial_id(), tank(name), p));
        }
    }
    let mut lot = Planting::new(second_lot(), trial_id(), tank("Ash"), PLANTS[1]);
    lot.label = "second lot".into();
    lot.parent = Some(plant("Bacopa", "Ash"));
    bench.plantings.push(lot);
    bench.products = vec![
        a_product(0, "Evening mix", ProductKind::Stock, Unit::Millilitre),
        a_product(1, "Root tab", ProductKind::Tablet, Unit::Piece),
        a_product(2, "Flakes", ProductKind::Food, Unit::Gram),
    ];
    bench.waters = vec![
        a_water(0, "tap", WaterKind::Tap),
        a_water(1, "rain", WaterKind::Rain),
    ];
    bench.cards = vec![
        a_card(
            0,
            "nitrate",
            Analyte::No3,
            &[0.0, 3.0, 6.0, 12.0, 24.0, 48.0],
        ),
        a_card(
            1,
            "phosphate",
            Analyte::Po4,
            &[0.0, 0.06, 0.15, 0.3, 0.6, 1.2, 3.0],
        ),
        a_card(2, "hardness wide", Analyte::Gh, &[0.0, 4.0, 8.0, 16.0]),
        a_card(3, "hardness fine", Analyte::Gh, &[0.0, 2.0, 4.0, 6.0]),
    ];
    bench
}

/// A Wednesday evening in winter, in the trial's zone.
pub(crate) fn now() -> ZonedDateTime {
    "2026-02-04T20:15:00+01:00[Europe/Berlin]".parse().unwrap()
}

pub(crate) fn jot(line: &str) -> JotDraft {
    read(line, &bench(), &now()).unwrap_or_else(|e| panic!("{line}\n{e}"))
}

pub(crate) fn act(line: &str) -> Act {
    jot(line).draft.act
}

pub(crate) fn refused(line: &str) -> trial::jot::JotError {
    match read(line, &bench(), &now()) {
        Err(e) => e,
        Ok(j) => panic!("{line} was read as {:?}", j.draft),
    }
}

pub(crate) fn share(s: f64) -> Act {
    Act::Change(Change {
        amount: WaterAmount::Share { share: s },
        source: None,
    })
}

pub(crate) fn reading(analyte: Analyte, seen: Seen, interval: Interval) -> Reading {
    Reading {
        analyte,
        seen,
        card: None,
        means: quantity::Means::Ion,
        interval,
        water: None,
        dilution: None,
        of: ReadingOf::Sample,
        lot: String::new(),
        opened: None,
        expires: None,
        waited_min: None,
        viewing_light: String::new(),
    }
}

pub(crate) fn dose(of: DoseOf, value: f64, unit: Unit, into: Into) -> Act {
    Act::Dose(Dose {
        of,
        amount: Amount::new(value, unit),
        into,
    })
}

pub(crate) fn kno3() -> DoseOf {
    DoseOf::Salt {
        formula: "KNO3".into(),
    }
}
