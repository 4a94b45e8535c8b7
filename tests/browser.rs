//! A real browser on the real pages, at a phone's size.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // helpers of tests, outside the test functions

mod common;

use common::{Served, demo, serve};
use std::net::TcpListener;
use std::process::{Child, Command, Stdio};
use std::time::Duration;
use tempfile::TempDir;
use thirtyfour::prelude::*;

/// A browser with a profile of its own; the driver ends with it.
struct Browser {
    driver: WebDriver,
    _process: Ended,
    _profile: TempDir,
}

/// A process that ends with the test, however the test ends.
struct Ended(Child);

impl Drop for Ended {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

impl Browser {
    async fn phone() -> Browser {
        let port = TcpListener::bind("127.0.0.1:0")
            .unwrap()
            .local_addr()
            .unwrap()
            .port();
        let process = Ended(
            Command::new("chromedriver")
                .arg(format!("--port={port}"))
                .stdout(Stdio::null())
                .stderr(Stdio::null())
                .spawn()
                .expect("chromedriver is installed by test.sh"),
        );
        let profile = tempfile::tempdir().unwrap();
        let mut caps = DesiredCapabilities::chrome();
        for arg in [
            "--headless=new",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--window-size=390,844",
        ] {
            caps.add_arg(arg).unwrap();
        }
        caps.add_arg(&format!("--user-data-dir={}", profile.path().display()))
            .unwrap();
        caps.add_experimental_option(
            "mobileEmulation",
            serde_json::json!({"deviceMetrics": {"width": 390, "height": 844, "pixelRatio": 2.0}}),
        )
        .unwrap();
        let address = format!("http://127.0.0.1:{port}");
        for _ in 0..100 {
            if let Ok(driver) = WebDriver::new(&address, caps.clone()).await {
                driver
                    .set_implicit_wait_timeout(Duration::from_secs(10))
                    .await
                    .unwrap();
                return Browser {
                    driver,
                    _process: process,
                    _profile: profile,
                };
            }
            tokio::time::sleep(Duration::from_millis(100)).await;
        }
        panic!("chromedriver did not start");
    }

    async fn end(self) {
        let _ = self.driver.clone().quit().await;
    }

    async fn text(&self) -> String {
        self.driver
            .find(By::Css("main"))
            .await
            .unwrap()
            .text()
            .await
            .unwrap()
    }

    /// Brings a control to the middle of the screen, as a thumb would, and taps it.
    async fn click(&self, element: &WebElement) {
        let script = "arguments[0].scrollIntoView({block: 'center'})";
        let element_json = element.to_json().unwrap();
        self.driver
            .execute(script, vec![element_json])
            .await
            .unwrap();
        element.click().await.unwrap();
    }

    /// Nothing on the page reaches past its right edge.
    async fn fits(&self) {
        let wide = self
            .driver
            .execute(
                "return document.documentElement.scrollWidth - window.innerWidth",
                vec![],
            )
            .await
            .unwrap();
        assert!(
            wide.json().as_f64().unwrap() <= 0.0,
            "the page is wider than the phone"
        );
    }
}

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

#[tokio::test(flavor = "multi_thread")]
async fn every_page_of_the_demo_opens_and_fits_a_phone() {
    let (_temp, folder) = demo();
    let served = serve(&folder);
    let browser = Browser::phone().await;
    let trial = open_trial(&browser, &served).await;
    for word in [
        "bench",
        "log",
        "readings",
        "compare",
        "update",
        "setup",
        "cautions",
        "costs",
        "plans",
        "treatment",
        "pictures",
    ] {
        browser
            .driver
            .goto(format!("{trial}/{word}"))
            .await
            .unwrap();
        let heading = browser
            .driver
            .find(By::Css("h1"))
            .await
            .unwrap()
            .text()
            .await
            .unwrap();
        assert!(
            !heading.contains("Nothing here") && !heading.contains("went wrong"),
            "{word}: {heading}"
        );
        browser.fits().await;
        let page = browser.driver.source().await.unwrap();
        assert!(
            page.contains("Invented"),
            "{word} does not say that the demo is invented"
        );
    }
    browser
        .driver
        .goto(format!("{trial}/update/page"))
        .await
        .unwrap();
    browser.fits().await;
    assert!(
        browser
            .driver
            .source()
            .await
            .unwrap()
            .contains("What this trial can say")
    );
    browser.end().await;
}
