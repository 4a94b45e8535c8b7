//! Records typed by mistake go, are told, and come back; a lot drawn on paper is told as one.

use axum::http::StatusCode;

use super::common::{Browser, TestApp};
use super::{NEW, Typed, bench, fill, new_trial, saved, setup};

const PLANT: &str = "Bacopa caroliniana";

#[tokio::test]
async fn a_record_is_withdrawn_named_and_restored() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let b = new_trial(&app, &browser).await;
    let at = setup(&b);
    saved(
        &browser,
        &format!("{at}/plantings/new"),
        &[("scientific_name", PLANT)],
    )
    .await;
    let b = bench(&app, b.trial.id);
    let ash = b.tank_named("Ash").unwrap();
    let tank = format!("{at}/tanks/{}", ash.id);
    let withdraw = format!("{tank}/withdraw");
    assert!(browser.get(&tank).await.has(&withdraw));
    // Its planting points at it: the page says so, and sending the form all the same changes nothing.
    let page = browser.get(&withdraw).await;
    assert!(page.has("1 other record points at it"), "{}", page.body);
    assert!(!page.has("withdraw_why"));
    let forced = browser.post(&withdraw, &[("withdraw_why", "a slip")]).await;
    assert_eq!(forced.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(bench(&app, b.trial.id).tanks.len(), 4);
    // An entry on the planting comes first.
    let planting = b.plantings_in(ash.id).next().unwrap();
    let log = format!("/trials/{}/log", b.trial.id);
    let id = planting.id.to_string();
    let looked = fill(
        &browser,
        &format!("{log}/observation"),
        &[("plantings", &id), ("vigour", "6")],
    )
    .await;
    assert_eq!(looked.status, StatusCode::SEE_OTHER, "{}", looked.body);
    let entry = looked.location.split("done=").nth(1).unwrap().to_owned();
    let plant = format!("{at}/plantings/{id}");
    let page = browser.get(&format!("{plant}/withdraw")).await;
    assert!(page.has("1 entry names it") && page.has(&format!("/entries/{entry}")));
    let undo = format!("/trials/{}/entries/{entry}/undo", b.trial.id);
    assert_eq!(browser.post(&undo, &[]).await.status, StatusCode::SEE_OTHER);
    // Why must be said.
    let why = format!("{plant}/withdraw");
    let empty = browser.post(&why, &[("withdraw_why", " ")]).await;
    assert_eq!(empty.status, StatusCode::UNPROCESSABLE_ENTITY);
    let gone = fill(&browser, &why, &[("withdraw_why", "wrong <tank>")]).await;
    assert_eq!(gone.status, StatusCode::SEE_OTHER, "{}", gone.body);
    let told = browser.get(gone.location.split('#').next().unwrap()).await;
    assert!(told.has("wrong &lt;tank&gt;") && told.has(&format!("{plant}/earlier")));
    assert_eq!(browser.get(&plant).await.status, StatusCode::NOT_FOUND);
    let earlier = browser.get(&format!("{plant}/earlier")).await;
    assert!(earlier.has("Withdrawn: wrong &lt;tank&gt;"));
    // No form offers it any more.
    let form = browser.get(&format!("{log}/observation")).await;
    assert!(!form.has(&id));
    // Sent twice, it is gone once.
    let twice = browser.post(&why, &[("withdraw_why", "again")]).await;
    assert_eq!(twice.status, StatusCode::SEE_OTHER);
    assert_eq!(app.notebook().revisions(planting.id.0).unwrap().len(), 2);
    // The tank follows; drawn by lot, it is named beside every comparison.
    let page = browser.get(&withdraw).await;
    assert!(page.has("Its arm was drawn by lot"));
    let gone = browser.post(&withdraw, &[("withdraw_why", "leaks")]).await;
    assert_eq!(gone.status, StatusCode::SEE_OTHER);
    let after = bench(&app, b.trial.id);
    assert_eq!((after.tanks.len(), after.withdrawn.len()), (3, 2));
    let found = answers::gaps::withdrawn_after_lot(&after);
    assert!(found[0].what.contains("Ash") && found[0].what.contains("leaks"));
    // Back again: first the tank, then what stands in it.
    let early = browser.post(&format!("{plant}/restore"), &[]).await;
    assert_eq!(early.status, StatusCode::BAD_REQUEST);
    assert!(early.has("was withdrawn; restore it first"));
    for path in [&tank, &plant] {
        let back = browser.post(&format!("{path}/restore"), &[]).await;
        assert_eq!(back.status, StatusCode::SEE_OTHER, "{}", back.body);
        let shown = browser.get(back.location.split('#').next().unwrap()).await;
        assert!(shown.has("restored."));
    }
    let after = bench(&app, b.trial.id);
    assert_eq!((after.tanks.len(), after.withdrawn.len()), (4, 0));
}

#[tokio::test]
async fn a_name_taken_meanwhile_is_said() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let b = new_trial(&app, &browser).await;
    let at = setup(&b);
    let new = format!("{at}/waters/new");
    saved(&browser, &new, &[("name", "tap"), ("water_kind", "tap")]).await;
    let first = bench(&app, b.trial.id).waters[0].id;
    let one = format!("{at}/waters/{first}");
    let gone = browser
        .post(&format!("{one}/withdraw"), &[("withdraw_why", "twice")])
        .await;
    assert_eq!(gone.status, StatusCode::SEE_OTHER);
    saved(&browser, &new, &[("name", "Tap"), ("water_kind", "tap")]).await;
    let back = browser.post(&format!("{one}/restore"), &[]).await;
    assert_eq!(back.status, StatusCode::BAD_REQUEST);
    assert!(back.has("another record has that name"), "{}", back.body);
}

#[tokio::test]
async fn a_lot_drawn_on_paper_is_told_as_one() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let page = browser.get("/trials/new").await;
    let typed = Typed::over(&page.body, "/trials/new").all(&NEW).all(&[
        ("new_zone", "Europe/Lisbon"),
        ("seed", ""),
        ("given", "paper"),
        ("tank_arm-1", "2"),
        ("tank_arm-2", "1"),
        ("tank_arm-3", "1"),
        ("tank_arm-4", "2"),
    ]);
    let refused = typed.send(&browser, "/trials/new").await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.has("say with what it was drawn"));
    assert!(refused.has("give the day of the draw"));
    let typed = typed.all(&[
        ("paper_on", "2026-02-01"),
        ("paper_how", "slips from a bowl"),
        ("paper_by", "A neighbour"),
    ]);
    let made = typed.send(&browser, "/trials/new").await;
    assert_eq!(made.status, StatusCode::SEE_OTHER, "{}", made.body);
    let id = made.location.split('/').nth(2).unwrap();
    let b = bench(&app, id.parse().unwrap());
    let lot = b.trial.lot.clone().unwrap();
    assert_eq!((lot.seed, lot.by.as_str()), (None, "A neighbour"));
    assert!(
        lot.result
            .starts_with("Ash: Usual light; Elm: Bright light"),
        "{}",
        lot.result
    );
    let overview = browser.get(&setup(&b)).await;
    assert!(overview.has(
        "Drawn on paper on 2026-02-01 by A neighbour (slips from a bowl), not repeatable by seed."
    ));
}

#[tokio::test]
async fn the_growth_of_a_whole_tank_is_refused() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let b = new_trial(&app, &browser).await;
    let first = browser.get(&format!("/trials/{}/bench", b.trial.id)).await;
    let place = |what: &str| first.body.find(what).unwrap();
    assert!(place("/setup/plantings/new") < place("/setup/outcomes"));
    let outcomes = format!("{}/outcomes", setup(&b));
    let growth = [
        ("outcome-1", "More of it"),
        ("measure-1", "growth"),
        ("better-1", "more"),
    ];
    let refused = fill(&browser, &outcomes, &growth).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.has("record what was planted first"));
    let plants = format!("{}/plantings/new", setup(&b));
    saved(&browser, &plants, &[("scientific_name", PLANT)]).await;
    // Planted, the bench still asks for the outcome.
    let next = browser.get(&format!("/trials/{}/bench", b.trial.id)).await;
    assert!(next.has("What comes next") && !next.has("setup/plantings/new"));
    assert!(
        fill(&browser, &outcomes, &growth)
            .await
            .has("choose the plant")
    );
    let with_plant = [growth[0], growth[1], growth[2], ("plant-1", PLANT)];
    saved(&browser, &outcomes, &with_plant).await;
}
