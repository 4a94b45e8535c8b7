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
use crate::parts::fields::{Pick, Words, picks, planting_picks, tank_picks, water_picks};

pub(super) const WALLS: Words<Walls> = Words(
    "setup.walls",
    &[
        (Walls::Glass, "glass"),
        (Walls::Black, "black"),
        (Walls::White, "white"),
        (Walls::Film, "film"),
    ],
);
pub(super) const GAS: Words<GasSupply> = Words(
    "setup.gas",
    &[
        (GasSupply::Cylinder, "cylinder"),
        (GasSupply::Fermenting, "fermenting"),
        (GasSupply::Other, "other"),
    ],
);
pub(crate) const ORIGIN: Words<OriginForm> = Words(
    "setup.origin",
    &[
        (OriginForm::Pot, "pot"),
        (OriginForm::Cuttings, "cuttings"),
        (OriginForm::Culture, "culture"),
        (OriginForm::Division, "division"),
    ],
);
pub(crate) const GROWN: Words<GrownIn> = Words(
    "setup.grown",
    &[(GrownIn::Air, "air"), (GrownIn::Water, "water")],
);
pub(super) const PRODUCT: Words<ProductKind> = Words(
    "setup.product",
    &[
        (ProductKind::Fertiliser, "fertiliser"),
        (ProductKind::Stock, "stock"),
        (ProductKind::Tablet, "tablet"),
        (ProductKind::Food, "food"),
    ],
);
pub(super) const WATER: Words<WaterKind> = Words(
    "setup.water",
    &[
        (WaterKind::Tap, "tap"),
        (WaterKind::Rain, "rain"),
        (WaterKind::Ro, "ro"),
        (WaterKind::Mix, "mix"),
        (WaterKind::Other, "other"),
    ],
);
pub(super) const EQUIPMENT: Words<EquipmentKind> = Words(
    "setup.equipment",
    &[
        (EquipmentKind::Durable, "durable"),
        (EquipmentKind::Consumable, "consumable"),
    ],
);
pub(super) const MEANS: Words<Means> = Words(
    "setup.means",
    &[(Means::Ion, "ion"), (Means::Element, "element")],
);
pub(super) const PER: Words<Unit> = Words(
    "setup.per",
    &[
        (Unit::Gram, "g"),
        (Unit::Millilitre, "ml"),
        (Unit::Piece, "piece"),
    ],
);
pub(super) const PHASES: Words<PhaseKind> = Words(
    "setup.phase",
    &[
        (PhaseKind::Establishing, "establishing"),
        (PhaseKind::Baseline, "baseline"),
        (PhaseKind::Treatment, "treatment"),
        (PhaseKind::AfterSwitch, "after_switch"),
        (PhaseKind::End, "end"),
    ],
);
pub(super) const MEASURES: Words<Measure> = Words(
    "setup.measure",
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
pub(super) fn choices(base: &str, bench: &Bench) -> Vec<Pick> {
    match base {
        "walls" => WALLS.picks(),
        "gas_supply" => or_none(t!("setup.no_gas"), GAS.picks()),
        "heater" => picks(&[
            ("", t!("setup.heater_none")),
            ("yes", t!("setup.heater_yes")),
        ]),
        "origin_form" => or_none(t!("setup.not_said"), ORIGIN.picks()),
        "grown_in" => or_none(t!("setup.not_said"), GROWN.picks()),
        "product_kind" => PRODUCT.picks(),
        "water_kind" => WATER.picks(),
        "equipment_kind" => EQUIPMENT.picks(),
        "means" => MEANS.picks(),
        "per" => PER.picks(),
        "phase_kind" => or_none(
            t!("setup.no_phase"),
            PHASES.picks_named(|p| capital(describe::phase_name(p))),
        ),
        "measure" => or_none(
            t!("setup.choose"),
            MEASURES.picks_named(|m| capital(describe::measure_name(m))),
        ),
        "better" => picks(&[
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
        "plan_is" => picks(&[
            ("open", t!("setup.plan_open")),
            ("done", t!("setup.plan_done")),
            ("dropped", t!("setup.plan_given_up")),
        ]),
        "floating" => picks(&[("yes", t!("setup.floating_yes"))]),
        "copy" => picks(&[
            ("glass", t!("setup.copy_glass")),
            ("substrate", t!("setup.copy_substrate")),
            ("lamps", t!("setup.copy_lamps")),
            ("devices", t!("setup.copy_devices")),
            ("livestock", t!("setup.copy_livestock")),
        ]),
        "given" => picks(&[
            ("lot", t!("setup.given_lot")),
            ("paper", t!("setup.given_paper")),
            ("hand", t!("setup.given_hand")),
        ]),
        "assign" => picks(&[
            ("kept", t!("setup.assign_kept")),
            ("lot", t!("setup.assign_lot")),
            ("paper", t!("setup.assign_paper")),
        ]),
        _ => of_bench(base, bench),
    }
}

/// Choices that are records of this bench.
fn of_bench(base: &str, bench: &Bench) -> Vec<Pick> {
    match base {
        "tanks" | "tank" => tank_picks(bench),
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
        "part_water" => or_none(t!("setup.choose"), water_picks(bench)),
        "parent" => or_none(t!("setup.no_parent"), planting_picks(bench)),
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

fn or_none(none: &str, list: Vec<Pick>) -> Vec<Pick> {
    let mut all = vec![(String::new(), none.to_owned())];
    all.extend(list);
    all
}

fn analyte(a: Analyte) -> Pick {
    let (name, symbol) = (capital(a.name()), a.symbol(Means::Ion));
    let plain = a.name() == symbol || a.name().contains('(');
    let words = if plain {
        name
    } else {
        format!("{name} ({symbol})")
    };
    (a.key().to_owned(), words)
}

fn act(kind: &str) -> Pick {
    (kind.to_owned(), capital(describe::kind_name(kind)))
}
