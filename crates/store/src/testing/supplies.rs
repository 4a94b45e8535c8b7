//! Records that belong to the whole notebook: cards, products, source waters.

use super::World;
use super::values::{analyte, arb_number, arb_text, number};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;
use quantity::{Means, Unit};
use trial::supply::{Brings, MixPart, ProductKind, RecipePart, WaterKind};
use trial::{Card, Product, Record, SourceWater};

pub(super) fn card(id: trial::CardId) -> BoxedStrategy<Record> {
    (
        arb_text(),
        analyte(),
        select(vec![Means::Ion, Means::Element]),
        vec(arb_number(), 0..8),
        any::<bool>(),
    )
        .prop_map(move |(name, analyte, means, steps, invented)| {
            Record::Card(Card {
                id,
                name,
                analyte,
                means,
                steps,
                invented,
            })
        })
        .boxed()
}

pub(super) fn product(id: trial::ProductId) -> BoxedStrategy<Record> {
    let kind = select(vec![
        ProductKind::Fertiliser,
        ProductKind::Stock,
        ProductKind::Tablet,
        ProductKind::Food,
    ]);
    let brings = (analyte(), arb_number()).prop_map(|(analyte, mg)| Brings { analyte, mg });
    let part =
        (arb_text(), arb_number()).prop_map(|(formula, grams)| RecipePart { formula, grams });
    let per = select(vec![Unit::Gram, Unit::Millilitre, Unit::Piece]);
    (
        (arb_text(), kind, per, arb_text()),
        (vec(brings, 0..4), vec(part, 0..4), number()),
    )
        .prop_map(move |((name, kind, per, note), made)| {
            let (brings, recipe, made_up_to_ml) = made;
            Record::Product(Product {
                id,
                name,
                kind,
                brings,
                per,
                recipe,
                made_up_to_ml,
                note,
            })
        })
        .boxed()
}

pub(super) fn water(id: trial::WaterId, world: &World) -> BoxedStrategy<Record> {
    let kind = select(vec![
        WaterKind::Tap,
        WaterKind::Rain,
        WaterKind::Ro,
        WaterKind::Mix,
        WaterKind::Other,
    ]);
    let part = (select(world.waters.clone()), arb_number())
        .prop_map(|(water, share)| MixPart { water, share });
    (
        (arb_text(), kind, vec(part, 0..3)),
        (arb_text(), arb_text(), arb_text()),
    )
        .prop_map(move |((name, kind, parts), words)| {
            let (disinfectant, neutraliser, note) = words;
            Record::Water(SourceWater {
                id,
                name,
                kind,
                parts,
                disinfectant,
                neutraliser,
                note,
            })
        })
        .boxed()
}
