//! Rows and their keys.

use super::{Row, TankBox, What};
use crate::AnswerError;
use crate::walk::scale;
use jiff::civil::Date;
use quantity::{Amount, Analyte, Format, Means, Unit};
use store::Notebook;
use text::t;
use trial::act::{Surface, WalkStep, WaterAmount};
use trial::rules::WALKED;
use trial::types::Measure;
use trial::{Act, Bench, Card, Draft, Entry, describe};

/// The row of a key; none when what it names is no longer set up, or it is no key.
///
/// # Errors
/// When the notebook cannot be read.
pub fn row_of(notebook: &Notebook, bench: &Bench, key: &str) -> Result<Option<Row>, AnswerError> {
    let parts: Vec<&str> = key.split('/').collect();
    Ok(match parts[..] {
        ["line"] => Some(free_line()),
        ["act", like, due] => {
            let found = match like.parse() {
                Ok(id) => notebook.entry(id)?,
                Err(_) => None,
            };
            let own = found.filter(|e| e.trial == bench.trial.id);
            own.and_then(|e| act(bench, &e, due.parse().ok()))
        }
        ["card", id, due] => id
            .parse()
            .ok()
            .and_then(|id| bench.card(id))
            .map(|c| card(bench, c, due.parse().ok())),
        ["meter", analyte, means, due] => Analyte::from_word(analyte).map(|a| {
            let means = if means == "element" {
                Means::Element
            } else {
                Means::Ion
            };
            meter(bench, a, means, due.parse().ok())
        }),
        ["look", measure, on] => step_of(measure, on).and_then(|step| look(bench, &step)),
        _ => None,
    })
}

pub(super) fn free_line() -> Row {
    Row {
        key: "line".into(),
        title: t!("sheet.line").into(),
        due: None,
        what: What::Line,
    }
}

fn day_key(due: Option<Date>) -> String {
    due.map_or_else(|| "-".to_string(), |d| d.to_string())
}

/// The row for doing again what an entry says; none when that cannot be done any more.
pub(super) fn act(bench: &Bench, like: &Entry, due: Option<Date>) -> Option<Row> {
    let unit = match &like.act {
        Act::Dose(d) => Some(d.amount.unit),
        Act::Change(c) => Some(match c.amount {
            WaterAmount::Share { .. } => Unit::Percent,
            WaterAmount::Litres { .. } => Unit::Litre,
        }),
        Act::TopUp(_) => Some(Unit::Litre),
        Act::Feed(_) => Some(Unit::Gram),
        Act::Clean(_) => None,
        _ => return None,
    };
    let (tanks, all_tanks) = match like.all_tanks {
        true => (bench.tank_ids(), true),
        false => (like.tanks.clone(), false),
    };
    let draft = Draft {
        at: like.at.clone(),
        tanks: tanks.clone(),
        all_tanks,
        who: String::new(),
        minutes: None,
        note: String::new(),
        act: like.act.clone(),
    };
    if !trial::rules::check_draft(&draft, bench).is_empty() {
        return None;
    }
    Some(Row {
        key: format!("act/{}/{}", like.id, day_key(due)),
        title: describe::sentence(&like.act, bench, &Format::default()),
        due,
        what: What::Act {
            like: like.id,
            act: Box::new(like.act.clone()),
            tanks_words: describe::tanks_phrase(&tanks, all_tanks, bench),
            tanks,
            all_tanks,
            unit: unit.map(unit_words),
        },
    })
}

/// A unit as sentences print it.
fn unit_words(unit: Unit) -> String {
    let one = Format::default().amount(Amount::new(1.0, unit));
    one.trim_start_matches(['1', ' ', '\u{a0}']).to_string()
}

fn every_tank(bench: &Bench) -> Vec<TankBox> {
    let tank_box = |tank| TankBox {
        tank,
        planting: None,
        which: String::new(),
    };
    bench.tank_ids().into_iter().map(tank_box).collect()
}

/// The row of a card.
pub(super) fn card(bench: &Bench, card: &Card, due: Option<Date>) -> Row {
    Row {
        key: format!("card/{}/{}", card.id, day_key(due)),
        title: card.name.clone(),
        due,
        what: What::Reading {
            card: Some(card.id),
            analyte: card.analyte,
            means: card.means,
            steps: card.steps.iter().map(f64::to_string).collect(),
            boxes: every_tank(bench),
        },
    }
}

/// The row of a meter, or of what is read without a card.
pub(super) fn meter(bench: &Bench, analyte: Analyte, means: Means, due: Option<Date>) -> Row {
    let word = match means {
        Means::Ion => "ion",
        Means::Element => "element",
    };
    Row {
        key: format!("meter/{}/{word}/{}", analyte.key(), day_key(due)),
        title: t!("sheet.meter", what = analyte.symbol(means)),
        due,
        what: What::Reading {
            card: None,
            analyte,
            means,
            steps: vec![],
            boxes: every_tank(bench),
        },
    }
}

const SURFACES: [(Surface, &str); 4] = [
    (Surface::Pane, "pane"),
    (Surface::Plants, "plants"),
    (Surface::Hardscape, "hardscape"),
    (Surface::Substrate, "substrate"),
];

/// The row of what a walk-round would ask in one step.
pub(super) fn look(bench: &Bench, step: &WalkStep) -> Option<Row> {
    let mut boxes = Vec::new();
    for tank in &bench.tanks {
        let here = step.plantings.iter().filter_map(|id| bench.planting(*id));
        let here: Vec<_> = here.filter(|p| p.tank == tank.id).collect();
        for (n, p) in here.iter().enumerate() {
            let several = here.len() > 1;
            boxes.push(TankBox {
                tank: tank.id,
                planting: Some(p.id),
                which: match several {
                    true => t!("walk.which", n = n + 1, of = here.len()),
                    false => String::new(),
                },
            });
        }
    }
    let on = match step.surface {
        Some(surface) => {
            boxes = every_tank(bench);
            let known = SURFACES.iter().find(|(s, _)| *s == surface);
            known.map_or("", |(_, key)| *key).to_string()
        }
        None => {
            let ids: Vec<String> = step.plantings.iter().map(ToString::to_string).collect();
            ids.join("+")
        }
    };
    let (about, measure) = describe::step_title(step, bench);
    (!boxes.is_empty()).then(|| Row {
        key: format!("look/{}/{on}", step.measure.key()),
        title: t!("walk.step_of", about = about, measure = measure),
        due: None,
        what: What::Look {
            measure: step.measure,
            scale: scale(step.measure),
            boxes,
        },
    })
}

/// The step of a look's key.
pub(super) fn step_of(measure: &str, on: &str) -> Option<WalkStep> {
    let algae = [Measure::Film, Measure::Thread];
    let measure = WALKED
        .into_iter()
        .chain(algae)
        .find(|m| m.key() == measure)?;
    let surface = SURFACES.iter().find(|(_, key)| *key == on).map(|(s, _)| *s);
    if algae.contains(&measure) != surface.is_some() {
        return None;
    }
    let plantings: Option<Vec<_>> = match surface {
        Some(_) => Some(vec![]),
        None => on.split('+').map(|id| id.parse().ok()).collect(),
    };
    Some(WalkStep {
        measure,
        surface,
        plantings: plantings?,
    })
}
