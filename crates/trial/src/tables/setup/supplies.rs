//! Cards, products and source waters: they belong to the notebook.

use super::super::column::{Column, ColumnKind, RowCells, key_of, number, opt};
use super::super::doses::{NUTRIENT_COLUMNS, nutrient_cells};
use super::super::readings::steps;
use super::{ID, NOTE, SetupTable, joined};
use crate::Bench;

pub(super) const CARDS: SetupTable = SetupTable {
    name: "cards",
    about: "The keeper's colour cards",
    of_trial: false,
    columns: &[
        ID,
        Column::new("name", ColumnKind::Text, "What the keeper calls it"),
        Column::new("analyte", ColumnKind::Word, "What it tests, by its key"),
        Column::new("unit", ColumnKind::Word, "Unit of its steps; empty for pH"),
        Column::new("means", ColumnKind::Word, "ion or element"),
        Column::new(
            "steps",
            ColumnKind::Word,
            "Its printed steps, apart by spaces",
        ),
        Column::new(
            "invented",
            ColumnKind::YesNo,
            "Whether it is made up for a demonstration",
        ),
    ],
    rows: cards,
};

pub(super) const PRODUCTS: SetupTable = SetupTable {
    name: "products",
    about: "What is dosed and fed, and the milligrams one measure brings",
    of_trial: false,
    columns: &PRODUCT_COLUMNS,
    rows: products,
};

pub(super) const WATERS: SetupTable = SetupTable {
    name: "waters",
    about: "Source waters; their readings are in readings.csv",
    of_trial: false,
    columns: &[
        ID,
        Column::new("name", ColumnKind::Text, "What the keeper calls it"),
        Column::new("kind", ColumnKind::Word, "tap, rain, ro, mix or other"),
        Column::new(
            "parts",
            ColumnKind::Text,
            "Parts of a mix with their share by volume",
        ),
        Column::new(
            "disinfectant",
            ColumnKind::Text,
            "Disinfectant in it, as stated",
        ),
        Column::new("neutraliser", ColumnKind::Text, "How that is neutralised"),
        NOTE,
    ],
    rows: waters,
};

const FIRST: [Column; 7] = [
    ID,
    Column::new("name", ColumnKind::Text, "What the keeper calls it"),
    Column::new(
        "kind",
        ColumnKind::Word,
        "fertiliser, stock, tablet or food",
    ),
    Column::new(
        "per",
        ColumnKind::Word,
        "The measure the milligrams are per: g, ml or pieces",
    ),
    Column::new(
        "recipe",
        ColumnKind::Text,
        "What a stock solution was weighed in from",
    ),
    Column::number(
        "made_up_to_ml",
        "mL",
        "The volume a stock solution was made up to",
    ),
    NOTE,
];

const PRODUCT_COLUMNS: [Column; 24] = {
    let mut columns = [FIRST[0]; 24];
    let mut i = 0;
    while i < columns.len() {
        columns[i] = if i < FIRST.len() {
            FIRST[i]
        } else {
            NUTRIENT_COLUMNS[i - FIRST.len()]
        };
        i += 1;
    }
    columns
};

fn cards(bench: &Bench) -> Vec<RowCells> {
    let row = |c: &crate::Card| {
        vec![
            ("id", c.id.to_string()),
            ("name", c.name.clone()),
            ("analyte", c.analyte.key().to_string()),
            ("unit", c.analyte.unit().to_string()),
            ("means", key_of(&c.means)),
            ("steps", steps(c)),
            ("invented", c.invented.to_string()),
        ]
    };
    bench.cards.iter().map(row).collect()
}

fn products(bench: &Bench) -> Vec<RowCells> {
    let row = |p: &crate::Product| {
        let recipe = p
            .recipe
            .iter()
            .map(|r| format!("{} {} g", r.formula, number(r.grams)));
        let brought: Vec<_> = p
            .brings_per_measure()
            .iter()
            .map(|b| (b.analyte, b.mg))
            .collect();
        let mut cells = vec![
            ("id", p.id.to_string()),
            ("name", p.name.clone()),
            ("kind", key_of(&p.kind)),
            ("per", p.per.symbol().to_string()),
            ("recipe", joined(recipe)),
            ("made_up_to_ml", opt(p.made_up_to_ml)),
            ("note", p.note.clone()),
        ];
        cells.extend(nutrient_cells(&brought));
        cells
    };
    bench.products.iter().map(row).collect()
}

fn waters(bench: &Bench) -> Vec<RowCells> {
    let row = |w: &crate::SourceWater| {
        let part = |p: &crate::supply::MixPart| {
            let known = bench.water(p.water);
            let name = known.map_or_else(|| p.water.to_string(), |w| w.name.clone());
            format!("{name} {}", number(p.share))
        };
        vec![
            ("id", w.id.to_string()),
            ("name", w.name.clone()),
            ("kind", key_of(&w.kind)),
            ("parts", joined(w.parts.iter().map(part))),
            ("disinfectant", w.disinfectant.clone()),
            ("neutraliser", w.neutraliser.clone()),
            ("note", w.note.clone()),
        ]
    };
    bench.waters.iter().map(row).collect()
}
