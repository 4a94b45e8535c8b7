//! Steps by rule, letters by lot, rows without what would unmask, and the published rate. All
//! invented.

use super::*;
use crate::compare::Window;
use jiff::civil::date;
use trial::act::{Algae, Loss, Observation, Surface, Surfaces};
use trial::types::{Arm, Better, Measure, Outcome};
use trial::{EntryId, Origin, Planting, PlantingId, Tank, Trial, TrialId};
use uuid::Uuid;

const ROTALA: &str = "Rotala rotundifolia";
const BACOPA: &str = "Bacopa caroliniana";
const TODAY: Date = date(2026, 3, 10);

fn id(n: u128) -> Uuid {
    Uuid::from_u128(n)
}

fn tank(n: u128) -> TankId {
    TankId(id(10 + n))
}

/// The planting of plant `p` in tank `t`.
fn plant(t: u128, p: u128) -> PlantingId {
    PlantingId(id(100 + 10 * t + p))
}

/// Four tanks in two arms, two plants in each; the primary outcome is the density of the second.
fn bench() -> Bench {
    let trial = TrialId(id(1));
    let mut bench = Bench::new(Trial::new(trial, "Two diets", "Europe/Lisbon"));
    for (t, name) in ["Ash", "Elm", "Fir", "Oak"].into_iter().enumerate() {
        let t = t as u128;
        let mut tank = Tank::new(tank(t), trial, name, t as u32);
        tank.arm = Some(if t.is_multiple_of(2) { "sand" } else { "water" }.into());
        for (p, name) in [BACOPA, ROTALA].into_iter().enumerate() {
            let planting = Planting::new(plant(t, p as u128), trial, tank.id, name);
            bench.plantings.push(planting);
        }
        bench.tanks.push(tank);
    }
    for key in ["sand", "water"] {
        bench.trial.arms.push(Arm {
            key: key.into(),
            name: key.into(),
            control: false,
        });
    }
    bench.trial.primary = Some(Outcome {
        name: "Density".into(),
        measure: Measure::Density,
        plant: Some(ROTALA.into()),
        better: Better::More,
    });
    bench
}

fn entry(n: u128, day: i8, tanks: &[TankId], act: Act) -> Entry {
    let at = date(2026, 3, day).at(18, 0, 0, 0).in_tz("Europe/Lisbon");
    let at = at.unwrap();
    Entry {
        id: EntryId(id(1000 + n)),
        trial: TrialId(id(1)),
        written: at.timestamp(),
        at,
        tanks: tanks.to_vec(),
        all_tanks: false,
        who: "Kim".into(),
        minutes: None,
        note: String::new(),
        origin: Origin::Form,
        supersedes: None,
        act,
    }
}

fn seen(n: u128, day: i8, t: u128, p: u128, step: &WalkStep, value: f64) -> Entry {
    let act = step::act_of(step, Some(plant(t, p)), value);
    entry(n, day, &[tank(t)], act)
}

fn said(bench: &Bench, steps: &[WalkStep]) -> Vec<String> {
    let title = |s: &WalkStep| {
        let (about, measure) = trial::describe::step_title(s, bench);
        format!("{about}: {measure}")
    };
    steps.iter().map(title).collect()
}

#[test]
fn the_primary_outcome_comes_first_for_every_plant() {
    let bench = bench();
    let short = steps(&bench, &[], TODAY, Length::Short, None);
    assert_eq!(
        said(&bench, &short),
        [
            "Rotala rotundifolia: density",
            "Bacopa caroliniana: density"
        ]
    );
    assert_eq!(short[0].plantings.len(), 4);
    let usual = steps(&bench, &[], TODAY, Length::Usual, None);
    assert_eq!(
        said(&bench, &usual)[2..],
        [
            "Rotala rotundifolia: vigour",
            "Bacopa caroliniana: vigour",
            "the panes: film algae"
        ]
    );
}

#[test]
fn a_few_walk_rounds_cover_every_outcome() {
    let bench = bench();
    let full = steps(&bench, &[], TODAY, Length::Full, None);
    let mut log: Vec<Entry> = Vec::new();
    let mut covered: Vec<WalkStep> = Vec::new();
    for day in 1..=9 {
        let now = steps(&bench, &log, TODAY, Length::Usual, None);
        assert_eq!(now, steps(&bench, &log, TODAY, Length::Usual, None));
        for step in &now {
            let n = log.len() as u128;
            let act = step::act_of(step, step.plantings.first().copied(), 3.0);
            log.push(entry(n, day, &[tank(0)], act));
        }
        covered.extend(now);
    }
    for step in &full {
        assert!(covered.contains(step), "{step:?}");
    }
}

#[test]
fn lost_plants_are_not_walked_to_and_pictures_give_no_lengths() {
    let bench = bench();
    let lost = |t| {
        let act = Act::Loss(Loss {
            planting: plant(t, 0),
            whole: true,
            stems: None,
        });
        entry(t, 2, &[tank(t)], act)
    };
    let one: Vec<Entry> = vec![lost(1)];
    let left = steps(&bench, &one, TODAY, Length::Short, None);
    assert_eq!(left[1].plantings, [plant(0, 0), plant(2, 0), plant(3, 0)]);
    let all: Vec<Entry> = (0..4).map(lost).collect();
    assert_eq!(steps(&bench, &all, TODAY, Length::Short, None).len(), 1);
    let by = Some(MaskedBy::Pictures);
    let full = steps(&bench, &[], TODAY, Length::Full, by);
    assert!(full.iter().all(|s| s.measure != Measure::Height));
    let open = steps(&bench, &[], TODAY, Length::Full, None);
    assert!(open.iter().any(|s| s.measure == Measure::Height));
}

fn walking(bench: &Bench, masked: Option<Mask>, mut entries: Vec<Entry>) -> Walking {
    let asked = Asked {
        masked: masked.map(|m| m.by),
        length: Length::Usual,
        who: "Kim".into(),
        seed: masked.map_or(0, |m| m.seed),
    };
    let walk = Walk {
        walk: WalkId(id(7)),
        masked,
        order: order(bench, &bench.tank_ids(), &asked),
        steps: steps(bench, &entries, TODAY, Length::Usual, asked.masked),
        end: None,
    };
    let entry = entry(900, 10, &bench.tank_ids(), Act::Walk(walk.clone()));
    entries.push(entry.clone());
    Walking {
        entry,
        walk,
        entries,
    }
}

#[test]
fn letters_follow_the_lot_and_can_be_repeated() {
    let bench = bench();
    let by = MaskedBy::Helper;
    for seed in 0..20 {
        let walk = walking(&bench, Some(Mask { by, seed }), vec![]).walk;
        let drawn = lot::shuffled(seed, &["Oak", "Ash", "Fir", "Elm"]);
        let names: Vec<&str> = walk
            .order
            .iter()
            .map(|t| bench.tank(*t).unwrap().name.as_str())
            .collect();
        assert_eq!(names, drawn);
        assert_eq!(walk.letter(walk.order[2]).unwrap(), "C");
    }
}

#[test]
fn behind_a_mask_no_row_tells_its_tank() {
    let bench = bench();
    let step = steps(&bench, &[], TODAY, Length::Short, None).remove(0);
    let before: Vec<Entry> = (0..4)
        .map(|t| seen(t, 3, t, 1, &step, 2.0 + t as f64))
        .collect();
    let open = walking(&bench, None, before.clone());
    let view = step_view(&bench, &open, 1).unwrap();
    let last: Vec<f64> = view.rows.iter().map(|r| r.last.unwrap().value).collect();
    assert_eq!(last, [2.0, 3.0, 4.0, 5.0]);
    assert_eq!(view.rows[3].name, "Oak");
    let mask = Mask {
        by: MaskedBy::Helper,
        seed: 3,
    };
    let hidden = walking(&bench, Some(mask), before);
    let view = step_view(&bench, &hidden, 1).unwrap();
    let names: Vec<&str> = view.rows.iter().map(|r| r.name.as_str()).collect();
    assert_eq!(names, ["Tank A", "Tank B", "Tank C", "Tank D"]);
    assert!(
        view.rows
            .iter()
            .all(|r| r.last.is_none() && r.shot.is_none())
    );
    assert!(step_view(&bench, &hidden, 0).is_none());
    assert!(step_view(&bench, &hidden, view.of + 1).is_none());
}

#[test]
fn a_corrected_value_is_no_longer_masked() {
    let on = OnWalk {
        walk: WalkId(id(7)),
        masked: true,
        as_last: true,
    };
    let was = Act::Algae(Algae {
        film: Surfaces::only(Surface::Pane, 2.0),
        on_walk: Some(on),
        ..Algae::default()
    });
    let sent = |score| {
        let mut now = Act::Algae(Algae {
            film: Surfaces::only(Surface::Pane, score),
            ..Algae::default()
        });
        carry_over(&was, &mut now);
        on_walk(&now).unwrap()
    };
    assert_eq!(sent(2.0), on);
    let changed = sent(3.0);
    assert_eq!(
        (changed.walk, changed.masked, changed.as_last),
        (on.walk, false, false)
    );
}

/// A masked walk-round that ended with these guesses of Ash, Elm, Fir, Oak.
fn ended(n: u128, guesses: [Option<u128>; 4]) -> Entry {
    let guesses = guesses.into_iter().enumerate().map(|(t, g)| Guess {
        tank: tank(t as u128),
        guessed: g.map(tank),
    });
    let walk = Walk {
        walk: WalkId(id(50 + n)),
        masked: Some(Mask {
            by: MaskedBy::Pictures,
            seed: 1,
        }),
        order: (0..4).map(tank).collect(),
        steps: vec![],
        end: Some(WalkEnd {
            finished: true,
            guesses: guesses.collect(),
        }),
    };
    entry(500 + n, 5, &[], Act::Walk(walk))
}

#[test]
fn the_rate_of_guesses_is_published_with_what_chance_gives() {
    let bench = bench();
    let looked = |n, masked| {
        let act = Act::Observation(Observation {
            plantings: vec![plant(0, 0)],
            vigour: Some(6.0),
            on_walk: Some(OnWalk {
                walk: WalkId(id(50)),
                masked,
                as_last: !masked,
            }),
            ..Observation::default()
        });
        entry(n, 5, &[tank(0)], act)
    };
    let log = [
        looked(1, true),
        looked(2, false),
        // All four; then two of four.
        ended(0, [Some(0), Some(1), Some(2), Some(3)]),
        ended(1, [Some(0), Some(1), Some(3), Some(2)]),
    ];
    let s = scored(&bench, &log, None);
    assert_eq!((s.looks, s.on_walks, s.masked, s.as_last), (2, 2, 1, 1));
    let tanks = s.tanks.unwrap();
    assert_eq!((tanks.right, tanks.of, tanks.expected), (6, 8, 2.0));
    // Of 24 orders 9, 8, 6, 0 and 1 have 0, 1, 2, 3 and 4 right (rencontres numbers, OEIS A008290,
    // from memory): at least 6 of two rounds is 2 + 4, 4 + 2 or 4 + 4.
    let expected = (2.0 * 6.0 + 1.0) / (24.0 * 24.0);
    assert!((tanks.at_least - expected).abs() < 1e-12);
    let arms = s.arms.unwrap();
    // Arms are every second tank: taking Fir for Oak names the wrong arm.
    assert_eq!((arms.right, arms.of, arms.expected), (6, 8, 4.0));
    let all = s.sentences.join(" ");
    assert!(all.contains("the tank rightly 6 of 8 times"), "{all}");
    assert!(all.contains("2 of 8 are expected"), "{all}");
}

#[test]
fn a_walk_round_by_pictures_counts_where_its_pictures_do() {
    let bench = bench();
    let step = steps(&bench, &[], TODAY, Length::Short, None).remove(0);
    let mut look = seen(1, 2, 0, 1, &step, 6.0);
    let on = OnWalk {
        walk: WalkId(id(50)),
        masked: true,
        as_last: false,
    };
    put_on_walk(&mut look.act, Some(on));
    let log = [look, ended(0, [Some(0), Some(1), Some(2), Some(3)])];
    let window = |from: i8, to: i8| Window {
        from: date(2026, 3, from),
        to: date(2026, 3, to),
    };
    // The look is of day 2, the walk-round of day 5.
    assert_eq!(scored(&bench, &log, Some(window(1, 4))).walks, 1);
    assert_eq!(scored(&bench, &log, Some(window(3, 4))).walks, 0);
}

#[test]
fn what_was_scored_in_sight_is_said_too() {
    let bench = bench();
    let step = steps(&bench, &[], TODAY, Length::Short, None).remove(0);
    let log = [seen(1, 5, 0, 1, &step, 6.0)];
    let s = scored(&bench, &log, None);
    assert!(s.sentences[0].contains("hope may have scored too"));
    assert!(scored(&bench, &[], None).sentences.is_empty());
    let window = Window {
        from: date(2026, 3, 6),
        to: date(2026, 3, 9),
    };
    assert_eq!(scored(&bench, &log, Some(window)).looks, 0);
}

#[test]
fn a_guess_nobody_could_make_counts_as_not_right() {
    let s = scored(&bench(), &[ended(0, [Some(0), None, None, None])], None);
    let tanks = s.tanks.unwrap();
    assert_eq!((tanks.right, tanks.of), (1, 4));
    assert!((tanks.at_least - 0.25).abs() < 1e-12 && (tanks.expected - 0.25).abs() < 1e-12);
}
