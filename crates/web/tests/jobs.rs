//! Pages of jobs: how far one is, stopping it, what came of it, and what is said of one that is gone.

#![allow(clippy::unwrap_used, clippy::panic)] // tests

mod common;
#[path = "common/fixture.rs"]
mod fixture;

use axum::http::StatusCode;
use common::Browser;
use fixture::Desk;
use job::{JobId, Stop};
use std::sync::mpsc::channel;
use std::time::Duration;
use uuid::Uuid;
use web::jobs::{About, Outcome};

fn about() -> About {
    About {
        what: "Counting <leaves>".to_owned(),
        trial: None,
        back: ("/files".to_owned(), "To the files"),
    }
}

#[tokio::test]
async fn a_running_job_shows_how_far_it_is_and_is_stopped_by_its_button() {
    let desk = Desk::new();
    let browser = Browser::new(&desk.app).await;
    let (began, begun) = channel();
    let id = Uuid::now_v7();
    let jobs = desk.app.desk().jobs();
    jobs.start(JobId(id.as_u128()), about(), move |progress| {
        progress.doing("Leaves");
        progress.at(3, 12)?;
        began.send(()).unwrap();
        loop {
            progress.check()?;
            std::thread::sleep(Duration::from_millis(2));
        }
    })
    .unwrap();
    begun.recv().unwrap();
    let path = format!("/jobs/{id}");
    let page = browser.get(&path).await;
    assert!(page.has("Counting &lt;leaves&gt;") && page.has("Leaves: 3 of 12"));
    assert!(page.has("<progress") && page.has("value=\"250\"") && page.has("25 %"));
    // Without scripts the page asks again by itself; with them the script does.
    assert!(page.has("<noscript><meta http-equiv=\"refresh\" content=\"2\"></noscript>"));
    assert!(page.has("job.js"));
    let state = browser.get(&format!("{path}/state")).await;
    let state: serde_json::Value = serde_json::from_str(&state.body).unwrap();
    assert_eq!(state["ended"], false);
    assert_eq!(state["permille"], 250);
    assert_eq!(state["said"], "Leaves: 3 of 12");
    assert!(browser.get("/files").await.has("running, 25 %"));
    let sent = browser.post(&format!("{path}/cancel"), &[]).await;
    assert_eq!(
        (sent.status, sent.location.as_str()),
        (StatusCode::SEE_OTHER, path.as_str())
    );
    let page = browser.job(&sent).await;
    assert!(page.has("Cancelled. Nothing half-made was left behind."));
    assert!(!page.has("<progress") && !page.has("http-equiv"));
    assert!(browser.get("/files").await.has("cancelled"));
}

#[tokio::test]
async fn what_came_of_it_is_shown_with_its_links() {
    let desk = Desk::new();
    let browser = Browser::new(&desk.app).await;
    let page_of = async |work: fn() -> Result<Outcome, Stop<Outcome>>| {
        let id = Uuid::now_v7();
        let started = desk.app.desk().jobs();
        started
            .start(JobId(id.as_u128()), about(), move |_| work())
            .unwrap();
        let mut answer = browser.get("/files").await;
        (answer.status, answer.location) = (StatusCode::SEE_OTHER, format!("/jobs/{id}"));
        browser.job(&answer).await
    };
    let done = page_of(|| Ok(Outcome::said("Twelve <b>leaves</b>.").link("/here", "Go"))).await;
    assert!(done.has("Twelve &lt;b&gt;leaves&lt;/b&gt;.") && done.has("href=\"/here\""));
    assert!(done.has("Ended on "));
    let failed = page_of(|| Err(Stop::failed(Outcome::said("No leaves.")))).await;
    assert!(failed.has("No leaves.") && failed.has("notice-error"));
    let broken = page_of(|| panic!("a fault of ours")).await;
    assert!(broken.has("Something went wrong here") && !broken.has("a fault of ours"));
}

#[tokio::test]
async fn a_job_that_is_not_remembered_says_so() {
    let desk = Desk::new();
    let browser = Browser::new(&desk.app).await;
    for path in ["", "/state"] {
        let page = browser
            .get(&format!("/jobs/{}{path}", Uuid::now_v7()))
            .await;
        assert_eq!(page.status, StatusCode::NOT_FOUND);
        assert!(page.has("This job is not remembered"));
    }
    assert_eq!(browser.get("/jobs/7").await.status, StatusCode::NOT_FOUND);
    let sent = browser
        .post(&format!("/jobs/{}/cancel", Uuid::now_v7()), &[])
        .await;
    assert_eq!(sent.status, StatusCode::NOT_FOUND);
}
