//! What tables say is taken in again, and what cannot stand is refused with its place.

mod refusals;
mod round_trip;

use super::{ENTRY_TABLES, in_order, read_table};
use crate::supply::{ProductKind, WaterKind};
use crate::*;
use quantity::{Analyte, Means, Unit};
use uuid::Uuid;

pub(super) fn id(n: u128) -> Uuid {
    Uuid::from_u128(n)
}

/// Two tanks, three plants each (one of them in two lots), cards, products, waters. Invented.
pub(super) fn bench() -> Bench {
    let trial = TrialId(id(1));
    let mut bench = Bench::new(Trial::new(trial, "Sand or water?", "Europe/Berlin"));
    for (n, name) in [(10, "Ash"), (11, "Elm")] {
        let tank = TankId(id(n));
        bench
            .tanks
            .push(Tank::new(tank, trial, name, n as u32 - 10));
        for (m, plant, label) in [
            (0, "Bacopa caroliniana", ""),
            (1, "Eleocharis acicularis", "left"),
            (2, "Eleocharis acicularis", "right"),
        ] {
            let mut p = Planting::new(PlantingId(id(n * 100 + m)), trial, tank, plant);
            p.label = label.into();
            bench.plantings.push(p);
        }
    }
    let card = |n, name: &str, analyte, steps: &[f64]| Card {
        id: CardId(id(n)),
        name: name.into(),
        analyte,
        means: Means::Ion,
        steps: steps.to_vec(),
        invented: true,
    };
    bench.cards = vec![
        card(
            30,
            "Meadow",
            Analyte::No3,
            &[0.0, 3.0, 6.0, 12.0, 24.0, 48.0],
        ),
        card(
            31,
            "Meadow",
            Analyte::Po4,
            &[0.0, 0.06, 0.15, 0.3, 0.6, 1.2, 3.0],
        ),
    ];
    let product = |n, name: &str, kind, per| Product {
        id: ProductId(id(n)),
        name: name.into(),
        kind,
        brings: vec![crate::supply::Brings {
            analyte: Analyte::Fe,
            mg: 2.0,
        }],
        per,
        recipe: vec![],
        made_up_to_ml: None,
        note: String::new(),
    };
    bench.products = vec![
        product(40, "evening mix", ProductKind::Fertiliser, Unit::Millilitre),
        product(41, "=tablet", ProductKind::Tablet, Unit::Piece),
    ];
    bench.waters = vec![SourceWater {
        id: WaterId(id(50)),
        name: "rain".into(),
        kind: WaterKind::Rain,
        parts: vec![],
        disinfectant: String::new(),
        neutraliser: String::new(),
        note: String::new(),
    }];
    bench
}

/// The drafts of a table given as text.
pub(super) fn read(text: &str) -> Vec<super::ReadRow> {
    match read_table(&bench(), "t.csv", text.as_bytes()) {
        Ok(found) => found.rows,
        Err(e) => panic!("{e}"),
    }
}

/// The text of the refusal of a table.
pub(super) fn refusal(text: &str) -> String {
    read_table(&bench(), "t.csv", text.as_bytes())
        .unwrap_err()
        .to_string()
}

#[test]
fn table_names_and_columns_are_unique() {
    let mut names: Vec<&str> = ENTRY_TABLES.iter().map(|t| t.name).collect();
    names.extend(super::setup::SETUP_TABLES.iter().map(|t| t.name));
    names.sort_unstable();
    let count = names.len();
    names.dedup();
    assert_eq!(names.len(), count);
    let own = ENTRY_TABLES.iter().map(|t| (t.name, t.columns()));
    let set_up = super::setup::SETUP_TABLES
        .iter()
        .map(|t| (t.name, t.columns().to_vec()));
    for (table, columns) in own.chain(set_up) {
        for (i, c) in columns.iter().enumerate() {
            assert!(!c.about.is_empty(), "{table}.{}", c.name);
            assert!(
                columns[..i].iter().all(|d| d.name != c.name),
                "{table}.{} twice",
                c.name
            );
        }
    }
}

#[test]
fn every_kind_but_undo_has_one_table() {
    for kind in Act::KINDS.into_iter().filter(|k| *k != "undo") {
        let count = ENTRY_TABLES
            .iter()
            .filter(|t| t.kinds.contains(&kind))
            .count();
        assert_eq!(count, 1, "{kind}");
    }
}

#[test]
fn set_up_rows_fill_their_columns() {
    for table in super::setup::SETUP_TABLES {
        for row in table.rows(&bench()) {
            assert_eq!(row.len(), table.columns().len(), "{}", table.name);
        }
    }
    let products = super::setup::SETUP_TABLES
        .iter()
        .find(|t| t.name == "products")
        .unwrap();
    assert_eq!(products.rows(&bench())[1][1], "'=tablet");
    let bare = in_order(&products.columns(), vec![]);
    assert!(bare.iter().all(String::is_empty));
}
