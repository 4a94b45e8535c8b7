//! Relative growth of a line of cuttings from its weighings.
//!
//! Between two weighings the mass taken out is added back, less what was planted back into the same
//! line in the same tank, so that a replanted cutting is counted once. Where a trim was weighed and
//! the share kept is known, the standing mass before and after it is known too, and the line grows
//! in undisturbed stretches (`evidence::growth`, Hunt 1982; Hoffmann & Poorter 2002).

use super::{Seen, Window, basis};
use crate::days;
use evidence::growth::balance::{DatedMass, GrowthRate, GrowthRecord, Mass, Measure, Stretch};
use jiff::civil::Date;
use quantity::{Basis, Estimate, Interval};
use text::t;
use trial::{Act, Bench, Entry, EntryId, Finding, PlantingId, Severity, TankId};

/// How far a share kept, judged by eye, may be off (our own choice, no source).
const SHARE_BY_EYE: f64 = 0.1;
/// Blotting and a kitchen scale: relative error of a fresh mass (our own choice, no source).
const FRESH_MASS_ERROR: f64 = 0.05;

/// How many days before the span a growth rate may start without being named.
const EARLY_DAYS: f64 = 10.0;

/// The growth of one line in one tank.
pub(super) struct FamilyGrowth {
    pub(super) start: Seen,
    pub(super) end: Seen,
    pub(super) rate: GrowthRate,
    pub(super) records: Vec<EntryId>,
}

/// The standing mass of the whole line at one time, before and after what was done to it then.
#[derive(Clone)]
pub(super) struct Weighing {
    pub(super) day: Date,
    pub(super) before: Option<Mass>,
    pub(super) after: Option<Mass>,
    /// Whether something was cut that day, so that `after` is less than `before`.
    pub(super) cut: bool,
    pub(super) entry: Option<EntryId>,
}

/// Mass taken out of the line or planted back into it.
pub(super) struct Flow {
    pub(super) day: Date,
    pub(super) mass: Mass,
    pub(super) back: bool,
    pub(super) entry: EntryId,
}

/// The growth of the line that `founder` began, over `window`; none when it was not weighed twice.
pub(super) fn family(
    bench: &Bench,
    entries: &[Entry],
    window: Window,
    founder: PlantingId,
) -> Option<FamilyGrowth> {
    super::line::course(bench, entries, founder)?.growth(window)
}

/// Over undisturbed stretches where every trim was weighed with its share kept; else with the
/// trimmed mass added back between the first and the last weighing.
pub(super) fn rate(weighings: &[Weighing], flows: &[Flow]) -> Option<(GrowthRate, Vec<EntryId>)> {
    let (first, last) = (weighings.first()?, weighings.last()?);
    let mut records: Vec<EntryId> = weighings.iter().filter_map(|w| w.entry).collect();
    let day = |d: Date| days::between(first.day, d);
    let weighed_at = |d: Date| weighings.iter().any(|w| w.day == d && w.before.is_some());
    let between: Vec<&Flow> = flows
        .iter()
        .filter(|f| first.day < f.day && f.day <= last.day)
        .collect();
    let undisturbed = between.iter().all(|f| weighed_at(f.day));
    let dated = |d: Date, mass: Option<Mass>| mass.map(|mass| DatedMass { day: day(d), mass });
    let answer = if undisturbed {
        let stretches: Option<Vec<Stretch>> = weighings
            .windows(2)
            .map(|w| {
                let from = dated(w[0].day, w[0].after)?;
                Some(Stretch {
                    from,
                    to: dated(w[1].day, w[1].before)?,
                })
            })
            .collect();
        evidence::growth::balance::over_stretches(Measure::FreshMass, &stretches?)
    } else {
        // What leaves on the last day was still standing when it was weighed.
        let part = |back: bool| -> Vec<DatedMass> {
            between
                .iter()
                .filter(|f| f.back == back && f.day < last.day)
                .map(|f| DatedMass {
                    day: day(f.day),
                    mass: f.mass,
                })
                .collect()
        };
        evidence::growth::balance::added_back(&GrowthRecord {
            measure: Measure::FreshMass,
            start: dated(first.day, first.after)?,
            end: dated(last.day, last.before)?,
            removed: part(false),
            replanted: part(true),
        })
    };
    records.extend(between.iter().map(|f| f.entry));
    answer.ok().map(|rate| (rate, records))
}

/// The days on which every living member of the line was weighed, oldest first.
pub(super) fn weighings(bench: &Bench, entries: &[Entry], members: &[PlantingId]) -> Vec<Weighing> {
    let mut all: Vec<Weighing> = Vec::new();
    if let [only] = members {
        all.extend(start_mass(bench, *only));
        all.extend(
            entries
                .iter()
                .filter_map(|e| weighing_of(e, *only, members)),
        );
    } else {
        // A line of several plantings has a mass only where all of them were weighed on one day;
        // before the first cutting was planted apart, the founder's mass is the line's.
        let founder = members.first().copied();
        let split = members
            .iter()
            .skip(1)
            .filter_map(|m| days::planted(bench, *m))
            .min();
        let alone = |d: Date| split.is_none_or(|s| d < s);
        if let Some(founder) = founder {
            all.extend(start_mass(bench, founder).filter(|w| alone(w.day)));
            all.extend(
                entries
                    .iter()
                    .filter(|e| alone(days::of(e)))
                    .filter_map(|e| weighing_of(e, founder, members)),
            );
            let at_split = |day| {
                entries
                    .iter()
                    .filter(move |e| days::of(e) == day)
                    .find_map(|e| weighing_of(e, founder, members))
            };
            all.extend(split.and_then(at_split));
        }
        all.extend(together(bench, entries, members));
    }
    for weighing in all.iter_mut().filter(|w| w.cut) {
        weighing.after = weighing
            .after
            .map(|m| plus(m, planted_back(entries, members, weighing.day)));
    }
    all.sort_by_key(|w| w.day);
    all
}

/// What was planted back into the line on the day of a cut stands after it.
fn planted_back(entries: &[Entry], members: &[PlantingId], day: Date) -> Mass {
    let grams = entries
        .iter()
        .filter(|e| days::of(e) == day)
        .filter_map(|e| match &e.act {
            Act::Replant(r) if members.contains(&r.from) && members.contains(&r.into) => r.fresh_g,
            _ => None,
        });
    weighed(grams.sum())
}

fn together(bench: &Bench, entries: &[Entry], members: &[PlantingId]) -> Vec<Weighing> {
    let mut found = Vec::new();
    let mut seen_days: Vec<Date> = entries
        .iter()
        .filter(|e| {
            members
                .iter()
                .any(|m| weighing_of(e, *m, members).is_some())
        })
        .map(days::of)
        .collect();
    seen_days.dedup();
    for day in seen_days {
        let alive = members.iter().filter(|m| {
            days::planted(bench, **m).is_none_or(|d| d <= day) && !lost_before(entries, **m, day)
        });
        let each: Option<Vec<Weighing>> = alive
            .map(|m| {
                entries
                    .iter()
                    .filter(|e| days::of(e) == day)
                    .find_map(|e| weighing_of(e, *m, members))
            })
            .collect();
        let Some(each) = each.filter(|e| e.len() > 1) else {
            continue;
        };
        let sum = |pick: fn(&Weighing) -> Option<Mass>| -> Option<Mass> {
            each.iter()
                .map(pick)
                .try_fold(Mass::exact(0.0), |total, m| Some(plus(total, m?)))
        };
        found.push(Weighing {
            day,
            before: sum(|w| w.before),
            after: sum(|w| w.after),
            cut: each.iter().any(|w| w.cut),
            entry: each.first().and_then(|w| w.entry),
        });
    }
    found
}

fn lost_before(entries: &[Entry], planting: PlantingId, day: Date) -> bool {
    entries.iter().any(|e| {
        days::of(e) <= day && matches!(&e.act, Act::Loss(l) if l.whole && l.planting == planting)
    })
}

fn start_mass(bench: &Bench, planting: PlantingId) -> Option<Weighing> {
    let grams = bench.planting(planting)?.fresh_g?;
    let mass = weighed(grams);
    Some(Weighing {
        day: days::planted(bench, planting)?,
        before: Some(mass),
        after: Some(mass),
        cut: false,
        entry: None,
    })
}

/// What one entry says about the standing mass of one planting.
fn weighing_of(entry: &Entry, planting: PlantingId, line: &[PlantingId]) -> Option<Weighing> {
    let standing = |before: Mass, after: Mass, cut: bool| Weighing {
        day: days::of(entry),
        before: Some(before),
        after: Some(after),
        cut,
        entry: Some(entry.id),
    };
    let cut = |plantings: &[PlantingId], out: Option<f64>, kept: Option<f64>| {
        let (out, kept) = (out?, kept?);
        let one = plantings.iter().filter(|p| line.contains(p)).count() == 1;
        (one && plantings.contains(&planting) && kept > 0.0 && kept < 1.0).then(|| {
            let before = from_cut(out, kept);
            standing(before, less(before, weighed(out)), true)
        })
    };
    match &entry.act {
        Act::Observation(o) if o.plantings.contains(&planting) => {
            o.fresh_g.map(|g| standing(weighed(g), weighed(g), false))
        }
        Act::Harvest(h) if h.planting == planting => {
            h.fresh_g.map(|g| standing(weighed(g), weighed(g), false))
        }
        Act::Trim(t) => cut(&t.plantings, t.out_fresh_g, t.kept_share),
        Act::Thin(t) => cut(&t.plantings, t.out_fresh_g, t.kept_share),
        _ => None,
    }
}

/// Standing mass before a cut of `out` grams that left the share `kept`: out / (1 - kept).
fn from_cut(out: f64, kept: f64) -> Mass {
    let mass = |out: f64, kept: f64| out / (1.0 - kept.clamp(0.02, 0.98));
    let (out_low, out_high) = (
        out * (1.0 - FRESH_MASS_ERROR),
        out * (1.0 + FRESH_MASS_ERROR),
    );
    Mass {
        low: mass(out_low, kept - SHARE_BY_EYE).max(out_low),
        value: mass(out, kept),
        high: mass(out_high, kept + SHARE_BY_EYE),
    }
}

fn weighed(grams: f64) -> Mass {
    Mass::within(grams, grams * FRESH_MASS_ERROR)
}

pub(super) fn plus(a: Mass, b: Mass) -> Mass {
    Mass {
        low: a.low + b.low,
        value: a.value + b.value,
        high: a.high + b.high,
    }
}

/// What is left of a clump after a cut: the same cut's own bounds, so ends go together.
fn less(before: Mass, out: Mass) -> Mass {
    Mass {
        low: (before.low - out.low).max(0.0),
        value: (before.value - out.value).max(0.0),
        high: (before.high - out.high).max(0.0),
    }
}

/// Everything weighed out of the line, and back into it, in its tank.
pub(super) fn flows(entries: &[Entry], members: &[PlantingId], tank: TankId) -> Vec<Flow> {
    let one_of = |plantings: &[PlantingId]| plantings.iter().any(|p| members.contains(p));
    entries
        .iter()
        .filter(|e| e.tanks.contains(&tank))
        .filter_map(|e| {
            let (grams, back) = match &e.act {
                Act::Trim(t) if one_of(&t.plantings) => (t.out_fresh_g?, false),
                Act::Thin(t) if one_of(&t.plantings) => (t.out_fresh_g?, false),
                Act::Move(m) if members.contains(&m.planting) => (m.fresh_g?, false),
                Act::Replant(r) if members.contains(&r.from) && members.contains(&r.into) => {
                    (r.fresh_g?, true)
                }
                _ => return None,
            };
            Some(Flow {
                day: days::of(e),
                mass: weighed(grams),
                back,
                entry: e.id,
            })
        })
        .collect()
}

/// The mean rate of a tank's lines, between the means of their bounds.
pub(super) fn tank_rate(rates: &[FamilyGrowth]) -> Estimate {
    const FORMULA: &str = "RGR = ln(mass at end / mass at start) / days, trimmed mass added back or \
                           stretches between weighed trims summed; mean over lines";
    const SOURCE: &str = "Hunt 1982 (from memory); Hoffmann & Poorter 2002, Ann. Bot. 90:37-42; \
                          bounds: fresh mass to 5 %, share kept to 0.1 by eye (our own choice)";
    if rates.is_empty() {
        return Estimate::refused(
            "weighed_twice_needed",
            t!("compare.weighed_twice_needed"),
            Basis::default(),
        );
    }
    let mean = |pick: fn(&GrowthRate) -> f64| {
        super::collect::mean(&rates.iter().map(|r| pick(&r.rate)).collect::<Vec<_>>())
    };
    let records: Vec<EntryId> = rates
        .iter()
        .flat_map(|r| r.records.iter().copied())
        .collect();
    let within = Interval::closed(mean(|r| r.low), mean(|r| r.high)).unwrap_or(Interval::UNBOUNDED);
    Estimate::bounds(
        Some(mean(|r| r.rate)),
        within,
        basis(FORMULA, SOURCE, &records),
    )
}

/// Tanks in which a growth rate starts well before the span asked for.
pub(super) fn begun_before(
    bench: &Bench,
    plant: &str,
    row: &super::Row,
    window: Window,
) -> Option<Finding> {
    let early: Vec<(&super::TankChange, Date)> = row
        .tanks
        .iter()
        .filter_map(|t| Some((t, t.start?.from)))
        .filter(|(_, from)| days::between(*from, window.from) > EARLY_DAYS)
        .collect();
    let tanks: Vec<String> = early
        .iter()
        .map(|(t, from)| format!("{} ({from})", t.name))
        .collect();
    let subjects = early
        .iter()
        .flat_map(|(t, _)| super::collect::of_plant(bench, t.tank, plant));
    (!tanks.is_empty()).then(|| {
        Finding::new(
            "weighed_before_window",
            Severity::Weakens,
            t!(
                "compare.weighed_before_window",
                plant = plant,
                tanks = tanks.join(", ")
            ),
            t!("compare.weighed_before_window_remedy"),
        )
        .about(subjects)
    })
}

/// Summed masses of a tank's lines.
pub(super) fn masses(rates: &[FamilyGrowth], pick: fn(&FamilyGrowth) -> Seen) -> Option<Seen> {
    let all: Vec<Seen> = rates.iter().map(pick).collect();
    Some(Seen {
        from: all.iter().map(|s| s.from).min()?,
        to: all.iter().map(|s| s.to).max()?,
        value: all.iter().map(|s| s.value).sum(),
    })
}
