//! Readings, scores, pictures and animals in words.

use super::{Say, list, measure_name, parts};
use crate::Seen;
use crate::act::*;
use quantity::Unit;
use text::t;

impl Say<'_> {
    pub(super) fn reading(&self, r: &Reading) -> String {
        let what = match r.means {
            quantity::Means::Ion => r.analyte.name(),
            quantity::Means::Element => r.analyte.symbol(r.means),
        };
        let unit = |number: String| match r.analyte.unit() {
            "" => number,
            unit => format!("{number}\u{a0}{unit}"),
        };
        let value = unit(self.seen_value(r));
        let said = match (r.water, r.of) {
            (_, ReadingOf::Blank) => t!("act.read_blank", what = what, value = value),
            (_, ReadingOf::Standard { value: known }) => t!(
                "act.read_standard",
                what = what,
                value = value,
                standard = unit(self.number(known))
            ),
            (Some(id), _) => t!(
                "act.read_water",
                what = what,
                value = value,
                water = self.water(id)
            ),
            (None, _) => t!("act.read", what = what, value = value),
        };
        let diluted = r
            .dilution
            .filter(|d| *d != 1.0)
            .map(|d| t!("act.diluted", n = self.number(d)));
        format!("{said} ({})", parts([Some(self.seen_how(r)), diluted]))
    }

    /// A meter shows its figure; everything else is its interval.
    fn seen_value(&self, r: &Reading) -> String {
        let diluted = r.dilution.unwrap_or(1.0);
        match r.seen {
            Seen::Meter {
                value,
                error,
                decimals,
            } => {
                let shown = if diluted == 1.0 {
                    self.fmt.fixed(value, usize::from(decimals.min(12)))
                } else {
                    self.number(value * diluted)
                };
                match error {
                    Some(e) => t!(
                        "act.plus_minus",
                        value = shown,
                        error = self.number(e * diluted)
                    ),
                    None => shown,
                }
            }
            _ => self.fmt.interval(&r.interval, 6),
        }
    }

    fn seen_how(&self, r: &Reading) -> String {
        let card = r.card.map(|id| {
            self.bench
                .card(id)
                .map_or_else(|| t!("act.gone").to_string(), |c| c.name.clone())
        });
        match (r.seen, card) {
            (Seen::Meter { error: None, .. }, _) => t!("act.seen_meter").to_string(),
            (Seen::Meter { .. }, _) => t!("act.seen_meter_error").to_string(),
            (Seen::Step { step }, Some(card)) => {
                t!("act.seen_step", step = self.number(step), card = card)
            }
            (Seen::Between { .. }, Some(card)) => t!("act.seen_between", card = card),
            (_, Some(card)) => t!("act.seen_on_card", card = card),
            (_, None) => t!("act.seen_bare").to_string(),
        }
    }

    pub(super) fn observation(&self, o: &Observation) -> String {
        use crate::types::Measure as M;
        let mut seen: Vec<String> = Vec::new();
        let scores = [
            (M::Vigour, o.vigour),
            (M::NewLeaf, o.new_leaf),
            (M::Density, o.density),
            (M::Colour, o.colour),
        ];
        let lengths = [
            (M::Height, o.height_cm),
            (M::Spread, o.spread_cm),
            (M::NodeDistance, o.node_cm),
        ];
        let mut push = |m: M, value: String| {
            seen.push(t!("act.score_of", name = measure_name(m), value = value));
        };
        for (m, v) in scores {
            if let Some(v) = v {
                push(m, self.number(v));
            }
        }
        for (m, v) in lengths {
            if let Some(v) = v {
                push(m, self.amount(v, Unit::Centimetre));
            }
        }
        if let Some(v) = o.cover_pct {
            push(M::Cover, self.fmt.percent(v / 100.0));
        }
        seen.extend(
            o.fresh_g
                .map(|g| t!("act.harvest_fresh", amount = self.grams(g))),
        );
        seen.extend(o.emerged.map(|e| {
            let said = if e {
                t!("act.emerged")
            } else {
                t!("act.submerged")
            };
            said.to_string()
        }));
        seen.extend(o.signs.iter().cloned());
        t!(
            "act.looked",
            plants = self.plants(&o.plantings),
            seen = seen.join(", ")
        )
    }

    pub(super) fn algae(&self, a: &Algae) -> String {
        let on = |s: &Surfaces| {
            [
                (t!("act.where_pane"), s.pane),
                (t!("act.where_plants"), s.plants),
                (t!("act.where_hardscape"), s.hardscape),
                (t!("act.where_substrate"), s.substrate),
            ]
        };
        let mut seen: Vec<String> = Vec::new();
        for (place, value) in on(&a.film) {
            seen.extend(value.map(|v| t!("act.film_on", value = self.number(v), where = place)));
        }
        for (place, value) in on(&a.thread) {
            seen.extend(value.map(|v| t!("act.thread_on", value = self.number(v), where = place)));
        }
        t!("act.scored_algae", seen = list(&seen))
    }

    pub(super) fn picture(&self, p: &Picture) -> String {
        let view = match p.view {
            View::Front => t!("act.view_front"),
            View::Top => t!("act.view_top"),
            View::Detail => t!("act.view_detail"),
        };
        match p.planting {
            Some(id) => t!(
                "act.took_picture_plant",
                view = view,
                plant = self.plant(id)
            ),
            None => t!("act.took_picture", view = view),
        }
    }

    pub(super) fn livestock(&self, l: &LivestockEvent) -> String {
        let (n, species) = (l.who.count, &l.who.species);
        match l.event {
            LivestockHappening::Arrival => t!("act.live_arrival", n = n, species = species),
            LivestockHappening::Death => t!("act.live_death", n = n, species = species),
            LivestockHappening::Missing => t!("act.live_missing", n = n, species = species),
            LivestockHappening::Illness => t!("act.live_illness", n = n, species = species),
            LivestockHappening::Departure => t!("act.live_departure", n = n, species = species),
        }
    }
}
