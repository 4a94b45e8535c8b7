//! What is dosed, fed and poured: products, stock solutions, source waters.

use crate::ids::{ProductId, WaterId};
use quantity::{Analyte, Unit};
use serde::{Deserialize, Serialize};

/// A fertiliser, stock solution, tablet or food by its own stated composition.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Product {
    /// Identity.
    pub id: ProductId,
    /// What the keeper calls it; jots use it.
    pub name: String,
    /// What it is.
    pub kind: ProductKind,
    /// What one gram, millilitre or piece of it brings.
    #[serde(default)]
    pub brings: Vec<Brings>,
    /// The measure `brings` is per: g, ml or piece.
    pub per: Unit,
    /// For a stock solution: what was weighed in.
    #[serde(default)]
    pub recipe: Vec<RecipePart>,
    /// For a stock solution: the volume it was made up to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub made_up_to_ml: Option<f64>,
    /// Anything to add; where its composition is stated.
    #[serde(default)]
    pub note: String,
}

/// Kinds of product.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ProductKind {
    /// Bought, with a stated composition.
    Fertiliser,
    /// Made up by the keeper.
    Stock,
    /// Pressed into the substrate.
    Tablet,
    /// Fish or shrimp food.
    Food,
}

/// What one measure of a product brings.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Brings {
    /// Of what, as the ion.
    pub analyte: Analyte,
    /// Milligrams in one measure.
    pub mg: f64,
}

/// One salt of a stock solution.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RecipePart {
    /// Formula, as in the salt table.
    pub formula: String,
    /// Grams weighed in.
    pub grams: f64,
}

impl Product {
    /// What one measure brings, in mg: as stated, or from the recipe of a stock solution.
    pub fn brings_per_measure(&self) -> Vec<Brings> {
        let (Some(volume_ml), false) = (self.made_up_to_ml, self.recipe.is_empty()) else {
            return self.brings.clone();
        };
        let mut total: Vec<Brings> = Vec::new();
        for part in &self.recipe {
            let Some(salt) = quantity::salt::find(&part.formula) else {
                continue;
            };
            for (analyte, share) in &salt.brings_mg_per_mg {
                let mg = part.grams * 1000.0 * share / volume_ml;
                match total.iter_mut().find(|b| b.analyte == *analyte) {
                    Some(b) => b.mg += mg,
                    None => total.push(Brings {
                        analyte: *analyte,
                        mg,
                    }),
                }
            }
        }
        total
    }
}

/// A water that goes into tanks.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SourceWater {
    /// Identity.
    pub id: WaterId,
    /// What the keeper calls it; jots use it (`tap`, `rain`).
    pub name: String,
    /// What it is.
    pub kind: WaterKind,
    /// For a mix: its parts, by volume.
    #[serde(default)]
    pub parts: Vec<MixPart>,
    /// Disinfectant in it, as the supplier states (`chlorine`, `chloramine`, `none`).
    #[serde(default)]
    pub disinfectant: String,
    /// How the disinfectant is neutralised.
    #[serde(default)]
    pub neutraliser: String,
    /// Anything to add.
    #[serde(default)]
    pub note: String,
}

/// Kinds of source water.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WaterKind {
    /// From the tap.
    Tap,
    /// Rain.
    Rain,
    /// Reverse osmosis or otherwise demineralised.
    Ro,
    /// A mix of others.
    Mix,
    /// A well or anything else.
    Other,
}

/// One part of a mix.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct MixPart {
    /// Which water.
    pub water: WaterId,
    /// Share by volume, 0 to 1.
    pub share: f64,
}
