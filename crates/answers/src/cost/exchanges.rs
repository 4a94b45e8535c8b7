//! Which listed thing left and which came at each exchange of equipment.
//!
//! An exchange is written in words, and its link to the list may be missing. A thing goes by its name
//! in the list; what left may also be one of a set listed together ("Four heaters" of "heater that
//! stuck"), and then only its tanks leave the set.

use crate::days;
use jiff::civil::Date;
use trial::act::Swap;
use trial::{Act, Bench, Entry, Equipment, EquipmentId, TankId};

/// One exchange with the records behind its words.
pub(super) struct Exchange<'a> {
    pub(super) entry: &'a Entry,
    pub(super) swap: &'a Swap,
    pub(super) day: Date,
    /// The record that came.
    pub(super) came: Option<&'a Equipment>,
    /// The record that left, or of which a part left.
    pub(super) left: Option<&'a Equipment>,
    /// Whether what left was found as one of a set rather than by its name.
    pub(super) of_a_set: bool,
}

/// Every exchange in `entries`, oldest first.
pub(super) fn exchanges<'a>(bench: &'a Bench, entries: &[&'a Entry]) -> Vec<Exchange<'a>> {
    let mut swaps: Vec<(&Entry, &Swap)> = entries
        .iter()
        .filter_map(|e| match &e.act {
            Act::Swap(swap) => Some((*e, swap)),
            _ => None,
        })
        .collect();
    swaps.sort_by_key(|(e, _)| e.at.timestamp());
    let came = |swap: &Swap| {
        let linked = |e: &&Equipment| swap.equipment == Some(e.id);
        let named = |e: &&Equipment| same_words(&e.name, &swap.came);
        let mut list = bench.equipment.iter();
        match swap.equipment {
            Some(_) => list.find(linked),
            None => list.find(named),
        }
    };
    let arrivals: Vec<EquipmentId> = swaps
        .iter()
        .filter_map(|(_, s)| Some(came(s)?.id))
        .collect();
    let mut done: Vec<Exchange> = Vec::new();
    for (entry, swap) in swaps {
        let came = came(swap);
        let here = |e: &&Equipment| {
            let serving = serving(bench, e, &done);
            came.is_none_or(|c| c.id != e.id) && entry.tanks.iter().any(|t| serving.contains(t))
        };
        let listed = || bench.equipment.iter().filter(here);
        let by_name = listed().find(|e| same_words(&e.name, &swap.left));
        // What came by an exchange is a thing of its own, not a set.
        let mut sets = listed().filter(|e| !arrivals.contains(&e.id) && is_one_of(e, &swap.left));
        let by_set = match (by_name, sets.next(), sets.next()) {
            (None, Some(one), None) => Some(one),
            _ => None,
        };
        done.push(Exchange {
            entry,
            swap,
            day: days::of(entry),
            came,
            left: by_name.or(by_set),
            of_a_set: by_set.is_some(),
        });
    }
    done
}

/// The tanks a thing serves: those it names, all when it names none.
pub(super) fn served(bench: &Bench, named: &[TankId]) -> Vec<TankId> {
    let all = bench.tank_ids();
    if named.is_empty() {
        return all;
    }
    all.into_iter().filter(|t| named.contains(t)).collect()
}

/// The tanks it serves after these exchanges. Without its successor in the list it stands in for it.
pub(super) fn serving(bench: &Bench, e: &Equipment, exchanges: &[Exchange]) -> Vec<TankId> {
    let gone = |t: &TankId| {
        exchanges.iter().any(|x| {
            x.came.is_some() && x.left.is_some_and(|l| l.id == e.id) && x.entry.tanks.contains(t)
        })
    };
    let all = served(bench, &e.tanks);
    all.into_iter().filter(|t| !gone(t)).collect()
}

fn same_words(a: &str, b: &str) -> bool {
    a.trim().to_lowercase() == b.trim().to_lowercase()
}

/// Whether the last word of a name ("Four heaters") is among the words of what left.
fn is_one_of(e: &Equipment, left: &str) -> bool {
    let words = |text: &str| -> Vec<String> {
        let lower = text.to_lowercase();
        let parts = lower.split(|c: char| !c.is_alphanumeric());
        let single = parts.map(|w| w.strip_suffix('s').unwrap_or(w).to_string());
        single.filter(|w| !w.is_empty()).collect()
    };
    let name = words(&e.name);
    name.last().is_some_and(|last| words(left).contains(last))
}
