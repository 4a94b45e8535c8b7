//! The tank-side sheet as a browser without scripts sees it: printed, typed in, refused with all that
//! was typed, saved once. All invented.

#![allow(clippy::unwrap_used)]

mod common;
#[path = "common/fixture.rs"]
mod fixture;

use axum::http::StatusCode;
use common::{Browser, fields_of};
use fixture::{Desk, MOSS, PLANT, TANKS, refs, with};
use trial::{Act, Entry, Seen};

/// A desk where feeding and a dose are usual, and the nitrate card was read in Ash.
async fn desk() -> Desk {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    for line in [
        "feed flakes 0.3 g @ 2026-03-02 18:00",
        "feed flakes 0.3 g @ 2026-03-04 18:00",
        "dose evening mix 5 ml @ 2026-03-05 18:00",
        "ash: read no3 6-12 @ 2026-03-05 17:00",
    ] {
        let sent = b.post(&desk.at("/log/jot"), &[("line", line)]).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{line}: {}", sent.body);
    }
    desk
}

/// Attributes are escaped: the address as the page has it.
fn in_page(path: &str) -> String {
    path.replace('&', "&amp;")
}

const ASKED: &str = "from=2026-03-09&days=7&made=2026-03-09T08:00";

/// The number of the row whose fields stand under this title.
fn row_of(page: &str, title: &str) -> usize {
    let after = page.split(title).nth(1).unwrap();
    let at = after.split("name=\"r").nth(1).unwrap();
    at.split('-').next().unwrap().parse().unwrap()
}

fn kinds(all: &[Entry]) -> Vec<&'static str> {
    all.iter().map(|e| e.act.kind()).collect()
}

#[tokio::test]
async fn the_paper_shows_the_rows_and_no_script() {
    let desk = desk().await;
    let b = Browser::new(&desk.app).await;
    let page = b.get(&desk.at(&format!("/sheet?{ASKED}"))).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.body);
    for said in ["Fed", "flakes", "evening mix", "Nitrate card", PLANT, MOSS] {
        assert!(page.has(said), "{said}");
    }
    assert!(TANKS.iter().all(|t| page.has(t)));
    // The anchors of docs/scores.md, and the card's steps to be circled.
    assert!(page.has("growing steadily, nearly every leaf sound"));
    assert!(page.has("<span>12</span>"));
    assert!(page.has(&in_page(&desk.at(&format!("/sheet/enter?{ASKED}")))));
    assert!(!page.has("onclick=") && !page.has("style=\"") && !page.has("<script>"));
    // Only the parts asked for.
    let page = b
        .get(&desk.at(&format!("/sheet?{ASKED}&part=readings")))
        .await;
    assert!(page.has("Nitrate card") && !page.has("evening mix"));
    let refused = b.get(&desk.at("/sheet?days=99&from=soon")).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.has("“99” is not accepted") && refused.has("“soon” is not accepted"));
}

/// Everything typed comes back, the tick too.
fn all_kept(fields: &[(String, String)], kept: &[(String, String)], ticked: &str) {
    let has = |field: &str, value: &str| kept.iter().any(|(n, v)| n == field && v == value);
    assert!(has(ticked, "1"), "the tick is kept");
    for (field, value) in fields {
        assert!(has(field, value), "{field} = {value}");
    }
}

#[tokio::test]
async fn half_a_sheet_is_typed_in_and_written_once() {
    let desk = desk().await;
    let b = Browser::new(&desk.app).await;
    let path = desk.at(&format!("/sheet/enter?{ASKED}"));
    let page = b.get(&path).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.body);
    let feed = row_of(&page.body, "Fed 0.3\u{a0}g flakes");
    let card = row_of(&page.body, "Nitrate card");
    let score = row_of(&page.body, "</i>: vigour");
    let line = row_of(&page.body, "aria-label=\"Line\"");
    let name = |row: usize, part: &str| format!("r{row}-{part}");
    let set = [
        ("day".to_owned(), "2026-03-10"),
        ("who".to_owned(), "Kim"),
        (name(feed, "usual"), "1"),
        (name(feed, "time"), "18:30"),
        (name(card, "v0"), "6"),
        (name(card, "v2"), "5"),
        (name(score, "v0"), "11"),
        (name(line, "v0"), "ash: died 1 snail"),
    ];
    let set: Vec<(&str, &str)> = set.iter().map(|(n, v)| (n.as_str(), *v)).collect();
    let fields = with(&fields_of(&page.body, &in_page(&path)), &set);
    let written = desk.written();
    let refused = b.post(&path, &refs(&fields)).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(desk.written(), written, "all or nothing");
    // Both faults are named with field, value and what is accepted, and link to their fields.
    assert!(
        refused
            .has("Nitrate card: Oak: “5” is not accepted; give a printed step (0, 3, 6, 12, 24)")
    );
    assert!(refused.has("“11” is not accepted"));
    assert!(refused.has(&format!("href=\"#f-r{card}-v2\"")));
    let kept = fields_of(&refused.body, &in_page(&path));
    all_kept(&fields, &kept, &name(feed, "usual"));
    let mended = with(
        &kept,
        &[(&name(card, "v2"), "3-6"), (&name(score, "v0"), "7")],
    );
    let saved = b.post(&path, &refs(&mended)).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.body);
    let twice = b.post(&path, &refs(&mended)).await;
    assert_eq!(twice.location, saved.location, "sent twice, written once");
    assert_eq!(desk.written(), written + 5);
    let all = desk.entries();
    let new = &all[usize::try_from(written).unwrap()..];
    let mut said = kinds(new);
    said.sort_unstable();
    assert_eq!(
        said,
        ["feed", "livestock", "observation", "reading", "reading"]
    );
    let fed = new.iter().find(|e| e.act.kind() == "feed").unwrap();
    assert!(fed.all_tanks && fed.who == "Kim");
    assert_eq!(
        fed.at.strftime("%Y-%m-%d %H:%M").to_string(),
        "2026-03-10 18:30"
    );
    assert_eq!(fed.act, all[0].act, "as usual is the same act again");
    let oak = new.iter().find(|e| e.tanks == [desk.tank("Oak")]).unwrap();
    assert!(matches!(&oak.act, Act::Reading(r)
        if r.seen == Seen::Between { low: 3.0, high: 6.0 }));
    // The summary names each and can take each back.
    let summary = b.get(&saved.location).await;
    assert!(summary.has("Saved: 5 entries from this sheet."));
    assert_eq!(summary.body.matches("/undo\"").count(), 5);
}

#[tokio::test]
async fn a_sheet_sent_again_with_other_values_is_refused() {
    let desk = desk().await;
    let b = Browser::new(&desk.app).await;
    let path = desk.at(&format!("/sheet/enter?{ASKED}"));
    let page = b.get(&path).await;
    let card = row_of(&page.body, "Nitrate card");
    let (day, value) = (format!("r{card}-day"), format!("r{card}-v0"));
    let fields = fields_of(&page.body, &in_page(&path));
    let first = with(&fields, &[(&day, "2026-03-09"), (&value, "3")]);
    assert_eq!(
        b.post(&path, &refs(&first)).await.status,
        StatusCode::SEE_OTHER
    );
    let written = desk.written();
    let other = with(&first, &[(&value, "6")]);
    assert_eq!(
        b.post(&path, &refs(&other)).await.status,
        StatusCode::CONFLICT
    );
    assert_eq!(desk.written(), written);
    let nothing = b.post(&path, &refs(&fields)).await;
    assert_eq!(nothing.status, StatusCode::UNPROCESSABLE_ENTITY);
    let stale = with(&fields, &[("row", "card/none/-")]);
    assert_eq!(
        b.post(&path, &refs(&stale)).await.status,
        StatusCode::CONFLICT
    );
}
