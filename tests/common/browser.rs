//! A real browser on the real pages.
#![allow(dead_code, unreachable_pub)] // each test file uses its own part
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // helpers of tests, outside the test functions

use serde_json::{Value, json};
use std::net::TcpListener;
use std::process::{Child, Command, Stdio};
use std::sync::Arc;
use std::time::Duration;
use tempfile::TempDir;
use thirtyfour::common::command::ExtensionCommand;
use thirtyfour::prelude::*;

/// A browser with a profile of its own; the driver ends with it.
pub struct Browser {
    /// The driver.
    pub driver: WebDriver,
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
    /// A phone of 390 by 844 points, touched.
    pub async fn phone() -> Browser {
        let metrics = json!({"deviceMetrics": {"width": 390, "height": 844, "pixelRatio": 2.0}});
        Browser::open("390,844", Some(metrics)).await
    }

    /// A window of 1440 by 900 points at a desk.
    pub async fn desk() -> Browser {
        Browser::open("1440,900", None).await
    }

    async fn open(size: &str, emulated: Option<Value>) -> Browser {
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
        ] {
            caps.add_arg(arg).unwrap();
        }
        caps.add_arg(&format!("--user-data-dir={}", profile.path().display()))
            .unwrap();
        caps.add_arg(&format!("--window-size={size}")).unwrap();
        if let Some(emulated) = emulated {
            caps.add_experimental_option("mobileEmulation", emulated)
                .unwrap();
        }
        caps.set("goog:loggingPrefs", json!({"browser": "ALL"}))
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

    /// Closes the window and its driver.
    pub async fn end(self) {
        let _ = self.driver.clone().quit().await;
    }

    /// The words of the main part.
    pub async fn text(&self) -> String {
        self.driver
            .find(By::Css("main"))
            .await
            .unwrap()
            .text()
            .await
            .unwrap()
    }

    /// Brings a control to the middle of the screen, as a thumb would, and taps it.
    pub async fn click(&self, element: &WebElement) {
        let script = "arguments[0].scrollIntoView({block: 'center'})";
        let element_json = element.to_json().unwrap();
        self.driver
            .execute(script, vec![element_json])
            .await
            .unwrap();
        element.click().await.unwrap();
    }

    /// Nothing on the page reaches past its right edge.
    pub async fn fits(&self) {
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

    /// Shows pages as a device that wishes this theme, `light` or `dark`, would.
    pub async fn wish(&self, theme: &str) {
        let features = json!([{"name": "prefers-color-scheme", "value": theme}]);
        let command = Devtools {
            cmd: "Emulation.setEmulatedMedia",
            params: json!({ "features": features }),
        };
        self.extension(command).await;
    }

    /// A picture of the open page as a window of this width would show it, from top to foot.
    pub async fn whole_page(&self, width: u32) -> Vec<u8> {
        let mobile = width < 600;
        for height in [900, 0] {
            let script = "return document.documentElement.scrollHeight";
            let height = match height {
                0 => self.run(script, vec![]).await.as_u64().unwrap().min(8000),
                known => known,
            };
            let metrics =
                json!({"width": width, "height": height, "deviceScaleFactor": 1, "mobile": mobile});
            let command = Devtools {
                cmd: "Emulation.setDeviceMetricsOverride",
                params: metrics,
            };
            self.extension(command).await;
        }
        self.driver.screenshot_as_png().await.unwrap()
    }

    /// Runs a script on every page opened from now on, before the page's own.
    pub async fn bring(&self, script: &str) {
        let command = Devtools {
            cmd: "Page.addScriptToEvaluateOnNewDocument",
            params: json!({ "source": script }),
        };
        self.extension(command).await;
    }

    /// The value of a script's `return`.
    pub async fn run(&self, script: &str, arguments: Vec<Value>) -> Value {
        let ran = self.driver.execute(script, arguments).await;
        ran.unwrap().json().clone()
    }

    /// What the browser complained of since it was last asked, one line each.
    pub async fn complaints(&self) -> Vec<String> {
        let log = self.extension(BrowserLog).await;
        let lines = log.as_array().cloned().unwrap_or_default();
        let lines = lines.iter().map(|l| l["message"].to_string());
        lines.collect()
    }

    async fn extension(&self, command: impl ExtensionCommand + Send + Sync + 'static) -> Value {
        let command = thirtyfour::common::command::Command::ExtensionCommand(Box::new(command));
        let answer = self.driver.handle().cmd(command).await.unwrap();
        answer.value_json().unwrap()
    }
}

#[derive(Debug)]
struct BrowserLog;

impl ExtensionCommand for BrowserLog {
    fn parameters_json(&self) -> Option<Value> {
        Some(json!({"type": "browser"}))
    }
    fn method(&self) -> http::Method {
        http::Method::POST
    }
    fn endpoint(&self) -> Arc<str> {
        "/se/log".into()
    }
}

#[derive(Debug)]
struct Devtools {
    cmd: &'static str,
    params: Value,
}

impl ExtensionCommand for Devtools {
    fn parameters_json(&self) -> Option<Value> {
        Some(json!({"cmd": self.cmd, "params": self.params}))
    }
    fn method(&self) -> http::Method {
        http::Method::POST
    }
    fn endpoint(&self) -> Arc<str> {
        "/goog/cdp/execute".into()
    }
}
