//! The history of a season: searched without scripts, every version with what became of it, and the
//! way back to one. What must hold is the house's rule that nothing written is ever lost.

#![allow(clippy::unwrap_used)]

mod common;
#[path = "common/fixture.rs"]
mod fixture;

use axum::http::StatusCode;
use common::{Answer, Browser, fields_of};
use fixture::{Desk, refs};
use trial::EntryId;

async fn jot(b: &Browser<'_>, desk: &Desk, line: &str) -> EntryId {
    let sent = b.post(&desk.at("/log/jot"), &[("line", line)]).await;
    desk.confirmed(&sent.location).id
}

/// A version on the page is the link to its history.
fn shows(page: &Answer, id: EntryId) -> bool {
    page.has(&format!("/entries/{id}\""))
}

#[tokio::test]
async fn versions_are_found_by_words_kind_tank_and_state() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let change = jot(&b, &desk, "change 40%").await;
    let note = jot(&b, &desk, "note the Thermostat clicked").await;
    let undo = desk.at(&format!("/entries/{change}/undo"));
    b.post(&undo, &[]).await;
    let at = |query: &str| desk.at(&format!("/history{query}"));
    let all = b.get(&at("")).await;
    assert_eq!(all.status, StatusCode::OK, "{}", all.body);
    assert!(shows(&all, change) && shows(&all, note));
    assert!(all.has("taken back") && all.has("stands"));
    // Case does not matter, and every word must be there.
    for (query, found) in [
        ("?q=thermostat", true),
        ("?q=CLICKED+thermo", true),
        ("?q=thermostat+lamp", false),
        ("?kind=note", true),
        ("?kind=dose", false),
        ("?show=changed", false),
        ("?from=2001-01-01&to=2001-12-31", false),
        ("?who=nobody-of-that-name", false),
    ] {
        let page = b.get(&at(query)).await;
        assert_eq!(shows(&page, note), found, "{query}: {}", page.body);
    }
    let changed = b.get(&at("?show=changed")).await;
    assert!(shows(&changed, change));
    let here = b.get(&at(&format!("?tank={}", desk.tank("Elm")))).await;
    assert!(shows(&here, change));
    // A day that cannot be read is said beside its field and not used.
    let bad = b.get(&at("?from=soon")).await;
    assert!(bad.has("soon") && shows(&bad, note));
}

#[tokio::test]
async fn what_was_taken_back_is_brought_back_from_the_list() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let change = jot(&b, &desk, "change 40%").await;
    b.post(&desk.at(&format!("/entries/{change}/undo")), &[])
        .await;
    assert!(desk.entries().is_empty());
    let page = b.get(&desk.at("/history")).await;
    let restore = desk.at(&format!("/entries/{change}/restore"));
    let fields = fields_of(&page.body, &restore);
    let sent = b.post(&restore, &refs(&fields)).await;
    assert_eq!(desk.act(&sent.location), desk.entry(change).act);
    assert_eq!(desk.entries().len(), 1);
}

#[tokio::test]
async fn changes_of_the_set_up_are_listed_with_who() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let mut tank = desk.bench().tanks[0].clone();
    tank.name = "Alder".into();
    let id = tank.id;
    let now = jiff::Timestamp::now();
    let record = trial::Record::Tank(tank);
    desk.app
        .notebook()
        .write_record(&record, "Robin", now)
        .unwrap();
    let page = b.get(&desk.at("/history")).await;
    assert!(page.has("Robin") && page.has("changed: "), "{}", page.body);
    assert!(page.has(&desk.at(&format!("/setup/tanks/{id}/earlier"))));
    let earlier = b.get(&desk.at(&format!("/setup/tanks/{id}/earlier"))).await;
    assert_eq!(earlier.status, StatusCode::OK);
}
