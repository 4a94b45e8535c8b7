//! The divider between two pictures, moved by keys, by taps and by its buttons, in a real browser.
//!
//! Keys of a slider: WAI-ARIA Authoring Practices, slider pattern (arrows by a step, Home and End to
//! the ends).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // helpers of tests, outside the test functions

mod common;

#[path = "common/browser.rs"]
mod window;

use common::{demo, serve};
use serde_json::json;
use thirtyfour::prelude::*;
use window::Browser;

/// Where the divider stands, as the slider says, as it is read out, and as it is drawn.
async fn stands(browser: &Browser) -> (String, String, String) {
    let slider = browser.driver.find(By::Id("divider")).await.unwrap();
    let value = slider.prop("value").await.unwrap().unwrap();
    let said = slider.attr("aria-valuetext").await.unwrap().unwrap();
    let script = "return getComputedStyle(document.querySelector('.divide-right')).clipPath";
    let drawn = browser.run(script, vec![]).await;
    (value, said, drawn.as_str().unwrap().to_owned())
}

/// Taps, drags and scrolls on the pictures.
async fn fingers(browser: &Browser) {
    // A tap a quarter from the left, as a finger makes it: the divider goes there.
    let tap = "const s = document.querySelector('.divide-stage'), b = s.getBoundingClientRect();
        s.setPointerCapture = () => {};
        const at = (type, share) => s.dispatchEvent(new PointerEvent(type, {bubbles: true, cancelable: true,
            button: 0, pointerId: 1, pointerType: 'touch', clientX: b.left + share * b.width, clientY: b.top + 5}));
        for (const [type, share] of arguments[0]) at(type, share);";
    let taps = json!([["pointerdown", 0.25], ["pointerup", 0.25]]);
    browser.run(tap, vec![taps]).await;
    assert_eq!(stands(browser).await.0, "25");
    // Dragged from there, past the edge it stays at the end; a finger that scrolls moves nothing.
    let drag = json!([
        ["pointerdown", 0.25],
        ["pointermove", 0.6],
        ["pointermove", 1.4],
        ["pointerup", 1.4]
    ]);
    browser.run(tap, vec![drag]).await;
    assert_eq!(stands(browser).await.0, "100");
    let scroll = json!([
        ["pointerdown", 0.25],
        ["pointercancel", 0.25],
        ["pointermove", 0.3]
    ]);
    browser.run(tap, vec![scroll]).await;
    assert_eq!(stands(browser).await.0, "100");
}

#[tokio::test(flavor = "multi_thread")]
async fn the_divider_moves_by_keys_taps_and_buttons() {
    let (_temp, folder) = demo();
    let served = serve(&folder);
    let browser = Browser::phone().await;
    browser.driver.goto(&served.address).await.unwrap();
    let trial = By::PartialLinkText("In the sand or in the water?");
    browser
        .driver
        .find(trial)
        .await
        .unwrap()
        .click()
        .await
        .unwrap();
    browser.driver.find(By::Css("h1")).await.unwrap();
    let url = browser.driver.current_url().await.unwrap().to_string();
    let trial = url.rsplit_once('/').unwrap().0;
    let at = format!("{trial}/pictures/compare");
    browser.driver.goto(&at).await.unwrap();
    browser.driver.find(By::Css(".is-divided")).await.unwrap();
    browser.fits().await;

    let (value, said, drawn) = stands(&browser).await;
    assert_eq!(value, "50");
    assert!(
        said.starts_with("50 % ") && said.contains(", 50 % "),
        "{said}"
    );
    assert_eq!(drawn, "inset(0px 0px 0px 50%)");
    let slider = browser.driver.find(By::Id("divider")).await.unwrap();
    for (key, then) in [
        (Key::Right, "51"),
        (Key::Left, "50"),
        (Key::End, "100"),
        (Key::Home, "0"),
        (Key::Right, "1"),
    ] {
        slider.send_keys(key).await.unwrap();
        let (value, said, drawn) = stands(&browser).await;
        assert_eq!(value, then);
        assert!(said.starts_with(&format!("{then} % ")), "{said}");
        let rest = 100 - then.parse::<u32>().unwrap();
        assert!(said.contains(&format!(", {rest} % ")), "{said}");
        assert_eq!(drawn, format!("inset(0px 0px 0px {then}%)"));
    }

    fingers(&browser).await;
    let half = browser
        .driver
        .find(By::Css("[data-divide-to='50']"))
        .await
        .unwrap();
    browser.click(&half).await;
    assert_eq!(stands(&browser).await.0, "50");
    let complaints = browser.complaints().await;
    assert!(complaints.is_empty(), "{complaints:?}");
    browser.end().await;
}
