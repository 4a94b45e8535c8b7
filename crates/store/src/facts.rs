//! What the look-up columns and tables hold of an entry: derived in one place for writing and
//! checking.

use crate::raw::ms;
use trial::act::{DoseOf, ReadingOf};
use trial::{Act, Entry, RecordKind};
use uuid::Uuid;

/// The instant an entry is filed under.
pub(crate) fn at_ms(entry: &Entry) -> i64 {
    ms(entry.at.timestamp())
}

/// The analyte a reading is filed under, and whether it is a sample of its tank rather than a
/// blank, a standard or a source water.
pub(crate) fn reading(entry: &Entry) -> Option<(&'static str, bool)> {
    match &entry.act {
        Act::Reading(reading) => {
            let sample = reading.of == ReadingOf::Sample && reading.water.is_none();
            Some((reading.analyte.key(), sample))
        }
        _ => None,
    }
}

/// The plantings an entry is filed under, each once.
pub(crate) fn plantings(entry: &Entry) -> Vec<Uuid> {
    let mut plantings = Vec::new();
    for planting in entry.act.plantings() {
        if !plantings.contains(&planting.0) {
            plantings.push(planting.0);
        }
    }
    plantings
}

/// The records an act names besides tanks and plantings it is filed under.
pub(crate) fn references(act: &Act) -> Vec<(RecordKind, Uuid)> {
    let water = |id: &trial::WaterId| (RecordKind::Water, id.0);
    match act {
        Act::Dose(dose) => match &dose.of {
            DoseOf::Product { product } => vec![(RecordKind::Product, product.0)],
            DoseOf::Salt { .. } => vec![],
        },
        Act::Change(change) => change.source.iter().map(water).collect(),
        Act::TopUp(top_up) => top_up.source.iter().map(water).collect(),
        Act::Feed(feed) => {
            let product = feed.product.iter();
            product.map(|p| (RecordKind::Product, p.0)).collect()
        }
        Act::Reading(reading) => {
            let card = reading.card.iter().map(|c| (RecordKind::Card, c.0));
            card.chain(reading.water.iter().map(water)).collect()
        }
        Act::Swap(swap) => {
            let equipment = swap.equipment.iter();
            equipment.map(|e| (RecordKind::Equipment, e.0)).collect()
        }
        Act::Move(moved) => moved.to.iter().map(|t| (RecordKind::Tank, t.0)).collect(),
        Act::Walk(walk) => {
            let guessed = walk.guesses().filter_map(|g| g.guessed);
            let tanks = walk.order.iter().copied().chain(guessed);
            let plantings = walk.steps.iter().flat_map(|s| &s.plantings);
            tanks
                .map(|t| (RecordKind::Tank, t.0))
                .chain(plantings.map(|p| (RecordKind::Planting, p.0)))
                .collect()
        }
        _ => vec![],
    }
}
