//! Which caution matters where.

use super::Place;
use trial::act::{Clean, DoseOf, Fate, Harvest, LivestockHappening, Part, Setting};
use trial::tank::GasSupply;
use trial::{Act, Record, RecordKind, Tank};

/// The places of each caution.
pub(super) fn places(code: &str) -> Vec<Place> {
    use Place::*;
    match code {
        "electricity" => vec![
            SetUp,
            Equipment,
            Settings,
            Cleaning,
            WaterChanges,
            HandsInTank,
        ],
        "gas_cylinder" | "gas_in_rooms" | "yeast" => vec![SetUp, Gas],
        "oxidiser_salts" => vec![Dosing],
        "reagents" => vec![Readings],
        "glass_load" => vec![SetUp],
        "siphon" => vec![WaterChanges],
        "release" => vec![WaterChanges, LeavingTank],
        "skin" => vec![HandsInTank, Cleaning, WaterChanges],
        "children_lone_work" => vec![SetUp, Dosing, Readings],
        _ => vec![Everywhere],
    }
}

/// The codes of the cautions that the form of an act of `kind` shows, weightiest first.
///
/// With the act itself the list is narrower: a setting of the gas alone shows no lamp caution. A
/// kind that does not exist has none.
pub fn for_act(kind: &str, act: Option<&Act>) -> Vec<&'static str> {
    match act.filter(|a| a.kind() == kind) {
        Some(act) => of_act(act),
        None => of_kind(kind),
    }
}

fn of_kind(kind: &str) -> Vec<&'static str> {
    match kind {
        "dose" => vec!["oxidiser_salts", "children_lone_work"],
        "change" => vec!["electricity", "siphon", "release"],
        "reading" => vec!["reagents", "children_lone_work"],
        "clean" => vec!["electricity", "skin"],
        "setting" => vec!["electricity", "gas_in_rooms", "gas_cylinder", "yeast"],
        "swap" => vec!["electricity", "glass_load"],
        "trim" | "thin" | "harvest" | "move" | "livestock" => {
            vec!["electricity", "release", "skin"]
        }
        "loss" => vec!["release", "skin"],
        "replant" => vec!["electricity", "skin"],
        _ => vec![],
    }
}

fn of_act(act: &Act) -> Vec<&'static str> {
    match act {
        Act::Dose(dose) => match &dose.of {
            DoseOf::Salt { formula } if is_oxidiser(formula) => of_kind("dose"),
            _ => vec!["children_lone_work"],
        },
        Act::Setting(setting) => of_setting(setting),
        Act::Clean(Clean { part, .. }) => match part {
            Part::Diffuser => vec!["electricity", "skin", "gas_in_rooms", "yeast"],
            Part::Lamp | Part::Cover => vec!["electricity"],
            _ => of_kind("clean"),
        },
        Act::Move(m) if m.to.is_some() => of_kind("replant"),
        Act::Harvest(Harvest {
            fate: Fate::PlantedBack,
            ..
        }) => of_kind("replant"),
        Act::Livestock(l) => match l.event {
            LivestockHappening::Death | LivestockHappening::Departure => of_kind("livestock"),
            LivestockHappening::Illness => vec!["skin", "estimates"],
            LivestockHappening::Arrival | LivestockHappening::Missing => vec![],
        },
        // Lifting a plant to weigh it is work with hands in the tank.
        Act::Observation(o) if o.fresh_g.is_some() => of_kind("replant"),
        other => of_kind(other.kind()),
    }
}

fn of_setting(s: &Setting) -> Vec<&'static str> {
    let gas = s.gas_on_after_light_min.is_some() || s.gas_off_after_light_min.is_some();
    let mains = [
        s.photoperiod_h,
        s.dimming_pct,
        s.lamp_height_cm,
        s.temperature_c,
        s.flow_l_h,
    ];
    let mains = mains.iter().any(Option::is_some) || s.light_on_at.is_some();
    // Surface agitation drives gas out or keeps it in.
    let surface = s.surface.is_some();
    let mut codes = Vec::new();
    if mains {
        codes.push("electricity");
    }
    if gas {
        codes.extend(["gas_in_rooms", "gas_cylinder", "yeast"]);
    } else if surface {
        codes.push("gas_in_rooms");
    }
    codes
}

/// Nitrates feed a fire; the formulas are those of the salt table, nitrates whatever their metal.
fn is_oxidiser(formula: &str) -> bool {
    let salt = quantity::salt::find(formula);
    let formula = salt.map_or(formula, |s| s.formula);
    formula.to_uppercase().contains("NO3")
}

/// The codes of the cautions that the form of a set-up record shows, weightiest first.
pub fn for_record(kind: RecordKind, record: Option<&Record>) -> Vec<&'static str> {
    match (kind, record) {
        (RecordKind::Tank, Some(Record::Tank(tank))) => of_tank(tank),
        (RecordKind::Tank, _) => {
            vec![
                "glass_load",
                "electricity",
                "gas_in_rooms",
                "gas_cylinder",
                "yeast",
            ]
        }
        (RecordKind::Product, _) => vec!["oxidiser_salts", "children_lone_work"],
        (RecordKind::Card, _) => vec!["reagents", "children_lone_work"],
        (RecordKind::Equipment, _) => vec!["electricity"],
        (RecordKind::Planting, _) => vec!["release", "skin"],
        (RecordKind::Trial, _) => vec!["estimates"],
        (RecordKind::Water | RecordKind::Plan, _) => vec![],
    }
}

fn of_tank(tank: &Tank) -> Vec<&'static str> {
    let mut codes = vec!["glass_load", "electricity"];
    match tank.gas.as_ref().map(|g| g.supply) {
        Some(GasSupply::Cylinder) => codes.extend(["gas_in_rooms", "gas_cylinder"]),
        Some(GasSupply::Fermenting) => codes.extend(["yeast", "gas_in_rooms"]),
        Some(GasSupply::Other) => codes.push("gas_in_rooms"),
        None => {}
    }
    codes
}
