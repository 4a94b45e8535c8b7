//! Entries said back in plain sentences, the same on every page and after every jot.

mod looked;
mod names;
mod walk;

pub use names::{anchors, kind_name, measure_name, measure_unit, phase_name};
pub use walk::{step_title, surface_name};

use crate::act::*;
use crate::{Act, Bench, PlantingId, TankId};
use quantity::{Amount, Format, Unit};
use text::t;

/// One plain sentence without its first capital and full stop: `dosed 1.2 g potassium nitrate
/// (KNO3) into the water`. A record that is no longer set up is named as such.
pub fn sentence(act: &Act, bench: &Bench, fmt: &Format) -> String {
    let say = Say { bench, fmt };
    match act {
        Act::Dose(d) => say.dose(d),
        Act::Change(c) => say.change(c),
        Act::TopUp(t) => say.top_up(t),
        Act::Trim(t) => say.trim(t),
        Act::Replant(r) => say.replant(r),
        Act::Thin(t) => say.thin(t),
        Act::Loss(l) => say.loss(l),
        Act::Plantlets(p) => {
            t!(
                "act.counted_plantlets",
                n = p.count,
                plant = say.plant(p.planting)
            )
        }
        Act::Move(m) => say.moved(m),
        Act::Feed(f) => say.feed(f),
        Act::Clean(c) => say.clean(c),
        Act::Setting(s) => t!("act.set", settings = list(&say.settings(s))),
        Act::Swap(s) => say.swap(s),
        Act::Reading(r) => say.reading(r),
        Act::Observation(o) => say.observation(o),
        Act::Algae(a) => say.algae(a),
        Act::Picture(p) => say.picture(p),
        Act::Livestock(l) => say.livestock(l),
        Act::Harvest(h) => say.harvest(h),
        Act::Walk(w) => walk::sentence(w),
        Act::Note => t!("act.noted").to_string(),
        Act::Undo => t!("act.undone").to_string(),
    }
}

/// `every tank`, `Ash and Elm`, or `the whole trial` when an entry has none.
pub fn tanks_phrase(tanks: &[TankId], all_tanks: bool, bench: &Bench) -> String {
    if all_tanks {
        return t!("act.every_tank").to_string();
    }
    if tanks.is_empty() {
        return t!("act.whole_trial").to_string();
    }
    let names: Vec<String> = tanks
        .iter()
        .map(|id| {
            bench
                .tank(*id)
                .map_or_else(|| t!("act.gone").to_string(), |t| t.name.clone())
        })
        .collect();
    list(&names)
}

/// `a`, `a and b`, `a, b and c`.
pub fn list(items: &[String]) -> String {
    match items.split_last() {
        None => String::new(),
        Some((last, [])) => last.clone(),
        Some((last, before)) => t!("act.two", a = before.join(", "), b = last),
    }
}

struct Say<'a> {
    bench: &'a Bench,
    fmt: &'a Format,
}

impl Say<'_> {
    fn amount(&self, value: f64, unit: Unit) -> String {
        self.fmt.amount(Amount::new(value, unit))
    }

    fn number(&self, value: f64) -> String {
        self.fmt.significant(value, 6)
    }

    fn grams(&self, value: f64) -> String {
        self.amount(value, Unit::Gram)
    }

    fn flow(&self, value: f64) -> String {
        format!("{}\u{a0}L/h", self.number(value))
    }

    fn plant(&self, id: PlantingId) -> String {
        self.bench
            .planting(id)
            .map_or_else(|| t!("act.gone").to_string(), |p| p.title())
    }

    /// Each title once, so that one plant in four tanks is named once.
    fn plants(&self, ids: &[PlantingId]) -> String {
        let mut titles: Vec<String> = Vec::new();
        for id in ids {
            let title = self.plant(*id);
            if !titles.contains(&title) {
                titles.push(title);
            }
        }
        list(&titles)
    }

    fn water(&self, id: crate::WaterId) -> String {
        self.bench
            .water(id)
            .map_or_else(|| t!("act.gone").to_string(), |w| w.name.clone())
    }

    fn with_source(&self, said: String, source: Option<crate::WaterId>) -> String {
        match source {
            Some(id) => format!("{said} {}", t!("act.with_water", water = self.water(id))),
            None => said,
        }
    }

    fn dose(&self, d: &Dose) -> String {
        let what = match &d.of {
            DoseOf::Salt { formula } => match quantity::salt::find(formula) {
                Some(salt) => t!("act.salt", name = salt.name, formula = salt.formula),
                None => formula.clone(),
            },
            DoseOf::Product { product } => self
                .bench
                .product(*product)
                .map_or_else(|| t!("act.gone").to_string(), |p| p.name.clone()),
        };
        let amount = match d.amount.unit {
            Unit::Piece => t!("act.pieces", n = self.number(d.amount.value)),
            _ => self.fmt.amount(d.amount),
        };
        match d.into {
            Into::Water => t!("act.dosed", amount = amount, what = what),
            Into::Substrate => t!("act.dosed_substrate", amount = amount, what = what),
        }
    }

    fn change(&self, c: &Change) -> String {
        let said = match c.amount {
            WaterAmount::Share { share } => {
                t!("act.changed_share", amount = self.fmt.percent(share))
            }
            WaterAmount::Litres { litres } => {
                t!(
                    "act.changed_litres",
                    amount = self.amount(litres, Unit::Litre)
                )
            }
        };
        self.with_source(said, c.source)
    }

    fn top_up(&self, t: &TopUp) -> String {
        let said = t!("act.topped_up", amount = self.amount(t.litres, Unit::Litre));
        let below = t.level_below_cm.map(|cm| {
            t!(
                "act.level_below",
                amount = self.amount(cm, Unit::Centimetre)
            )
        });
        parts([Some(self.with_source(said, t.source)), below])
    }

    fn kept(&self, share: Option<f64>) -> Option<String> {
        share.map(|s| t!("act.kept", share = self.fmt.percent(s)))
    }

    fn out(&self, grams: Option<f64>) -> Option<String> {
        grams.map(|g| t!("act.out", amount = self.grams(g)))
    }

    fn trim(&self, t: &Trim) -> String {
        let dried = t.dried.map(|d| {
            t!(
                "act.dried",
                fresh = self.grams(d.fresh_g),
                dry = self.grams(d.dry_g)
            )
        });
        let left =
            (!t.left_out.is_empty()).then(|| t!("act.left_out", plants = self.plants(&t.left_out)));
        parts([
            Some(t!("act.trimmed", plants = self.plants(&t.plantings))),
            self.kept(t.kept_share),
            self.out(t.out_fresh_g),
            dried,
            left,
        ])
    }

    fn thin(&self, t: &Thin) -> String {
        parts([
            Some(t!("act.thinned", plants = self.plants(&t.plantings))),
            self.kept(t.kept_share),
            self.out(t.out_fresh_g),
        ])
    }

    fn replant(&self, r: &Replant) -> String {
        let plant = self.plant(r.from);
        let said = match r.count {
            Some(n) => t!("act.replanted_count", n = n, plant = plant),
            None => t!("act.replanted", plant = plant),
        };
        let joined =
            (r.into != r.from).then(|| t!("act.replanted_into", plant = self.plant(r.into)));
        let mass = r
            .fresh_g
            .map(|g| t!("act.replanted_mass", amount = self.grams(g)));
        parts([Some(said), mass, joined])
    }

    fn loss(&self, l: &Loss) -> String {
        let plant = self.plant(l.planting);
        match (l.whole, l.stems) {
            (true, _) => t!("act.lost", plant = plant),
            (false, Some(n)) => t!("act.lost_stems", n = n, plant = plant),
            (false, None) => t!("act.lost_part", plant = plant),
        }
    }

    fn moved(&self, m: &Move) -> String {
        let plant = self.plant(m.planting);
        let amounts: Vec<String> = m
            .share
            .map(|s| self.fmt.percent(s))
            .into_iter()
            .chain(m.fresh_g.map(|g| self.grams(g)))
            .collect();
        let amount = (!amounts.is_empty()).then(|| amounts.join(", "));
        let to = m.to.map(|t| tanks_phrase(&[t], false, self.bench));
        match (amount, to) {
            (Some(a), Some(to)) => t!("act.moved_amount", amount = a, plant = plant, to = to),
            (Some(a), None) => t!("act.moved_out_amount", amount = a, plant = plant),
            (None, Some(to)) => t!("act.moved", plant = plant, to = to),
            (None, None) => t!("act.moved_out", plant = plant),
        }
    }

    fn feed(&self, f: &Feed) -> String {
        match f.grams {
            Some(g) => t!("act.fed_amount", amount = self.grams(g), food = f.food),
            None => t!("act.fed", food = f.food),
        }
    }

    fn clean(&self, c: &Clean) -> String {
        let part = match c.part {
            Part::Pane => t!("act.part_pane"),
            Part::Filter => t!("act.part_filter"),
            Part::Diffuser => t!("act.part_diffuser"),
            Part::Cover => t!("act.part_cover"),
            Part::Lamp => t!("act.part_lamp"),
            Part::Substrate => t!("act.part_substrate"),
            Part::Hardscape => t!("act.part_hardscape"),
        };
        parts([
            Some(t!("act.cleaned", part = part)),
            c.flow_before_l_h
                .map(|v| t!("act.flow_before", flow = self.flow(v))),
            c.flow_after_l_h
                .map(|v| t!("act.flow_after", flow = self.flow(v))),
        ])
    }

    fn settings(&self, s: &Setting) -> Vec<String> {
        let minutes = |v: f64| self.amount(v.abs(), Unit::Minute);
        let gas_on = s.gas_on_after_light_min.map(|v| match v {
            v if v > 0.0 => t!("act.set_gas_on_after", value = minutes(v)),
            v if v < 0.0 => t!("act.set_gas_on_before", value = minutes(v)),
            _ => t!("act.set_gas_on_with").to_string(),
        });
        let gas_off = s.gas_off_after_light_min.map(|v| match v {
            v if v > 0.0 => t!("act.set_gas_off_after", value = minutes(v)),
            v if v < 0.0 => t!("act.set_gas_off_before", value = minutes(v)),
            _ => t!("act.set_gas_off_with").to_string(),
        });
        let all = [
            s.photoperiod_h
                .map(|v| t!("act.set_photoperiod", value = self.amount(v, Unit::Hour))),
            s.dimming_pct
                .map(|v| t!("act.set_dimming", value = self.fmt.percent(v / 100.0))),
            s.light_on_at
                .map(|v| t!("act.set_on_at", value = v.strftime("%H:%M"))),
            s.timer_clock
                .as_ref()
                .map(|v| t!("act.set_clock", value = v)),
            s.lamp_height_cm.map(|v| {
                t!(
                    "act.set_lamp_height",
                    value = self.amount(v, Unit::Centimetre)
                )
            }),
            gas_on,
            gas_off,
            s.surface.as_ref().map(|v| t!("act.set_surface", value = v)),
            s.temperature_c
                .map(|v| t!("act.set_temperature", value = self.amount(v, Unit::Celsius))),
            s.flow_l_h.map(|v| t!("act.set_flow", value = self.flow(v))),
        ];
        all.into_iter().flatten().collect()
    }

    fn swap(&self, s: &Swap) -> String {
        let price = s.price.as_ref().map(|p| {
            t!(
                "act.price",
                amount = self.number(p.amount),
                currency = p.currency
            )
        });
        parts([Some(t!("act.swapped", left = s.left, came = s.came)), price])
    }

    fn harvest(&self, h: &Harvest) -> String {
        let fate = match h.fate {
            Fate::PlantedBack => t!("act.fate_planted_back"),
            Fate::Rehomed => t!("act.fate_rehomed"),
            Fate::Disposed => t!("act.fate_disposed"),
        };
        parts([
            Some(t!("act.harvested", plant = self.plant(h.planting))),
            h.fresh_g
                .map(|g| t!("act.harvest_fresh", amount = self.grams(g))),
            h.dry_g
                .map(|g| t!("act.harvest_dry", amount = self.grams(g))),
            Some(fate.to_string()),
        ])
    }
}

fn parts<const N: usize>(parts: [Option<String>; N]) -> String {
    let there: Vec<String> = parts.into_iter().flatten().collect();
    there.join(", ")
}
