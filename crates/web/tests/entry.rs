//! The form of every kind of act: sent, it writes the act that was meant; opened as a correction and
//! sent untouched, it writes the same again.
//!
//! What each form should write is spelt out beside it by hand. Intervals of the card with the steps
//! 0, 3, 6, 12, 24: a step reaches to the midpoints of its neighbours (arithmetic).

#![allow(clippy::unwrap_used)]

mod common;
#[path = "common/fixture.rs"]
mod fixture;

use axum::http::StatusCode;
use common::{Browser, fields_of};
use fixture::{Desk, MOSS, PLANT, refs, with};
use quantity::{Amount, Analyte, Interval, Means, Unit};
use trial::act::*;
use trial::tank::Livestock;
use trial::types::Money;
use trial::{Act, Entry, Seen};

/// Sends a form with some fields set and gives the entry; then its correction, untouched.
async fn write(desk: &Desk, form: &str, set: &[(&str, &str)]) -> Entry {
    let b = Browser::new(&desk.app).await;
    let action = desk.at(&format!("/log/{}", form.split('?').next().unwrap()));
    let page = b.get(&desk.at(&format!("/log/{form}"))).await;
    assert_eq!(page.status, StatusCode::OK, "{form}");
    // A label whose text is missing would show its key.
    assert!(!page.has("log.f_") && !page.has("log.h_"), "{form}");
    for label in ["<label for=\"f-", "<legend>"] {
        assert!(!page.has(&format!("{label}\"></label>")), "{form}");
    }
    let fields = with(&fields_of(&page.body, &action), set);
    let sent = b.post(&action, &refs(&fields)).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{form}: {}", sent.body);
    let entry = desk.confirmed(&sent.location);
    assert_eq!(b.get(&sent.location).await.status, StatusCode::OK);
    untouched(desk, &b, &entry).await;
    entry
}

async fn untouched(desk: &Desk, b: &Browser<'_>, entry: &Entry) {
    let action = desk.at(&format!("/entries/{}/correct", entry.id));
    let page = b.get(&action).await;
    let fields = fields_of(&page.body, &action);
    let sent = b.post(&action, &refs(&fields)).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.body);
    let same = desk.confirmed(&sent.location);
    assert_eq!(same.supersedes, Some(entry.id));
    assert_eq!(same.act, entry.act);
    assert_eq!(
        (&same.tanks, same.all_tanks),
        (&entry.tanks, entry.all_tanks)
    );
    assert_eq!(
        (&same.at, &same.who, same.minutes, &same.note),
        (&entry.at, &entry.who, entry.minutes, &entry.note)
    );
    let history = b.get(&desk.at(&format!("/entries/{}", same.id))).await;
    assert!(!history.has("class=\"changes\""), "{}", history.body);
}

#[tokio::test]
async fn every_kind_has_a_form() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    for kind in Act::KINDS.into_iter().filter(|k| *k != "undo") {
        let page = b.get(&desk.at(&format!("/log/{kind}"))).await;
        let expected = match kind {
            "picture" => StatusCode::SEE_OTHER,
            _ => StatusCode::OK,
        };
        assert_eq!(page.status, expected, "{kind}");
        assert!(!page.has("log.f_") && !page.has("log.h_") && !page.has("<legend></legend>"));
        // Every form works without scripts: nothing inline, and a button that sends.
        assert!(!page.has("onclick=") && !page.has("style=\""), "{kind}");
    }
}

#[tokio::test]
async fn what_every_form_shares_is_kept() {
    let desk = Desk::new();
    let set = [
        ("note", "power was off\nfor an hour"),
        ("at", "2026-03-01T18:30"),
        ("who", "Kim"),
        ("minutes", "7,5"),
    ];
    let entry = write(&desk, "note", &set).await;
    assert_eq!(entry.act, Act::Note);
    assert_eq!(entry.note, "power was off\nfor an hour");
    assert_eq!((entry.who.as_str(), entry.minutes), ("Kim", Some(7.5)));
    assert_eq!(
        entry.at.to_string(),
        "2026-03-01T18:30:00+00:00[Europe/Lisbon]"
    );
    assert!(entry.all_tanks && entry.tanks.len() == 3);
    // The name stays for the next form.
    let b = Browser::new(&desk.app).await;
    let page = b.get(&desk.at("/log/note")).await;
    assert!(
        page.has("name=\"who\" type=\"text\" value=\"Kim\""),
        "{}",
        page.body
    );
}

#[tokio::test]
async fn doses() {
    let desk = Desk::new();
    let set = [
        ("of", "Potassium nitrate"),
        ("amount", "1,2"),
        ("unit", "g"),
    ];
    let of = DoseOf::Salt {
        formula: "KNO3".into(),
    };
    let amount = Amount::new(1.2, Unit::Gram);
    let entry = write(&desk, "dose", &set).await;
    let into = Into::Water;
    assert_eq!(entry.act, Act::Dose(Dose { of, amount, into }));
    let set = [
        ("of", "EVENING MIX"),
        ("amount", "5"),
        ("into", "substrate"),
    ];
    let of = DoseOf::Product {
        product: desk.product(),
    };
    let amount = Amount::new(5.0, Unit::Millilitre);
    let into = Into::Substrate;
    let entry = write(&desk, "dose", &set).await;
    assert_eq!(entry.act, Act::Dose(Dose { of, amount, into }));
}

#[tokio::test]
async fn water() {
    let desk = Desk::new();
    let rain = desk.water().to_string();
    let source = Some(desk.water());
    // 29 % is a share that does not come back from a hundred exactly.
    let entry = write(&desk, "change", &[("amount", "29"), ("source", &rain)]).await;
    let amount = WaterAmount::Share { share: 0.29 };
    assert_eq!(entry.act, Act::Change(Change { amount, source }));
    let entry = write(
        &desk,
        "change",
        &[("amount", "12.5"), ("measure", "litres")],
    )
    .await;
    let amount = WaterAmount::Litres { litres: 12.5 };
    let change = Change {
        amount,
        source: None,
    };
    assert_eq!(entry.act, Act::Change(change));
    let set = [
        ("litres", "2"),
        ("level_below_cm", "1.5"),
        ("source", rain.as_str()),
    ];
    let top_up = TopUp {
        litres: 2.0,
        source,
        level_below_cm: Some(1.5),
    };
    assert_eq!(write(&desk, "top_up", &set).await.act, Act::TopUp(top_up));
}

#[tokio::test]
async fn keeping() {
    let desk = Desk::new();
    let feed = Feed {
        food: "flakes".into(),
        product: None,
        grams: Some(0.3),
    };
    let set = [("food", "flakes"), ("grams", "0.3")];
    assert_eq!(write(&desk, "feed", &set).await.act, Act::Feed(feed));
    let clean = Clean {
        part: Part::Filter,
        flow_before_l_h: Some(180.0),
        flow_after_l_h: Some(320.0),
    };
    let set = [
        ("part", "filter"),
        ("flow_before_l_h", "180"),
        ("flow_after_l_h", "320"),
    ];
    assert_eq!(write(&desk, "clean", &set).await.act, Act::Clean(clean));
    let lamp = desk.equipment().to_string();
    let swap = Swap {
        left: "old lamp".into(),
        came: "new lamp".into(),
        price: Some(Money {
            amount: 39.9,
            currency: "EUR".into(),
        }),
        equipment: Some(desk.equipment()),
    };
    let oak = desk.tank("Oak").to_string();
    let set = [
        ("left", "old lamp"),
        ("came", "new lamp"),
        ("price", "39,90"),
        ("currency", "eur"),
        ("equipment", &lamp),
        ("tanks", &oak),
    ];
    let entry = write(&desk, "swap", &set).await;
    assert_eq!(entry.act, Act::Swap(swap));
    assert_eq!(entry.tanks, [desk.tank("Oak")]);
    let event = LivestockEvent {
        event: LivestockHappening::Death,
        who: Livestock {
            species: "Neocaridina davidi".into(),
            count: 2,
        },
    };
    let set = [
        ("event", "death"),
        ("species", "Neocaridina davidi"),
        ("count", "2"),
        ("tanks", &oak),
    ];
    assert_eq!(
        write(&desk, "livestock", &set).await.act,
        Act::Livestock(event)
    );
}

#[tokio::test]
async fn settings() {
    let desk = Desk::new();
    let setting = Setting {
        photoperiod_h: Some(7.5),
        light_on_at: Some(jiff::civil::time(11, 0, 0, 0)),
        timer_clock: Some("Europe/Paris".into()),
        dimming_pct: Some(60.0),
        lamp_height_cm: Some(12.0),
        gas_on_after_light_min: Some(-90.0),
        gas_off_after_light_min: Some(0.0),
        surface: Some("still".into()),
        temperature_c: Some(23.5),
        flow_l_h: Some(250.0),
    };
    let set = [
        ("photoperiod_h", "7,5"),
        ("light_on_at", "11:00"),
        ("timer_clock", "Europe/Paris"),
        ("dimming_pct", "60"),
        ("lamp_height_cm", "12"),
        ("gas_on_after_light_min", "\u{2212}90"),
        ("gas_off_after_light_min", "0"),
        ("surface", "still"),
        ("temperature_c", "23.5"),
        ("flow_l_h", "250"),
    ];
    assert_eq!(
        write(&desk, "setting", &set).await.act,
        Act::Setting(setting)
    );
    let one = Setting {
        dimming_pct: Some(50.0),
        ..Setting::default()
    };
    let set = [("dimming_pct", "50")];
    assert_eq!(write(&desk, "setting", &set).await.act, Act::Setting(one));
}

fn reading(desk: &Desk, seen: Seen, low: Option<f64>, high: Option<f64>) -> Reading {
    Reading {
        analyte: Analyte::No3,
        seen,
        card: Some(desk.card()),
        means: Means::Ion,
        interval: Interval::new(low, high).unwrap(),
        water: None,
        dilution: None,
        of: ReadingOf::Sample,
        lot: String::new(),
        opened: None,
        expires: None,
        waited_min: None,
        viewing_light: String::new(),
    }
}

#[tokio::test]
async fn readings_on_a_card() {
    let desk = Desk::new();
    let form = format!("reading?card={}", desk.card());
    let b = Browser::new(&desk.app).await;
    let chooser = b.get(&desk.at("/log/reading")).await;
    assert!(chooser.has(&desk.at(&format!("/log/{form}"))));
    let page = b.get(&desk.at(&format!("/log/{form}"))).await;
    assert!(
        page.has("4.5 to 9"),
        "the step 6 says what it says: {}",
        page.body
    );
    let oak = desk.tank("Oak").to_string();
    for (saw, seen, low, high) in [
        ("step:6", Seen::Step { step: 6.0 }, Some(4.5), Some(9.0)),
        ("step:0", Seen::Step { step: 0.0 }, None, Some(1.5)),
        ("step:24", Seen::Step { step: 24.0 }, Some(18.0), None),
        (
            "between:6:12",
            Seen::Between {
                low: 6.0,
                high: 12.0,
            },
            Some(6.0),
            Some(12.0),
        ),
        (
            "at_least:24",
            Seen::AtLeast { value: 24.0 },
            Some(24.0),
            None,
        ),
    ] {
        let entry = write(&desk, &form, &[("saw", saw), ("tanks", &oak)]).await;
        assert_eq!(
            entry.act,
            Act::Reading(reading(&desk, seen, low, high)),
            "{saw}"
        );
        assert_eq!(entry.tanks, [desk.tank("Oak")]);
    }
    // Steps further apart, and at most one of them.
    let set = [
        ("saw", "other"),
        ("low", "3"),
        ("high", "12"),
        ("tanks", &oak),
    ];
    let seen = Seen::Between {
        low: 3.0,
        high: 12.0,
    };
    let act = Act::Reading(reading(&desk, seen, Some(3.0), Some(12.0)));
    assert_eq!(write(&desk, &form, &set).await.act, act);
    let seen = Seen::AtMost { value: 3.0 };
    let act = Act::Reading(reading(&desk, seen, None, Some(3.0)));
    let set = [("saw", "other"), ("high", "3"), ("tanks", &oak)];
    assert_eq!(write(&desk, &form, &set).await.act, act);
}

#[tokio::test]
async fn readings_with_everything_said() {
    let desk = Desk::new();
    let form = format!("reading?card={}", desk.card());
    // Diluted five times: 6 to 12 says 30 to 60.
    let seen = Seen::Between {
        low: 6.0,
        high: 12.0,
    };
    let rain = desk.water().to_string();
    let full = Reading {
        dilution: Some(5.0),
        water: Some(desk.water()),
        lot: "L7".into(),
        opened: Some(jiff::civil::date(2026, 1, 2)),
        expires: Some(jiff::civil::date(2027, 6, 30)),
        waited_min: Some(10.0),
        viewing_light: "daylight".into(),
        ..reading(&desk, seen, Some(30.0), Some(60.0))
    };
    let set = [
        ("saw", "between:6:12"),
        ("dilution", "5"),
        ("water", &rain),
        ("lot", "L7"),
        ("opened", "2026-01-02"),
        ("expires", "2027-06-30"),
        ("waited_min", "10"),
        ("viewing_light", "daylight"),
        ("tanks", "-"),
    ];
    let entry = write(&desk, &form, &set).await;
    assert_eq!(entry.act, Act::Reading(full));
    assert!(entry.tanks.is_empty());
    let standard = Reading {
        of: ReadingOf::Standard { value: 10.0 },
        ..reading(&desk, seen, Some(6.0), Some(12.0))
    };
    let set = [
        ("saw", "between:6:12"),
        ("reading_of", "standard"),
        ("standard", "10"),
        ("tanks", "-"),
    ];
    assert_eq!(write(&desk, &form, &set).await.act, Act::Reading(standard));
}

#[tokio::test]
async fn readings_without_a_card() {
    let desk = Desk::new();
    let ash = desk.tank("Ash").to_string();
    // 6.80 rounds from 6.795 to 6.805.
    let entry = write(
        &desk,
        "reading?analyte=ph",
        &[("value", "6,80"), ("tanks", &ash)],
    )
    .await;
    let Act::Reading(r) = entry.act else { panic!() };
    let seen = Seen::Meter {
        value: 6.8,
        error: None,
        decimals: 2,
    };
    assert_eq!((r.analyte, r.seen, r.card), (Analyte::Ph, seen, None));
    let (low, high) = (r.interval.low().unwrap(), r.interval.high().unwrap());
    assert!((low - 6.795).abs() < 1e-12 && (high - 6.805).abs() < 1e-12);
    let set = [("value", "25"), ("error", "0.5"), ("tanks", &ash)];
    let entry = write(&desk, "reading?analyte=temperature", &set).await;
    let Act::Reading(r) = entry.act else { panic!() };
    assert_eq!(r.interval, Interval::closed(24.5, 25.5).unwrap());
    let set = [("low", "0.5"), ("means", "element"), ("tanks", &ash)];
    let entry = write(&desk, "reading?analyte=po4", &set).await;
    let Act::Reading(r) = entry.act else { panic!() };
    assert_eq!(
        (r.means, r.interval),
        (Means::Element, Interval::at_least(0.5).unwrap())
    );
}

#[tokio::test]
async fn a_reading_that_is_not_clear_is_refused_at_its_field() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let at = desk.at("/log/reading");
    let page = b.get(&format!("{at}?card={}", desk.card())).await;
    let ash = desk.tank("Ash").to_string();
    for (set, field) in [
        (vec![("tanks", ash.as_str())], "f-saw"),
        (
            vec![("tanks", &ash), ("saw", "step:6"), ("low", "3")],
            "f-saw",
        ),
        (
            vec![
                ("tanks", &ash),
                ("saw", "other"),
                ("low", "4"),
                ("high", "12"),
            ],
            "f-low",
        ),
        (
            vec![("tanks", &ash), ("saw", "other"), ("low", "x")],
            "f-low",
        ),
        (vec![("tanks", "-"), ("saw", "step:6")], "f-tanks"),
        (vec![("saw", "step:6")], "f-tanks"),
        (
            vec![("tanks", &ash), ("saw", "step:6"), ("dilution", "0.5")],
            "f-dilution",
        ),
    ] {
        let fields = with(&fields_of(&page.body, &at), &set);
        let sent = b.post(&at, &refs(&fields)).await;
        assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY, "{set:?}");
        assert!(
            sent.has(&format!("href=\"#{field}\"")),
            "{set:?}: {}",
            sent.body
        );
        assert!(
            sent.has(&format!("id=\"{field}\"")),
            "{set:?} has its field"
        );
    }
    assert_eq!(desk.written(), 0);
}

#[tokio::test]
async fn plants_looked_at() {
    let desk = Desk::new();
    let oak = desk.planting(PLANT, "Oak");
    let id = oak.to_string();
    let observation = Observation {
        plantings: vec![oak],
        vigour: Some(8.0),
        new_leaf: Some(7.0),
        density: None,
        colour: Some(6.0),
        height_cm: Some(14.5),
        spread_cm: Some(9.0),
        node_cm: Some(1.5),
        cover_pct: Some(35.0),
        fresh_g: Some(21.0),
        emerged: Some(false),
        signs: vec!["pale".into(), "melting".into()],
    };
    let set = [
        ("plantings", id.as_str()),
        ("vigour", "8"),
        ("new_leaf", "7"),
        ("colour", "6"),
        ("height_cm", "14.5"),
        ("spread_cm", "9"),
        ("node_cm", "1,5"),
        ("cover_pct", "35"),
        ("fresh_g", "21"),
        ("emerged", "no"),
        ("signs", "pale, melting"),
    ];
    let entry = write(&desk, "observation", &set).await;
    assert_eq!(entry.act, Act::Observation(observation));
    assert_eq!(entry.tanks, [desk.tank("Oak")]);
    let algae = Algae {
        film: Surfaces {
            pane: Some(2.0),
            ..Surfaces::default()
        },
        thread: Surfaces {
            plants: Some(1.0),
            hardscape: Some(0.0),
            ..Surfaces::default()
        },
    };
    let tank = desk.tank("Elm").to_string();
    let set = [
        ("film_pane", "2"),
        ("thread_plants", "1"),
        ("thread_hardscape", "0"),
        ("tanks", &tank),
    ];
    assert_eq!(write(&desk, "algae", &set).await.act, Act::Algae(algae));
    // The written anchors stand beside the scores.
    let b = Browser::new(&desk.app).await;
    let page = b.get(&desk.at("/log/observation")).await;
    assert!(page.has("8: growing steadily, nearly every leaf sound"));
}

#[tokio::test]
async fn plants_cut() {
    let desk = Desk::new();
    // Every tank: the moss stands in two of three, so those are meant.
    let entry = write(&desk, "trim", &[("plants", MOSS), ("kept_share", "50")]).await;
    let trim = Trim {
        plantings: vec![desk.planting(MOSS, "Ash"), desk.planting(MOSS, "Elm")],
        kept_share: Some(0.5),
        out_fresh_g: None,
        dried: None,
        left_out: vec![],
    };
    assert_eq!(entry.act, Act::Trim(trim));
    assert_eq!(
        (entry.tanks, entry.all_tanks),
        (vec![desk.tank("Ash"), desk.tank("Elm")], false)
    );
    let (elm, left) = (
        desk.tank("Elm").to_string(),
        desk.planting(MOSS, "Elm").to_string(),
    );
    let trim = Trim {
        plantings: vec![desk.planting(PLANT, "Elm")],
        kept_share: Some(0.29),
        out_fresh_g: Some(32.0),
        dried: Some(DriedSample {
            fresh_g: 12.0,
            dry_g: 1.1,
        }),
        left_out: vec![desk.planting(MOSS, "Elm")],
    };
    let set = [
        ("plants", PLANT),
        ("kept_share", "29"),
        ("out_fresh_g", "32"),
        ("dried_fresh_g", "12"),
        ("dried_dry_g", "1.1"),
        ("left_out", &left),
        ("tanks", &elm),
    ];
    assert_eq!(write(&desk, "trim", &set).await.act, Act::Trim(trim));
    let thin = Thin {
        plantings: vec![desk.planting(PLANT, "Elm"), desk.planting(MOSS, "Elm")],
        kept_share: Some(0.5),
        out_fresh_g: None,
    };
    let set = [
        ("plants", PLANT),
        ("plants", MOSS),
        ("kept_share", "50"),
        ("tanks", &elm),
    ];
    let Act::Thin(mut got) = write(&desk, "thin", &set).await.act else {
        panic!()
    };
    got.plantings.sort_by_key(|id| *id != thin.plantings[0]);
    assert_eq!(got, thin);
}

#[tokio::test]
async fn plants_gone_counted_and_moved() {
    let desk = Desk::new();
    let planting = desk.planting(PLANT, "Ash");
    let id = planting.to_string();
    let loss = Loss {
        planting,
        whole: false,
        stems: Some(3),
    };
    let set = [("planting", id.as_str()), ("whole", "no"), ("stems", "3")];
    let entry = write(&desk, "loss", &set).await;
    assert_eq!(
        (entry.act, entry.tanks),
        (Act::Loss(loss), vec![desk.tank("Ash")])
    );
    let set = [("planting", id.as_str()), ("count", "0")];
    let plantlets = Plantlets { planting, count: 0 };
    assert_eq!(
        write(&desk, "plantlets", &set).await.act,
        Act::Plantlets(plantlets)
    );
    let oak = desk.tank("Oak").to_string();
    let moved = Move {
        planting,
        to: Some(desk.tank("Oak")),
        share: Some(0.25),
        fresh_g: Some(4.0),
    };
    let set = [
        ("planting", id.as_str()),
        ("to", &oak),
        ("share", "25"),
        ("fresh_g", "4"),
    ];
    assert_eq!(write(&desk, "move", &set).await.act, Act::Move(moved));
    let out = Move {
        planting,
        to: None,
        share: None,
        fresh_g: None,
    };
    let set = [("planting", id.as_str()), ("to", "out")];
    assert_eq!(write(&desk, "move", &set).await.act, Act::Move(out));
    let harvest = Harvest {
        planting,
        fresh_g: Some(40.0),
        dry_g: Some(3.2),
        fate: Fate::Disposed,
    };
    let set = [
        ("planting", id.as_str()),
        ("fresh_g", "40"),
        ("dry_g", "3.2"),
        ("fate", "disposed"),
    ];
    assert_eq!(
        write(&desk, "harvest", &set).await.act,
        Act::Harvest(harvest)
    );
}

#[tokio::test]
async fn cuttings_join_or_become_a_planting_of_their_own() {
    let desk = Desk::new();
    let from = desk.planting(PLANT, "Ash");
    let id = from.to_string();
    let replant = Replant {
        from,
        into: from,
        count: Some(6),
        fresh_g: Some(9.0),
    };
    let set = [("from", id.as_str()), ("count", "6"), ("fresh_g", "9")];
    assert_eq!(
        write(&desk, "replant", &set).await.act,
        Act::Replant(replant)
    );
    let before = desk.bench().plantings.len();
    // Without a label the new lot could not be told from the old one.
    let b = Browser::new(&desk.app).await;
    let at = desk.at("/log/replant");
    let page = b.get(&at).await;
    let set = [("from", id.as_str()), ("into", "new"), ("count", "4")];
    let fields = with(&fields_of(&page.body, &at), &set);
    let refused = b.post(&at, &refs(&fields)).await;
    assert!(refused.has("href=\"#f-label\"") && desk.bench().plantings.len() == before);
    let fields = with(&fields, &[("label", "front")]);
    let sent = b.post(&at, &refs(&fields)).await;
    let twice = b.post(&at, &refs(&fields)).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.body);
    assert_eq!(sent.location, twice.location);
    let entry = desk.confirmed(&sent.location);
    let Act::Replant(replant) = &entry.act else {
        panic!()
    };
    let bench = desk.bench();
    let new = bench.planting(replant.into).unwrap();
    assert_eq!(bench.plantings.len(), before + 1);
    assert_eq!((new.parent, new.tank), (Some(from), desk.tank("Ash")));
    assert_eq!(
        (new.title(), new.stems),
        (format!("{PLANT} (front)"), Some(4))
    );
    assert_eq!(new.planted, Some(entry.at.date()));
    untouched(&desk, &b, &entry).await;
}
