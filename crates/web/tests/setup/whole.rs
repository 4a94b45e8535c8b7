//! The overview, earlier versions, and every form over the demonstration.

use axum::http::StatusCode;
use jiff::civil::date;

use super::common::{Browser, TestApp};
use super::{bench, new_trial, saved, setup};

#[tokio::test]
async fn earlier_versions_say_what_changed() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let b = new_trial(&app, &browser).await;
    let path = format!("{}/tanks/{}", setup(&b), b.tanks[0].id);
    saved(&browser, &path, &[("walls", "white"), ("length_cm", "60")]).await;
    saved(&browser, &path, &[]).await;
    let earlier = browser.get(&format!("{path}/earlier")).await;
    assert_eq!(
        earlier.body.matches("<li class=\"card\">").count(),
        2,
        "the same again is no version"
    );
    assert!(
        earlier.has("<del>Clear glass, air behind</del> <ins>White, bonded to the glass</ins>")
    );
    assert!(earlier.has("<del>not said</del> <ins>60</ins>") && earlier.has("The first version."));
    let trial = format!("{}/question/{}/earlier", setup(&b), b.trial.id);
    assert!(browser.get(&trial).await.has("1234567"));
    // Another trial's records are not shown here, nor is anything under a made-up address.
    let other = new_trial(&app, &browser).await;
    for gone in [
        format!("{}/tanks/{}/earlier", setup(&other), b.tanks[0].id),
        format!("{}/tanks/{}", setup(&other), b.tanks[0].id),
        format!("{}/plans/new/earlier", setup(&b)),
        format!("{}/nothing", setup(&b)),
        format!("{}/cards/{}", setup(&b), b.tanks[0].id),
    ] {
        assert_eq!(
            browser.get(&gone).await.status,
            StatusCode::NOT_FOUND,
            "{gone}"
        );
    }
}

#[tokio::test]
async fn the_overview_tells_every_gap_once_and_every_text_exists() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let b = new_trial(&app, &browser).await;
    let overview = browser.get(&setup(&b)).await;
    let gaps = answers::setup::gaps_of(app.notebook(), &b, date(2026, 3, 1)).unwrap();
    assert!(gaps.len() > 8);
    for gap in gaps {
        let what = gap
            .what
            .replace('&', "&amp;")
            .replace('<', "&lt;")
            .replace('>', "&gt;");
        assert_eq!(
            overview.body.matches(&what.replace('"', "&quot;")).count(),
            1,
            "{what}"
        );
    }
    for word in ["question", "arms", "outcomes", "phases", "keeping"] {
        let page = browser.get(&format!("{}/{word}", setup(&b))).await;
        assert!(!page.has("setup."), "{word}");
    }
    for word in [
        "tanks",
        "plantings",
        "cards",
        "waters",
        "products",
        "equipment",
        "plans",
    ] {
        let page = browser.get(&format!("{}/{word}/new", setup(&b))).await;
        assert!(!page.has("setup."), "{word}");
        let list = browser.get(&format!("{}/{word}", setup(&b))).await;
        assert_eq!(list.location, format!("{}?open={word}#{word}", setup(&b)));
        let open = browser.get(list.location.split('#').next().unwrap()).await;
        assert!(open.has(&format!("<details class=\"fold\" id=\"{word}\" open>")));
    }
    assert!(!overview.has("setup.") && !browser.get("/trials/new").await.has("setup."));
}

#[tokio::test]
async fn only_parts_with_something_missing_stand_open() {
    let app = TestApp::new();
    demo::make(app.notebook()).unwrap();
    let browser = Browser::new(&app).await;
    let trials = app.notebook().trials().unwrap();
    let full = trials.iter().find(|t| t.tanks.len() == 4).unwrap();
    let b = bench(&app, full.trial.id);
    let overview = browser.get(&setup(&b)).await.body;
    let parts: Vec<&str> = overview.split("<details class=\"fold\"").skip(1).collect();
    assert_eq!(parts.len(), 12);
    for part in &parts {
        let part = part.split("</details>").next().unwrap();
        let (head, rest) = part.split_once('>').unwrap();
        let lacks = rest.contains("class=\"tag\"") || rest.contains("class=\"notice");
        assert_eq!(head.contains(" open"), lacks, "{head}");
    }
    // Counted in the tables of the demonstration.
    let n = b.plantings.len();
    assert!(overview.contains(&format!(">{n} in 4 tanks<")), "{n}");
}

#[tokio::test]
async fn an_untouched_form_changes_nothing() {
    let app = TestApp::new();
    demo::make(app.notebook()).unwrap();
    let browser = Browser::new(&app).await;
    assert!(browser.get("/").await.has("Invented for demonstration."));
    let before = app.notebook().all_revisions().unwrap().len();
    let mut forms = 0;
    for line in app.notebook().trials().unwrap() {
        let b = bench(&app, line.trial.id);
        let base = setup(&b);
        let mut paths: Vec<String> = ["question", "arms", "outcomes", "phases", "keeping"]
            .map(|w| format!("{base}/{w}"))
            .into();
        paths.extend(b.tanks.iter().map(|r| format!("{base}/tanks/{}", r.id)));
        paths.extend(
            b.plantings
                .iter()
                .map(|r| format!("{base}/plantings/{}", r.id)),
        );
        paths.extend(b.cards.iter().map(|r| format!("{base}/cards/{}", r.id)));
        paths.extend(b.waters.iter().map(|r| format!("{base}/waters/{}", r.id)));
        paths.extend(
            b.products
                .iter()
                .map(|r| format!("{base}/products/{}", r.id)),
        );
        paths.extend(
            b.equipment
                .iter()
                .map(|r| format!("{base}/equipment/{}", r.id)),
        );
        paths.extend(b.plans.iter().map(|r| format!("{base}/plans/{}", r.id)));
        for path in paths {
            saved(&browser, &path, &[]).await;
            forms += 1;
            let now = app.notebook().all_revisions().unwrap();
            assert_eq!(now.len(), before, "{path}: {}", now.last().unwrap().payload);
        }
    }
    assert!(forms > 40, "{forms}");
}
