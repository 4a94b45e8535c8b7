//! What jots mean: the examples of the binding interface, with their exact meaning.

#![allow(clippy::unwrap_used, clippy::panic)] // helpers fail a test by panicking

mod common;

use common::*;
use quantity::{Analyte, Interval, Unit};
use trial::act::*;
use trial::{Act, Seen};

#[test]
fn change_40_percent_goes_to_every_tank() {
    let j = jot("change 40%");
    assert_eq!(j.draft.act, share(0.4));
    assert_eq!(j.draft.tanks, TANKS.map(tank).to_vec());
    assert!(j.draft.all_tanks);
    assert_eq!(j.draft.at, now());
    assert!(j.findings.is_empty());
}

#[test]
fn two_tanks_get_a_salt() {
    let j = jot("ash, elm: dose kno3 1.2 g");
    assert_eq!(j.draft.act, dose(kno3(), 1.2, Unit::Gram, Into::Water));
    assert_eq!(j.draft.tanks, vec![tank("Ash"), tank("Elm")]);
    assert!(!j.draft.all_tanks);
}

#[test]
fn a_product_by_its_name() {
    let of = DoseOf::Product {
        product: product(0),
    };
    let j = jot("dose evening mix 5 ml");
    assert_eq!(j.draft.act, dose(of, 5.0, Unit::Millilitre, Into::Water));
    assert!(j.draft.all_tanks);
}

#[test]
fn between_two_steps_of_the_card() {
    let (low, high) = (6.0, 12.0);
    let mut r = reading(
        Analyte::No3,
        Seen::Between { low, high },
        Interval::closed(low, high).unwrap(),
    );
    r.card = Some(card(0));
    let j = jot("oak: read no3 6-12");
    assert_eq!(j.draft.act, Act::Reading(r));
    assert_eq!(j.draft.tanks, vec![tank("Oak")]);
    assert!(!j.draft.all_tanks);
}

#[test]
fn a_top_up_with_rain() {
    let expected = TopUp {
        litres: 2.0,
        source: Some(water(1)),
        level_below_cm: None,
    };
    assert_eq!(act("topup 2 l rain"), Act::TopUp(expected));
    assert!(jot("topup 2 l rain").draft.all_tanks);
}

#[test]
fn at_least_the_last_step() {
    let mut r = reading(
        Analyte::Po4,
        Seen::AtLeast { value: 3.0 },
        Interval::at_least(3.0).unwrap(),
    );
    r.card = Some(card(1));
    assert_eq!(act("fir: read po4 at least 3"), Act::Reading(r));
}

#[test]
fn light_by_hours_and_percent() {
    let expected = Setting {
        photoperiod_h: Some(7.5),
        dimming_pct: Some(60.0),
        ..Setting::default()
    };
    assert_eq!(act("light 7.5 h 60%"), Act::Setting(expected));
    assert!(jot("light 7.5 h 60%").draft.all_tanks);
}

#[test]
fn a_weighed_trim() {
    let expected = Trim {
        plantings: vec![plant("Bacopa", "Elm")],
        kept_share: Some(0.5),
        out_fresh_g: Some(32.0),
        dried: None,
        left_out: vec![],
    };
    let j = jot("elm: trim bacopa keep 50% out 32 g");
    assert_eq!(j.draft.act, Act::Trim(expected));
    assert_eq!(j.draft.tanks, vec![tank("Elm")]);
}

#[test]
fn food_by_mass() {
    let expected = Feed {
        food: "flakes".into(),
        product: Some(product(2)),
        grams: Some(0.3),
    };
    assert_eq!(act("feed flakes 0.3 g"), Act::Feed(expected));
    assert!(jot("feed flakes 0.3 g").draft.all_tanks);
}

#[test]
fn one_score_is_vigour() {
    let expected = Observation {
        plantings: vec![plant("Bacopa", "Ash")],
        vigour: Some(7.0),
        ..Observation::default()
    };
    assert_eq!(act("ash: score bacopa 7"), Act::Observation(expected));
}

#[test]
fn panes_cleaned_everywhere() {
    let expected = Clean {
        part: Part::Pane,
        flow_before_l_h: None,
        flow_after_l_h: None,
    };
    assert_eq!(act("clean pane"), Act::Clean(expected));
    assert!(jot("clean pane").draft.all_tanks);
}

#[test]
fn a_meter_without_stated_error() {
    let seen = Seen::Meter {
        value: 6.8,
        error: None,
        decimals: 1,
    };
    let j = jot("oak: read ph 6.8");
    let r = reading(Analyte::Ph, seen, seen.interval().unwrap());
    assert_eq!(j.draft.act, Act::Reading(r));
    assert_eq!(j.findings, ["The meter's error is not stated."]);
}

#[test]
fn a_note_keeps_its_words() {
    let j = jot("note power was off for an hour");
    assert_eq!(j.draft.act, Act::Note);
    assert_eq!(j.draft.note, "power was off for an hour");
    assert_eq!(j.draft.tanks, TANKS.map(tank).to_vec());
    assert!(j.draft.all_tanks);
}

#[test]
fn a_change_with_rain_yesterday() {
    let j = jot("change 30% with rain @ yesterday 18:30");
    let expected = Change {
        amount: WaterAmount::Share { share: 0.3 },
        source: Some(water(1)),
    };
    assert_eq!(j.draft.act, Act::Change(expected));
    assert_eq!(
        j.draft.at.to_string(),
        "2026-02-03T18:30:00+01:00[Europe/Berlin]"
    );
}

#[test]
fn what_needs_one_named_tank_is_refused_without() {
    for line in [
        "read no3 6-12",
        "score bacopa 7",
        "move salvinia 10 g to elm",
        "trim bacopa keep 50% out 32 g",
        "ash, elm: read no3 6-12",
        "all: read no3 6-12",
        "ash, elm: trim bacopa out 32 g",
        "film 2",
        "plantlets eleocharis 12",
        "harvest bacopa 64 g disposed",
        "lost bacopa",
        "replant bacopa 6",
        "died 1 fish",
        "swap \"lamp\" for \"other lamp\"",
    ] {
        let problem = refused(line).problem;
        assert!(problem.contains("tank"), "{line}: {problem}");
    }
    // Without a mass a trim goes to every tank where the plant stands.
    assert!(jot("trim bacopa keep 50%").draft.all_tanks);
}
