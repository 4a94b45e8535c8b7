//! The forms of the set-up: what each shows, reads and writes.

mod arms;
mod keeping;
mod outcomes;
mod planting;
mod question;
mod supplies;
mod tank;

use jiff::civil::Date;
use maud::Markup;
use text::t;
use trial::types::Money;
use trial::{Bench, Planting, Record, RecordKind, TankId, Trial};
use uuid::Uuid;

use super::kit::Ink;
use super::reader::Reader;
use crate::parts::fields::Pairs;

pub(super) use arms::{new_key, paper_fields, paper_lot};

/// One form. The first five are parts of the trial's own record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Form {
    Question,
    Arms,
    Outcomes,
    Phases,
    Keeping,
    Tank,
    Planting,
    Card,
    Water,
    Product,
    Equipment,
    Plan,
}

const FORMS: [(Form, &str); 12] = [
    (Form::Question, "question"),
    (Form::Arms, "arms"),
    (Form::Outcomes, "outcomes"),
    (Form::Phases, "phases"),
    (Form::Keeping, "keeping"),
    (Form::Tank, "tanks"),
    (Form::Planting, "plantings"),
    (Form::Card, "cards"),
    (Form::Water, "waters"),
    (Form::Product, "products"),
    (Form::Equipment, "equipment"),
    (Form::Plan, "plans"),
];

/// The forms that are parts of the trial's own record.
pub(super) const OF_TRIAL: [Form; 5] = [
    Form::Question,
    Form::Arms,
    Form::Outcomes,
    Form::Phases,
    Form::Keeping,
];

impl Form {
    /// Its word in addresses.
    pub(super) fn word(self) -> &'static str {
        FORMS
            .iter()
            .find(|(form, _)| *form == self)
            .map_or("", |(_, word)| word)
    }

    /// The form of that word.
    pub(super) fn of_word(word: &str) -> Option<Self> {
        FORMS
            .iter()
            .find(|(_, w)| *w == word)
            .map(|(form, _)| *form)
    }

    /// Whether it is a part of the trial's own record.
    pub(super) fn is_of_trial(self) -> bool {
        OF_TRIAL.contains(&self)
    }

    /// Its heading.
    pub(super) fn title(self) -> &'static str {
        match self {
            Self::Question => t!("setup.title_question"),
            Self::Arms => t!("setup.title_arms"),
            Self::Outcomes => t!("setup.title_outcomes"),
            Self::Phases => t!("setup.title_phases"),
            Self::Keeping => t!("setup.title_keeping"),
            Self::Tank => t!("setup.title_tank"),
            Self::Planting => t!("setup.title_planting"),
            Self::Card => t!("setup.title_card"),
            Self::Water => t!("setup.title_water"),
            Self::Product => t!("setup.title_product"),
            Self::Equipment => t!("setup.title_equipment"),
            Self::Plan => t!("setup.title_plan"),
        }
    }

    /// The heading of a new record's form.
    pub(super) fn title_new(self) -> &'static str {
        match self {
            Self::Tank => t!("setup.new_tank"),
            Self::Planting => t!("setup.new_planting"),
            Self::Card => t!("setup.new_card"),
            Self::Water => t!("setup.new_water"),
            Self::Product => t!("setup.new_product"),
            Self::Equipment => t!("setup.new_equipment"),
            Self::Plan => t!("setup.new_plan"),
            _ => self.title(),
        }
    }

    /// The kind of its record.
    pub(super) fn kind(self) -> RecordKind {
        match self {
            Self::Tank => RecordKind::Tank,
            Self::Planting => RecordKind::Planting,
            Self::Card => RecordKind::Card,
            Self::Water => RecordKind::Water,
            Self::Product => RecordKind::Product,
            Self::Equipment => RecordKind::Equipment,
            Self::Plan => RecordKind::Plan,
            _ => RecordKind::Trial,
        }
    }

    /// The form of a kind of record; the trial's is the one of the question.
    pub(super) fn of_kind(kind: RecordKind) -> Self {
        let known = FORMS.iter().find(|(form, _)| form.kind() == kind);
        known.map_or(Self::Question, |(form, _)| *form)
    }
}

/// What a form shows of a record.
pub(super) fn fill(form: Form, record: &Record, bench: &Bench) -> Pairs {
    match record {
        Record::Trial(r) => match form {
            Form::Arms => arms::fill(r).and(arms::fill_tanks(bench)),
            Form::Outcomes => outcomes::fill(r),
            Form::Phases => question::fill_phases(r),
            Form::Keeping => question::fill_keeping(r),
            _ => question::fill(r),
        },
        Record::Tank(r) => tank::fill(r),
        Record::Planting(r) => planting::fill(r),
        Record::Card(r) => supplies::fill_card(r),
        Record::Product(r) => supplies::fill_product(r),
        Record::Water(r) => supplies::fill_water(r),
        Record::Equipment(r) => keeping::fill_equipment(r),
        Record::Plan(r) => keeping::fill_plan(r),
    }
}

/// All a record says, field by field, for comparing its versions.
pub(super) fn fill_all(record: &Record) -> Pairs {
    let alone = |trial: &Trial| Bench::new(trial.clone());
    match record {
        Record::Trial(r) => {
            let parts = OF_TRIAL.iter().map(|form| fill(*form, record, &alone(r)));
            let mut all = parts.fold(Pairs::default(), Pairs::and);
            if let Some(lot) = &r.lot {
                let seed = lot.seed.map(|seed| seed.to_string());
                all.put("seed", seed.unwrap_or_default());
                all.put("paper_by", &lot.by);
                all.put("lot_result", &lot.result);
                all.put("lot_method", &lot.method);
                all.put("lot_drawn", lot.drawn);
            }
            all
        }
        other => {
            let nowhere = Trial::new(trial::TrialId(Uuid::nil()), "", "UTC");
            fill(Form::of_kind(other.kind()), other, &Bench::new(nowhere))
        }
    }
}

/// The fields of a form; `recorded` tells a form of something recorded from one of something new.
pub(super) fn fields(form: Form, ink: &Ink<'_>, base: &Record, recorded: bool) -> Markup {
    match form {
        Form::Question => question::fields(ink),
        Form::Arms => arms::fields(ink),
        Form::Outcomes => outcomes::fields(ink),
        Form::Phases => question::phases_fields(ink),
        Form::Keeping => question::keeping_fields(ink),
        Form::Tank => tank::fields(ink),
        Form::Planting => match base {
            Record::Planting(r) if recorded => planting::fields(ink, Some(r)),
            _ => planting::fields(ink, None),
        },
        Form::Card => supplies::card_fields(ink),
        Form::Water => supplies::water_fields(ink),
        Form::Product => supplies::product_fields(ink),
        Form::Equipment => keeping::equipment_fields(ink),
        Form::Plan => keeping::plan_fields(ink),
    }
}

/// The records a form writes: its own first, then others it touches.
pub(super) fn read(
    form: Form,
    from: &mut Reader<'_>,
    base: &Record,
    recorded: bool,
) -> Vec<Record> {
    match base {
        Record::Trial(r) => match form {
            Form::Arms => {
                let (trial, tanks) = arms::read(from, r);
                let tanks = tanks.into_iter().map(Record::Tank);
                std::iter::once(Record::Trial(trial)).chain(tanks).collect()
            }
            Form::Outcomes => vec![Record::Trial(outcomes::read(from, r))],
            Form::Phases => vec![Record::Trial(question::read_phases(from, r))],
            Form::Keeping => vec![Record::Trial(question::read_keeping(from, r))],
            _ => vec![Record::Trial(question::read(from, r))],
        },
        Record::Tank(r) => {
            let read = tank::read(from, r);
            let ticked = |part: &str| from.ticked("copy", part);
            let others = from.bench.tanks.iter().filter(|t| t.id != read.id);
            let copies: Vec<Record> = others
                .map(|t| (t, tank::copy(&read, t, ticked)))
                .filter(|(t, copy)| *t != copy)
                .map(|(_, copy)| Record::Tank(copy))
                .collect();
            std::iter::once(Record::Tank(read)).chain(copies).collect()
        }
        Record::Planting(r) if !recorded => each_tank(from, r),
        Record::Planting(r) => vec![Record::Planting(planting::read(from, r))],
        Record::Card(r) => vec![Record::Card(supplies::read_card(from, r))],
        Record::Product(r) => vec![Record::Product(supplies::read_product(from, r))],
        Record::Water(r) => vec![Record::Water(supplies::read_water(from, r))],
        Record::Equipment(r) => vec![Record::Equipment(keeping::read_equipment(from, r))],
        Record::Plan(r) => vec![Record::Plan(keeping::read_plan(from, r))],
    }
}

/// The same new planting in each tank that was ticked. Ids follow from the form's own, so that
/// sending the form twice writes it once.
fn each_tank(from: &mut Reader<'_>, base: &Planting) -> Vec<Record> {
    let read = planting::read(from, base);
    let chosen = from.tanks("tanks");
    let tanks = from.bench.tanks.iter().zip(0u128..);
    let tanks = tanks.filter(|(t, _)| chosen.as_ref().is_none_or(|ids| ids.contains(&t.id.0)));
    tanks
        .map(|(tank, n)| {
            Record::Planting(Planting {
                id: trial::PlantingId(Uuid::from_u128(base.id.0.as_u128().wrapping_add(n))),
                tank: tank.id,
                ..read.clone()
            })
        })
        .collect()
}

/// A new record of which nothing is known yet; `None` for the trial's own forms.
pub(super) fn blank(form: Form, bench: &Bench, id: Uuid, today: Date) -> Option<Record> {
    let trial = bench.trial.id;
    let nowhere = TankId(Uuid::nil());
    Some(match form {
        Form::Tank => {
            let places = bench.tanks.iter().map(|t| t.place + 1);
            Record::Tank(trial::Tank::new(
                TankId(id),
                trial,
                "",
                places.max().unwrap_or(0),
            ))
        }
        Form::Planting => {
            let tank = bench.tanks.first().map_or(nowhere, |t| t.id);
            let mut new = Planting::new(trial::PlantingId(id), trial, tank, "");
            new.planted = Some(today);
            Record::Planting(new)
        }
        _ => return super::blank::supply(form, trial, id, today),
    })
}

/// A price with its currency; a currency alone is no price.
fn money(from: &mut Reader<'_>, amount: &str, currency: &str) -> Option<Money> {
    let value = from.number(amount);
    let code = from.text(currency).to_uppercase();
    let value = value?;
    if code.len() != 3 || !code.bytes().all(|b| b.is_ascii_uppercase()) {
        from.refuse(currency, t!("setup.accept_currency"));
    }
    Some(Money {
        amount: value,
        currency: code,
    })
}
