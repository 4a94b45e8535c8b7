//! What a walk-round asks: the primary outcome of every plant first, then the others in turn, those
//! not looked at for longest first, so that a few walk-rounds cover them all.

use super::step::seen_in;
use crate::days;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use trial::act::{Fate, MaskedBy, Surface, WalkStep};
use trial::rules::WALKED;
use trial::types::{Measure, Outcome};
use trial::{Act, Bench, Entry, Planting, PlantingId};

/// How much a walk-round looks at beside the primary outcome.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Length {
    /// Nothing more.
    Short,
    /// One more outcome of each plant, and algae on one surface.
    #[default]
    Usual,
    /// Three more of each, and algae on three surfaces.
    Long,
    /// Everything.
    Full,
}

impl Length {
    /// All of them, the shortest first.
    pub const ALL: [Length; 4] = [Length::Short, Length::Usual, Length::Long, Length::Full];

    fn others(self) -> usize {
        match self {
            Length::Short => 0,
            Length::Usual => 1,
            Length::Long => 3,
            Length::Full => usize::MAX,
        }
    }
}

/// Scores of a plant that are always in turn; others are once they were named or looked at.
const ALWAYS: [Measure; 4] = [
    Measure::Vigour,
    Measure::NewLeaf,
    Measure::Density,
    Measure::Colour,
];

/// What can be judged on a picture; lengths need a ruler.
const ON_PICTURES: [Measure; 5] = [
    Measure::Vigour,
    Measure::NewLeaf,
    Measure::Density,
    Measure::Colour,
    Measure::Cover,
];

/// One plant in all tanks that hold it.
struct Group<'a> {
    first: &'a Planting,
    plantings: Vec<PlantingId>,
}

/// The steps of a walk-round on `today`. `entries` are the effective entries of the kinds that
/// walk-rounds read. The same log gives the same steps.
pub fn steps(
    bench: &Bench,
    entries: &[Entry],
    today: Date,
    length: Length,
    masked: Option<MaskedBy>,
) -> Vec<WalkStep> {
    let fits = |m: Measure| masked != Some(MaskedBy::Pictures) || ON_PICTURES.contains(&m);
    let groups = groups(bench, entries, today);
    let primary = primary(bench).filter(|o| fits(o.measure) || algae(o.measure));
    let measure = primary.map_or(Measure::Vigour, |o| o.measure);
    let mut all = Vec::new();
    if algae(measure) {
        all.push(surface_step(measure, Surface::Pane));
    }
    let mut ordered: Vec<&Group> = groups.iter().collect();
    let named = primary.and_then(|o| o.plant.as_deref());
    ordered.sort_by_key(|g| named.is_some_and(|plant| g.first.scientific_name != plant));
    // A measure that says nothing about a plant, such as the cover of a stem plant, gives way.
    let first = |g: &Group| match measure {
        m if !algae(m) && applies(bench, entries, g, m) => m,
        _ => Measure::Vigour,
    };
    all.extend(ordered.iter().map(|g| g.step(first(g))));
    for group in &ordered {
        let mut others = others(bench, entries, group, first(group));
        others.retain(|m| fits(*m));
        all.extend(
            others
                .into_iter()
                .take(length.others())
                .map(|m| group.step(m)),
        );
    }
    let surfaces = surfaces(bench, entries).into_iter();
    let new = surfaces.filter(|s| !all.contains(s)).collect::<Vec<_>>();
    all.extend(new.into_iter().take(length.others()));
    all
}

impl Group<'_> {
    fn step(&self, measure: Measure) -> WalkStep {
        WalkStep {
            measure,
            surface: None,
            plantings: self.plantings.clone(),
        }
    }
}

fn surface_step(measure: Measure, surface: Surface) -> WalkStep {
    WalkStep {
        measure,
        surface: Some(surface),
        plantings: vec![],
    }
}

fn algae(measure: Measure) -> bool {
    matches!(measure, Measure::Film | Measure::Thread)
}

/// The first outcome named in advance that can be looked at, the primary one before the others.
fn primary(bench: &Bench) -> Option<&Outcome> {
    let trial = &bench.trial;
    let mut named = trial.primary.iter().chain(&trial.secondary);
    named.find(|o| WALKED.contains(&o.measure) || algae(o.measure))
}

/// Plants by name and label, as they stand from the left; what is lost or gone is left out.
fn groups<'a>(bench: &'a Bench, entries: &[Entry], today: Date) -> Vec<Group<'a>> {
    let mut groups: Vec<Group> = Vec::new();
    for tank in &bench.tanks {
        for p in bench.plantings_in(tank.id) {
            if !stands(p, entries, today) {
                continue;
            }
            let same = |g: &&mut Group| {
                g.first.scientific_name == p.scientific_name && g.first.label == p.label
            };
            match groups.iter_mut().find(same) {
                Some(group) => group.plantings.push(p.id),
                None => groups.push(Group {
                    first: p,
                    plantings: vec![p.id],
                }),
            }
        }
    }
    groups
}

fn stands(p: &Planting, entries: &[Entry], today: Date) -> bool {
    let gone = |e: &Entry| match &e.act {
        Act::Loss(l) => l.whole && l.planting == p.id,
        Act::Harvest(h) => h.planting == p.id && h.fate != Fate::PlantedBack,
        Act::Move(m) => {
            let all = m.share.is_none_or(|s| s >= 1.0) && m.fresh_g.is_none();
            m.planting == p.id && all
        }
        _ => false,
    };
    p.planted.is_none_or(|day| day <= today) && !entries.iter().any(gone)
}

/// Whether an outcome named in advance measures this of a plant.
fn named(bench: &Bench, group: &Group<'_>, measure: Measure) -> bool {
    let plant = &group.first.scientific_name;
    let mut outcomes = bench.trial.primary.iter().chain(&bench.trial.secondary);
    outcomes.any(|o| o.measure == measure && o.plant.as_ref().is_none_or(|p| p == plant))
}

/// Whether a measure is looked at on a plant: the scores, what was named in advance, what was ever
/// looked at, and the height of what does not float.
fn applies(bench: &Bench, entries: &[Entry], group: &Group<'_>, measure: Measure) -> bool {
    ALWAYS.contains(&measure)
        || named(bench, group, measure)
        || newest(entries, &group.step(measure)).is_some()
        || (measure == Measure::Height && !group.first.floating)
}

/// The other outcomes of a plant, not looked at for longest first.
fn others(bench: &Bench, entries: &[Entry], group: &Group<'_>, first: Measure) -> Vec<Measure> {
    let mut all: Vec<Measure> = WALKED
        .into_iter()
        .filter(|m| *m != first && applies(bench, entries, group, *m))
        .collect();
    // Sorting is stable: what was never looked at keeps the order of the list, named ones first.
    all.sort_by_key(|m| (newest(entries, &group.step(*m)), !named(bench, group, *m)));
    all
}

/// Algae by surface, not looked at for longest first. Stones and wood only where there are some.
fn surfaces(bench: &Bench, entries: &[Entry]) -> Vec<WalkStep> {
    let hard = bench.tanks.iter().any(|t| t.hardscape_l.is_some());
    let pairs = [
        (Measure::Film, Surface::Pane),
        (Measure::Thread, Surface::Plants),
        (Measure::Film, Surface::Plants),
        (Measure::Thread, Surface::Hardscape),
        (Measure::Film, Surface::Hardscape),
        (Measure::Thread, Surface::Substrate),
        (Measure::Film, Surface::Substrate),
        (Measure::Thread, Surface::Pane),
    ];
    let mut all: Vec<WalkStep> = pairs
        .into_iter()
        .map(|(m, s)| surface_step(m, s))
        .filter(|step| {
            step.surface != Some(Surface::Hardscape) || hard || newest(entries, step).is_some()
        })
        .collect();
    all.sort_by_key(|step| newest(entries, step));
    all
}

/// The newest day on which any tank of the step was looked at.
fn newest(entries: &[Entry], step: &WalkStep) -> Option<Date> {
    seen_in(entries, step).map(|(e, _)| days::of(e)).max()
}
