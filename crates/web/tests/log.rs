//! Logging by jot and by form, twice by mistake, taken back, corrected, again; without scripts.
//!
//! What must hold is written in the house's rules: an entry without tanks goes to every tank,
//! entries are never changed, a form sent twice writes once. Numbers are worked by hand beside the
//! check.

#![allow(clippy::unwrap_used)]

mod common;
#[path = "common/fixture.rs"]
mod fixture;

use axum::http::StatusCode;
use common::{Answer, Browser, fields_of};
use fixture::{Desk, PLANT, refs, with};
use trial::act::{Change, Dose, DoseOf, Into, WaterAmount};
use trial::{Act, Origin};

fn plain(text: &str) -> String {
    text.replace('\u{a0}', " ")
}

/// Opens a form, sets some fields, sends it.
async fn fill(b: &Browser<'_>, form: &str, set: &[(&str, &str)]) -> Answer {
    let page = b.get(form).await;
    assert_eq!(page.status, StatusCode::OK, "{form}: {}", page.body);
    let action = form.split('?').next().unwrap();
    let fields = with(&fields_of(&page.body, action), set);
    b.post(action, &refs(&fields)).await
}

async fn jot(b: &Browser<'_>, desk: &Desk, line: &str) -> Answer {
    b.post(&desk.at("/log/jot"), &[("line", line)]).await
}

#[tokio::test]
async fn a_jot_without_tanks_goes_to_every_tank() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let sent = jot(&b, &desk, "dose kno3 1.2 g").await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER);
    let entry = desk.confirmed(&sent.location);
    assert_eq!(entry.tanks, desk.bench().tank_ids());
    assert!(entry.all_tanks);
    let line = "dose kno3 1.2 g".to_owned();
    assert_eq!(entry.origin, Origin::Jot { line });
    // 1.2 g KNO3 bring 1200 x 62.004 / 101.102 = 735.9 mg nitrate and 464.1 mg potassium (IUPAC
    // 2021 abridged weights).
    let page = b.get(&sent.location).await;
    let text = plain(&page.body);
    assert!(
        text.contains("Every tank: dosed 1.2 g potassium nitrate (KNO3) into the water"),
        "{text}"
    );
    assert!(
        text.contains("735.9 mg NO3") && text.contains("464.1 mg K"),
        "{text}"
    );
}

#[tokio::test]
async fn a_line_is_read_back_without_being_written() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let good = b.get(&desk.at("/log/read?line=change+40%25")).await;
    assert!(
        plain(&good.body).starts_with("Every tank: changed 40 % of the water"),
        "{}",
        good.body
    );
    let bad = b.get(&desk.at("/log/read?line=chang+40%25")).await;
    assert_eq!(bad.status, StatusCode::OK);
    assert!(bad.body.starts_with("chang 40%\n^^^^^\n"), "{}", bad.body);
    assert!(bad.has("Nearest known words: change"));
    assert_eq!(desk.written(), 0);
}

#[tokio::test]
async fn a_refused_jot_keeps_its_line_and_shows_the_place() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let sent = jot(&b, &desk, "dose <b>unknown</b> 5 ml").await;
    assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        sent.has("value=\"dose &lt;b&gt;unknown&lt;/b&gt; 5 ml\""),
        "{}",
        sent.body
    );
    assert!(sent.has("<pre class=\"jot-reading\"") && sent.has("^^^"));
    assert!(sent.has("Nothing was written."));
    assert_eq!(desk.written(), 0);
}

#[tokio::test]
async fn a_form_writes_for_every_tank_or_for_those_ticked() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let form = desk.at("/log/dose");
    let set = [("of", "evening mix"), ("amount", "5"), ("unit", "ml")];
    let entry = desk.confirmed(&fill(&b, &form, &set).await.location);
    let dose = Dose {
        of: DoseOf::Product {
            product: desk.product(),
        },
        amount: quantity::Amount::new(5.0, quantity::Unit::Millilitre),
        into: Into::Water,
    };
    assert_eq!(entry.act, Act::Dose(dose.clone()));
    assert!(entry.all_tanks && entry.tanks.len() == 3);
    assert_eq!(entry.origin, Origin::Form);
    let (ash, oak) = (desk.tank("Ash").to_string(), desk.tank("Oak").to_string());
    let some = [set.as_slice(), &[("tanks", &ash), ("tanks", &oak)]].concat();
    let entry = desk.confirmed(&fill(&b, &form, &some).await.location);
    assert_eq!(entry.act, Act::Dose(dose));
    assert_eq!(entry.tanks, [desk.tank("Ash"), desk.tank("Oak")]);
    assert!(!entry.all_tanks);
}

#[tokio::test]
async fn a_form_sent_twice_writes_once() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    for (form, action) in [
        (desk.at("/log/change"), desk.at("/log/change")),
        (desk.at("/log"), desk.at("/log/again")),
    ] {
        let page = b.get(&form).await;
        let fields = with(&fields_of(&page.body, &action), &[("amount", "40")]);
        let before = desk.written();
        let first = b.post(&action, &refs(&fields)).await;
        // The clock moves on between two taps.
        tokio::time::sleep(std::time::Duration::from_millis(20)).await;
        let second = b.post(&action, &refs(&fields)).await;
        assert_eq!(
            first.status,
            StatusCode::SEE_OTHER,
            "{action}: {}",
            first.body
        );
        assert_eq!(first.location, second.location, "{action}");
        assert_eq!(desk.written(), before + 1, "{action}");
    }
    // The jot box carries its id in the form's address.
    let page = b.get(&desk.at("/log")).await;
    let start = page.body.find(&desk.at("/log/jot?entry_id=")).unwrap();
    let action = page.body[start..].split('"').next().unwrap().to_owned();
    let before = desk.written();
    let first = b.post(&action, &[("line", "topup 2 l")]).await;
    let second = b.post(&action, &[("line", "topup 2 l")]).await;
    assert_eq!(first.location, second.location);
    assert_eq!(desk.written(), before + 1);
    // The same form with other content is not what was written: nothing is, and the page says so.
    let other = b.post(&action, &[("line", "topup 3 l")]).await;
    assert_eq!(other.status, StatusCode::CONFLICT);
    let id = first.location.split("done=").nth(1).unwrap();
    assert!(other.has(&desk.at(&format!("/entries/{id}"))));
    assert_eq!(desk.written(), before + 1);
}

#[tokio::test]
async fn again_is_one_tap_for_every_tank_of_today() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let first = jot(&b, &desk, "dose kno3 1.2 g @ 2026-01-05 18:30").await;
    let page = b.get(&desk.at("/log")).await;
    let fields = fields_of(&page.body, &desk.at("/log/again"));
    let again = b.post(&desk.at("/log/again"), &refs(&fields)).await;
    let (first, again) = (
        desk.confirmed(&first.location),
        desk.confirmed(&again.location),
    );
    assert_eq!(first.act, again.act);
    assert!(again.all_tanks && again.at > first.at && again.id != first.id);
    // An entry of another trial, or none, is not logged.
    for id in ["", "x", "018f0000-0000-7000-8000-000000000000"] {
        let sent = b.post(&desk.at("/log/again"), &[("entry", id)]).await;
        assert_eq!(sent.status, StatusCode::BAD_REQUEST, "{id}");
    }
}

#[tokio::test]
async fn what_was_logged_can_be_taken_back_and_brought_back() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let sent = jot(&b, &desk, "change 40%").await;
    let first = desk.confirmed(&sent.location);
    let undo = desk.at(&format!("/entries/{}/undo", first.id));
    let band = b.get(&sent.location).await;
    let fields = fields_of(&band.body, &undo);
    let undone = b.post(&undo, &refs(&fields)).await;
    assert!(desk.entries().is_empty());
    let page = b.get(&undone.location).await;
    assert!(page.has("Taken back.") && plain(&page.body).contains("changed 40 %"));
    // Tapped twice it is taken back once.
    let twice = b.post(&undo, &refs(&fields)).await;
    assert_eq!(twice.location, undone.location);
    // From a page that is older than the undo: refused, with the way to the newest version.
    let stale = b.post(&undo, &[]).await;
    assert_eq!(stale.status, StatusCode::CONFLICT);
    let undo_id = desk.confirmed(&undone.location).id;
    assert!(stale.has(&desk.at(&format!("/entries/{undo_id}"))));
    let back = desk.at(&format!("/entries/{undo_id}/undo"));
    let brought = b.post(&back, &[]).await;
    assert_eq!(desk.act(&brought.location), first.act);
    assert_eq!(desk.entries().len(), 1);
}

#[tokio::test]
async fn a_correction_supersedes_and_its_history_says_what_changed() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let wrong = desk.confirmed(&jot(&b, &desk, "change 40% by Kim").await.location);
    let form = desk.at(&format!("/entries/{}/correct", wrong.id));
    let sent = fill(
        &b,
        &form,
        &[("amount", "30"), ("source", &desk.water().to_string())],
    )
    .await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.body);
    let right = desk.confirmed(&sent.location);
    assert_eq!(right.supersedes, Some(wrong.id));
    let amount = WaterAmount::Share { share: 0.3 };
    let source = Some(desk.water());
    assert_eq!(right.act, Act::Change(Change { amount, source }));
    assert_eq!(
        (right.at.clone(), right.who.as_str()),
        (wrong.at.clone(), "Kim")
    );
    assert_eq!(desk.entries().len(), 1);
    // The history is the same from any version.
    for id in [wrong.id, right.id] {
        let page = b.get(&desk.at(&format!("/entries/{id}"))).await;
        let text = plain(&page.body);
        assert!(text.contains("Amount: 40 % before, 30 % now."), "{text}");
        assert!(text.contains("Water used added: rain."), "{text}");
        assert!(text.contains("Version 2: corrected") && text.contains("Version 1: written"));
        assert!(text.contains("by Kim") && text.contains("holds now"));
    }
    // The first version can no longer be corrected; it can be brought back.
    let stale = b.get(&form).await;
    assert_eq!(stale.status, StatusCode::CONFLICT);
    assert!(stale.has(&desk.at(&format!("/entries/{}", right.id))));
    let restore = desk.at(&format!("/entries/{}/restore", wrong.id));
    let page = b.get(&desk.at(&format!("/entries/{}", right.id))).await;
    let fields = fields_of(&page.body, &restore);
    let restored = b.post(&restore, &refs(&fields)).await;
    assert_eq!(desk.act(&restored.location), wrong.act);
    let twice = b.post(&restore, &refs(&fields)).await;
    assert_eq!(twice.location, restored.location);
    assert_eq!(desk.written(), 3);
}

#[tokio::test]
async fn taking_back_a_correction_brings_the_first_version_back() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let wrong = desk.confirmed(&jot(&b, &desk, "change 40%").await.location);
    let form = desk.at(&format!("/entries/{}/correct", wrong.id));
    let right = desk.confirmed(&fill(&b, &form, &[("amount", "30")]).await.location);
    let undo = desk.at(&format!("/entries/{}/undo", right.id));
    let sent = b.post(&undo, &[]).await;
    assert_eq!(desk.act(&sent.location), wrong.act);
}

#[tokio::test]
async fn a_correction_keeps_the_tanks_of_then() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let entry = desk.confirmed(&jot(&b, &desk, "change 40%").await.location);
    let new = trial::Tank::new(trial::TankId(uuid::Uuid::now_v7()), desk.trial, "Yew", 3);
    let record = trial::Record::Tank(new);
    let now = jiff::Timestamp::now();
    desk.app.notebook().write_record(&record, "", now).unwrap();
    let form = desk.at(&format!("/entries/{}/correct", entry.id));
    let right = desk.confirmed(&fill(&b, &form, &[("amount", "30")]).await.location);
    assert_eq!((right.tanks, right.all_tanks), (entry.tanks, true));
}

#[tokio::test]
async fn bad_fields_come_back_named_with_every_value_kept() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let form = desk.at("/log/dose");
    let set = [
        ("of", "moon dust"),
        ("amount", "a lot"),
        ("at", "2026-13-01T18:30"),
        ("minutes", "-5"),
        ("who", "Kim <i>"),
        ("note", "first\nsecond"),
    ];
    let sent = fill(&b, &form, &set).await;
    assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY);
    for kept in [
        "value=\"moon dust\"",
        "value=\"a lot\"",
        "value=\"2026-13-01T18:30\"",
        "value=\"-5\"",
        "value=\"Kim &lt;i&gt;\"",
        "first\nsecond",
    ] {
        assert!(sent.has(kept), "{kept} in {}", sent.body);
    }
    for named in ["href=\"#f-of\"", "href=\"#f-amount\"", "href=\"#f-at\""] {
        assert!(sent.has(named), "{named}");
    }
    assert!(sent.has("“a lot” is not accepted; give a number, with a point or a comma."));
    assert_eq!(desk.written(), 0);
    // What the rules refuse stands beside its field too.
    let set = [
        ("of", "evening mix"),
        ("amount", "5"),
        ("unit", "g"),
        ("minutes", "-5"),
    ];
    let sent = fill(&b, &form, &set).await;
    assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        sent.has("href=\"#f-amount\"") && sent.has("href=\"#f-minutes\""),
        "{}",
        sent.body
    );
    assert!(sent.has("give a volume above 0 in mL or L"));
    assert_eq!(desk.written(), 0);
}

#[tokio::test]
async fn every_tank_and_single_tanks_together_are_refused() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let ash = desk.tank("Ash").to_string();
    let set = [("amount", "40"), ("tanks", "*"), ("tanks", &ash)];
    let sent = fill(&b, &desk.at("/log/change"), &set).await;
    assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(sent.has("href=\"#f-tanks\""));
    // A mass needs one tank, by name.
    let set = [("plants", PLANT), ("out_fresh_g", "32")];
    let sent = fill(&b, &desk.at("/log/trim"), &set).await;
    assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        sent.has("href=\"#f-tanks\"") && sent.has("once a mass is given"),
        "{}",
        sent.body
    );
    assert_eq!(desk.written(), 0);
}

#[tokio::test]
async fn pages_of_entries_lose_none() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    // 130 entries, 65 of them in one minute.
    for n in 0..130 {
        let minute = if n < 65 { 0 } else { n - 64 };
        let (hour, minute) = (8 + minute / 60, minute % 60);
        let line = format!("note number {n}. @ 2026-01-05 {hour:02}:{minute:02}");
        let sent = jot(&b, &desk, &line).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{line}: {}", sent.body);
    }
    let (mut seen, mut next) = (Vec::new(), Some(desk.at("/log")));
    while let Some(at) = next {
        let page = b.get(&at).await;
        seen.extend((0..130).filter(|n| page.has(&format!(">number {n}.<"))));
        let older = page.body.split("/log?before=").nth(1);
        next = older.map(|o| desk.at(&format!("/log?before={}", o.split('"').next().unwrap())));
    }
    assert_eq!(seen.len(), 130, "each once");
    seen.sort_unstable();
    assert!(seen.into_iter().eq(0..130));
}

#[tokio::test]
async fn unknown_addresses_are_not_found() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    for at in [
        desk.at("/log/dance"),
        desk.at("/log/undo"),
        desk.at("/entries/018f0000-0000-7000-8000-000000000000"),
        desk.at("/entries/x"),
        "/trials/x/log".to_owned(),
    ] {
        assert_eq!(b.get(&at).await.status, StatusCode::NOT_FOUND, "{at}");
    }
}
