//! The rules of each kind of act.

use super::{Found, walk};
use crate::act::*;
use crate::{Act, Bench, Draft, PlantingId, ProductId, WaterId};
use quantity::Dimension;
use std::collections::HashSet;
use text::t;

pub(super) fn check(draft: &Draft, bench: &Bench, found: &mut Found) {
    match &draft.act {
        Act::Dose(d) => dose(d, bench, found),
        Act::Change(c) => change(c, bench, found),
        Act::TopUp(t) => {
            found.positive("litres", Some(t.litres), "L");
            found.not_negative("level_below_cm", t.level_below_cm, "cm");
            water(t.source, bench, found);
        }
        Act::Trim(t) => trim(t, draft, bench, found),
        Act::Replant(r) => replant(r, draft, bench, found),
        Act::Thin(t) => {
            standing("plantings", &t.plantings, draft, bench, found);
            found.share("kept_share", t.kept_share);
            found.positive("out_fresh_g", t.out_fresh_g, "g");
        }
        Act::Loss(l) => {
            standing("planting", &[l.planting], draft, bench, found);
            found.counted("stems", l.stems);
            let both = l.whole && l.stems.is_some();
            found.require(!both, "stems", l.stems.unwrap_or(0), t!("act.rule_stems"));
        }
        Act::Plantlets(p) => standing("planting", &[p.planting], draft, bench, found),
        Act::Move(m) => moved(m, draft, bench, found),
        Act::Feed(f) => {
            found.words("food", &f.food);
            found.positive("grams", f.grams, "g");
            product(f.product, bench, found);
        }
        Act::Clean(c) => {
            found.not_negative("flow_before_l_h", c.flow_before_l_h, "L/h");
            found.not_negative("flow_after_l_h", c.flow_after_l_h, "L/h");
        }
        Act::Setting(s) => setting(s, found),
        Act::Swap(s) => swap(s, bench, found),
        Act::Reading(_) => {}
        Act::Observation(o) => observation(o, draft, bench, found),
        Act::Algae(a) => algae(a, found),
        Act::Picture(p) => picture(p, draft, bench, found),
        Act::Livestock(l) => {
            found.words("species", &l.who.species);
            found.counted("count", Some(l.who.count));
        }
        Act::Harvest(h) => harvest(h, draft, bench, found),
        Act::Walk(w) => walk::check(w, draft, bench, found),
        Act::Note => found.words("note", &draft.note),
        Act::Undo => {}
    }
}

/// Plantings must be known, named once, and stand in the entry's tanks.
pub(super) fn standing(
    field: &'static str,
    ids: &[PlantingId],
    draft: &Draft,
    bench: &Bench,
    found: &mut Found,
) {
    if ids.is_empty() {
        found.add(field, "", t!("act.rule_planting_some"));
    }
    let once = ids.iter().collect::<HashSet<_>>().len() == ids.len();
    found.require(once, field, "", t!("act.rule_planting_once"));
    for id in ids {
        match bench.planting(*id) {
            None => found.add(field, id, t!("act.rule_planting_known")),
            Some(p) => {
                let tanks = crate::describe::tanks_phrase(&draft.tanks, draft.all_tanks, bench);
                let accepted = t!("act.rule_planting_stands", tanks = tanks);
                found.require(draft.tanks.contains(&p.tank), field, p.title(), accepted);
            }
        }
    }
}

fn water(id: Option<WaterId>, bench: &Bench, found: &mut Found) {
    let Some(id) = id.filter(|id| bench.water(*id).is_none()) else {
        return;
    };
    let known: Vec<&str> = bench.waters.iter().map(|w| w.name.as_str()).collect();
    found.add(
        "source",
        id,
        t!("act.rule_known_water", known = known.join(", ")),
    );
}

fn product(id: Option<ProductId>, bench: &Bench, found: &mut Found) {
    let Some(id) = id.filter(|id| bench.product(*id).is_none()) else {
        return;
    };
    let known: Vec<&str> = bench.products.iter().map(|p| p.name.as_str()).collect();
    found.add(
        "product",
        id,
        t!("act.rule_known_product", known = known.join(", ")),
    );
}

fn dose(d: &Dose, bench: &Bench, found: &mut Found) {
    let amount = || format!("{} {}", d.amount.value, d.amount.unit.symbol());
    let fits = match &d.of {
        DoseOf::Salt { formula } => {
            let known = quantity::salt::find(formula).is_some();
            found.require(known, "salt", formula, t!("act.rule_known_salt"));
            Some(Dimension::Mass)
        }
        DoseOf::Product { product: id } => {
            product(Some(*id), bench, found);
            bench.product(*id).map(|p| p.per.dimension())
        }
    };
    let Some(fits) = fits else { return };
    let accepted = match fits {
        Dimension::Mass => t!("act.rule_dose_mass"),
        Dimension::Volume => t!("act.rule_dose_volume"),
        _ => t!("act.rule_dose_count"),
    };
    let ok =
        d.amount.value.is_finite() && d.amount.value > 0.0 && d.amount.unit.dimension() == fits;
    found.require(ok, "amount", amount(), accepted);
}

fn change(c: &Change, bench: &Bench, found: &mut Found) {
    match c.amount {
        WaterAmount::Share { share } => found.share("share", Some(share)),
        WaterAmount::Litres { litres } => found.positive("litres", Some(litres), "L"),
    }
    water(c.source, bench, found);
}

fn trim(t: &Trim, draft: &Draft, bench: &Bench, found: &mut Found) {
    standing("plantings", &t.plantings, draft, bench, found);
    if !t.left_out.is_empty() {
        standing("left_out", &t.left_out, draft, bench, found);
    }
    let both = t.left_out.iter().find(|id| t.plantings.contains(id));
    if let Some(p) = both.and_then(|id| bench.planting(*id)) {
        found.add("left_out", p.title(), t!("act.rule_left_out"));
    }
    let mut tanks = HashSet::new();
    let cut = t.plantings.iter().filter_map(|id| bench.planting(*id));
    let one_each = cut.clone().all(|p| tanks.insert(p.tank));
    let titles: Vec<String> = cut.map(|p| p.title()).collect();
    found.require(
        one_each,
        "plantings",
        titles.join(", "),
        t!("act.rule_one_each"),
    );
    found.share("kept_share", t.kept_share);
    found.positive("out_fresh_g", t.out_fresh_g, "g");
    if let Some(d) = t.dried {
        found.positive("dried_fresh_g", Some(d.fresh_g), "g");
        found.positive("dried_dry_g", Some(d.dry_g), "g");
        let accepted = t!("act.rule_at_most", most = d.fresh_g, unit = " g");
        found.require(d.dry_g <= d.fresh_g, "dried_dry_g", d.dry_g, accepted);
        if let Some(out) = t.out_fresh_g {
            let accepted = t!("act.rule_at_most", most = out, unit = " g");
            found.require(d.fresh_g <= out, "dried_fresh_g", d.fresh_g, accepted);
        }
    }
}

fn replant(r: &Replant, draft: &Draft, bench: &Bench, found: &mut Found) {
    standing("from", &[r.from], draft, bench, found);
    standing("into", &[r.into], draft, bench, found);
    if let (Some(from), Some(into)) = (bench.planting(r.from), bench.planting(r.into)) {
        let same = from.scientific_name == into.scientific_name;
        let accepted = t!("act.rule_same_plant", plant = from.scientific_name);
        found.require(same, "into", into.title(), accepted);
    }
    found.counted("count", r.count);
    found.positive("fresh_g", r.fresh_g, "g");
}

fn moved(m: &Move, draft: &Draft, bench: &Bench, found: &mut Found) {
    standing("planting", &[m.planting], draft, bench, found);
    if let Some(to) = m.to {
        let other = bench.tank(to).is_some() && !draft.tanks.contains(&to);
        let name = crate::describe::tanks_phrase(&[to], false, bench);
        found.require(other, "to", name, t!("act.rule_move_to"));
    }
    found.share("share", m.share);
    found.positive("fresh_g", m.fresh_g, "g");
}

fn setting(s: &Setting, found: &mut Found) {
    if *s == Setting::default() {
        found.add("setting", "", t!("act.rule_setting_some"));
    }
    found.within("photoperiod_h", s.photoperiod_h, 0.0, 24.0, "h");
    found.within("dimming_pct", s.dimming_pct, 0.0, 100.0, "%");
    found.within("lamp_height_cm", s.lamp_height_cm, 0.0, 1000.0, "cm");
    let day = 24.0 * 60.0;
    found.within(
        "gas_on_after_light_min",
        s.gas_on_after_light_min,
        -day,
        day,
        "min",
    );
    found.within(
        "gas_off_after_light_min",
        s.gas_off_after_light_min,
        -day,
        day,
        "min",
    );
    found.within("temperature_c", s.temperature_c, 0.0, 50.0, "\u{b0}C");
    found.not_negative("flow_l_h", s.flow_l_h, "L/h");
    if let Some(words) = &s.surface {
        found.words("surface", words);
    }
    if let Some(zone) = &s.timer_clock {
        let known = jiff::tz::TimeZone::get(zone).is_ok();
        found.require(known, "timer_clock", zone, t!("act.rule_zone"));
    }
}

fn swap(s: &Swap, bench: &Bench, found: &mut Found) {
    found.words("left", &s.left);
    found.words("came", &s.came);
    found.price("price", s.price.as_ref());
    if let Some(id) = s.equipment {
        let known = bench.equipment.iter().any(|e| e.id == id);
        found.require(known, "equipment", id, t!("act.rule_known_equipment"));
    }
}

fn observation(o: &Observation, draft: &Draft, bench: &Bench, found: &mut Found) {
    standing("plantings", &o.plantings, draft, bench, found);
    let only_plantings = Observation {
        plantings: o.plantings.clone(),
        on_walk: o.on_walk,
        ..Observation::default()
    };
    if *o == only_plantings {
        found.add("observation", "", t!("act.rule_observation_some"));
    }
    found.within("vigour", o.vigour, 0.0, 10.0, "");
    found.within("new_leaf", o.new_leaf, 0.0, 10.0, "");
    found.within("density", o.density, 0.0, 10.0, "");
    found.within("colour", o.colour, 0.0, 10.0, "");
    found.positive("height_cm", o.height_cm, "cm");
    found.positive("spread_cm", o.spread_cm, "cm");
    found.positive("node_cm", o.node_cm, "cm");
    found.within("cover_pct", o.cover_pct, 0.0, 100.0, "%");
    found.positive("fresh_g", o.fresh_g, "g");
    for sign in &o.signs {
        found.words("signs", sign);
    }
}

fn algae(a: &Algae, found: &mut Found) {
    if a.film.is_empty() && a.thread.is_empty() {
        found.add("algae", "", t!("act.rule_algae_some"));
    }
    for (field, s) in [("film", &a.film), ("thread", &a.thread)] {
        for value in [s.pane, s.plants, s.hardscape, s.substrate] {
            found.within(field, value, 0.0, 5.0, "");
        }
    }
}

fn picture(p: &Picture, draft: &Draft, bench: &Bench, found: &mut Found) {
    let hex = |c: char| c.is_ascii_digit() || ('a'..='f').contains(&c);
    let hash = p.sha256.len() == 64 && p.sha256.chars().all(hex);
    found.require(hash, "sha256", &p.sha256, t!("act.rule_sha256"));
    let known = ["image/jpeg", "image/png", "image/webp"].contains(&p.media_type.as_str());
    found.require(
        known,
        "media_type",
        &p.media_type,
        t!("act.rule_media_type"),
    );
    found.counted("width_px", Some(p.width_px));
    found.counted("height_px", Some(p.height_px));
    if let Some(id) = p.planting {
        standing("planting", &[id], draft, bench, found);
    }
}

fn harvest(h: &Harvest, draft: &Draft, bench: &Bench, found: &mut Found) {
    standing("planting", &[h.planting], draft, bench, found);
    found.positive("fresh_g", h.fresh_g, "g");
    found.positive("dry_g", h.dry_g, "g");
    if let (Some(fresh), Some(dry)) = (h.fresh_g, h.dry_g) {
        let accepted = t!("act.rule_at_most", most = fresh, unit = " g");
        found.require(dry <= fresh, "dry_g", dry, accepted);
    }
}
