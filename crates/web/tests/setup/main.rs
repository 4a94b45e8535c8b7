//! Home, a new trial and the set-up, as a browser without scripts uses them.

// Helpers of tests stand outside the test functions; a form has as many fields as it has.
#![allow(clippy::unwrap_used, clippy::too_many_lines)]

#[path = "../common/mod.rs"]
mod common;
mod making;
mod own;
mod supplies;
mod tanks;
mod whole;
mod withdrawing;

use axum::http::StatusCode;
use common::{Answer, Browser, TestApp, fields_of};
use trial::{Bench, TrialId};

/// Values typed over what a form shows: a name that is not there yet is added.
struct Typed(Vec<(String, String)>);

impl Typed {
    fn over(page: &str, action: &str) -> Self {
        Self(fields_of(page, action))
    }

    fn set(mut self, name: &str, value: &str) -> Self {
        match self.0.iter_mut().find(|(n, _)| n == name) {
            Some((_, old)) => value.clone_into(old),
            None => self.0.push((name.to_owned(), value.to_owned())),
        }
        self
    }

    fn all(self, values: &[(&str, &str)]) -> Self {
        values
            .iter()
            .fold(self, |typed, (name, value)| typed.set(name, value))
    }

    fn without(mut self, name: &str) -> Self {
        self.0.retain(|(n, _)| n != name);
        self
    }

    async fn send(&self, browser: &Browser<'_>, action: &str) -> Answer {
        let fields: Vec<(&str, &str)> = self
            .0
            .iter()
            .map(|(n, v)| (n.as_str(), v.as_str()))
            .collect();
        browser.post(action, &fields).await
    }
}

async fn fill(browser: &Browser<'_>, path: &str, values: &[(&str, &str)]) -> Answer {
    let page = browser.get(path).await;
    assert_eq!(page.status, StatusCode::OK, "{path}");
    Typed::over(&page.body, path)
        .all(values)
        .send(browser, path)
        .await
}

async fn saved(browser: &Browser<'_>, path: &str, values: &[(&str, &str)]) {
    let answer = fill(browser, path, values).await;
    let errors: Vec<&str> = answer.body.split("<li><a href=\"#f-").skip(1).collect();
    let errors: Vec<&str> = errors
        .iter()
        .map(|e| e.split("</a>").next().unwrap())
        .collect();
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{path}: {errors:?}");
    let shown = browser
        .get(answer.location.split('#').next().unwrap())
        .await;
    assert_eq!(shown.status, StatusCode::OK);
}

const NEW: [(&str, &str); 9] = [
    (
        "new_question",
        "Does <more> light redden the \"bush\" & nothing else?",
    ),
    ("tank_name-1", "Ash"),
    ("tank_name-2", "Elm"),
    ("tank_name-3", "Fir"),
    ("tank_name-4", "Oak"),
    ("new_factor", "Light"),
    ("new_level-1", "Bright light"),
    ("new_level-2", "Usual light"),
    ("seed", "1234567"),
];

async fn new_trial(app: &TestApp, browser: &Browser<'_>) -> Bench {
    let page = browser.get("/trials/new").await;
    let typed = Typed::over(&page.body, "/trials/new")
        .all(&NEW)
        .set("new_zone", "Europe/Lisbon");
    let answer = typed.send(browser, "/trials/new").await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.body);
    let id = answer.location.split('/').nth(2).unwrap();
    assert_eq!(answer.location, format!("/trials/{id}/bench"));
    bench(app, id.parse().unwrap())
}

fn bench(app: &TestApp, trial: TrialId) -> Bench {
    app.notebook().bench(trial).unwrap()
}

fn setup(b: &Bench) -> String {
    format!("/trials/{}/setup", b.trial.id)
}
