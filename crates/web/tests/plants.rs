//! The pages of plants, as a browser without scripts uses them. All of the trial is invented.
#![allow(clippy::unwrap_used)] // helpers of tests, outside the test functions

mod common;
#[path = "common/fixture.rs"]
mod fixture;

use axum::http::StatusCode;
use common::{Answer, Browser};
use fixture::{Desk, MOSS, PLANT};
use trial::{PlantingId, Record};

/// What a reader sees: tags and needless space taken out.
fn seen(page: &Answer) -> String {
    let mut out = String::new();
    let mut inside = false;
    for c in page.body.chars() {
        match c {
            '<' => inside = true,
            '>' => {
                inside = false;
                out.push(' ');
            }
            _ if !inside => out.push(c),
            _ => {}
        }
    }
    out.replace('\u{a0}', " ")
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

fn change(desk: &Desk, id: PlantingId, edit: impl FnOnce(&mut trial::Planting)) {
    let mut planting = desk.bench().planting(id).unwrap().clone();
    edit(&mut planting);
    let now = jiff::Timestamp::now();
    let record = Record::Planting(planting);
    desk.app
        .notebook()
        .write_record(&record, "Kim", now)
        .unwrap();
}

async fn jot(desk: &Desk, browser: &Browser<'_>, line: &str) {
    let answer = browser.post(&desk.at("/log/jot"), &[("line", line)]).await;
    assert_eq!(
        answer.status,
        StatusCode::SEE_OTHER,
        "{line}: {}",
        seen(&answer)
    );
}

#[tokio::test]
async fn a_trial_without_plants_says_how_to_begin() {
    let app = common::TestApp::new();
    let trial = trial::Trial::new(trial::TrialId(uuid::Uuid::now_v7()), "Bare", "UTC");
    let path = format!("/trials/{}/plants", trial.id);
    let now = jiff::Timestamp::now();
    app.notebook()
        .write_record(&Record::Trial(trial), "Kim", now)
        .unwrap();
    let browser = Browser::new(&app).await;
    let page = browser.get(&path).await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.has("Nothing is planted yet.") && page.has("/setup/plantings/new"));
}

#[tokio::test]
async fn plantings_stand_by_species_and_say_what_is_not_known() {
    let desk = Desk::new();
    let browser = Browser::new(&desk.app).await;
    let page = browser.get(&desk.at("/plants")).await;
    assert_eq!(page.status, StatusCode::OK);
    let text = seen(&page);
    assert!(text.contains("5 plantings of 2 plants; 5 stand"), "{text}");
    assert!(page.has("<i lang=\"la\">Bacopa caroliniana</i>"));
    assert!(text.contains("No mass was logged at two times, so growth by mass cannot be said."));
    assert!(text.contains("Never looked at."));
    assert!(page.has(&desk.at(&format!("/plants/{}", desk.planting(PLANT, "Elm")))));
    assert!(page.has("aria-current=\"page\""));
}

#[tokio::test]
async fn the_page_of_a_planting_keeps_account_of_its_masses() {
    let desk = Desk::new();
    let browser = Browser::new(&desk.app).await;
    let id = desk.planting(PLANT, "Ash");
    change(&desk, id, |p| {
        p.planted = Some(jiff::civil::date(2026, 1, 1));
        p.fresh_g = Some(8.0);
        p.origin.batch = "market stall".into();
    });
    jot(
        &desk,
        &browser,
        "ash: trim bacopa out 20 g @ 2026-03-01 12:00",
    )
    .await;
    jot(
        &desk,
        &browser,
        "ash: score bacopa vigour 7 height 12 cm @ 2026-04-01 12:00",
    )
    .await;
    jot(
        &desk,
        &browser,
        "ash: harvest bacopa 30 g planted back @ 2026-05-01 12:00",
    )
    .await;
    let page = browser.get(&desk.at(&format!("/plants/{id}"))).await;
    assert_eq!(page.status, StatusCode::OK);
    let text = seen(&page);
    // 30 + 20 - 0 - 8 = 42 g; at 5 % of each of 30, 20 and 8 g: 2.9 g either way.
    assert!(text.contains("39.1 to 44.9 g"), "{text}");
    // ln((30 + 20) / 8) / 120 = 0.01527 per day; 28.5 + 19 over 8.4 and 31.5 + 21 over 7.6 g give
    // 0.01444 and 0.01610.
    assert!(text.contains("0.014 to 0.016 per day"), "{text}");
    assert!(text.contains("market stall") && text.contains("Not recorded:"));
    assert!(text.contains("trim, 20 g out") && text.contains("harvest, 30 g"));
    assert!(page.has("/correct\">Correct</a>"));
    assert!(text.contains("Nothing into the wild"));
}

#[tokio::test]
async fn cuttings_are_linked_both_ways() {
    let desk = Desk::new();
    let browser = Browser::new(&desk.app).await;
    let mother = desk.planting(PLANT, "Ash");
    let child = PlantingId(uuid::Uuid::now_v7());
    let mut planting = desk.bench().planting(mother).unwrap().clone();
    planting.id = child;
    planting.parent = Some(mother);
    planting.label = "second".into();
    let now = jiff::Timestamp::now();
    desk.app
        .notebook()
        .write_record(&Record::Planting(planting), "Kim", now)
        .unwrap();
    for (id, other) in [(mother, child), (child, mother)] {
        let page = browser.get(&desk.at(&format!("/plants/{id}"))).await;
        assert!(
            page.has(&format!("{}\"", desk.at(&format!("/plants/{other}")))),
            "{id}"
        );
        assert!(page.has("aria-current=\"true\""));
    }
}

#[tokio::test]
async fn a_loss_ends_a_planting_and_an_unknown_one_is_not_found() {
    let desk = Desk::new();
    let browser = Browser::new(&desk.app).await;
    let id = desk.planting(MOSS, "Elm");
    jot(&desk, &browser, "elm: lost taxiphyllum @ 2026-04-02 12:00").await;
    let page = browser.get(&desk.at(&format!("/plants/{id}"))).await;
    assert!(
        seen(&page).contains("Lost on 2 April 2026"),
        "{}",
        seen(&page)
    );
    for unknown in [
        "7",
        &uuid::Uuid::now_v7().to_string(),
        &desk.tank("Ash").to_string(),
    ] {
        let page = browser.get(&desk.at(&format!("/plants/{unknown}"))).await;
        assert_eq!(page.status, StatusCode::NOT_FOUND, "{unknown}");
        assert!(page.has(&desk.at("/plants")));
    }
}

#[tokio::test]
async fn the_catalogue_names_lists_and_what_it_does_not_know() {
    let desk = Desk::new();
    let browser = Browser::new(&desk.app).await;
    change(&desk, desk.planting(MOSS, "Ash"), |p| {
        p.scientific_name = "Pond <moss>".into()
    });
    let page = browser.get(&desk.at("/plants/catalogue")).await;
    let text = seen(&page);
    assert!(text.contains("79 of 79 plants"));
    assert!(page.has("Pond &lt;moss&gt;") && text.contains("in Ash is not in this catalogue"));
    assert!(text.contains("check current law where you live"));
    let page = browser
        .get(&desk.at("/plants/catalogue?q=cabomba&show=listed"))
        .await;
    let text = seen(&page);
    assert!(text.contains("1 of 79 plants"), "{text}");
    assert!(text.contains("European Union: Union list 2016"));
    assert!(text.contains("dry or freeze what is cut"));
    let page = browser
        .get(&desk.at("/plants/catalogue?q=no+such+plant"))
        .await;
    assert!(page.has("No plant of this name."));
    // What was asked for stays in the form; what nobody offered is said and not used.
    assert!(page.has("value=\"no such plant\""));
    let page = browser.get(&desk.at("/plants/catalogue?show=some")).await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(seen(&page).contains("79 of 79 plants"));
}

#[tokio::test]
async fn the_form_of_a_planting_leads_to_its_catalogue_entry() {
    let desk = Desk::new();
    let browser = Browser::new(&desk.app).await;
    let id = desk.planting(PLANT, "Ash");
    let page = browser
        .get(&desk.at(&format!("/setup/plantings/{id}")))
        .await;
    assert!(page.has("/plants/catalogue?q=Bacopa+caroliniana"));
}
