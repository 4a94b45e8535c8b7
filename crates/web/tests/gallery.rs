//! The gallery by day, tank and plant, and two pictures beside each other.

#![allow(clippy::unwrap_used)]

mod common;
#[path = "common/fixture.rs"]
mod fixture;

use axum::http::StatusCode;
use common::Browser;
use fixture::Desk;

/// One colour, so many pixels.
fn png(width: u32, height: u32, shade: u8) -> Vec<u8> {
    let mut out = std::io::Cursor::new(Vec::new());
    let picture = image::RgbImage::from_pixel(width, height, image::Rgb([shade, 90, 40]));
    picture.write_to(&mut out, image::ImageFormat::Png).unwrap();
    out.into_inner()
}

async fn kept(
    (desk, b): (&Desk, &Browser<'_>),
    tank: &str,
    at: &str,
    view: &str,
    bytes: &[u8],
) -> trial::EntryId {
    let tank = desk.tank(tank).to_string();
    let fields = [("tanks", tank.as_str()), ("view", view), ("at", at)];
    let path = desk.at("/pictures");
    let sent = b.send(&path, &fields, &[("file", "x.png", bytes)]).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.body);
    desk.confirmed(&sent.location).id
}

#[tokio::test]
async fn the_gallery_shows_days_tanks_and_plants() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let empty = b.get(&desk.at("/pictures")).await;
    assert!(empty.has("No picture yet.") && empty.has("The same picture every time"));
    let ash = kept(
        (&desk, &b),
        "Ash",
        "2026-03-01T15:00",
        "front",
        &png(30, 20, 1),
    )
    .await;
    let elm = kept(
        (&desk, &b),
        "Elm",
        "2026-03-01T17:30",
        "front",
        &png(30, 20, 2),
    )
    .await;
    let top = kept(
        (&desk, &b),
        "Elm",
        "2026-03-01T17:40",
        "top",
        &png(30, 20, 3),
    )
    .await;
    let later = kept(
        (&desk, &b),
        "Ash",
        "2026-03-15T15:00",
        "front",
        &png(30, 20, 4),
    )
    .await;
    let page = b.get(&desk.at("/pictures")).await;
    for said in [
        "Sunday 1 March 2026",
        "No front picture this day. The nearest is of 1\u{a0}March\u{a0}2026.",
        "No picture yet",
        "Taken at different times of day: Ash at 15:00, Elm at 17:30.",
        "No front picture yet of Oak",
        "Other views",
    ] {
        assert!(page.has(said), "{said}: {}", page.body);
    }
    assert!(page.has(&format!("compare?left={ash}&amp;right={elm}")));
    let before = b.get(&desk.at("/pictures?before=2026-03-15")).await;
    assert!(before.has(&format!("/entries/{top}")) && !before.has(&format!("/entries/{later}")));
    let tanks = b.get(&desk.at("/pictures?by=tank")).await;
    assert!(
        tanks.has(&format!("compare?left={ash}&amp;right={later}")),
        "{}",
        tanks.body
    );
    let plants = b.get(&desk.at("/pictures?by=plant")).await;
    assert_eq!(plants.status, StatusCode::OK);
    assert!(plants.has("Whole") || plants.has("svg"), "{}", plants.body);
    for wrong in ["?by=x", "?by=plant&plant=x", "?before=x"] {
        let refused = b.get(&desk.at(&format!("/pictures{wrong}"))).await;
        assert_eq!(refused.status, StatusCode::BAD_REQUEST, "{wrong}");
    }
}

async fn what_is_wrong_is_said(desk: &Desk, b: &Browser<'_>, unknown: &[String]) {
    // A form that cannot be read says what is wrong and keeps what was sent.
    let wrong = b
        .get(&desk.at("/pictures/compare?of=tank&tank=x&from=2026-03-01&to=soon"))
        .await;
    assert!(
        wrong.has("href=\"#f-tank\"") && wrong.has("href=\"#f-to\""),
        "{}",
        wrong.body
    );
    for unknown in unknown {
        let page = b
            .get(&desk.at(&format!("/pictures/compare?{unknown}")))
            .await;
        assert_eq!(page.status, StatusCode::NOT_FOUND, "{unknown}");
    }
}

#[tokio::test]
async fn two_pictures_stand_side_by_side_without_scripts() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let none = b.get(&desk.at("/pictures/compare")).await;
    assert!(none.has("There are not two front pictures of one tank yet."));
    let first = kept(
        (&desk, &b),
        "Ash",
        "2026-03-01T15:00",
        "front",
        &png(30, 20, 1),
    )
    .await;
    let last = kept(
        (&desk, &b),
        "Ash",
        "2026-03-29T15:10",
        "front",
        &png(60, 40, 2),
    )
    .await;
    let elm = kept(
        (&desk, &b),
        "Elm",
        "2026-03-29T15:00",
        "front",
        &png(20, 30, 3),
    )
    .await;
    let (ash_id, elm_id) = (desk.tank("Ash"), desk.tank("Elm"));
    let usual = b.get(&desk.at("/pictures/compare")).await;
    let said = "Ash: 1\u{a0}March\u{a0}2026 and 29\u{a0}March\u{a0}2026, 28 days apart.";
    assert!(usual.has(said), "{}", usual.body);
    // Until the script comes the divider's controls stay away, and nothing is styled inline.
    assert!(usual.has("class=\"divide-control\" hidden") && !usual.has(" style="));
    assert!(usual.has("type=\"range\"") && usual.has("divide.js"));
    assert!(!usual.has("not to be compared"));
    let entries = b
        .get(&desk.at(&format!("/pictures/compare?left={first}&right={last}")))
        .await;
    assert!(entries.has(said));
    let days = format!("/pictures/compare?of=tank&tank={ash_id}&from=2026-03-20&to=2026-03-01");
    let days = b.get(&desk.at(&days)).await;
    assert!(
        days.has(said) && days.has("no front picture of 20\u{a0}March\u{a0}2026"),
        "{}",
        days.body
    );
    let tanks = format!("/pictures/compare?of=day&one={ash_id}&other={elm_id}&day=2026-03-29");
    let tanks = b.get(&desk.at(&tanks)).await;
    assert!(
        tanks.has("Ash and Elm on 29\u{a0}March\u{a0}2026."),
        "{}",
        tanks.body
    );
    assert!(tanks.has("60 \u{d7} 40 and 20 \u{d7} 30 pixels") && tanks.has("not to be compared"));
    assert!(
        tanks.has(&format!("left={elm}&amp;right={last}")),
        "they can be swapped"
    );
    what_is_wrong_is_said(
        &desk,
        &b,
        &[
            format!("left={first}&right=x"),
            format!("left={first}&right={ash_id}"),
        ],
    )
    .await;
}
