//! What the tanks, plants, waters and the keeping itself lack.

use super::{Gaps, has_livestock};
use quantity::EstimateKind;
use std::collections::BTreeSet;
use text::t;
use trial::supply::WaterKind;
use trial::types::Measure;
use trial::{Act, Planting, Seen, Severity, SourceWater, Tank, describe};

pub(super) fn tanks(g: &mut Gaps) {
    use Severity::*;
    let refused = |t: &Tank, wanted: &str| matches!(&t.water_l().kind, EstimateKind::Refused { code, .. } if code == wanted);
    g.add_tanks(
        "gap_tank_size",
        Weakens,
        |t| refused(t, "tank_size_missing"),
        |tanks, n| t!("setup.gap_tank_size", tanks = tanks, n = n),
        t!("setup.gap_tank_size_do"),
    );
    g.add_tanks(
        "gap_tank_size_impossible",
        Weakens,
        |t| refused(t, "tank_size_impossible"),
        |tanks, n| t!("setup.gap_tank_size_impossible", tanks = tanks, n = n),
        t!("setup.gap_tank_size_impossible_do"),
    );
    g.add_tanks(
        "gap_lamp",
        Weakens,
        |t| t.lamps.is_empty(),
        |tanks, n| t!("setup.gap_lamp", tanks = tanks, n = n),
        t!("setup.gap_lamp_do"),
    );
    g.add_tanks(
        "gap_lamp_strength",
        Weakens,
        |t| {
            t.lamps
                .iter()
                .any(|l| l.lumens.is_none() && l.ppf_umol_s.is_none())
        },
        |tanks, n| t!("setup.gap_lamp_strength", tanks = tanks, n = n),
        t!("setup.gap_lamp_strength_do"),
    );
    let set: Vec<_> = g
        .entries
        .iter()
        .filter(|e| matches!(&e.act, Act::Setting(s) if s.photoperiod_h.is_some()))
        .flat_map(|e| e.tanks.clone())
        .collect();
    g.add_tanks(
        "gap_photoperiod",
        Weakens,
        |t| t.lamps.iter().any(|l| l.photoperiod_h.is_none()) && !set.contains(&t.id),
        |tanks, n| t!("setup.gap_photoperiod", tanks = tanks, n = n),
        t!("setup.gap_photoperiod_do"),
    );
    g.add_tanks(
        "gap_lamp_height",
        Note,
        |t| t.lamps.iter().any(|l| l.height_cm.is_none()),
        |tanks, n| t!("setup.gap_lamp_height", tanks = tanks, n = n),
        t!("setup.gap_lamp_height_do"),
    );
    g.add_tanks(
        "gap_substrate",
        Weakens,
        |t| t.substrate.is_empty(),
        |tanks, n| t!("setup.gap_substrate", tanks = tanks, n = n),
        t!("setup.gap_substrate_do"),
    );
}

pub(super) fn plants(g: &mut Gaps) {
    use Severity::*;
    let bench = g.bench;
    g.add_tanks(
        "gap_plantings",
        Weakens,
        |t| bench.plantings_in(t.id).next().is_none(),
        |tanks, n| t!("setup.gap_plantings", tanks = tanks, n = n),
        t!("setup.gap_plantings_do"),
    );
    // Cuttings are weighed when they are replanted.
    let bought: Vec<&Planting> = bench
        .plantings
        .iter()
        .filter(|p| p.parent.is_none())
        .collect();
    let growth = g.measures().any(|m| m == Measure::Growth);
    let weighs = if growth { Weakens } else { Note };
    if let Some((plants, n)) = lacking(&bought, |p| p.fresh_g.is_none()) {
        let what = t!("setup.gap_start_mass", plants = plants, n = n);
        g.add(
            "gap_start_mass",
            weighs,
            what,
            t!("setup.gap_start_mass_do"),
        );
    }
    if g.measures().any(|m| m == Measure::Cover) {
        let wanted = |p: &&&Planting| covers(g, p);
        let zoned: Vec<&Planting> = bought.iter().filter(wanted).copied().collect();
        if let Some((plants, n)) = lacking(&zoned, |p| p.zone_cm.len() < 3 && !p.floating) {
            let what = t!("setup.gap_zone", plants = plants, n = n);
            g.add("gap_zone", Weakens, what, t!("setup.gap_zone_do"));
        }
    }
    let no_day = |p: &Planting| p.planted.is_none() && bench.trial.start.is_none();
    if let Some((plants, n)) = lacking(&bought, no_day) {
        let what = t!("setup.gap_planted", plants = plants, n = n);
        g.add("gap_planted", Weakens, what, t!("setup.gap_planted_do"));
    }
    let origin = |p: &Planting| p.origin.form.is_none() || p.origin.grown_in.is_none();
    if let Some((plants, n)) = lacking(&bought, origin) {
        let what = t!("setup.gap_origin", plants = plants, n = n);
        g.add("gap_origin", Note, what, t!("setup.gap_origin_do"));
    }
    if let Some((plants, n)) = lacking(&bought, |p| p.divided.trim().is_empty()) {
        let what = t!("setup.gap_divided", plants = plants, n = n);
        g.add("gap_divided", Note, what, t!("setup.gap_divided_do"));
    }
}

/// Whether a cover outcome is about this planting.
fn covers(g: &Gaps, planting: &Planting) -> bool {
    let trial = &g.bench.trial;
    let of_plant = |plant: &Option<String>| {
        plant
            .as_ref()
            .is_none_or(|name| *name == planting.scientific_name)
    };
    let outcomes = trial.primary.iter().chain(&trial.secondary);
    outcomes
        .filter(|o| o.measure == Measure::Cover)
        .any(|o| of_plant(&o.plant))
}

/// The plants some planting of which lacks something: each name once, and how many plantings.
fn lacking(plantings: &[&Planting], lacks: impl Fn(&Planting) -> bool) -> Option<(String, usize)> {
    let found: Vec<&&Planting> = plantings.iter().filter(|p| lacks(p)).collect();
    let names: BTreeSet<String> = found.iter().map(|p| p.title()).collect();
    let names: Vec<String> = names.into_iter().collect();
    (!found.is_empty()).then(|| (describe::list(&names), found.len()))
}

pub(super) fn water(g: &mut Gaps) {
    use Severity::*;
    let bench = g.bench;
    let metered = g
        .entries
        .iter()
        .any(|e| matches!(&e.act, Act::Reading(r) if matches!(r.seen, Seen::Meter { .. })));
    if bench.cards.is_empty() && !metered {
        g.add(
            "gap_cards",
            Weakens,
            t!("setup.gap_cards"),
            t!("setup.gap_cards_do"),
        );
    }
    if bench.waters.is_empty() {
        g.add(
            "gap_waters",
            Weakens,
            t!("setup.gap_waters"),
            t!("setup.gap_waters_do"),
        );
    }
    let animals = bench.tanks.iter().any(|t| has_livestock(t, g.entries));
    let unsafe_water = if animals { Serious } else { Note };
    let unsaid = |w: &&SourceWater| w.kind == WaterKind::Tap && w.disinfectant.trim().is_empty();
    if let Some(names) = waters(g, unsaid) {
        let what = t!("setup.gap_disinfectant", waters = names);
        g.add(
            "gap_disinfectant",
            unsafe_water,
            what,
            t!("setup.gap_disinfectant_do"),
        );
    }
    let open = |w: &&SourceWater| {
        let said = w.disinfectant.trim().to_lowercase();
        !said.is_empty() && said != "none" && w.neutraliser.trim().is_empty()
    };
    if let Some(names) = waters(g, open) {
        let what = t!("setup.gap_neutraliser", waters = names);
        g.add(
            "gap_neutraliser",
            unsafe_water,
            what,
            t!("setup.gap_neutraliser_do"),
        );
    }
    let uneven = |w: &&SourceWater| {
        let total: f64 = w.parts.iter().map(|p| p.share).sum();
        w.kind == WaterKind::Mix && (total - 1.0).abs() > 1e-6
    };
    if let Some(names) = waters(g, uneven) {
        let what = t!("setup.gap_mix", waters = names);
        g.add("gap_mix", Weakens, what, t!("setup.gap_mix_do"));
    }
    let unstated: Vec<String> = bench
        .products
        .iter()
        .filter(|p| p.brings_per_measure().is_empty())
        .map(|p| p.name.clone())
        .collect();
    if !unstated.is_empty() {
        let what = t!(
            "setup.gap_product",
            products = describe::list(&unstated),
            n = unstated.len()
        );
        g.add("gap_product", Weakens, what, t!("setup.gap_product_do"));
    }
}

fn waters(g: &Gaps, wanted: impl Fn(&&SourceWater) -> bool) -> Option<String> {
    let names: Vec<String> = g
        .bench
        .waters
        .iter()
        .filter(|w| wanted(w))
        .map(|w| w.name.clone())
        .collect();
    (!names.is_empty()).then(|| describe::list(&names))
}

pub(super) fn keeping(g: &mut Gaps) {
    use Severity::*;
    let bench = g.bench;
    let closed = bench
        .trial
        .phases
        .iter()
        .any(|p| p.kind == trial::types::PhaseKind::End);
    if !bench.plans.iter().any(|p| p.routine.is_some()) && !closed {
        g.add(
            "gap_routines",
            Note,
            t!("setup.gap_routines"),
            t!("setup.gap_routines_do"),
        );
    }
    if bench.trial.kept_ranges.is_empty() {
        g.add(
            "gap_ranges",
            Note,
            t!("setup.gap_ranges"),
            t!("setup.gap_ranges_do"),
        );
    }
    let priced = bench.equipment.iter().any(|e| e.price.is_some());
    if !priced {
        let money = g.measures().any(|m| m == Measure::Money);
        let severity = if money { Weakens } else { Note };
        g.add(
            "gap_prices",
            severity,
            t!("setup.gap_prices"),
            t!("setup.gap_prices_do"),
        );
    }
}
