//! Where tanks were not treated alike, stretch by stretch.
//!
//! Amounts are compared day by day, or stretch by stretch where those are longer. What differs
//! inside an arm was never planned; what differs between arms may be the treatment.

use super::{Family, Stretch, Unit, count_words, slot_words};
use crate::days;
use crate::unequal::{self, Alike, TankTotal, TreatmentRow};
use crate::{AnswerError, load};
use jiff::civil::Date;
use serde::Serialize;
use store::{EntryQuery, KindCounts, Notebook};
use text::t;
use trial::{Entry, TankId};

/// One thing that was not done alike in one stretch.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Unlike {
    /// First stretch.
    pub first: usize,
    /// Last stretch: the same one, or the last of the day.
    pub last: usize,
    /// Its family.
    pub family: Family,
    /// Inside an arm or between arms; never equal.
    pub alike: Alike,
    /// The tanks of the arms whose tanks differ among themselves; empty between arms.
    pub tanks: Vec<TankId>,
    /// When, in words.
    pub when: String,
    /// What, in words.
    pub what: String,
    /// How much of the first thing each tank got, in words.
    pub totals: String,
}

/// By what entries say: amounts, and settings that were changed.
pub(super) fn by_amount(
    notebook: &Notebook,
    stretch: &Stretch,
    entries: &[Entry],
) -> Result<Vec<Unlike>, AnswerError> {
    let settings = notebook.entries(&EntryQuery {
        kinds: vec!["setting"],
        to: Some(stretch.end),
        ..EntryQuery::of(stretch.bench.trial.id)
    })?;
    let acts = entries.iter().filter(|e| {
        let kind = e.act.kind();
        kind != "setting" && load::is_treatment(kind)
    });
    let acts: Vec<(Date, &Entry)> = acts.map(|e| (days::of(e), e)).collect();
    let mut found = Vec::new();
    for (from, to) in units(stretch) {
        let Some(place) = place(stretch, from, to) else {
            continue;
        };
        let here = acts.iter().filter(|(day, _)| from <= *day && *day < to);
        let mut read: Vec<Entry> = here.map(|(_, e)| (*e).clone()).collect();
        read.extend(settings.iter().cloned());
        if read.is_empty() {
            continue;
        }
        let rows = unequal::treatment(stretch.bench, &read, from, to).rows;
        // Tanks that were set up unlike are so in every stretch: only what was set later counts.
        let set_up: Vec<TreatmentRow> = if settings.is_empty() {
            Vec::new()
        } else {
            unequal::treatment(stretch.bench, &[], from, to).rows
        };
        let rows = rows.into_iter().filter(|row| {
            let as_set_up =
                |other: &TreatmentRow| other.what == row.what && other.tanks == row.tanks;
            row.alike != Alike::Equal && (row.counted || !set_up.iter().any(as_set_up))
        });
        gather(stretch, place, rows.collect(), &mut found);
    }
    Ok(found)
}

/// Days, or the stretches where those are longer.
fn units(stretch: &Stretch) -> Vec<(Date, Date)> {
    if stretch.unit >= Unit::Day {
        let ends = |s: &super::Slot| (s.from.date(), s.to.date());
        return stretch.slots.iter().map(ends).collect();
    }
    let mut days = Vec::new();
    let mut day = stretch.window.from;
    while day < stretch.window.to {
        let Ok(next) = day.tomorrow() else { break };
        days.push((day, next));
        day = next;
    }
    days
}

fn place(stretch: &Stretch, from: Date, to: Date) -> Option<(usize, usize)> {
    let last = to.yesterday().ok()?;
    let (first, _) = stretch.slots_of_day(from)?;
    let (_, last) = stretch.slots_of_day(last)?;
    Some((first, last))
}

/// The rows of one family and weight as one mark.
fn gather(
    stretch: &Stretch,
    (first, last): (usize, usize),
    rows: Vec<TreatmentRow>,
    found: &mut Vec<Unlike>,
) {
    let unit = stretch.unit.max(Unit::Day);
    for alike in [Alike::WithinArm, Alike::BetweenArms] {
        for family in Family::ALL {
            let of = |r: &&TreatmentRow| r.alike == alike && Family::of(r.act) == family;
            let rows: Vec<&TreatmentRow> = rows.iter().filter(of).collect();
            let Some(leading) = rows.first() else {
                continue;
            };
            let mut tanks = Vec::new();
            for row in rows.iter().filter(|_| alike == Alike::WithinArm) {
                for tank in unequal::apart(stretch.bench, &row.tanks) {
                    if !tanks.contains(&tank) {
                        tanks.push(tank);
                    }
                }
            }
            let whats: Vec<String> = rows.iter().map(|r| r.what.clone()).collect();
            found.push(Unlike {
                first,
                last,
                family,
                alike,
                tanks,
                when: slot_words(&stretch.slots[first], unit),
                what: trial::describe::list(&whats),
                totals: unequal::totals_text(&leading.tanks, leading.unit),
            });
        }
    }
}

/// By how often alone, where entries are too many to read.
pub(super) fn by_count(stretch: &Stretch, counts: &[KindCounts]) -> Vec<Unlike> {
    let mut found = Vec::new();
    for slot in 0..stretch.slots.len() {
        for kind in load::TREATMENT_KINDS {
            let of = |tank: TankId| -> u32 {
                let mine = |c: &&KindCounts| c.tank == Some(tank) && c.kind == kind;
                let counted = counts.iter().find(mine);
                counted
                    .and_then(|c| c.counts.get(slot))
                    .copied()
                    .unwrap_or(0)
            };
            let totals: Vec<TankTotal> = stretch
                .bench
                .tanks
                .iter()
                .map(|t| TankTotal {
                    tank: t.id,
                    name: t.name.clone(),
                    value: Some(f64::from(of(t.id))),
                })
                .collect();
            let alike = unequal::alike(stretch.bench, &totals);
            if alike == Alike::Equal {
                continue;
            }
            found.push(Unlike {
                first: slot,
                last: slot,
                family: Family::of(kind),
                alike,
                tanks: match alike {
                    Alike::WithinArm => unequal::apart(stretch.bench, &totals),
                    _ => Vec::new(),
                },
                when: slot_words(&stretch.slots[slot], stretch.unit),
                what: t!(
                    "timeline.how_often",
                    what = trial::describe::kind_name(kind)
                ),
                totals: counted_words(kind, &totals),
            });
        }
    }
    found
}

fn counted_words(kind: &str, totals: &[TankTotal]) -> String {
    let one = |t: &TankTotal| {
        let n = t.value.unwrap_or(0.0) as u32;
        format!("{} {}", t.name, count_words(kind, n))
    };
    totals.iter().map(one).collect::<Vec<_>>().join(", ")
}
