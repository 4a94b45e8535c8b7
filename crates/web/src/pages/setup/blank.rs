//! New records of the notebook's supplies and of the trial's keeping, with nothing known yet.

use jiff::civil::Date;
use quantity::{Analyte, Means, Unit};
use trial::equipment::EquipmentKind;
use trial::plan::PlanOutcome;
use trial::supply::{ProductKind, WaterKind};
use trial::{
    Card, CardId, Equipment, EquipmentId, Plan, PlanId, Product, ProductId, Record, SourceWater,
    TrialId, WaterId,
};
use uuid::Uuid;

use super::forms::Form;

/// `None` for forms whose new records need more than a trial.
pub(super) fn supply(form: Form, trial: TrialId, id: Uuid, today: Date) -> Option<Record> {
    let name = String::new;
    Some(match form {
        Form::Card => Record::Card(Card {
            id: CardId(id),
            name: name(),
            analyte: Analyte::No3,
            means: Means::Ion,
            steps: vec![],
            invented: false,
        }),
        Form::Water => Record::Water(SourceWater {
            id: WaterId(id),
            name: name(),
            kind: WaterKind::Tap,
            parts: vec![],
            disinfectant: String::new(),
            neutraliser: String::new(),
            note: String::new(),
        }),
        Form::Product => Record::Product(Product {
            id: ProductId(id),
            name: name(),
            kind: ProductKind::Fertiliser,
            brings: vec![],
            per: Unit::Millilitre,
            recipe: vec![],
            made_up_to_ml: None,
            note: String::new(),
        }),
        Form::Equipment => Record::Equipment(Equipment {
            id: EquipmentId(id),
            trial,
            name: name(),
            tanks: vec![],
            kind: EquipmentKind::Durable,
            price: None,
            bought: None,
            life_months: None,
            power_w: None,
            hours_per_day: None,
            disclosure: String::new(),
        }),
        Form::Plan => Record::Plan(Plan {
            id: PlanId(id),
            trial,
            what: String::new(),
            tanks: vec![],
            from: today,
            expects: String::new(),
            routine: None,
            outcome: PlanOutcome::Open,
        }),
        _ => return None,
    })
}
