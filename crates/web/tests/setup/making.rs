//! The first page and a new trial.

use axum::http::StatusCode;

use super::common::{Browser, TestApp};
use super::{NEW, Typed, fill, new_trial};

#[tokio::test]
async fn an_empty_notebook_says_what_would_be_here() {
    let app = TestApp::new();
    let home = Browser::new(&app).await.get("/").await;
    assert_eq!(home.status, StatusCode::OK);
    assert!(home.has("href=\"/trials/new\"") && home.has("fairtank demo"));
}

#[tokio::test]
async fn a_trial_is_made_by_lot_without_scripts() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let b = new_trial(&app, &browser).await;
    assert_eq!(b.trial.question, NEW[0].1);
    assert_eq!(
        b.trial.title,
        "Does <more> light redden the \"bush\" & nothing else?"
    );
    assert_eq!(b.trial.zone, "Europe/Lisbon");
    let arms: Vec<&str> = b.trial.arms.iter().map(|a| a.key.as_str()).collect();
    assert_eq!(arms, ["bright", "usual"]);
    assert_eq!(b.trial.differ[0].levels[1].value, "Usual light");
    // By hand, as in the tests of the lot: of A B C D the seed gives A C D B, dealt in turn.
    let given: Vec<(&str, &str)> = b
        .tanks
        .iter()
        .map(|t| (t.name.as_str(), t.arm.as_deref().unwrap()))
        .collect();
    assert_eq!(
        given,
        [
            ("Ash", "bright"),
            ("Elm", "usual"),
            ("Fir", "usual"),
            ("Oak", "bright")
        ]
    );
    let lot = b.trial.lot.unwrap();
    assert_eq!(lot.seed, Some(1_234_567));
    assert!(
        lot.method.contains("SplitMix64") && lot.method.ends_with("Bright light, Usual light.")
    );
    let bench = browser.get(&format!("/trials/{}/bench", b.trial.id)).await;
    assert!(
        bench.has("What comes next") && bench.has("/setup/plantings/new") && bench.has("1234567")
    );
    let home = browser.get("/").await;
    assert!(
        home.has("Does &lt;more&gt; light")
            && home.has("&amp; nothing else")
            && home.has("0 entries")
    );
    assert!(!home.has("<more>"));
}

#[tokio::test]
async fn the_same_form_twice_makes_one_trial_and_a_missing_seed_is_drawn() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let page = browser.get("/trials/new").await;
    let typed = Typed::over(&page.body, "/trials/new")
        .all(&NEW)
        .set("seed", "");
    for _ in 0..2 {
        let answer = typed.send(&browser, "/trials/new").await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER);
    }
    let trials = app.notebook().trials().unwrap();
    assert_eq!((trials.len(), trials[0].tanks.len()), (1, 4));
    let lot = trials[0].trial.lot.clone().unwrap();
    let names = ["Ash", "Elm", "Fir", "Oak"];
    for (name, arm) in trial::lot::dealt(lot.seed.unwrap(), &names, 2) {
        let tank = trials[0].tanks.iter().find(|t| t.name == name).unwrap();
        assert_eq!(tank.arm.as_deref(), Some(["bright", "usual"][arm]));
    }
}

#[tokio::test]
async fn a_new_trial_refused_keeps_every_value() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let answer = fill(
        &browser,
        "/trials/new",
        &[
            ("new_question", ""),
            ("tank_name-1", "two words"),
            ("tank_name-2", "Ash"),
            ("tank_name-3", "ash"),
            ("new_factor", "<b>Light"),
            ("new_level-3", "Bright"),
            ("new_zone", "Atlantis"),
            ("given", "hand"),
            ("tank_arm-2", "3"),
        ],
    )
    .await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    for part in [
        "Question is empty; write the question, or give a title.",
        "Tank, row 1: “two words” is not accepted; give one word of letters",
        "Tank, row 3: “ash” is not accepted; give a name that is not used yet.",
        "Arm, row 1 is empty; name at least two arms.",
        "“Atlantis” is not accepted; give a time zone of the IANA list",
        "Arm of the tank, row 1 is empty; choose one of the arms named above.",
        "value=\"two words\"",
        "value=\"&lt;b&gt;Light\"",
        "value=\"Bright\"",
        "<option value=\"3\" selected>Bright</option>",
        "value=\"hand\" checked",
    ] {
        assert!(answer.has(part), "{part}");
    }
    assert!(!answer.has("Title is empty"), "said once, at the question");
    // The list above the form goes down the form.
    let list = answer.body.split("Nothing was saved yet").nth(1).unwrap();
    let places = [
        "#f-new_question",
        "#f-tank_name-1",
        "#f-tank_name-3",
        "#f-new_level-1",
        "#f-new_zone",
    ];
    let found: Vec<usize> = places
        .iter()
        .map(|place| list.find(place).unwrap())
        .collect();
    assert!(found.is_sorted(), "{found:?}");
    assert!(app.notebook().trials().unwrap().is_empty());
}
