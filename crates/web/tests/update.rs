//! The update's pages over the invented demonstration: words saved, read as readers will, made, and
//! nothing served but what was made.

#![allow(clippy::unwrap_used)] // helpers of tests, outside the test functions

mod common;

use axum::body::{Body, to_bytes};
use axum::http::{HeaderMap, Request, StatusCode};
use common::{Browser, HOST, TestApp, fields_of};
use tower::ServiceExt;

const TITLE: &str = "Pots or cuttings?";

/// The demonstration with the address of the update of its smaller trial.
fn demonstration() -> (TestApp, String) {
    let app = TestApp::new();
    demo::make(app.notebook()).unwrap();
    let trials = app.notebook().trials().unwrap();
    let found = trials.iter().find(|t| t.trial.title == TITLE).unwrap();
    let path = format!("/trials/{}/update", found.trial.id);
    (app, path)
}

/// The address of the first link that begins so.
fn link_to(page: &str, start: &str) -> String {
    let at = page.find(&format!("href=\"{start}")).unwrap() + "href=\"".len();
    page[at..].split('"').next().unwrap().to_owned()
}

async fn raw(app: &TestApp, path: &str) -> (StatusCode, HeaderMap, Vec<u8>) {
    let request = Request::get(path).header("host", HOST).body(Body::empty());
    let routes = web::router::router(app);
    let response = routes.oneshot(request.unwrap()).await.unwrap();
    let (status, headers) = (response.status(), response.headers().clone());
    let bytes = to_bytes(response.into_body(), 64 << 20).await.unwrap();
    (status, headers, bytes.to_vec())
}

#[tokio::test]
async fn the_keepers_words_are_saved_and_shown_to_readers() {
    let (app, path) = demonstration();
    let browser = Browser::new(&app).await;
    let page = browser.get(&path).await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.has("Invented for demonstration.") && page.has("Read it as readers will"));
    // Sent untouched the form changes nothing.
    let fields = fields_of(&page.body, &path);
    let trial = || {
        app.notebook()
            .trials()
            .unwrap()
            .into_iter()
            .find(|t| t.trial.title == TITLE)
    };
    let before = trial().unwrap().trial;
    let pairs: Vec<(&str, &str)> = fields.iter().map(|(n, v)| (&**n, &**v)).collect();
    let sent = browser.post(&path, &pairs).await;
    assert_eq!(sent.location, format!("{path}?saved"));
    assert_eq!(trial().unwrap().trial, before);
    let words = [
        ("next_step", "Swap the <b>tanks</b>"),
        ("disclosures", "A lamp, lent\n\n  A test kit, given "),
    ];
    browser.post(&path, &words).await;
    let saved = trial().unwrap().trial;
    assert_eq!(saved.next_step.as_deref(), Some("Swap the <b>tanks</b>"));
    assert_eq!(saved.disclosures, ["A lamp, lent", "A test kit, given"]);
    assert!(browser.get(&format!("{path}?saved")).await.has("Saved."));
    let (status, headers, page) = raw(&app, &format!("{path}/page")).await;
    let page = String::from_utf8(page).unwrap();
    assert_eq!(status, StatusCode::OK);
    assert!(page.contains("Swap the &lt;b&gt;tanks&lt;/b&gt;") && page.contains("A lamp, lent"));
    assert!(page.contains("Preview.") && page.contains("What this trial can say"));
    // Its own policy: the style sheet by its hash, no script, nothing from elsewhere.
    let policy = headers["content-security-policy"].to_str().unwrap();
    assert!(
        policy.starts_with("default-src 'none'; style-src 'sha256-"),
        "{policy}"
    );
    assert!(policy.ends_with("frame-ancestors 'none'") && !policy.contains("script"));
    assert_eq!(headers["x-content-type-options"], "nosniff");
}

#[tokio::test]
async fn too_many_words_come_back_as_typed() {
    let (app, path) = demonstration();
    let browser = Browser::new(&app).await;
    let long = "w".repeat(4001);
    let sent = browser
        .post(&path, &[("next_step", &long), ("disclosures", "")])
        .await;
    assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(sent.has(&long) && sent.has("Nothing was saved yet"));
}

#[tokio::test]
async fn an_update_is_made_listed_and_served_by_exact_names_only() {
    let (app, path) = demonstration();
    let browser = Browser::new(&app).await;
    let sent = browser.post(&format!("{path}/make"), &[]).await;
    let job = browser.job(&sent).await;
    let made = link_to(&job.body, &format!("{path}/made/"));
    assert!(made.contains("-pots-or-cuttings-"), "{made}");
    let page = browser.get(&made).await;
    assert!(page.has("index.html") && page.has("data.zip"));
    assert!(page.has("01-question-1920x1080.png") && page.has("01-question-1080x1920.png"));
    assert!(browser.get(&path).await.has(&made), "it is listed");
    for (file, kind, start) in [
        (
            "index.html",
            "text/html; charset=utf-8",
            &b"<!DOCTYPE html>"[..],
        ),
        ("data.zip", "application/zip", b"PK\x03\x04"),
        ("frames/01-question-1920x1080.png", "image/png", b"\x89PNG"),
    ] {
        let (status, headers, bytes) = raw(&app, &format!("{made}/{file}")).await;
        assert_eq!(
            (status, &headers["content-type"]),
            (StatusCode::OK, &kind.parse().unwrap())
        );
        assert!(bytes.starts_with(start), "{file}");
    }
    // Something that is there but is no part of an update, and everything else.
    let folder = app.notebook().folder().join("updates");
    let name = made.rsplit('/').next().unwrap();
    std::fs::write(folder.join(name).join("frames/mine.png"), "x").unwrap();
    std::fs::write(folder.join(name).join("mine.txt"), "x").unwrap();
    for other in [
        "frames/mine.png",
        "mine.txt",
        "frames",
        "frames/..%2findex.html",
        "..%2f..%2fnotebook.sqlite",
        "frames/02-nothing-1920x1080.png",
    ] {
        let (status, ..) = raw(&app, &format!("{made}/{other}")).await;
        assert!(status.is_client_error(), "{other}: {status}");
    }
    for other in ["2026-01-01-x-00000000", "updates", "..%2fpictures", ""] {
        let (status, ..) = raw(&app, &format!("{path}/made/{other}")).await;
        assert!(status.is_client_error(), "{other}: {status}");
    }
    // The other trial's page does not list it.
    let trials = app.notebook().trials().unwrap();
    let other = trials
        .iter()
        .find(|t| t.trial.title != TITLE)
        .unwrap()
        .trial
        .id;
    let (status, ..) = raw(&app, &format!("/trials/{other}/update/made/{name}")).await;
    assert_eq!(status, StatusCode::NOT_FOUND);
}
