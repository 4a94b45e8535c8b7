//! Each rule refuses what it is there for, and names the field; what jots make passes them all.

#![allow(clippy::unwrap_used, clippy::panic)] // helpers fail a test by panicking

mod common;

use common::*;
use quantity::{Amount, Analyte, Interval, Unit};
use trial::act::*;
use trial::rules::{Problem, check_draft, check_record};
use trial::setup::Record;
use trial::supply::{MixPart, RecipePart, WaterKind};
use trial::types::*;
use trial::*;

/// A draft that can stand, from a jot.
fn good(line: &str) -> Draft {
    let j = jot::read(line, &bench(), &now()).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(check_draft(&j.draft, &bench()), vec![], "{line}");
    j.draft
}

fn fields(problems: &[Problem]) -> Vec<&'static str> {
    problems.iter().map(|p| p.field).collect()
}

/// The fields refused once `spoil` has been at a good draft.
fn spoilt(line: &str, spoil: impl FnOnce(&mut Draft)) -> Vec<&'static str> {
    let mut draft = good(line);
    spoil(&mut draft);
    fields(&check_draft(&draft, &bench()))
}

macro_rules! in_act {
    ($line:expr, $kind:ident, $act:ident => $spoil:expr) => {
        spoilt($line, |d| match &mut d.act {
            Act::$kind($act) => $spoil,
            other => panic!("{other:?}"),
        })
    };
}

const NOT_FINITE: [f64; 3] = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY];

#[test]
fn a_problem_is_one_sentence() {
    let problems = {
        let mut d = good("ash: dose kno3 1.2 g");
        d.act = Act::Dose(Dose {
            of: DoseOf::Salt {
                formula: "KNO3".into(),
            },
            amount: Amount::new(-3.0, Unit::Gram),
            into: Into::Water,
        });
        check_draft(&d, &bench())
    };
    assert_eq!(
        problems[0].to_string(),
        "amount: \"-3 g\" is not accepted; accepted is a mass above 0 in g or mg."
    );
}

#[test]
fn numbers_that_are_none_are_refused() {
    for v in NOT_FINITE {
        let share = WaterAmount::Share { share: v };
        assert_eq!(
            in_act!("change 40%", Change, c => c.amount = share),
            ["share"]
        );
        let litres = WaterAmount::Litres { litres: v };
        assert_eq!(
            in_act!("change 40%", Change, c => c.amount = litres),
            ["litres"]
        );
        assert_eq!(in_act!("topup 2 l", TopUp, t => t.litres = v), ["litres"]);
        let low = in_act!("topup 2 l", TopUp, t => t.level_below_cm = Some(v));
        assert_eq!(low, ["level_below_cm"]);
        assert_eq!(
            in_act!("feed flakes 1 g", Feed, f => f.grams = Some(v)),
            ["grams"]
        );
        assert_eq!(
            in_act!("dose kno3 1 g", Dose, d => d.amount.value = v),
            ["amount"]
        );
        let line = "ash: score bacopa 7";
        assert_eq!(
            in_act!(line, Observation, o => o.vigour = Some(v)),
            ["vigour"]
        );
        assert_eq!(
            in_act!(line, Observation, o => o.height_cm = Some(v)),
            ["height_cm"]
        );
        assert_eq!(
            in_act!("ash: film 2", Algae, a => a.film.pane = Some(v)),
            ["film"]
        );
        let dim = in_act!("light 60%", Setting, s => s.dimming_pct = Some(v));
        assert_eq!(dim, ["dimming_pct"]);
        assert_eq!(spoilt("clean pane", |d| d.minutes = Some(v)), ["minutes"]);
        let out = in_act!("ash: trim bacopa out 3 g", Trim, t => t.out_fresh_g = Some(v));
        assert_eq!(out, ["out_fresh_g"]);
        let seen = Seen::AtLeast { value: v };
        let wrong = in_act!("ash: read kh 3+", Reading, r => r.seen = seen);
        assert!(wrong.contains(&"value"), "{wrong:?}");
        let wrong = in_act!("ash: read kh 3+", Reading, r => r.dilution = Some(v));
        assert!(wrong.contains(&"dilution"), "{wrong:?}");
    }
}

#[test]
fn ranges_end_where_they_should() {
    let share = |share| in_act!("change 40%", Change, c => c.amount = WaterAmount::Share { share });
    assert_eq!(
        (share(0.0), share(1.0), share(1.01)),
        (vec!["share"], vec![], vec!["share"])
    );
    let vigour = |v| in_act!("ash: score bacopa 7", Observation, o => o.vigour = Some(v));
    assert_eq!(
        (vigour(0.0), vigour(10.0), vigour(10.1)),
        (vec![], vec![], vec!["vigour"])
    );
    let film = |v| in_act!("ash: film 2", Algae, a => a.film.pane = Some(v));
    assert_eq!(
        (film(5.0), film(5.5), film(-1.0)),
        (vec![], vec!["film"], vec!["film"])
    );
    let hours = |v| in_act!("light 7 h", Setting, s => s.photoperiod_h = Some(v));
    assert_eq!((hours(24.0), hours(24.5)), (vec![], vec!["photoperiod_h"]));
    let year = |at: &str| spoilt("change 40%", |d| d.at = at.parse().unwrap());
    assert_eq!(year("1969-12-31T00:00+00:00[UTC]"), ["at"]);
    assert_eq!(year("2100-12-31T00:00+00:00[UTC]"), [""; 0]);
    assert_eq!(year("2101-01-01T00:00+00:00[UTC]"), ["at"]);
    let ph = |v: f64| {
        in_act!("ash: read ph 6.8", Reading, r => {
            r.seen = Seen::Meter { value: v, error: None, decimals: 1 };
            r.interval = r.seen.interval().unwrap();
        })
    };
    assert_eq!(
        (ph(14.0), ph(14.1), ph(-0.1)),
        (vec![], vec!["value"], vec!["value"])
    );
}

#[test]
fn tanks_are_of_this_trial_and_as_many_as_the_act_takes() {
    let other = TankId(uuid::Uuid::from_u128(7777));
    assert_eq!(
        spoilt("ash: change 40%", |d| d.tanks = vec![other]),
        ["tanks"]
    );
    assert_eq!(
        spoilt("ash: change 40%", |d| d.tanks.push(tank("Ash"))),
        ["tanks"]
    );
    assert_eq!(spoilt("ash: change 40%", |d| d.tanks.clear()), ["tanks"]);
    assert_eq!(spoilt("ash: note dark", |d| d.tanks.clear()), [""; 0]);
    for line in [
        "ash: read no3 6",
        "ash: film 2",
        "ash: died 1 fish",
        "ash: score bacopa 7",
        "ash: plantlets eleocharis 3",
        "ash: lost bacopa",
        "ash: replant bacopa 6",
        "ash: move salvinia out",
        "ash: harvest bacopa 6 g disposed",
        "ash: trim bacopa out 3 g",
        "ash: thin salvinia out 3 g",
    ] {
        assert_eq!(
            spoilt(line, |d| d.tanks.push(tank("Elm"))),
            ["tanks"],
            "{line}"
        );
        let none = spoilt(line, |d| d.tanks.clear());
        assert!(none.contains(&"tanks"), "{line}");
        assert_eq!(spoilt(line, |d| d.all_tanks = true), ["tanks"], "{line}");
    }
    let swap = "ash: swap \"a\" for \"b\"";
    assert_eq!(spoilt(swap, |d| d.tanks.push(tank("Elm"))), [""; 0]);
    assert_eq!(spoilt(swap, |d| d.tanks.clear()), ["tanks"]);
    assert_eq!(
        spoilt("read tap no3 6", |d| d.tanks.push(tank("Elm"))),
        ["tanks"]
    );
}

#[test]
fn plantings_stand_in_the_entrys_tanks() {
    let elms = plant("Bacopa", "Elm");
    let observed = in_act!("ash: score bacopa 7", Observation, o => o.plantings = vec![elms]);
    assert_eq!(observed, ["plantings"]);
    let nobody = PlantingId(uuid::Uuid::from_u128(7777));
    let lost = in_act!("ash: lost bacopa", Loss, l => l.planting = nobody);
    assert_eq!(lost, ["planting"]);
    let both = in_act!("ash: trim bacopa", Trim, t => t.plantings.push(second_lot()));
    assert_eq!(both, ["plantings"]);
    let left = in_act!("ash: trim bacopa", Trim, t => t.left_out = t.plantings.clone());
    assert_eq!(left, ["left_out"]);
    let rotala = plant("Rotala", "Ash");
    assert_eq!(
        in_act!("ash: replant bacopa 6", Replant, r => r.into = rotala),
        ["into"]
    );
    let home = Some(tank("Ash"));
    assert_eq!(
        in_act!("ash: move salvinia out", Move, m => m.to = home),
        ["to"]
    );
    let empty = in_act!("ash: score bacopa 7", Observation, o => o.vigour = None);
    assert_eq!(empty, ["observation"]);
    let line = "ash: harvest bacopa 6 g dry 1 g disposed";
    assert_eq!(in_act!(line, Harvest, h => h.dry_g = Some(6.5)), ["dry_g"]);
}

#[test]
fn doses_fit_what_they_are_of() {
    let line = "dose evening mix 5 ml";
    assert_eq!(
        in_act!(line, Dose, d => d.amount.unit = Unit::Litre),
        [""; 0]
    );
    assert_eq!(
        in_act!(line, Dose, d => d.amount.unit = Unit::Gram),
        ["amount"]
    );
    assert_eq!(
        in_act!("dose kno3 1 g", Dose, d => d.amount.unit = Unit::Piece),
        ["amount"]
    );
    let salt = DoseOf::Salt {
        formula: "XY2".into(),
    };
    assert_eq!(in_act!("dose kno3 1 g", Dose, d => d.of = salt), ["salt"]);
    let gone = DoseOf::Product {
        product: product(9),
    };
    assert_eq!(in_act!(line, Dose, d => d.of = gone), ["product"]);
    assert_eq!(
        in_act!("change 40% rain", Change, c => c.source = Some(water(9))),
        ["source"]
    );
    assert_eq!(
        in_act!("light 7 h", Setting, s => *s = Setting::default()),
        ["setting"]
    );
    assert_eq!(
        in_act!("ash: film 2", Algae, a => *a = Algae::default()),
        ["algae"]
    );
}

#[test]
fn an_interval_is_what_the_card_gives() {
    let line = "ash: read no3 6 x5";
    let wider = Interval::closed(4.5, 9.0).unwrap();
    assert_eq!(
        in_act!(line, Reading, r => r.interval = wider),
        ["interval"]
    );
    assert_eq!(
        in_act!(line, Reading, r => r.card = Some(card(9))),
        ["card"]
    );
    let phosphate = in_act!(line, Reading, r => r.analyte = Analyte::Po4);
    assert_eq!(phosphate, ["card"]);
    let no_step = in_act!(line, Reading, r => r.seen = Seen::Step { step: 5.0 });
    assert_eq!(no_step, ["value"]);
    let without = in_act!(line, Reading, r => r.card = None);
    assert_eq!(without, ["value"]);
    let thin = in_act!(line, Reading, r => r.dilution = Some(0.5));
    assert_eq!(thin[0], "dilution");
}

#[test]
fn pictures_are_named_by_their_hash() {
    let picture = |sha256: &str, media_type: &str| {
        let mut d = good("ash: film 2");
        d.act = Act::Picture(Picture {
            sha256: sha256.into(),
            media_type: media_type.into(),
            width_px: 100,
            height_px: 80,
            view: View::Front,
            planting: None,
        });
        fields(&check_draft(&d, &bench()))
    };
    assert_eq!(picture(&"0a".repeat(32), "image/png"), [""; 0]);
    assert_eq!(picture(&"0A".repeat(32), "image/png"), ["sha256"]);
    assert_eq!(picture(&"0a".repeat(31), "image/png"), ["sha256"]);
    assert_eq!(picture(&"0a".repeat(32), "image/gif"), ["media_type"]);
}

fn record(record: Record) -> Vec<&'static str> {
    fields(&check_record(&record))
}

#[test]
fn a_bench_that_is_right_passes() {
    let b = bench();
    let mut all = vec![Record::Trial(b.trial.clone())];
    all.extend(b.tanks.iter().cloned().map(Record::Tank));
    all.extend(b.plantings.iter().cloned().map(Record::Planting));
    all.extend(b.cards.iter().cloned().map(Record::Card));
    all.extend(b.products.iter().cloned().map(Record::Product));
    all.extend(b.waters.iter().cloned().map(Record::Water));
    for r in all {
        assert_eq!(check_record(&r), vec![], "{r:?}");
    }
}

#[test]
fn tank_names_can_stand_before_a_colon() {
    for (name, ok) in [
        ("Ash", true),
        ("tank-1", true),
        ("Eiche_2", true),
        ("Bäche", true),
        ("", false),
        ("two words", false),
        ("note", false),
        ("Dose", false),
        ("all", false),
        ("a:b", false),
        ("abcdefghijklmnopqrstuvwxy", false),
    ] {
        let t = Tank::new(tank("Ash"), trial_id(), name, 0);
        let expected: &[&str] = if ok { &[] } else { &["name"] };
        assert_eq!(record(Record::Tank(t)), expected, "{name}");
    }
    let mut t = bench().tanks[0].clone();
    t.length_cm = Some(0.0);
    t.height_cm = Some(30.0);
    t.water_depth_cm = Some(33.0);
    assert_eq!(record(Record::Tank(t)), ["length_cm", "water_depth_cm"]);
}

#[test]
fn a_trial_has_one_control_and_phases_in_order() {
    let phase = |kind, from: &str, to: Option<&str>| Phase {
        kind,
        from: from.parse().unwrap(),
        to: to.map(|d| d.parse().unwrap()),
        note: String::new(),
    };
    let trial = |spoil: &dyn Fn(&mut Trial)| {
        let mut t = bench().trial;
        spoil(&mut t);
        record(Record::Trial(t))
    };
    assert_eq!(trial(&|t| t.title = " ".into()), ["title"]);
    assert_eq!(trial(&|t| t.zone = "Mars/North".into()), ["zone"]);
    assert_eq!(trial(&|t| t.arms[1].key = "Sand".into()), ["arm_key"]);
    assert_eq!(trial(&|t| t.arms[1].control = true), ["control"]);
    let price = |amount, currency: &str| {
        Some(Money {
            amount,
            currency: currency.into(),
        })
    };
    assert_eq!(
        trial(&|t| t.electricity_per_kwh = price(0.3, "EUR")),
        [""; 0]
    );
    assert_eq!(
        trial(&|t| t.electricity_per_kwh = price(0.3, "eur")),
        ["electricity_per_kwh"]
    );
    let open = |t: &mut Trial| {
        t.phases = vec![
            phase(PhaseKind::Baseline, "2026-01-01", None),
            phase(PhaseKind::Treatment, "2026-02-01", None),
        ];
    };
    assert_eq!(trial(&open), ["phase_to"]);
    let overlap = |t: &mut Trial| {
        t.phases = vec![
            phase(PhaseKind::Baseline, "2026-01-01", Some("2026-02-02")),
            phase(PhaseKind::Treatment, "2026-02-01", None),
        ];
    };
    assert_eq!(trial(&overlap), ["phase_from"]);
}

#[test]
fn cards_mixes_and_stock_solutions_add_up() {
    let mut c = bench().cards[0].clone();
    c.steps = vec![0.0, 6.0, 3.0];
    assert_eq!(record(Record::Card(c)), ["steps"]);
    let part = |n, share| MixPart {
        water: water(n),
        share,
    };
    let mix = |parts: Vec<MixPart>| {
        let mut w = bench().waters[0].clone();
        w.id = water(5);
        w.kind = WaterKind::Mix;
        w.parts = parts;
        record(Record::Water(w))
    };
    assert_eq!(mix(vec![part(0, 0.3), part(1, 0.7)]), [""; 0]);
    assert_eq!(mix(vec![part(0, 0.3), part(1, 0.6)]), ["parts"]);
    assert_eq!(mix(vec![part(0, 0.5), part(5, 0.5)]), ["parts"]);
    assert_eq!(mix(vec![part(0, 1.0)]), ["parts"]);
    let mut p = bench().products[0].clone();
    p.recipe = vec![RecipePart {
        formula: "KNO3".into(),
        grams: 20.0,
    }];
    assert_eq!(record(Record::Product(p.clone())), ["made_up_to_ml"]);
    p.made_up_to_ml = Some(500.0);
    assert_eq!(record(Record::Product(p.clone())), [""; 0]);
    p.recipe[0].formula = "XY2".into();
    assert_eq!(record(Record::Product(p)), ["formula"]);
}
