//! Where people or animals can be hurt: cautions as data, and which of them matters where.
//!
//! All defer to local codes and to licensed practice. They are shown, never used to stop an entry.

mod places;
#[cfg(test)]
mod tests;

pub use places::{for_act, for_record};

use quantity::Format;
use serde::Serialize;
use text::t;
use trial::tank::Livestock;
use trial::{Bench, Entry, Finding, Severity, TankId, catalogue};

/// One caution.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Caution {
    /// Stable code (`siphon`).
    pub code: &'static str,
    /// A few words.
    pub title: String,
    /// One or two sentences.
    pub text: String,
    /// Where it matters; forms of these kinds show it.
    pub where_it_matters: Vec<Place>,
}

/// Where a caution matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Place {
    /// Setting up tanks.
    SetUp,
    /// Equipment, lamps, heaters, filters.
    Equipment,
    /// Settings of light and heat.
    Settings,
    /// Settings and supply of gas.
    Gas,
    /// Doses and stock solutions.
    Dosing,
    /// Water tests.
    Readings,
    /// Water changes.
    WaterChanges,
    /// Cleaning.
    Cleaning,
    /// Work with hands in the tank.
    HandsInTank,
    /// Plants or animals that leave the tank.
    LeavingTank,
    /// Every page that gives a figure.
    Everywhere,
}

/// What this bench should be careful about.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CautionsAnswer {
    /// All cautions, whether they matter here or not.
    pub general: Vec<Caution>,
    /// Plants of this bench that some list regulates.
    pub plants: Vec<PlantCaution>,
    /// Where what is set up may harm animals.
    pub conflicts: Vec<Finding>,
    /// What none of this is.
    pub standing: String,
}

/// A regulated plant of this bench.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlantCaution {
    /// Scientific name, as the catalogue has it.
    pub plant: String,
    /// The tanks it was planted in.
    pub tanks: Vec<TankId>,
    /// What is known of its regulation.
    pub text: String,
}

/// Every caution's code, in the order they are listed.
pub const CODES: [&str; 12] = [
    "electricity",
    "gas_cylinder",
    "gas_in_rooms",
    "yeast",
    "oxidiser_salts",
    "reagents",
    "glass_load",
    "siphon",
    "release",
    "skin",
    "children_lone_work",
    "estimates",
];

/// Kilograms of CO2 in the example of the caution on gas in rooms.
const EXAMPLE_CO2_KG: f64 = 2.0;
/// Volume of the room in that example.
const EXAMPLE_ROOM_M3: f64 = 30.0;

/// The volume of `kg` of CO2 as a gas at 20 degC and 1 atm, in cubic metres, by the ideal gas law.
///
/// Gas constant: CODATA 2018; molar mass: IUPAC 2021 abridged weights (12.011 + 2 x 15.999). The real
/// gas is about 0.5 % denser (from memory), which the printed digits do not show.
pub fn co2_gas_m3(kg: f64) -> f64 {
    const GAS_CONSTANT_J_MOL_K: f64 = 8.314_462_618;
    const KELVIN: f64 = 293.15;
    const PASCAL: f64 = 101_325.0;
    let moles = kg * 1000.0 / (12.011 + 2.0 * 15.999);
    moles * GAS_CONSTANT_J_MOL_K * KELVIN / PASCAL
}

/// Every caution.
pub fn all(format: &Format) -> Vec<Caution> {
    CODES
        .iter()
        .filter_map(|code| caution(code, format))
        .collect()
}

/// The caution of this code.
pub fn caution(code: &str, format: &Format) -> Option<Caution> {
    let code = CODES.into_iter().find(|c| *c == code)?;
    let (title, text) = match code {
        "electricity" => (
            t!("cautions.electricity"),
            t!("cautions.electricity_text").into(),
        ),
        "gas_cylinder" => (
            t!("cautions.gas_cylinder"),
            t!("cautions.gas_cylinder_text").into(),
        ),
        "gas_in_rooms" => (t!("cautions.gas_in_rooms"), gas_in_rooms(format)),
        "yeast" => (t!("cautions.yeast"), t!("cautions.yeast_text").into()),
        "oxidiser_salts" => (
            t!("cautions.oxidiser_salts"),
            t!("cautions.oxidiser_salts_text").into(),
        ),
        "reagents" => (t!("cautions.reagents"), t!("cautions.reagents_text").into()),
        "glass_load" => (
            t!("cautions.glass_load"),
            t!("cautions.glass_load_text").into(),
        ),
        "siphon" => (t!("cautions.siphon"), t!("cautions.siphon_text").into()),
        "release" => (t!("cautions.release"), t!("cautions.release_text").into()),
        "skin" => (t!("cautions.skin"), t!("cautions.skin_text").into()),
        "children_lone_work" => (
            t!("cautions.children_lone_work"),
            t!("cautions.children_lone_work_text").into(),
        ),
        _ => (
            t!("cautions.estimates"),
            t!("cautions.standing").to_string(),
        ),
    };
    Some(Caution {
        code,
        title: title.to_string(),
        text,
        where_it_matters: places::places(code),
    })
}

fn gas_in_rooms(format: &Format) -> String {
    let volume = co2_gas_m3(EXAMPLE_CO2_KG);
    t!(
        "cautions.gas_in_rooms_text",
        kg = format.plain(EXAMPLE_CO2_KG),
        volume = format.significant(volume, 2),
        room = format.plain(EXAMPLE_ROOM_M3),
        share = format.significant(volume / EXAMPLE_ROOM_M3 * 100.0, 2)
    )
}

/// What `bench` should be careful about, by its set-up alone.
pub fn cautions(bench: &Bench) -> CautionsAnswer {
    CautionsAnswer {
        general: all(&Format::default()),
        plants: regulated(bench),
        conflicts: conflicts(bench, &[]),
        standing: t!("cautions.standing").into(),
    }
}

/// The plants of `bench` that some list regulates, by scientific name.
pub fn regulated(bench: &Bench) -> Vec<PlantCaution> {
    let mut found: Vec<PlantCaution> = Vec::new();
    for name in bench.species() {
        let Some(plant) = catalogue::find(name) else {
            continue;
        };
        let Some(text) = plant.regulation() else {
            continue;
        };
        let mut tanks: Vec<TankId> = Vec::new();
        for p in bench.plantings.iter().filter(|p| p.scientific_name == name) {
            if !tanks.contains(&p.tank) {
                tanks.push(p.tank);
            }
        }
        found.push(PlantCaution {
            plant: plant.scientific_name.clone(),
            tanks,
            text,
        });
    }
    found
}

/// Tanks with added gas in which animals live: the carbon dioxide often aimed at for plants lies above
/// what fish keepers aim for. `entries` show animals that came later.
pub fn conflicts(bench: &Bench, entries: &[Entry]) -> Vec<Finding> {
    let with_gas = bench.tanks.iter().filter(|t| t.gas.is_some());
    with_gas
        .filter(|t| crate::gaps::has_livestock(t, entries))
        .map(|t| {
            let who: Vec<String> = t
                .livestock
                .iter()
                .filter(|l| l.count > 0)
                .map(kind)
                .collect();
            let who = if who.is_empty() {
                t!("cautions.animals").to_string()
            } else {
                trial::describe::list(&who)
            };
            Finding::new(
                "co2_with_livestock",
                Severity::Serious,
                t!("cautions.co2_with_livestock", tank = t.name, animals = who),
                t!("cautions.co2_with_livestock_remedy"),
            )
            .on(t.id)
        })
        .collect()
}

fn kind(animals: &Livestock) -> String {
    t!(
        "cautions.animals_of_kind",
        n = animals.count,
        species = animals.species
    )
}
