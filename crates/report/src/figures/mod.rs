//! Figures: one function per question, from its answer to a [`chart::Scene`] of the width asked for
//! (a phone's page gives about 358 px, a desk's up to 1100 px).
//!
//! Every scene has a title and a description that says in words what is to be seen. Tanks keep the
//! style of their place on the bench ([`tank_style`]) in every figure.

pub mod bench;
pub mod compare;
pub mod cost;
pub mod plants;
pub mod readings;
pub mod timeline;

use answers::readings::MeterValue;
use chart::plots::Known;
use chart::{RichText, SeriesStyle};
use quantity::{Estimate, EstimateKind, Interval};
use trial::{Bench, Tank, TankId};

/// The style of a tank: that of its place on the bench, counted from 0.
pub fn tank_style(tank: &Tank) -> SeriesStyle {
    SeriesStyle::new(tank.place as usize)
}

/// The style of the tank of this id; the first style when it is not on the bench.
fn style_of(bench: &Bench, id: TankId) -> SeriesStyle {
    bench
        .tank(id)
        .map_or_else(|| SeriesStyle::new(0), tank_style)
}

/// A plant's name: italic when it is a scientific one.
pub fn plant_name(name: &str) -> RichText {
    if is_scientific(name) {
        RichText::default().italic(name)
    } else {
        RichText::from(name)
    }
}

/// Whether a name is of the catalogue or looks like a genus with an epithet.
pub fn is_scientific(name: &str) -> bool {
    let in_catalogue = || {
        trial::catalogue::find(name).is_some_and(|p| p.scientific_name.eq_ignore_ascii_case(name))
    };
    let mut words = name.split_whitespace();
    let genus = words.next().is_some_and(|w| {
        w.starts_with(|c: char| c.is_ascii_uppercase()) && w.len() > 2 && lower(&w[1..])
    });
    let epithet = words.next().is_some_and(|w| lower(w) && w.len() > 2);
    (genus && epithet && words.next().is_none()) || in_catalogue()
}

fn lower(word: &str) -> bool {
    word.chars().all(|c| c.is_ascii_lowercase() || c == '-')
}

/// An estimate as a mark; none when it is refused.
fn known(estimate: &Estimate) -> Option<Known> {
    match estimate.kind {
        EstimateKind::Refused { .. } => None,
        EstimateKind::Exact | EstimateKind::ErrorNotStated => estimate.value.map(Known::exactly),
        _ => Some(Known {
            mid: estimate.value,
            low: estimate.low,
            high: estimate.high,
        })
        .filter(|k| k.mid.or(k.low).or(k.high).is_some()),
    }
}

/// An interval as a mark; none when nothing is known.
fn known_interval(interval: &Interval) -> Option<Known> {
    match (interval.low(), interval.high()) {
        (None, None) => None,
        (Some(low), Some(high)) if low == high => Some(Known::exactly(low)),
        (low, high) => Some(Known {
            mid: None,
            low,
            high,
        }),
    }
}

/// A reading as a mark: a meter's value with its error, any other as an interval without one.
fn known_reading(interval: &Interval, meter: Option<&MeterValue>) -> Option<Known> {
    match meter {
        Some(meter) => Some(Known {
            mid: Some(meter.value),
            low: interval.low(),
            high: interval.high(),
        }),
        None => known_interval(interval),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scientific_names_are_italic_and_others_are_not() {
        for name in [
            "Eleocharis acicularis",
            "Salvinia natans",
            "Taxiphyllum barbieri",
        ] {
            assert!(is_scientific(name), "{name}");
        }
        for name in [
            "red bush",
            "Moss from the pond",
            "Bob",
            "Left stem plant",
            "",
        ] {
            assert!(!is_scientific(name), "{name}");
        }
    }

    #[test]
    fn a_refusal_is_no_mark() {
        let refused = Estimate::refused("x", "y", quantity::Basis::default());
        assert_eq!(known(&refused), None);
        assert_eq!(known_interval(&Interval::UNBOUNDED), None);
    }
}
