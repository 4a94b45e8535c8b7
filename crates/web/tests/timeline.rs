//! The timeline over the invented demonstration and over small notebooks, without scripts.

#![allow(clippy::unwrap_used)] // helpers of tests, outside the test functions

mod common;
#[path = "common/fixture.rs"]
#[allow(clippy::duplicate_mod)]
mod fixture;

use axum::http::StatusCode;
use common::{Browser, TestApp};
use fixture::Desk;

const SPANS: [&str; 6] = ["day", "week", "month", "quarter", "year", "whole"];
/// The requirement: a page weighs less than this without its pictures.
const LIGHT: usize = 150_000;

async fn demonstration() -> (TestApp, String) {
    let app = TestApp::new();
    demo::make(app.notebook()).unwrap();
    let trials = app.notebook().trials().unwrap();
    let found = trials
        .iter()
        .find(|t| t.trial.title == "In the sand or in the water?")
        .unwrap();
    let path = format!("/trials/{}/timeline", found.trial.id);
    (app, path)
}

fn between<'a>(text: &'a str, from: &str, to: &str) -> &'a str {
    let (_, rest) = text.split_once(from).unwrap();
    rest.split_once(to).unwrap().0
}

#[tokio::test]
async fn every_zoom_is_drawn_light_and_without_anything_inline() {
    let (app, path) = demonstration().await;
    let browser = Browser::new(&app).await;
    for span in SPANS {
        let page = browser
            .get(&format!("{path}?from=2026-04-15&span={span}"))
            .await;
        assert_eq!(page.status, StatusCode::OK, "{span}");
        assert!(page.body.len() < LIGHT, "{span}: {} bytes", page.body.len());
        assert!(!page.has(" style=") && !page.has("<style"), "{span}");
        let mut ids: Vec<&str> = page.body.split(" id=\"").skip(1).collect();
        ids.iter_mut()
            .for_each(|id| *id = id.split('"').next().unwrap());
        let all = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), all, "{span}");
        // The trial's navigation and the zooms say where we are.
        let current = page.body.matches("aria-current=\"page\"").count();
        assert!(current >= 2, "{span}");
        for tank in ["Ash", "Elm", "Fir", "Oak"] {
            assert!(page.has(&format!(">{tank}<")), "{span}: {tank}");
        }
    }
}

// The demonstration's tables: Elm's heater was set too high from 14 to 19 April 2026, and the trial's
// treatment began on 2 March 2026 by a plan whose expectation and outcome are written down.
#[tokio::test]
async fn unlike_treatment_and_plans_are_said_in_words_too() {
    let (app, path) = demonstration().await;
    let browser = Browser::new(&app).await;
    let april = browser
        .get(&format!("{path}?from=2026-04-15&span=month"))
        .await;
    let unlike = between(&april.body, "id=\"unlike\"", "</section>");
    assert!(unlike.contains("14 April 2026") && unlike.contains("Heater set to"));
    assert!(april.has("not alike inside an arm: never planned"));
    let march = browser
        .get(&format!("{path}?from=2026-03-15&span=month"))
        .await;
    let plans = between(&march.body, "id=\"plans\"", "</section>");
    for words in [
        "Feed one way or the other",
        "Done on 2026-03-02, as planned.",
        "The water-fed carpets thicken sooner",
        "Nitrate and phosphate in the water parted within two weeks",
    ] {
        assert!(plans.contains(words), "{words}: {plans}");
    }
    let entries = between(&march.body, "id=\"entries\"", "</section>");
    assert!(entries.contains("Sunday 1 March 2026") || entries.contains("Monday 2 March 2026"));
}

#[tokio::test]
async fn links_lead_closer_wider_and_on() {
    let (app, path) = demonstration().await;
    let browser = Browser::new(&app).await;
    let month = browser
        .get(&format!("{path}?from=2026-04-15&span=month"))
        .await;
    for link in [
        "?from=2026-04-30&amp;span=quarter",
        "href=\"?from=2026-03-31&amp;span=month\"",
        "href=\"?from=2026-05-01&amp;span=month\"",
        "href=\"?from=2026-04-14&amp;span=day\"",
        "href=\"#entries\"",
    ] {
        assert!(month.has(link), "{link}");
    }
    // An entry's own link is an address of this trial.
    let day = browser
        .get(&format!("{path}?from=2026-04-14&span=day"))
        .await;
    let entry = between(&day.body, "href=\"entries/", "\"");
    let address = path.replace("timeline", &format!("entries/{entry}"));
    assert_eq!(browser.get(&address).await.status, StatusCode::OK);
    // The list goes on until every entry of the span has been shown.
    let mut query = "?from=2026-03-01&span=month".to_owned();
    let mut shown = Vec::new();
    loop {
        let page = browser.get(&format!("{path}{query}")).await;
        let list = between(&page.body, "id=\"entries\"", "</section>");
        shown.extend(
            list.split("href=\"entries/")
                .skip(1)
                .map(|e| e[..36].to_owned()),
        );
        let Some((before, _)) = list.split_once("#entries\">The next entries") else {
            break;
        };
        let next = before.rsplit_once("href=\"").unwrap().1;
        query = next.replace("&amp;", "&");
        assert!(shown.len() < 1000, "the list does not end");
    }
    let all = shown.len();
    shown.sort_unstable();
    shown.dedup();
    assert_eq!(shown.len(), all, "an entry is listed twice");
    assert!(month.has("entries.</p>"));
    let march = browser
        .get(&format!("{path}?from=2026-03-01&span=month"))
        .await;
    assert!(march.has(&format!("{all} entries.")), "{all}");
}

#[tokio::test]
async fn what_the_address_gets_wrong_is_said_and_the_page_still_drawn() {
    let desk = Desk::new();
    let browser = Browser::new(&desk.app).await;
    let page = browser
        .get(&desk.at("/timeline?from=yesterday&span=age"))
        .await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.has("role=\"alert\"") && page.has("“yesterday”") && page.has("“age”"));
    assert!(page.has("day, week, month, quarter, year or whole"));
    for far in ["9999-12-31", "-009999-01-01", "0001-01-01"] {
        for span in SPANS {
            let page = browser
                .get(&desk.at(&format!("/timeline?from={far}&span={span}")))
                .await;
            assert_eq!(page.status, StatusCode::OK, "{far} {span}");
        }
    }
    let unknown = "00000000-0000-0000-0000-000000000000";
    let page = browser
        .get(&desk.at(&format!("/timeline?after={unknown}")))
        .await;
    assert_eq!(page.status, StatusCode::OK);
}

#[tokio::test]
async fn a_trial_without_entries_or_tanks_says_how_to_begin() {
    let desk = Desk::new();
    let browser = Browser::new(&desk.app).await;
    let page = browser.get(&desk.at("/timeline")).await;
    assert!(page.has("No entry lies in this span.") && page.has(">Ash<"));
    let app = TestApp::new();
    let id = trial::TrialId(uuid::Uuid::now_v7());
    let bare = trial::Record::Trial(trial::Trial::new(id, "Bare", "Europe/Lisbon"));
    app.notebook()
        .write_record(&bare, "", jiff::Timestamp::now())
        .unwrap();
    let browser = Browser::new(&app).await;
    let page = browser.get(&format!("/trials/{id}/timeline")).await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.has("The trial has no tank yet."));
}

/// Answers of a trial with so many entries that they are only counted.
#[tokio::test]
async fn a_large_trial_stays_light() {
    let app = TestApp::new();
    let batch = store::testing::large(20_000).unwrap();
    app.notebook().write_all(&batch).unwrap();
    let browser = Browser::new(&app).await;
    let path = format!("/trials/{}/timeline", store::testing::large_trial());
    for span in SPANS {
        let page = browser
            .get(&format!("{path}?from=2024-03-15&span={span}"))
            .await;
        assert_eq!(page.status, StatusCode::OK, "{span}");
        assert!(page.body.len() < LIGHT, "{span}: {} bytes", page.body.len());
    }
}
