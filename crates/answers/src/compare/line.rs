//! The masses of one line of cuttings in one tank, as the growth rate reckons with them: what was
//! weighed standing, what left the line, what came back into it, and what it made in all.

use super::growth::{self, FamilyGrowth, Flow, Weighing, plus};
use super::{Seen, Window};
use evidence::growth::balance::Mass;
use jiff::civil::Date;
use quantity::{Basis, Estimate, Interval};
use serde::Serialize;
use text::t;
use trial::{Act, Bench, Entry, EntryId, PlantingId, TankId};

/// A line of cuttings in one tank: its weighings, and what left it or came back.
pub(super) struct Course {
    /// The plantings of the line in that tank, its founder first.
    pub(super) members: Vec<PlantingId>,
    /// Oldest first.
    pub(super) weighings: Vec<Weighing>,
    /// In the order of the entries.
    pub(super) flows: Vec<Flow>,
}

impl Course {
    /// The first and the last weighing of the span, by their places: from the last one at or before
    /// its start, else the first inside it; none when the line was not weighed twice.
    pub(super) fn ends(&self, window: Window) -> Option<(usize, usize)> {
        let all = &self.weighings;
        let first = all
            .iter()
            .rposition(|w| w.day <= window.from && w.after.is_some())
            .or_else(|| {
                all.iter()
                    .position(|w| w.day < window.to && w.after.is_some())
            })?;
        let last = all
            .iter()
            .rposition(|w| w.day < window.to && w.before.is_some())?;
        (all[first].day < all[last].day).then_some((first, last))
    }

    /// Its growth between them.
    pub(super) fn growth(&self, window: Window) -> Option<FamilyGrowth> {
        let (first, last) = self.ends(window)?;
        let (start, end) = (&self.weighings[first], &self.weighings[last]);
        let (rate, records) = growth::rate(&self.weighings[first..=last], &self.flows)?;
        let at = |w: &Weighing, m: Option<Mass>| {
            m.map(|m| Seen {
                from: w.day,
                to: w.day,
                value: m.value,
            })
        };
        Some(FamilyGrowth {
            start: at(start, start.after)?,
            end: at(end, end.before)?,
            rate,
            records,
        })
    }
}

/// The course of the line that `founder` began, in the founder's tank.
pub(super) fn course(bench: &Bench, entries: &[Entry], founder: PlantingId) -> Option<Course> {
    let tank = bench.planting(founder)?.tank;
    let members: Vec<PlantingId> = bench
        .family(founder)
        .iter()
        .filter(|p| p.tank == tank)
        .map(|p| p.id)
        .collect();
    Some(Course {
        weighings: growth::weighings(bench, entries, &members),
        flows: growth::flows(entries, &members, tank),
        members,
    })
}

/// The masses of a line in one tank, and what follows from them over a span.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LineMasses {
    /// The planting that began the line in this tank.
    pub founder: PlantingId,
    /// The plantings of the line in this tank, the founder first.
    pub members: Vec<PlantingId>,
    /// What was weighed standing, oldest first; grams.
    pub standing: Vec<Standing>,
    /// What left the line or came back into it with its mass, oldest first.
    pub moved: Vec<MassMoved>,
    /// Cuts and moves whose mass was not taken: what they took out is missing in all figures here.
    pub unweighed: Vec<EntryId>,
    /// The weighing that the rate starts from; grams.
    pub start: Option<Seen>,
    /// The weighing that it ends at; grams.
    pub end: Option<Seen>,
    /// Grams taken out between them, those planted back included.
    pub out: f64,
    /// Grams of it planted back into the line.
    pub back: f64,
    /// Grams made between them: end + out - back - start. Refused when the line was not weighed
    /// twice.
    pub made: Estimate,
    /// The growth rate between them, 1/day, as the comparison gives it for a tank with this line
    /// alone.
    pub growth: Estimate,
}

/// The whole line weighed at one time.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Standing {
    /// The day.
    pub day: Date,
    /// The entry; none for the mass planted.
    pub entry: Option<EntryId>,
    /// Standing mass, before what was cut that day.
    pub before: Estimate,
    /// Standing mass after it.
    pub after: Estimate,
    /// Whether it was reckoned from a weighed cut and the share left, and not weighed itself.
    pub from_cut: bool,
}

/// Mass that left the line or came back.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct MassMoved {
    /// The day.
    pub day: Date,
    /// The entry.
    pub entry: EntryId,
    /// Grams.
    pub grams: f64,
    /// Whether it was planted back into the line.
    pub back: bool,
}

/// The masses of the line that `founder` began in its tank, with growth over `window`. `entries` are
/// those of [`super::KINDS`] of the whole trial, oldest first. None when there is no such planting.
pub fn line_masses(
    bench: &Bench,
    entries: &[Entry],
    window: Window,
    founder: PlantingId,
) -> Option<LineMasses> {
    let tank = bench.planting(founder)?.tank;
    let course = course(bench, entries, founder)?;
    let growth: Vec<FamilyGrowth> = course.growth(window).into_iter().collect();
    let between = course.between(window);
    let grams = |back: bool| {
        let some = between.iter().filter(|f| f.back == back);
        some.map(|f| f.mass.value).sum()
    };
    Some(LineMasses {
        founder,
        standing: course.weighings.iter().filter_map(standing).collect(),
        moved: moved(&course.flows),
        unweighed: unweighed(entries, &course.members, tank),
        start: growth.first().map(|g| g.start),
        end: growth.first().map(|g| g.end),
        out: grams(false),
        back: grams(true),
        made: made(&course, window, &between, growth.first()),
        growth: growth::tank_rate(&growth),
        members: course.members,
    })
}

impl Course {
    /// What moved between the two weighings of the span. What left on the last day still stood when
    /// it was weighed.
    fn between(&self, window: Window) -> Vec<&Flow> {
        let Some((first, last)) = self.ends(window) else {
            return vec![];
        };
        let (first, last) = (self.weighings[first].day, self.weighings[last].day);
        let inside = |f: &&Flow| first < f.day && f.day < last;
        self.flows.iter().filter(inside).collect()
    }
}

fn standing(weighing: &Weighing) -> Option<Standing> {
    let source = if weighing.cut {
        "mass before a cut = mass cut / (1 - share left); share by eye to 0.1"
    } else {
        "weighed, blotted; to 5 %"
    };
    let records = weighing.entry.map(|e| e.to_string());
    let grams = |mass: Mass| {
        let within = Interval::closed(mass.low, mass.high).unwrap_or(Interval::UNBOUNDED);
        let basis = Basis::of(source, "bounds: our own choice, no source");
        Estimate::bounds(
            Some(mass.value),
            within,
            basis.with_records(records.clone()),
        )
    };
    Some(Standing {
        day: weighing.day,
        entry: weighing.entry,
        before: grams(weighing.before?),
        after: grams(weighing.after?),
        from_cut: weighing.cut,
    })
}

fn moved(flows: &[Flow]) -> Vec<MassMoved> {
    let one = |f: &Flow| MassMoved {
        day: f.day,
        entry: f.entry,
        grams: f.mass.value,
        back: f.back,
    };
    let mut all: Vec<MassMoved> = flows.iter().map(one).collect();
    all.sort_by_key(|m| m.day);
    all
}

/// Entries that took plants of the line out of its tank without a mass.
fn unweighed(entries: &[Entry], members: &[PlantingId], tank: TankId) -> Vec<EntryId> {
    let one_of = |plantings: &[PlantingId]| plantings.iter().any(|p| members.contains(p));
    let without = |e: &&Entry| match &e.act {
        Act::Trim(t) => t.out_fresh_g.is_none() && one_of(&t.plantings),
        Act::Thin(t) => t.out_fresh_g.is_none() && one_of(&t.plantings),
        Act::Move(m) => m.fresh_g.is_none() && members.contains(&m.planting),
        _ => false,
    };
    let here = entries.iter().filter(|e| e.tanks.contains(&tank));
    here.filter(without).map(|e| e.id).collect()
}

/// End + out - back - start, each to its own bounds: all at their least favourable ends together.
fn made(
    course: &Course,
    window: Window,
    between: &[&Flow],
    growth: Option<&FamilyGrowth>,
) -> Estimate {
    let ends = course.ends(window).zip(growth);
    let masses = ends.and_then(|((first, last), growth)| {
        let start = course.weighings[first].after?;
        Some((start, course.weighings[last].before?, growth))
    });
    let Some((start, end, growth)) = masses else {
        let why = t!("compare.weighed_twice_needed");
        return Estimate::refused("weighed_twice_needed", why, Basis::default());
    };
    let sum = |back: bool| {
        let some = between.iter().filter(|f| f.back == back);
        some.fold(Mass::exact(0.0), |total, f| plus(total, f.mass))
    };
    let (out, back) = (sum(false), sum(true));
    let low = end.low + out.low - back.high - start.high;
    let high = end.high + out.high - back.low - start.low;
    let basis = Basis::of(
        "mass made = mass at the end + taken out - planted back - mass at the start",
        "arithmetic; bounds: fresh mass to 5 %, share kept to 0.1 by eye (our own choice)",
    );
    Estimate::bounds(
        Some(end.value + out.value - back.value - start.value),
        Interval::closed(low, high).unwrap_or(Interval::UNBOUNDED),
        basis.with_records(growth.records.iter().map(ToString::to_string)),
    )
}
