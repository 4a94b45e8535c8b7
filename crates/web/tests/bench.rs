//! The bench, readings, comparison and the pages beside them, over the invented demonstration.

#![allow(clippy::unwrap_used)] // helpers of tests, outside the test functions

mod common;

use axum::http::StatusCode;
use common::{Browser, TestApp};
use web::App;

/// The demonstration with the address of the trial of this title.
fn demonstration(title: &str) -> (TestApp, String) {
    let app = TestApp::new();
    demo::make(app.notebook()).unwrap();
    let path = trial(&app, title);
    (app, path)
}

fn trial(app: &App, title: &str) -> String {
    let trials = app.notebook().trials().unwrap();
    let found = trials.iter().find(|t| t.trial.title == title).unwrap();
    format!("/trials/{}", found.trial.id)
}

const FOUR_TANKS: &str = "In the sand or in the water?";
const TWO_TANKS: &str = "Pots or cuttings?";
const WORDS: [&str; 7] = [
    "bench",
    "readings",
    "compare",
    "treatment",
    "costs",
    "plans",
    "cautions",
];

fn count(page: &str, what: &str) -> usize {
    page.matches(what).count()
}

#[tokio::test]
async fn every_page_is_drawn_and_says_that_it_is_invented() {
    let (app, path) = demonstration(FOUR_TANKS);
    let browser = Browser::new(&app).await;
    for word in WORDS {
        let page = browser.get(&format!("{path}/{word}")).await;
        assert_eq!(page.status, StatusCode::OK, "{word}");
        assert!(page.has("Invented for demonstration."), "{word}");
        // Nothing inline, as the pages' policy demands; no id twice, also between two figures.
        assert!(!page.has(" style=") && !page.has("<style"), "{word}");
        let mut ids: Vec<&str> = page.body.split(" id=\"").skip(1).collect();
        ids.iter_mut()
            .for_each(|id| *id = id.split('"').next().unwrap());
        let all = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), all, "{word}");
    }
    assert_eq!(browser.get(&path).await.location, format!("{path}/bench"));
}

#[tokio::test]
async fn a_trial_without_tanks_or_entries_has_all_its_pages() {
    let app = TestApp::new();
    let id = trial::TrialId(uuid::Uuid::now_v7());
    let empty = trial::Trial::new(id, "Nothing yet", "Europe/Berlin");
    let notebook = app.notebook();
    let now = jiff::Timestamp::now();
    notebook
        .write_record(&trial::Record::Trial(empty), "", now)
        .unwrap();
    let browser = Browser::new(&app).await;
    for word in WORDS {
        let page = browser.get(&format!("/trials/{id}/{word}")).await;
        assert_eq!(page.status, StatusCode::OK, "{word}");
    }
    let bench = browser.get(&format!("/trials/{id}/bench")).await;
    assert!(bench.has("No tank is set up yet."));
}

#[tokio::test]
async fn a_trial_that_does_not_exist_is_not_found() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    for word in WORDS {
        let nobody = format!("/trials/{}/{word}", uuid::Uuid::nil());
        let page = browser.get(&nobody).await;
        assert_ne!(page.status, StatusCode::OK, "{word}");
    }
}

#[tokio::test]
async fn the_bench_shows_tanks_readings_and_what_was_not_alike() {
    let (app, path) = demonstration(FOUR_TANKS);
    let page = Browser::new(&app).await.get(&format!("{path}/bench")).await;
    // Each figure twice, for a phone and for a desk.
    assert_eq!(
        count(&page.body, "The tanks side by side, drawn to one scale"),
        2
    );
    assert!(page.has("Newest readings of nitrate as of 2026-05-26"));
    assert!(page.has("kept from 3 to 24 mg/L"));
    // The story of the demonstration: one water change left out in Oak in the last six weeks.
    assert!(page.has("Water changes") && page.has("Ash 5, Elm 5, Fir 5, Oak 4"));
    assert!(page.has("Closed on 26\u{a0}May\u{a0}2026."));
    // Animals came by entries long before: that none are listed would be wrong.
    assert!(!page.has("No tank lists animals"));
    assert!(page.has(&format!("action=\"{path}/log/jot?entry_id=")));
    // A note is shown by what it says.
    assert!(page.has("All weighed and planted back."));
}

#[tokio::test]
async fn readings_show_the_span_asked_for_and_the_doubtful_one() {
    let (app, path) = demonstration(FOUR_TANKS);
    let browser = Browser::new(&app).await;
    let usual = browser.get(&format!("{path}/readings")).await;
    // Twelve weeks up to the last day, 26 May 2026.
    assert!(usual.has("From 4\u{a0}March\u{a0}2026 to 26\u{a0}May\u{a0}2026."));
    assert!(usual.has("the reagent had expired on 2025-11-30"));
    // Every dose and change is marked; the story leaves one change out in Oak and doses Fir once more.
    for row in ["Water changes, Ash, Elm and Fir (1)", "Doses, Fir (1)"] {
        assert!(usual.has(row), "{row}");
    }
    let short = browser.get(&format!("{path}/readings?span=4")).await;
    assert!(
        short.has("From 29\u{a0}April\u{a0}2026 to 26\u{a0}May\u{a0}2026.")
            && !short.has("had expired")
    );
    let whole = browser.get(&format!("{path}/readings?span=all")).await;
    assert!(whole.has("Nitrite") && !usual.has("Nitrite"));
    let odd = browser.get(&format!("{path}/readings?span=%3Cb%3E")).await;
    assert_eq!(odd.status, StatusCode::OK);
    assert!(odd.has("choose one of: 4 weeks") && !odd.has("<b>"));
}

#[tokio::test]
async fn doubts_of_one_kind_are_one_and_measures_not_named_are_folded() {
    let (app, path) = demonstration(FOUR_TANKS);
    let page = Browser::new(&app).await;
    let page = page.get(&format!("{path}/compare")).await;
    let doubts = page.body.split("<h2>In doubt</h2>").nth(1).unwrap();
    // Growth from before the span, and sizes cut between the looks.
    assert_eq!(count(doubts, "notice-word"), 2);
    assert!(doubts.contains("Cut between the two looks"));
    // Each can still be read in full.
    assert!(count(doubts, "so its change is growth less the cut.") > 1);
    let (before, after) = page.body.split_once("Not named in advance").unwrap();
    assert!(before.contains("id=\"growth\"") && after.contains("id=\"height\""));
    assert!(!before.contains("id=\"height\""));
}

#[tokio::test]
async fn the_comparison_says_first_what_it_cannot_carry() {
    let (app, path) = demonstration(FOUR_TANKS);
    let page = Browser::new(&app)
        .await
        .get(&format!("{path}/compare"))
        .await;
    let at = |words: &str| page.body.find(words).unwrap_or_else(|| panic!("{words}"));
    assert!(at("own outcome") < at("What it cannot say"));
    assert!(at("What it cannot say") < at("What this trial can say"));
    assert!(page.has("<i lang=\"la\">Eleocharis acicularis</i>"));
    assert!(page.has("The tank is the unit"));
    // Two tanks against two: 6 allocations, of which 2 are as extreme, so p is 1/3 at the least.
    assert!(page.has("smallest possible p is 0.33"));
}

#[tokio::test]
async fn one_tank_in_an_arm_gets_no_interval() {
    let (app, path) = demonstration(TWO_TANKS);
    let page = Browser::new(&app)
        .await
        .get(&format!("{path}/compare"))
        .await;
    assert!(page.has("cannot be told from the tank"));
    assert!(!page.has("95 % interval "));
    assert!(page.has("as seen, no interval possible"));
}

#[tokio::test]
async fn a_window_that_cannot_be_is_said_and_keeps_what_was_typed() {
    let (app, path) = demonstration(FOUR_TANKS);
    let browser = Browser::new(&app).await;
    let asked = |from: &str, to: &str| format!("{path}/compare?from={from}&to={to}");
    let good = browser.get(&asked("2026-04-06", "2026-05-04")).await;
    assert!(
        good.has("From 6\u{a0}April\u{a0}2026 to 3\u{a0}May\u{a0}2026.")
            && good.has("The span that was asked for.")
    );
    let reversed = browser.get(&asked("2026-05-04", "2026-04-06")).await;
    assert!(reversed.has("a day after the first") && reversed.has("value=\"2026-05-04\""));
    let odd = browser.get(&asked("soon", "")).await;
    assert_eq!(odd.status, StatusCode::OK);
    assert!(odd.has("value=\"soon\"") && odd.has("The span is the treatment phase so far."));
}

#[tokio::test]
async fn unequal_days_lead_to_their_entries() {
    let (app, path) = demonstration(FOUR_TANKS);
    let browser = Browser::new(&app).await;
    let page = browser.get(&format!("{path}/treatment")).await;
    // The story of the demonstration: Fir was dosed twice on one evening, 9 April.
    assert!(page.has("2026-04-09") && page.has("Nitrate dosed into the water"));
    let start = page.body.find(&format!("href=\"{path}/entries/")).unwrap() + 6;
    let link = page.body[start..].split('"').next().unwrap();
    assert_eq!(browser.get(link).await.status, StatusCode::OK);
}

#[tokio::test]
async fn costs_name_their_currency_and_what_is_missing() {
    let (app, path) = demonstration(FOUR_TANKS);
    let page = Browser::new(&app).await.get(&format!("{path}/costs")).await;
    assert!(page.has("In EUR") && page.has("Paid once for each tank, EUR"));
    assert!(page.has("have no minutes") && page.has("at least"));
}

#[tokio::test]
async fn trust_and_cautions_stand_without_a_trial() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let cautions = browser.get("/cautions").await;
    assert!(
        cautions.has("Electricity and water")
            && cautions.has("<i lang=\"la\">Mycobacterium marinum</i>")
    );
    let trust = browser.get("/trust").await;
    let all = evidence_tables();
    assert!(
        trust.has(&format!("{all} of {all} tables pass")),
        "{}",
        trust.body
    );
    assert!(trust.has("What is not checked") && trust.has("NIST"));
}

/// How many tables there are is known to the answer alone.
fn evidence_tables() -> usize {
    answers::trust::trust().checks.len()
}
