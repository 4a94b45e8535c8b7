//! A real browser on the real pages, at a phone's size.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // helpers of tests, outside the test functions

mod common;

#[path = "common/browser.rs"]
mod window;

use common::{Served, demo, serve};
use thirtyfour::prelude::*;
use window::Browser;

async fn open_trial(browser: &Browser, served: &Served) -> String {
    browser.driver.goto(&served.address).await.unwrap();
    let link = browser
        .driver
        .find(By::PartialLinkText("In the sand or in the water?"))
        .await
        .unwrap();
    link.click().await.unwrap();
    browser.driver.find(By::Css("h1")).await.unwrap();
    let url = browser.driver.current_url().await.unwrap().to_string();
    url.rsplit_once('/').unwrap().0.to_string()
}

async fn jot(browser: &Browser, trial: &str, line: &str) {
    browser.driver.goto(format!("{trial}/log")).await.unwrap();
    let field = browser
        .driver
        .find(By::Css("input[name=line], textarea[name=line]"))
        .await
        .unwrap();
    field.send_keys(line).await.unwrap();
    let button = browser
        .driver
        .find(By::Css("form[action*='/log/jot'] button[type=submit]"))
        .await
        .unwrap();
    button.click().await.unwrap();
    browser
        .driver
        .find(By::Css(".notice-done, [role=status], [role=alert]"))
        .await
        .unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn an_all_tanks_dose_is_logged_seen_undone_and_another_corrected() {
    let (_temp, folder) = demo();
    let served = serve(&folder);
    let browser = Browser::phone().await;
    let trial = open_trial(&browser, &served).await;
    browser.fits().await;

    jot(&browser, &trial, "dose kno3 0.77 g").await;
    browser.fits().await;
    assert!(
        browser.text().await.contains("0.77"),
        "the log shows the dose"
    );
    let undo = browser
        .driver
        .find(By::Css("form[action*='/undo'] button"))
        .await
        .unwrap();
    undo.click().await.unwrap();
    browser.driver.find(By::Css("h1")).await.unwrap();
    browser.driver.goto(format!("{trial}/log")).await.unwrap();
    let gone = browser
        .driver
        .find_all(By::XPath("//li[contains(., '0.77')]"))
        .await
        .unwrap();
    assert!(gone.is_empty(), "an undone dose is off the list");

    jot(&browser, &trial, "feed flakes 0.31 g").await;
    let correct = browser
        .driver
        .find(By::Css("a[href*='/correct']"))
        .await
        .unwrap();
    correct.click().await.unwrap();
    let grams = browser
        .driver
        .find(By::Css("input[name=grams]"))
        .await
        .unwrap();
    grams.clear().await.unwrap();
    grams.send_keys("0.13").await.unwrap();
    let save = browser
        .driver
        .find(By::Css("main form button[type=submit]"))
        .await
        .unwrap();
    browser.click(&save).await;
    browser.driver.find(By::Css("h1")).await.unwrap();
    browser.driver.goto(format!("{trial}/log")).await.unwrap();
    let text = browser.text().await;
    assert!(
        text.contains("0.13") && !text.contains("0.31"),
        "the correction stands alone: {text}"
    );

    browser.end().await;
}
