//! Plants looked at, cut, counted, moved, lost, harvested, replanted.

use axum::http::StatusCode;
use trial::Act;
use trial::act::*;

use crate::common::{Browser, fields_of};
use crate::fixture::{Desk, MOSS, PLANT, refs, with};
use crate::{untouched, write};

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
        on_walk: None,
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
        on_walk: None,
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
    // Taken back, cuttings leave the planting they became, and the page says so.
    let page = b.get(&at).await;
    let set = [&set[..], &[("label", "back")]].concat();
    let sent = b
        .post(&at, &refs(&with(&fields_of(&page.body, &at), &set)))
        .await;
    let cut = desk.confirmed(&sent.location);
    let undo = desk.at(&format!("/entries/{}/undo", cut.id));
    let undone = b.post(&undo, &[]).await;
    let told = b.get(&undone.location).await;
    let stays = format!("The planting &quot;{PLANT} (back)&quot; that the cuttings became stays");
    assert!(told.has(&stays), "{}", told.body);
    assert_eq!(desk.bench().plantings.len(), before + 2);
}
