//! Where the arms differed before the treatment began.
//!
//! Stated as seen and never tested: whether a baseline difference arose by chance is no question when
//! tanks were given to arms by lot, and a test of it says nothing about how far it reaches (Senn
//! 1994, Stat. Med. 13:1715-1726, from memory). A change from start to end takes a difference of
//! levels out of the comparison, but not one in how fast things were going already (Stewart-Oaten,
//! Murdoch & Parker 1986, Ecology 67:929-940).

use super::{Difference, Row, Scale, TankChange, Window, collect, judge};
use crate::days;
use quantity::{Basis, Estimate, Format};
use text::t;
use trial::describe::{measure_name, measure_unit};
use trial::finding::Subject;
use trial::types::{Measure, PhaseKind};
use trial::{Bench, Entry, Finding, Severity};

/// From which ratio on sizes and masses count as different: judged by eye, ruler or kitchen scale
/// they are not known better than this (our own choice, no source).
const RATIO: f64 = 1.1;
/// From which difference on scores count as different: half a point is a step of most scales (our own
/// choice, no source).
const POINTS: f64 = 0.5;
/// A look this many days from the treatment's first day still shows how it began.
const NEAR_DAYS: f64 = 10.0;

/// One sentence on every outcome named in advance in which the arms differed before the treatment
/// began, and on growth of the primary outcome's plant; none when they were alike or when nothing
/// was looked at by then. The number of outcomes it names comes with it.
pub(super) fn differed(bench: &Bench, entries: &[Entry], rows: &[Row]) -> Option<Finding> {
    let treatment = bench.trial.treatment()?.from;
    let begins = bench.trial.phases.iter();
    let begins = begins.filter(|p| p.kind == PhaseKind::Baseline);
    let from = begins.map(|p| p.from).min().or(bench.trial.start);
    // What is seen on the treatment's first day was grown before it.
    let window = Window {
        from: from.filter(|f| *f < treatment).unwrap_or(treatment),
        to: treatment.tomorrow().ok()?,
    };
    let primary = rows.iter().find(|r| r.primary);
    let asked = |row: &&Row| {
        let its_growth = primary.is_some_and(|p| p.plant.is_some() && p.plant == row.plant);
        row.primary || row.better.is_some() || (row.measure == Measure::Growth && its_growth)
    };
    let before = collect::rows(bench, entries, window, &mut Vec::new());
    let mut clauses = Vec::new();
    let mut subjects = Vec::new();
    for row in rows.iter().filter(asked) {
        let trend = before
            .iter()
            .find(|b| b.plant == row.plant && b.measure == row.measure);
        let level = level(bench, row, treatment);
        let trend = trend.into_iter().flat_map(|b| trend_of(bench, b));
        let found: Vec<String> = level.into_iter().chain(trend).collect();
        if !found.is_empty() {
            subjects.extend(subjects_of(bench, row));
            clauses.extend(found);
        }
    }
    let one_each = bench
        .trial
        .arms
        .iter()
        .all(|a| bench.tanks_of_arm(&a.key).count() < 2);
    (!clauses.is_empty()).then(|| {
        let clauses = clauses.join("; ");
        let what = if one_each {
            t!("compare.baseline_differed_pair", what = clauses)
        } else {
            t!("compare.baseline_differed", what = clauses)
        };
        let remedy = t!("compare.baseline_differed_remedy");
        Finding::new("baseline_differed", Severity::Weakens, what, remedy).about(subjects)
    })
}

/// The plantings behind a row, or the tanks of one that is about whole tanks.
pub(super) fn subjects_of<'a>(
    bench: &'a Bench,
    row: &'a Row,
) -> impl Iterator<Item = Subject> + 'a {
    let plant = row.plant.as_deref();
    let plantings = bench.plantings.iter();
    let plantings = plantings
        .filter(move |p| plant == Some(p.scientific_name.as_str()))
        .map(|p| Subject::Planting(p.id));
    let tanks = row.tanks.iter().map(|t| Subject::Tank(t.tank));
    plantings.chain(tanks.filter(move |_| plant.is_none()))
}

/// How far apart the arms were when the treatment began.
fn level(bench: &Bench, row: &Row, treatment: jiff::civil::Date) -> Vec<String> {
    let scale = match row.scale {
        Scale::Score => Scale::Score,
        Scale::Rate | Scale::Factor | Scale::Count => Scale::Factor,
    };
    let at_start = |t: &TankChange| {
        let near = t
            .start
            .filter(|s| days::between(s.from, treatment).abs() <= NEAR_DAYS);
        let change = match near {
            Some(seen) => Estimate::error_not_stated(seen.value, Basis::default()),
            None => Estimate::refused("two_looks_needed", "", Basis::default()),
        };
        TankChange {
            change,
            ..t.clone()
        }
    };
    let row = Row {
        scale,
        tanks: row.tanks.iter().map(at_start).collect(),
        ..row.clone()
    };
    let unit = match row.measure {
        // Growth starts from masses.
        Measure::Growth => "g",
        other => measure_unit(other),
    };
    let what = match row.measure {
        Measure::Growth => t!("compare.baseline_mass").to_string(),
        other => measure_name(other).to_lowercase(),
    };
    let said = |(d, size): (&Difference, String)| {
        t!(
            "compare.baseline_level",
            plant = plant(&row),
            measure = what,
            of = d.of,
            size = size,
            against = d.against,
            tanks = tanks(&row, unit)
        )
    };
    let found = judge::differences(bench, &row);
    sized(&row, &found).map(said).collect()
}

/// How far apart the arms' changes were before the treatment began.
fn trend_of(bench: &Bench, before: &Row) -> Vec<String> {
    let unit = match before.scale {
        Scale::Rate => t!("compare.per_day"),
        Scale::Factor => t!("compare.baseline_times"),
        Scale::Score | Scale::Count => "",
    };
    let measure = match before.measure {
        Measure::Growth => t!("compare.baseline_growth").to_string(),
        other => measure_name(other).to_lowercase(),
    };
    let said = |(d, size): (&Difference, String)| {
        t!(
            "compare.baseline_trend",
            plant = plant(before),
            measure = measure,
            of = d.of,
            size = size,
            against = d.against,
            tanks = tanks(before, unit)
        )
    };
    let found = judge::differences(bench, before);
    sized(before, &found).map(said).collect()
}

/// The differences that are larger than looking can make, each with its size in words.
fn sized<'a>(
    row: &'a Row,
    found: &'a [Difference],
) -> impl Iterator<Item = (&'a Difference, String)> + 'a {
    let format = Format::default();
    found.iter().filter_map(move |d| {
        let seen = d.seen?;
        let words = match row.scale {
            Scale::Factor => {
                let far = seen > 0.0 && seen.max(1.0 / seen) >= RATIO;
                far.then(|| {
                    t!(
                        "compare.baseline_ratio",
                        ratio = format.significant(seen, 2)
                    )
                })
            }
            Scale::Score => (seen.abs() > POINTS)
                .then(|| t!("compare.baseline_points", points = judge::signed(seen, 2))),
            Scale::Count => (seen.abs() >= 1.0)
                .then(|| t!("compare.baseline_counted", count = judge::signed(seen, 2))),
            Scale::Rate => {
                let largest = row.tanks.iter().filter_map(|t| t.change.value);
                let largest = largest.map(f64::abs).fold(0.0, f64::max);
                (seen.abs() > (RATIO - 1.0) * largest)
                    .then(|| t!("compare.baseline_rate", rate = judge::signed(seen, 2)))
            }
        };
        Some((d, words?))
    })
}

fn plant(row: &Row) -> &str {
    row.plant.as_deref().unwrap_or(t!("compare.whole_tank"))
}

fn tanks(row: &Row, unit: &str) -> String {
    let format = Format::default();
    let each = row.tanks.iter().filter_map(|t| {
        let value = format.significant(t.change.value?, 2);
        let said = format!("{} {value}\u{a0}{unit}", t.name);
        Some(said.trim_end().to_string())
    });
    each.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    //! Every expected figure is worked by hand in the comment beside it.
    use super::*;
    use crate::compare::compare;
    use crate::cost::sample::{START, bench, entry, id, tank};
    use jiff::ToSpan;
    use trial::act::Observation;
    use trial::types::{Better, Outcome, Phase};
    use trial::{Act, Planting, PlantingId, TrialId};

    const PLANT: &str = "Bacopa caroliniana";

    /// The sample bench with one planting in each tank, a baseline of 30 days and then the treatment.
    fn planted() -> Bench {
        let mut bench = bench();
        let day = |n: i64| START.checked_add(n.days()).unwrap();
        let phase = |kind, from, to| Phase {
            kind,
            from: day(from),
            to: Some(day(to)),
            note: String::new(),
        };
        bench.trial.phases = vec![
            phase(PhaseKind::Baseline, 0, 30),
            phase(PhaseKind::Treatment, 30, 90),
        ];
        bench.trial.primary = Some(Outcome {
            name: "Height".into(),
            measure: Measure::Height,
            plant: Some(PLANT.into()),
            better: Better::More,
        });
        for n in 1..=4 {
            let (trial, planting) = (TrialId(id(100)), PlantingId(id(200 + n)));
            bench
                .plantings
                .push(Planting::new(planting, trial, tank(n), PLANT));
        }
        bench
    }

    /// Heights of Ash, Elm, Fir and Oak on a day, cm.
    fn heights(day: i64, cm: [f64; 4]) -> Vec<Entry> {
        let look = |(i, cm): (u128, f64)| {
            let seen = Observation {
                plantings: vec![PlantingId(id(200 + i))],
                height_cm: Some(cm),
                ..Observation::default()
            };
            let n = 1000 * u128::try_from(day).unwrap() + i;
            entry(n, day, &[tank(i)], Act::Observation(seen))
        };
        (1..=4).zip(cm).map(look).collect()
    }

    fn found(bench: &Bench, looks: &[(i64, [f64; 4])]) -> Option<Finding> {
        let entries: Vec<Entry> = looks.iter().flat_map(|(d, cm)| heights(*d, *cm)).collect();
        let treatment = bench.trial.treatment().unwrap();
        let window = Window {
            from: treatment.from,
            to: treatment.to.unwrap(),
        };
        let comparison = compare(bench, &entries, window, String::new());
        let finding = comparison
            .findings
            .iter()
            .find(|f| f.code == "baseline_differed");
        let limit = finding.map(|f| f.what.as_str());
        // What is found is a limit of the comparison as well, and the first of them.
        assert_eq!(
            comparison.cannot_say.first().map(String::as_str) == limit,
            limit.is_some()
        );
        finding.cloned()
    }

    #[test]
    fn a_head_start_is_said_with_its_size_and_not_tested() {
        // Water-fed (Elm, Fir) 12 and 13, sand-fed (Ash, Oak) 10 and 10: ratio of geometric means
        // sqrt(12 x 13) / 10 = 1.249.
        let found = found(
            &planted(),
            &[(30, [10.0, 12.0, 13.0, 10.0]), (80, [20.0; 4])],
        )
        .unwrap();
        assert!(
            found
                .what
                .contains("height at the start in water-fed 1.2 times that in sand-fed"),
            "{}",
            found.what
        );
        assert!(
            found
                .what
                .contains("Ash 10\u{a0}cm, Elm 12\u{a0}cm, Fir 13\u{a0}cm")
        );
        assert!(!found.what.contains("change in"), "{}", found.what);
        assert!(!found.remedy.is_empty());
        assert_eq!(found.plantings().count(), 4);
    }

    #[test]
    fn a_head_start_in_pace_is_said_though_sizes_are_alike() {
        // Up to day 30: Ash and Oak 5 to 10, twice; Elm and Fir 6.25 to 10, 1.6 times; 1.6 / 2 = 0.8.
        let looks = [
            (0, [5.0, 6.25, 6.25, 5.0]),
            (30, [10.0; 4]),
            (80, [20.0; 4]),
        ];
        let found = found(&planted(), &looks).unwrap();
        assert!(
            found
                .what
                .contains("change in height up to then in water-fed 0.8 times that in sand-fed"),
            "{}",
            found.what
        );
        assert!(!found.what.contains("at the start in"), "{}", found.what);
    }

    #[test]
    fn alike_arms_and_unseen_baselines_have_no_finding() {
        // sqrt(10 x 11) / 10 = 1.049: a ruler on plants does not tell these apart.
        assert_eq!(
            found(
                &planted(),
                &[(30, [10.0, 10.0, 11.0, 10.0]), (80, [20.0; 4])]
            ),
            None
        );
        // First seen on day 50, long after the treatment began.
        assert_eq!(
            found(
                &planted(),
                &[(50, [10.0, 20.0, 20.0, 10.0]), (80, [20.0; 4])]
            ),
            None
        );
    }

    #[test]
    fn one_tank_per_arm_gives_the_plain_difference() {
        let mut bench = planted();
        bench.tanks.truncate(2);
        bench.plantings.truncate(2);
        // Elm against Ash: 15 / 10 = 1.5.
        let found = found(&bench, &[(30, [10.0, 15.0, 0.0, 0.0]), (80, [20.0; 4])]).unwrap();
        assert!(found.what.contains("one tank in an arm"), "{}", found.what);
        assert!(found.what.contains("1.5 times that in"), "{}", found.what);
    }
}
