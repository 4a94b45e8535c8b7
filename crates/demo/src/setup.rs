//! What belongs to the whole notebook: cards, products, source waters.

use crate::DemoError;
use crate::ids::id_at;
use crate::table::{Row, Table, table};
use jiff::Timestamp;
use quantity::{Analyte, Means, Unit};
use serde::Deserialize;
use trial::supply::{Brings, ProductKind, RecipePart, WaterKind};
use trial::{Card, CardId, Product, ProductId, SourceWater, WaterId};

const CARDS: Table = table!("notebook", "cards");
const PRODUCTS: Table = table!("notebook", "products");
const WATERS: Table = table!("notebook", "waters");

/// When the notebook was begun: 1 November 2025, noon UTC.
pub(crate) const BEGUN: Timestamp = Timestamp::constant(1_761_998_400, 0);

/// Cards, products and source waters.
pub(crate) struct Shelf {
    pub(crate) cards: Vec<Card>,
    pub(crate) products: Vec<Product>,
    pub(crate) waters: Vec<SourceWater>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CardRow {
    name: String,
    analyte: Analyte,
    means: Means,
    steps: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ProductRow {
    name: String,
    kind: ProductKind,
    per: String,
    brings_mg: String,
    recipe_g: String,
    made_up_to_ml: Option<f64>,
    note: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WaterRow {
    name: String,
    kind: WaterKind,
    disinfectant: String,
    neutraliser: String,
    note: String,
}

pub(crate) fn shelf() -> Result<Shelf, DemoError> {
    Ok(Shelf {
        cards: CARDS.rows()?.iter().map(card).collect::<Result<_, _>>()?,
        products: PRODUCTS
            .rows()?
            .iter()
            .map(product)
            .collect::<Result<_, _>>()?,
        waters: WATERS.rows()?.iter().map(water).collect(),
    })
}

fn card(row: &Row<CardRow>) -> Result<Card, DemoError> {
    let CardRow {
        name,
        analyte,
        means,
        steps,
    } = &row.cells;
    let step = |word: &str| row.known(quantity::parse_number(word).ok(), "steps", word);
    let card = Card {
        id: CardId(id_at(BEGUN, row.rank(), &format!("card {name}"))),
        name: name.clone(),
        analyte: *analyte,
        means: *means,
        steps: steps
            .split_whitespace()
            .map(step)
            .collect::<Result<_, _>>()?,
        invented: true,
    };
    card.check().map_err(|e| row.problem(e.to_string()))?;
    Ok(card)
}

fn product(row: &Row<ProductRow>) -> Result<Product, DemoError> {
    let cells = &row.cells;
    let brings = row
        .pairs("brings_mg", &cells.brings_mg)?
        .into_iter()
        .map(|(word, mg)| {
            let analyte = row.known(Analyte::from_word(&word), "brings_mg", &word)?;
            Ok(Brings { analyte, mg })
        });
    let recipe = row
        .pairs("recipe_g", &cells.recipe_g)?
        .into_iter()
        .map(|(word, grams)| {
            let salt = row.known(quantity::salt::find(&word), "recipe_g", &word)?;
            Ok(RecipePart {
                formula: salt.formula.to_string(),
                grams,
            })
        });
    Ok(Product {
        id: ProductId(id_at(BEGUN, row.rank(), &format!("product {}", cells.name))),
        name: cells.name.clone(),
        kind: cells.kind,
        brings: brings.collect::<Result<_, DemoError>>()?,
        per: row.known(Unit::from_word(&cells.per), "per", &cells.per)?,
        recipe: recipe.collect::<Result<_, DemoError>>()?,
        made_up_to_ml: cells.made_up_to_ml,
        note: cells.note.clone(),
    })
}

fn water(row: &Row<WaterRow>) -> SourceWater {
    let cells = &row.cells;
    SourceWater {
        id: WaterId(id_at(BEGUN, row.rank(), &format!("water {}", cells.name))),
        name: cells.name.clone(),
        kind: cells.kind,
        parts: vec![],
        disinfectant: cells.disinfectant.clone(),
        neutraliser: cells.neutraliser.clone(),
        note: cells.note.clone(),
    }
}
