//! What can be chosen, by the name of the field: the value that is sent and the words shown.

use quantity::{Analyte, Means, Unit};
use text::t;
use trial::equipment::EquipmentKind;
use trial::planting::{GrownIn, OriginForm};
use trial::supply::{ProductKind, WaterKind};
use trial::tank::{GasSupply, Walls};
use trial::types::{Measure, PhaseKind};
use trial::{Act, Bench, describe};

use crate::pages::words::capital;

/// Values of one closed list with their keys; the words are `setup.PREFIX_KEY`.
pub(super) struct Words<T: 'static>(&'static str, &'static [(T, &'static str)]);

impl<T: Copy + PartialEq> Words<T> {
    /// The key of a value.
    pub(super) fn key(&self, value: T) -> &'static str {
        self.1
            .iter()
            .find(|(v, _)| *v == value)
            .map_or("", |(_, key)| key)
    }

    /// The value of a key.
    pub(super) fn value(&self, key: &str) -> Option<T> {
        self.1.iter().find(|(_, k)| *k == key).map(|(v, _)| *v)
    }

    /// The words of a value.
    pub(super) fn say(&self, value: T) -> String {
        text::raw(&format!("setup.{}_{}", self.0, self.key(value))).to_owned()
    }

    fn list(&self) -> Vec<(String, String)> {
        self.1
            .iter()
            .map(|(value, key)| ((*key).to_owned(), self.say(*value)))
            .collect()
    }
}

pub(super) const WALLS: Words<Walls> = Words(
    "walls",
    &[
        (Walls::Glass, "glass"),
        (Walls::Black, "black"),
        (Walls::White, "white"),
        (Walls::Film, "film"),
    ],
);
pub(super) const GAS: Words<GasSupply> = Words(
    "gas",
    &[
        (GasSupply::Cylinder, "cylinder"),
        (GasSupply::Fermenting, "fermenting"),
        (GasSupply::Other, "other"),
    ],
);
pub(super) const ORIGIN: Words<OriginForm> = Words(
    "origin",
    &[
        (OriginForm::Pot, "pot"),
        (OriginForm::Cuttings, "cuttings"),
        (OriginForm::Culture, "culture"),
        (OriginForm::Division, "division"),
    ],
);
pub(super) const GROWN: Words<GrownIn> =
    Words("grown", &[(GrownIn::Air, "air"), (GrownIn::Water, "water")]);
pub(super) const PRODUCT: Words<ProductKind> = Words(
    "product",
    &[
        (ProductKind::Fertiliser, "fertiliser"),
        (ProductKind::Stock, "stock"),
        (ProductKind::Tablet, "tablet"),
        (ProductKind::Food, "food"),
    ],
);
pub(super) const WATER: Words<WaterKind> = Words(
    "water",
    &[
        (WaterKind::Tap, "tap"),
        (WaterKind::Rain, "rain"),
        (WaterKind::Ro, "ro"),
        (WaterKind::Mix, "mix"),
        (WaterKind::Other, "other"),
    ],
);
pub(super) const EQUIPMENT: Words<EquipmentKind> = Words(
    "equipment",
    &[
        (EquipmentKind::Durable, "durable"),
        (EquipmentKind::Consumable, "consumable"),
    ],
);
pub(super) const MEANS: Words<Means> =
    Words("means", &[(Means::Ion, "ion"), (Means::Element, "element")]);
pub(super) const PER: Words<Unit> = Words(
    "per",
    &[
        (Unit::Gram, "g"),
        (Unit::Millilitre, "ml"),
        (Unit::Piece, "piece"),
    ],
);
pub(super) const PHASES: Words<PhaseKind> = Words(
    "phase",
    &[
        (PhaseKind::Establishing, "establishing"),
        (PhaseKind::Baseline, "baseline"),
        (PhaseKind::Treatment, "treatment"),
        (PhaseKind::AfterSwitch, "after_switch"),
        (PhaseKind::End, "end"),
    ],
);
pub(super) const MEASURES: Words<Measure> = Words(
    "measure",
    &[
        (Measure::Growth, "growth"),
        (Measure::Height, "height"),
        (Measure::Spread, "spread"),
        (Measure::NodeDistance, "node_distance"),
        (Measure::Cover, "cover"),
        (Measure::Vigour, "vigour"),
        (Measure::NewLeaf, "new_leaf"),
        (Measure::Density, "density"),
        (Measure::Colour, "colour"),
        (Measure::Film, "film"),
        (Measure::Thread, "thread"),
        (Measure::Plantlets, "plantlets"),
        (Measure::Survival, "survival"),
        (Measure::Minutes, "minutes"),
        (Measure::Money, "money"),
    ],
);

/// The choices of a field; those with an empty value stand for nothing.
pub(super) fn choices(base: &str, bench: &Bench) -> Vec<(String, String)> {
    match base {
        "walls" => WALLS.list(),
        "gas_supply" => or_none(t!("setup.no_gas"), GAS.list()),
        "heater" => pairs(&[
            ("", t!("setup.heater_none")),
            ("yes", t!("setup.heater_yes")),
        ]),
        "origin_form" => or_none(t!("setup.not_said"), ORIGIN.list()),
        "grown_in" => or_none(t!("setup.not_said"), GROWN.list()),
        "product_kind" => PRODUCT.list(),
        "water_kind" => WATER.list(),
        "equipment_kind" => EQUIPMENT.list(),
        "means" => MEANS.list(),
        "per" => PER.list(),
        "phase_kind" => or_none(t!("setup.no_phase"), named(&PHASES, describe::phase_name)),
        "measure" => or_none(t!("setup.choose"), named(&MEASURES, describe::measure_name)),
        "better" => pairs(&[
            ("", t!("setup.choose")),
            ("more", t!("setup.better_more")),
            ("less", t!("setup.better_less")),
            ("target", t!("setup.better_target")),
        ]),
        "analyte" | "brings_analyte" | "range_analyte" => {
            or_none(t!("setup.choose"), Analyte::all().map(analyte).collect())
        }
        "act" => or_none(
            t!("setup.no_routine"),
            Act::KINDS.iter().map(|k| act(k)).collect(),
        ),
        "plan_is" => pairs(&[
            ("open", t!("setup.plan_open")),
            ("done", t!("setup.plan_done")),
            ("dropped", t!("setup.plan_given_up")),
        ]),
        "floating" => pairs(&[("yes", t!("setup.floating_yes"))]),
        "copy" => pairs(&[
            ("glass", t!("setup.copy_glass")),
            ("substrate", t!("setup.copy_substrate")),
            ("lamps", t!("setup.copy_lamps")),
            ("devices", t!("setup.copy_devices")),
            ("livestock", t!("setup.copy_livestock")),
        ]),
        "given" => pairs(&[
            ("lot", t!("setup.given_lot")),
            ("hand", t!("setup.given_hand")),
        ]),
        "assign" => pairs(&[
            ("kept", t!("setup.assign_kept")),
            ("lot", t!("setup.assign_lot")),
        ]),
        _ => of_bench(base, bench),
    }
}

/// Choices that are records of this bench.
fn of_bench(base: &str, bench: &Bench) -> Vec<(String, String)> {
    match base {
        "tanks" | "tank" => bench
            .tanks
            .iter()
            .map(|t| (t.id.to_string(), t.name.clone()))
            .collect(),
        "arm" => {
            let arms = bench
                .trial
                .arms
                .iter()
                .map(|a| (a.key.clone(), a.name.clone()));
            or_none(t!("setup.no_arm"), arms.collect())
        }
        "plant" => {
            let plants = bench
                .species()
                .into_iter()
                .map(|name| (name.to_owned(), name.to_owned()));
            or_none(t!("setup.no_plant"), plants.collect())
        }
        "part_water" => {
            let waters = bench
                .waters
                .iter()
                .map(|w| (w.id.to_string(), w.name.clone()));
            or_none(t!("setup.choose"), waters.collect())
        }
        "parent" => {
            let stands = |id| bench.tank(id).map_or("", |t| t.name.as_str());
            let list = bench.plantings.iter().map(|p| {
                let words = t!("setup.plant_in", plant = p.title(), tank = stands(p.tank));
                (p.id.to_string(), words)
            });
            or_none(t!("setup.no_parent"), list.collect())
        }
        _ => Vec::new(),
    }
}

/// The words of a value that was recorded in a field, for lists of changes.
pub(super) fn shown(base: &str, value: &str, bench: &Bench) -> String {
    if base == "control" {
        return t!("setup.arm_number", n = value);
    }
    let list = choices(base, bench);
    let known = list.into_iter().find(|(v, _)| v == value && !v.is_empty());
    known.map_or_else(|| value.to_owned(), |(_, words)| words)
}

fn pairs(list: &[(&str, &str)]) -> Vec<(String, String)> {
    list.iter()
        .map(|(v, l)| ((*v).to_owned(), (*l).to_owned()))
        .collect()
}

fn or_none(none: &str, list: Vec<(String, String)>) -> Vec<(String, String)> {
    let mut all = vec![(String::new(), none.to_owned())];
    all.extend(list);
    all
}

fn named<T: Copy + PartialEq>(
    words: &Words<T>,
    name: impl Fn(T) -> &'static str,
) -> Vec<(String, String)> {
    let list = words.1.iter();
    list.map(|(value, key)| ((*key).to_owned(), capital(name(*value))))
        .collect()
}

fn analyte(a: Analyte) -> (String, String) {
    let (name, symbol) = (capital(a.name()), a.symbol(Means::Ion));
    let plain = a.name() == symbol || a.name().contains('(');
    let words = if plain {
        name
    } else {
        format!("{name} ({symbol})")
    };
    (a.key().to_owned(), words)
}

fn act(kind: &str) -> (String, String) {
    (kind.to_owned(), capital(describe::kind_name(kind)))
}
