//! Every way to write a jot and every kind of entry it can make.

#![allow(clippy::unwrap_used, clippy::panic)] // helpers fail a test by panicking

mod common;

use common::*;
use quantity::{Analyte, Interval, Unit};
use trial::act::*;
use trial::jot::read;
use trial::types::Money;
use trial::{Act, Seen};

// --- ways to write the same ---

#[test]
fn case_and_spaces_are_free() {
    for line in [
        "CHANGE  40 %",
        "change40%",
        "  Change 40%  ",
        "changed 40 percent",
    ] {
        assert_eq!(act(line), share(0.4), "{line}");
    }
    for line in [
        "ash,elm:dose kno3 1,2g",
        "ASH and Elm : dosed KNO3 1200 mg",
        "ash elm: dose 1.2 g of potassium nitrate",
    ] {
        let j = jot(line);
        assert_eq!(j.draft.tanks, vec![tank("Ash"), tank("Elm")], "{line}");
        let Act::Dose(d) = j.draft.act else {
            panic!("{line}")
        };
        assert_eq!(d.of, kno3(), "{line}");
        assert!(
            (d.amount.to(Unit::Gram).unwrap() - 1.2).abs() < 1e-12,
            "{line}"
        );
    }
    for line in ["light 7.5h60%", "light7,5 h, 60 %", "lamp 60% 7.5 h"] {
        assert_eq!(act(line), act("light 7.5 h 60%"), "{line}");
    }
}

#[test]
fn tanks_by_arm_and_all() {
    assert_eq!(
        jot("sand: change 40%").draft.tanks,
        vec![tank("Ash"), tank("Oak")]
    );
    assert_eq!(
        jot("water-fed: change 40%").draft.tanks,
        vec![tank("Elm"), tank("Fir")]
    );
    assert!(jot("all: change 40%").draft.all_tanks);
    assert!(!jot("ash elm fir oak: change 40%").draft.all_tanks);
}

#[test]
fn ranges_of_readings() {
    let between = act("oak: read no3 6-12");
    for value in [
        "6 - 12",
        "6 to 12",
        "between 6 and 12",
        "6-12 mg/l",
        "6..12",
    ] {
        let line = format!("oak: read nitrate {value}");
        match value {
            "6..12" => assert_eq!(refused(&line).column, 19),
            _ => assert_eq!(act(&line), between, "{line}"),
        }
    }
    let least = act("fir: read po4 at least 3");
    for value in ["3+", ">3", ">= 3", "more than 3", "above 3"] {
        assert_eq!(act(&format!("fir: read po4 {value}")), least, "{value}");
    }
    let Act::Reading(r) = act("fir: read po4 at most 0.06") else {
        panic!()
    };
    assert_eq!(r.interval, Interval::at_most(0.06).unwrap());
    assert_eq!(act("fir: read po4 <0,06"), Act::Reading(r));
}

#[test]
fn a_step_reaches_to_the_midpoints_and_dilution_scales() {
    let Act::Reading(r) = act("oak: read no3 6") else {
        panic!()
    };
    assert_eq!((r.seen, r.card), (Seen::Step { step: 6.0 }, Some(card(0))));
    assert_eq!(r.interval, Interval::closed(4.5, 9.0).unwrap());
    let Act::Reading(x5) = act("oak: read no3 6 x5") else {
        panic!()
    };
    assert_eq!(x5.dilution, Some(5.0));
    assert_eq!(x5.interval, Interval::closed(22.5, 45.0).unwrap());
    for said in ["diluted 1:4", "diluted 1+4", "diluted 1 in 5", "diluted x5"] {
        assert_eq!(
            act(&format!("oak: read no3 6 {said}")),
            Act::Reading(x5.clone()),
            "{said}"
        );
    }
    assert_eq!(jot("oak: read no3 6 diluted 1:4").findings.len(), 1);
}

#[test]
fn meters_and_bare_intervals_need_no_card() {
    let Act::Reading(m) = act("oak: read no3 ~6.8 +/- 0.1") else {
        panic!()
    };
    let seen = Seen::Meter {
        value: 6.8,
        error: Some(0.1),
        decimals: 1,
    };
    assert_eq!((m.seen, m.card), (seen, None));
    assert_eq!(act("oak: read no3 meter 6.8 ± 0.1"), Act::Reading(m));
    let Act::Reading(b) = act("oak: read no3 5-10 no card") else {
        panic!()
    };
    assert_eq!(
        (b.card, b.interval),
        (None, Interval::closed(5.0, 10.0).unwrap())
    );
    let Act::Reading(k) = act("oak: read kh 3-4") else {
        panic!()
    };
    assert_eq!((k.card, k.analyte), (None, Analyte::Kh));
}

#[test]
fn cards_and_source_waters_by_name() {
    let Act::Reading(r) = act("oak: read gh 4 on hardness fine") else {
        panic!()
    };
    assert_eq!(
        (r.card, r.interval),
        (Some(card(3)), Interval::closed(3.0, 5.0).unwrap())
    );
    assert!(refused("oak: read gh 4").problem.contains("several cards"));
    let j = jot("read tap no3 6-12 lot A12 opened 2025-11-01 waited 5 min light daylight");
    let Act::Reading(r) = j.draft.act else {
        panic!()
    };
    assert_eq!((r.water, r.lot.as_str()), (Some(water(0)), "A12"));
    assert_eq!(
        (r.waited_min, r.viewing_light.as_str()),
        (Some(5.0), "daylight")
    );
    assert!(j.draft.tanks.is_empty() && !j.draft.all_tanks);
    let Act::Reading(n) = act("read no3 standard 10 12") else {
        panic!()
    };
    assert_eq!(n.of, ReadingOf::Standard { value: 10.0 });
}

// --- every other kind of entry ---

#[test]
fn settings_of_every_kind() {
    let Act::Setting(s) = act("set temp 24 flow 300 l/h surface calm gas on -60 min gas off 0")
    else {
        panic!()
    };
    assert_eq!((s.temperature_c, s.flow_l_h), (Some(24.0), Some(300.0)));
    assert_eq!(s.surface.as_deref(), Some("calm"));
    assert_eq!(s.gas_on_after_light_min, Some(-60.0));
    assert_eq!(s.gas_off_after_light_min, Some(0.0));
    assert_eq!(act("gas on 1 h before light"), act("set gas on -60 min"));
    let Act::Setting(s) = act("light on 11:00 height 12 cm clock Europe/Lisbon") else {
        panic!()
    };
    assert_eq!(s.light_on_at, Some(jiff::civil::time(11, 0, 0, 0)));
    assert_eq!(s.lamp_height_cm, Some(12.0));
    assert_eq!(s.timer_clock.as_deref(), Some("Europe/Lisbon"));
    // 75 degrees Fahrenheit is 23.89 degrees Celsius: (75 - 32) / 1.8 (NIST SP 811).
    let Act::Setting(s) = act("set temp 75 F") else {
        panic!()
    };
    assert!((s.temperature_c.unwrap() - 23.888_889).abs() < 1e-6);
}

#[test]
fn words_left_hanging_are_refused() {
    for line in [
        "ash: film 3 on",
        "ash: score bacopa 7 new",
        "set 40%",
        "set on 11:00",
        "feed flakes by noon",
        "feed tap with rain",
        "ash: died 1 fish by jumping",
        "ash: died 1 fish cover",
        "set temp 24 light",
        "oak: read ph 7 x5",
        "lost bacopa by snails",
        "change 40% with",
        "change 40% rain tap",
        "dose kno3 1.2 g into",
        "ash: move salvinia to",
        "oak: read no3 6 on",
        "oak: read no3 6 diluted",
        "light 7 h on",
        "change 40% @ last 18:30",
        "@ yesterday",
        "ash:",
    ] {
        refused(line);
    }
    assert_eq!(act("set light 60%"), act("light 60%"));
}

#[test]
fn tablets_go_into_the_substrate() {
    let of = DoseOf::Product {
        product: product(1),
    };
    let expected = dose(of.clone(), 2.0, Unit::Piece, Into::Substrate);
    for line in [
        "dose root tab 2 pieces into sand",
        "dose root tab 2",
        "dosed 2 root tab",
    ] {
        assert_eq!(act(line), expected, "{line}");
    }
    let water = dose(of, 1.0, Unit::Piece, Into::Water);
    assert_eq!(act("dose root tab 1 piece into water"), water);
    let Act::Dose(d) = act("dose Ca(NO3)2.4H2O 0.5 g") else {
        panic!()
    };
    assert_eq!(
        d.of,
        DoseOf::Salt {
            formula: "Ca(NO3)2.4H2O".into()
        }
    );
}

#[test]
fn plants_cut_planted_lost_and_moved() {
    let bacopa = plant("Bacopa", "Ash");
    let Act::Trim(t) = act("ash: trim bacopa out 32 g dried 12 g to 1.1 g leave \"second lot\"")
    else {
        panic!()
    };
    let dried = DriedSample {
        fresh_g: 12.0,
        dry_g: 1.1,
    };
    assert_eq!((t.dried, t.left_out), (Some(dried), vec![second_lot()]));
    assert_eq!(t.plantings, vec![bacopa]);
    let replant = |into, count, fresh_g| {
        Act::Replant(Replant {
            from: bacopa,
            into,
            count,
            fresh_g,
        })
    };
    assert_eq!(
        act("ash: replant bacopa 6 stems 10 g"),
        replant(bacopa, Some(6), Some(10.0))
    );
    let joined = replant(second_lot(), Some(6), None);
    assert_eq!(act("ash: replant bacopa 6 into \"second lot\""), joined);
    let whole = |whole, stems| {
        Act::Loss(Loss {
            planting: bacopa,
            whole,
            stems,
        })
    };
    assert_eq!(act("ash: lost bacopa"), whole(true, None));
    assert_eq!(act("ash: lost bacopa 2 stems"), whole(false, Some(2)));
    let grass = plant("Eleocharis", "Ash");
    let counted = Act::Plantlets(Plantlets {
        planting: grass,
        count: 12,
    });
    assert_eq!(act("ash: plantlets needle spikerush 12"), counted);
    let salvinia = plant("Salvinia", "Ash");
    let moved = |to, share, fresh_g| {
        Act::Move(Move {
            planting: salvinia,
            to,
            share,
            fresh_g,
        })
    };
    assert_eq!(
        act("ash: move salvinia 10 g to elm"),
        moved(Some(tank("Elm")), None, Some(10.0))
    );
    assert_eq!(
        act("ash: move salvinia 50% to out"),
        moved(None, Some(0.5), None)
    );
    let Act::Thin(t) = act("thin salvinia keep 30%") else {
        panic!()
    };
    assert_eq!((t.plantings.len(), t.kept_share), (4, Some(0.3)));
    let closing = Act::Harvest(Harvest {
        planting: bacopa,
        fresh_g: Some(64.0),
        dry_g: Some(5.1),
        fate: Fate::Disposed,
    });
    assert_eq!(act("ash: harvest bacopa 64 g dry 5.1 g disposed"), closing);
}

#[test]
fn scores_measures_signs_and_algae() {
    let Act::Observation(o) = act(
        "ash: score bacopa vigour 7 leaves 6/10, density 5 colour 8 height 22 cm node 21 mm cover \
         45% pale \"white spots\" emerged",
    ) else {
        panic!()
    };
    assert_eq!(
        (o.vigour, o.new_leaf, o.density, o.colour),
        (Some(7.0), Some(6.0), Some(5.0), Some(8.0))
    );
    assert_eq!(
        (o.height_cm, o.cover_pct, o.emerged),
        (Some(22.0), Some(45.0), Some(true))
    );
    assert!((o.node_cm.unwrap() - 2.1).abs() < 1e-12);
    assert_eq!(o.signs, ["pale", "white spots"]);
    let Act::Observation(o) = act("ash: height bacopa 22 cm") else {
        panic!()
    };
    assert_eq!(o.height_cm, Some(22.0));
    let Act::Observation(o) = act("ash: bacopa pale") else {
        panic!()
    };
    assert_eq!(o.signs, ["pale"]);
    let Act::Observation(o) = act("ash: weigh bacopa 64 g") else {
        panic!()
    };
    assert_eq!(o.fresh_g, Some(64.0));
    let Act::Algae(a) = act("ash: film pane 2 plants 1 thread 1") else {
        panic!()
    };
    assert_eq!(
        (a.film.pane, a.film.plants, a.thread.plants),
        (Some(2.0), Some(1.0), Some(1.0))
    );
    assert_eq!(jot("ash: film 2").findings.len(), 1);
}

#[test]
fn animals_equipment_and_cleaning() {
    let Act::Livestock(l) = act("elm: arrived 3 snails") else {
        panic!()
    };
    assert_eq!((l.event, l.who.count), (LivestockHappening::Arrival, 3));
    assert_eq!(l.who.species, "snails");
    let expected = Swap {
        left: "old lamp".into(),
        came: "new lamp".into(),
        price: Some(Money {
            amount: 35.0,
            currency: "EUR".into(),
        }),
        equipment: None,
    };
    assert_eq!(
        act("ash, elm: swap \"old lamp\" for \"new lamp\" 35 eur"),
        Act::Swap(expected)
    );
    let Act::Clean(c) = act("clean filter flow 220 to 300 l/h") else {
        panic!()
    };
    assert_eq!(
        (c.flow_before_l_h, c.flow_after_l_h),
        (Some(220.0), Some(300.0))
    );
}

#[test]
fn who_minutes_and_note_trail() {
    let j = jot("change 40% by Mina (5 min) note the tap ran warm @ 18:30");
    assert_eq!((j.draft.who.as_str(), j.draft.minutes), ("Mina", Some(5.0)));
    assert_eq!(j.draft.note, "the tap ran warm");
    assert_eq!(
        j.read_back,
        "Every tank: changed 40\u{a0}% of the water, 2026-02-04 18:30, by Mina, 5 min of work, with the note \"the tap ran warm\"."
    );
    let j = jot("ash: note mail me@home: the pump hums (2 min)");
    assert_eq!(j.draft.note, "mail me@home: the pump hums");
    assert_eq!(j.draft.minutes, Some(2.0));
    assert!(
        refused("ash: score bacopa cover 45% by eye")
            .problem
            .contains("by")
    );
}

#[test]
fn plants_by_any_name_and_ambiguity_is_refused() {
    for name in [
        "Bacopa caroliniana",
        "bacopa",
        "blue waterhyssop",
        "bac",
        "caroliniana",
    ] {
        let Act::Observation(o) = act(&format!("elm: score {name} 7")) else {
            panic!("{name}")
        };
        assert_eq!(o.plantings, vec![plant("Bacopa", "Elm")], "{name}");
    }
    let mut b = bench();
    let other = trial::Planting::new(
        trial::PlantingId(uuid::Uuid::from_u128(9)),
        trial_id(),
        tank("Elm"),
        "Bacopa monnieri",
    );
    b.plantings.push(other);
    let e = read("elm: score bacopa 7", &b, &now()).unwrap_err();
    assert!(
        e.problem.contains("Bacopa caroliniana, Bacopa monnieri"),
        "{e}"
    );
    // A plant that stands in some tanks only leaves the others out, and says so.
    let j = read("trim \"bacopa monnieri\"", &b, &now()).unwrap();
    assert_eq!(
        (j.draft.tanks, j.draft.all_tanks),
        (vec![tank("Elm")], false)
    );
    assert_eq!(j.findings.len(), 1);
}

#[test]
fn when_it_was() {
    let at = |when: &str| jot(&format!("change 40% @ {when}")).draft.at.to_string();
    let z = "+01:00[Europe/Berlin]";
    for (when, expected) in [
        ("18:30", "2026-02-04T18:30:00"),
        ("6:30pm", "2026-02-04T18:30:00"),
        ("6 pm yesterday", "2026-02-03T18:00:00"),
        ("today", "2026-02-04T20:15:00"),
        ("yesterday", "2026-02-03T12:00:00"),
        ("2026-02-03", "2026-02-03T12:00:00"),
        ("2026-02-03 18:30", "2026-02-03T18:30:00"),
        ("2026-02-03T18:30", "2026-02-03T18:30:00"),
        ("monday", "2026-02-02T12:00:00"),
        ("mon 8:05", "2026-02-02T08:05:00"),
        ("last wednesday 7:00", "2026-01-28T07:00:00"),
        ("2 days ago", "2026-02-02T12:00:00"),
        ("a week ago 18:30", "2026-01-28T18:30:00"),
        ("3 hours ago", "2026-02-04T17:15:00"),
    ] {
        assert_eq!(at(when), format!("{expected}{z}"), "{when}");
    }
    assert_eq!(jot("change 40% @ yesterday").findings.len(), 1);
    for when in [
        "21:00",
        "2026-02-05",
        "1901-01-01",
        "teatime",
        "",
        "2",
        "3 feb",
        "25:00",
    ] {
        refused(&format!("change 40% @ {when}"));
    }
}

#[test]
fn a_clock_change_is_resolved_forward() {
    // The EU's summer time begins on 29 March 2026 at 02:00 (Directive 2000/84/EC): 02:30 is
    // skipped, and a compatible reading moves it forward to 03:30 (RFC 5545, section 3.3.5).
    let later = "2026-03-30T09:00:00+02:00[Europe/Berlin]".parse().unwrap();
    let j = read("change 40% @ 2026-03-29 02:30", &bench(), &later).unwrap();
    assert_eq!(
        j.draft.at.to_string(),
        "2026-03-29T03:30:00+02:00[Europe/Berlin]"
    );
}
