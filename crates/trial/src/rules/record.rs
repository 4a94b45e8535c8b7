//! The rules of set-up records: cards, products, waters, tanks, plantings, equipment, plans.

use super::{Found, Problem, setup};
use crate::setup::Record;
use crate::supply::WaterKind;
use crate::{Act, Card, Equipment, Plan, Planting, Product, SourceWater, Tank};
use quantity::Dimension;
use text::t;

/// Every problem of a set-up record by itself; empty when it can stand. What it refers to (a tank's
/// arm, a planting's tank) is not looked up here.
pub fn check_record(record: &Record) -> Vec<Problem> {
    let mut found = Found::default();
    match record {
        Record::Trial(r) => setup::trial(r, &mut found),
        Record::Tank(r) => tank(r, &mut found),
        Record::Planting(r) => planting(r, &mut found),
        Record::Card(r) => card(r, &mut found),
        Record::Product(r) => product(r, &mut found),
        Record::Water(r) => water(r, &mut found),
        Record::Equipment(r) => equipment(r, &mut found),
        Record::Plan(r) => plan(r, &mut found),
    }
    found.0
}

/// Whether a name can be used before the colon of a jot: one word, up to 24 letters, digits, `-`
/// and `_`, and not a word that jots understand otherwise.
fn is_tank_name(name: &str) -> bool {
    (1..=24).contains(&name.chars().count())
        && name
            .chars()
            .all(|c| c.is_alphanumeric() || c == '-' || c == '_')
        && !crate::jot::is_jot_word(name)
}

fn tank(r: &Tank, found: &mut Found) {
    found.require(
        is_tank_name(&r.name),
        "name",
        &r.name,
        t!("act.rule_tank_name"),
    );
    found.positive("length_cm", r.length_cm, "cm");
    found.positive("width_cm", r.width_cm, "cm");
    found.positive("height_cm", r.height_cm, "cm");
    found.positive("water_depth_cm", r.water_depth_cm, "cm");
    found.positive("water_volume_l", r.water_volume_l, "L");
    found.not_negative("hardscape_l", r.hardscape_l, "L");
    if let (Some(height), Some(depth)) = (r.height_cm, r.water_depth_cm) {
        let accepted = t!("act.rule_at_most", most = height, unit = " cm");
        found.require(depth <= height, "water_depth_cm", depth, accepted);
    }
    if let Some(arm) = &r.arm {
        found.words("arm", arm);
    }
    for layer in &r.substrate {
        found.words("material", &layer.material);
        found.positive("depth_cm", layer.depth_cm, "cm");
        found.positive("mass_kg", layer.mass_kg, "kg");
    }
    for lamp in &r.lamps {
        found.positive("lumens", lamp.lumens, "lm");
        found.positive("watts", lamp.watts, "W");
        found.positive("ppf_umol_s", lamp.ppf_umol_s, "umol/s");
        found.not_negative("lamp_height_cm", lamp.height_cm, "cm");
        found.positive("lamp_length_cm", lamp.length_cm, "cm");
        found.positive("lamp_width_cm", lamp.width_cm, "cm");
        found.within("dimming_pct", lamp.dimming_pct, 0.0, 100.0, "%");
        found.within("photoperiod_h", lamp.photoperiod_h, 0.0, 24.0, "h");
    }
    if let Some(filter) = &r.filter {
        found.not_negative("flow_l_h", filter.flow_l_h, "L/h");
    }
    if let Some(heater) = &r.heater {
        found.positive("heater_watts", heater.watts, "W");
        found.within("set_c", heater.set_c, 0.0, 50.0, "\u{b0}C");
    }
    for animals in &r.livestock {
        found.words("species", &animals.species);
        found.counted("count", Some(animals.count));
    }
}

fn planting(r: &Planting, found: &mut Found) {
    found.words("scientific_name", &r.scientific_name);
    found.counted("stems", r.stems);
    found.positive("fresh_g", r.fresh_g, "g");
    let corners = r.zone_cm.len();
    found.require(
        corners == 0 || corners >= 3,
        "zone_cm",
        corners,
        t!("act.rule_zone_cm"),
    );
    for value in r.zone_cm.iter().flatten() {
        found.within("zone_cm", Some(*value), -1000.0, 1000.0, "cm");
    }
    let own = r.parent == Some(r.id);
    found.require(!own, "parent", r.title(), t!("act.rule_parent"));
}

fn card(r: &Card, found: &mut Found) {
    found.words("name", &r.name);
    if let Err(error) = r.check() {
        found.add("steps", r.steps_text(), error);
    } else if r.analyte.is_amount() {
        for step in &r.steps {
            found.not_negative("steps", Some(*step), r.analyte.unit());
        }
    }
}

fn product(r: &Product, found: &mut Found) {
    found.words("name", &r.name);
    let per = matches!(
        r.per.dimension(),
        Dimension::Mass | Dimension::Volume | Dimension::Count
    );
    found.require(per, "per", r.per.symbol(), t!("act.rule_per"));
    for b in &r.brings {
        found.not_negative("brings_mg", Some(b.mg), "mg");
    }
    for part in &r.recipe {
        let known = quantity::salt::find(&part.formula).is_some();
        found.require(known, "formula", &part.formula, t!("act.rule_known_salt"));
        found.positive("grams", Some(part.grams), "g");
    }
    found.positive("made_up_to_ml", r.made_up_to_ml, "mL");
    let volume = r.recipe.is_empty() || r.made_up_to_ml.is_some();
    found.require(volume, "made_up_to_ml", "", t!("act.rule_made_up"));
    // A recipe is counted in mg per mL of the solution.
    let in_ml = r.recipe.is_empty() || r.per == quantity::Unit::Millilitre;
    found.require(in_ml, "per", r.per.symbol(), t!("act.rule_recipe_per"));
}

fn water(r: &SourceWater, found: &mut Found) {
    found.words("name", &r.name);
    let is_mix = r.kind == WaterKind::Mix;
    let parts = r.parts.len();
    found.require(
        is_mix || parts == 0,
        "parts",
        parts,
        t!("act.rule_parts_mix"),
    );
    found.require(
        !is_mix || parts >= 2,
        "parts",
        parts,
        t!("act.rule_parts_two"),
    );
    for part in &r.parts {
        found.share("share", Some(part.share));
        let own = part.water == r.id;
        found.require(!own, "parts", &r.name, t!("act.rule_parts_own"));
    }
    let sum: f64 = r.parts.iter().map(|p| p.share).sum();
    let whole = parts == 0 || (sum - 1.0).abs() <= 1e-6;
    found.require(whole, "parts", sum, t!("act.rule_parts_sum"));
}

fn equipment(r: &Equipment, found: &mut Found) {
    found.words("name", &r.name);
    found.price("price", r.price.as_ref());
    found.positive("life_months", r.life_months, "");
    found.not_negative("power_w", r.power_w, "W");
    found.within("hours_per_day", r.hours_per_day, 0.0, 24.0, "h");
}

fn plan(r: &Plan, found: &mut Found) {
    found.words("what", &r.what);
    if let Some(routine) = &r.routine {
        let known = Act::KINDS.contains(&routine.act.as_str());
        let accepted = t!("act.rule_kind", kinds = Act::KINDS.join(", "));
        found.require(known, "act", &routine.act, accepted);
        found.counted("every_days", Some(u32::from(routine.every_days)));
        if let Some(until) = routine.until {
            let accepted = t!("act.rule_not_before", day = r.from);
            found.require(until >= r.from, "until", until, accepted);
        }
    }
}
