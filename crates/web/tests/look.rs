//! The style sheet keeps its promises: contrast, one dark theme, nothing inline, small scripts.

#![allow(clippy::unwrap_used)] // helpers of tests, outside the test functions

mod common;
#[path = "../examples/styleguide/gallery.rs"]
mod gallery;

use axum::body::{Body, to_bytes};
use axum::http::{Request, StatusCode};
use tower::ServiceExt;

use std::collections::{BTreeMap, BTreeSet};

use web::parts::shell::Theme;
use web::router::with_pages;
use web::{App, FieldError, FieldErrors, FormData, FormState};

const CSS: &str = include_str!("../assets/fairtank.css");
const APP_JS: &str = include_str!("../assets/app.js");

fn variables(block: &str) -> BTreeMap<String, String> {
    block
        .split(';')
        .filter_map(|line| {
            line.rsplit_once("--")
                .map(|(_, rest)| rest)
                .unwrap_or("")
                .split_once(':')
        })
        .map(|(name, value)| (name.trim().to_owned(), value.trim().to_owned()))
        .filter(|(_, value)| value.starts_with('#'))
        .collect()
}

/// What stands between the braces after the first `selector {`.
fn block(selector: &str) -> &'static str {
    let (_, after) = CSS.split_once(&format!("{selector} {{")).unwrap();
    after.split_once('}').unwrap().0
}

fn light() -> BTreeMap<String, String> {
    variables(block("\n:root"))
}

fn dark() -> BTreeMap<String, String> {
    variables(block(":root[data-theme=\"dark\"]"))
}

/// The page's colours with those of the series, which come from the crate of the figures.
fn with_series(
    mut page: BTreeMap<String, String>,
    theme: &chart::Theme,
) -> BTreeMap<String, String> {
    let series = (0..8).map(chart::Role::series);
    page.extend(series.map(|role| (role.name(), theme.colour(role).hex())));
    page
}

#[test]
fn both_dark_blocks_are_the_same() {
    assert_eq!(
        block(":root[data-theme=\"dark\"]")
            .split_whitespace()
            .collect::<String>(),
        block(":root:not([data-theme=\"light\"])")
            .split_whitespace()
            .collect::<String>()
    );
    assert_eq!(
        light().keys().collect::<Vec<_>>(),
        dark().keys().collect::<Vec<_>>()
    );
    assert_eq!(light().len(), 14);
}

/// Relative luminance, WCAG 2.2, "Dimensions of relative luminance".
fn luminance(hex: &str) -> f64 {
    let channel = |at: usize| {
        let c = f64::from(u8::from_str_radix(&hex[at..at + 2], 16).unwrap()) / 255.0;
        if c <= 0.04045 {
            c / 12.92
        } else {
            ((c + 0.055) / 1.055).powf(2.4)
        }
    };
    0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
}

/// Contrast ratio, WCAG 2.2.
fn contrast(a: &str, b: &str) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

// Worked values from WCAG 2.2: black on white is 21:1; from memory: #767676 on white is 4.54:1.
#[test]
fn the_contrast_formula_is_right() {
    assert!((contrast("#000000", "#ffffff") - 21.0).abs() < 1e-9);
    assert!((contrast("#767676", "#ffffff") - 4.54).abs() < 0.01);
}

// WCAG 2.2: 4.5:1 for text (1.4.3), 3:1 for edges of controls and marks (1.4.11).
#[test]
fn contrasts_meet_level_aa() {
    let mut pairs: Vec<(String, &str, f64)> = Vec::new();
    for ground in ["surface", "surface-2", "raised"] {
        for text in ["ink", "muted", "accent", "error"] {
            pairs.push((text.to_owned(), ground, 4.5));
        }
        pairs.push(("line-strong".to_owned(), ground, 3.0));
        for at in 1..=8 {
            pairs.push((format!("series-{at}"), ground, 3.0));
        }
    }
    for (text, ground) in [
        ("on-accent", "accent"),
        ("ink", "accent-soft"),
        ("accent", "accent-soft"),
        ("ink", "caution-soft"),
        ("caution", "caution-soft"),
        ("muted", "caution-soft"),
        ("ink", "error-soft"),
        ("error", "error-soft"),
    ] {
        pairs.push((text.to_owned(), ground, 4.5));
    }
    for theme in [
        with_series(light(), &chart::Theme::light()),
        with_series(dark(), &chart::Theme::dark()),
    ] {
        for (mark, ground, least) in &pairs {
            let ratio = contrast(&theme[mark], &theme[*ground]);
            assert!(
                ratio >= *least,
                "{mark} {} on {ground} {}: {ratio:.2}",
                theme[mark],
                theme[*ground]
            );
        }
    }
}

fn wrong_state() -> FormState {
    let data = FormData::from_pairs([("amount", "five"), ("tank", "*"), ("tank", "ash")]);
    let mut errors = FieldErrors::default();
    for field in ["kind", "tank", "amount", "at", "note"] {
        errors.add(FieldError::new(field, field, "x", "give something else"));
    }
    FormState { data, errors }
}

fn pages() -> [String; 2] {
    let token = "token";
    [
        gallery::gallery(token, None, &FormState::default(), None).into_string(),
        gallery::gallery(token, Some(Theme::Dark), &wrong_state(), Some("Done.")).into_string(),
    ]
}

fn values<'a>(page: &'a str, attribute: &str) -> Vec<&'a str> {
    let start = format!(" {attribute}=\"");
    page.split(&start)
        .skip(1)
        .map(|rest| rest.split('"').next().unwrap())
        .collect()
}

#[test]
fn nothing_is_inline() {
    for page in pages() {
        assert!(
            !page.contains(" style=") && !page.contains("<style"),
            "inline style"
        );
        for script in page.split("<script").skip(1) {
            let (tag, rest) = script.split_once('>').unwrap();
            assert!(
                tag.contains(" src=\"/assets/") && rest.starts_with("</script>"),
                "{tag}"
            );
        }
        for tag in page.split('<').map(|tag| tag.split('>').next().unwrap()) {
            assert!(
                !tag.split_whitespace()
                    .any(|word| word.starts_with("on") && word.contains("=\"")),
                "{tag}"
            );
        }
    }
}

#[test]
fn every_class_is_in_the_style_sheet_or_only_a_name() {
    // Names that mark a part for the reader of the page's source, without a look of their own.
    let plain = ["notice-note"];
    let figures = chart::css();
    for page in pages() {
        for class in values(&page, "class").iter().flat_map(|all| all.split(' ')) {
            let rule = format!(".{class}");
            let known = CSS.contains(&rule) || figures.contains(&rule) || plain.contains(&class);
            assert!(known, "class {class:?} is not in the style sheet");
        }
    }
}

#[test]
fn references_inside_a_page_lead_somewhere() {
    for page in pages() {
        let ids: Vec<&str> = values(&page, "id");
        let unique: BTreeSet<&str> = ids.iter().copied().collect();
        assert_eq!(ids.len(), unique.len(), "an id is used twice");
        let described = values(&page, "aria-describedby");
        let pointed = described.iter().flat_map(|all| all.split(' '));
        let links = values(&page, "href")
            .into_iter()
            .filter_map(|href| href.strip_prefix('#'));
        for id in pointed.chain(values(&page, "for")).chain(links) {
            assert!(unique.contains(id), "nothing has the id {id:?}");
        }
    }
}

#[test]
fn every_form_that_saves_carries_the_token() {
    for page in pages() {
        for form in page
            .split("<form")
            .skip(1)
            .filter(|form| form.contains("method=\"post\""))
        {
            let form = form.split("</form>").next().unwrap();
            assert!(
                form.contains("name=\"form_token\" value=\"token\"")
                    || form.contains("?form_token=token\""),
                "{form}"
            );
        }
    }
}

#[test]
fn the_script_stays_small_and_writes_text_only() {
    assert!(APP_JS.len() < 5 * 1024, "{} bytes", APP_JS.len());
    for forbidden in [
        "innerHTML",
        "outerHTML",
        "insertAdjacentHTML",
        "document.write",
        "eval(",
    ] {
        assert!(!APP_JS.contains(forbidden), "{forbidden}");
    }
}

#[test]
fn no_rule_needs_the_network() {
    for address in CSS
        .split("url(")
        .skip(1)
        .map(|rest| rest.split(')').next().unwrap())
    {
        let name = address.trim_matches('"');
        assert!(!name.contains([':', '/']), "{name}");
    }
}

async fn answer(app: &App, request: Request<Body>) -> (StatusCode, String) {
    let response = with_pages(app, gallery::routes())
        .oneshot(request)
        .await
        .unwrap();
    let status = response.status();
    let body = to_bytes(response.into_body(), 1 << 20).await.unwrap();
    (status, String::from_utf8(body.to_vec()).unwrap())
}

fn get(path: &str) -> Request<Body> {
    Request::get(path)
        .header("host", "localhost:8123")
        .body(Body::empty())
        .unwrap()
}

/// Sends a form the way a browser without scripts does: cookie and token as the page gave them.
async fn send(app: &App, fields: &str) -> String {
    let opened = with_pages(app, gallery::routes())
        .oneshot(get("/styleguide"))
        .await
        .unwrap();
    let cookie = opened.headers()["set-cookie"]
        .to_str()
        .unwrap()
        .split(';')
        .next()
        .unwrap()
        .to_owned();
    let page = to_bytes(opened.into_body(), 1 << 20).await.unwrap();
    let page = String::from_utf8(page.to_vec()).unwrap();
    let token = page
        .split("name=\"form_token\" value=\"")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap();
    let request = Request::post("/styleguide")
        .header("host", "localhost:8123")
        .header("origin", "http://localhost:8123")
        .header("cookie", cookie)
        .header("content-type", "application/x-www-form-urlencoded")
        .body(Body::from(format!("form_token={token}&{fields}")))
        .unwrap();
    let (status, text) = answer(app, request).await;
    assert_eq!(status, StatusCode::OK);
    text
}

#[tokio::test]
async fn a_form_goes_round_and_keeps_what_was_typed() {
    let app = common::TestApp::new();
    let good = send(
        &app,
        "kind=trim&tank=*&amount=1%2C5&at=2026-03-01T18%3A30&note=",
    )
    .await;
    assert!(good.contains("1.5 ml noted for every tank.") && !good.contains("role=\"alert\""));
    let bad = send(
        &app,
        "kind=trim&tank=ash&tank=elm&amount=a+lot&at=&note=long+%3Cstory%3E",
    )
    .await;
    for part in [
        "Amount: “a lot” is not accepted; give a number from 0 to 100, with a point or a comma.",
        "When is empty; give a day and time like 2026-03-01 18:30.",
        "value=\"a lot\"",
        "long &lt;story&gt;</textarea>",
        "value=\"trim\" checked",
        "value=\"ash\" checked",
        "value=\"elm\" checked",
    ] {
        assert!(bad.contains(part), "{part}");
    }
    assert!(!bad.contains("value=\"*\" checked") && !bad.contains("noted for"));
}

#[tokio::test]
async fn the_gallery_answers_scripts_and_shows_an_error() {
    let app = common::TestApp::new();
    let read = answer(&app, get("/styleguide/jot/read?line=change+40%25")).await;
    assert_eq!(read, (StatusCode::OK, "Understood: change 40%".to_owned()));
    let (status, text) = answer(&app, get("/styleguide/error")).await;
    assert_eq!(status, StatusCode::CONFLICT);
    assert!(text.contains("<h1>This has changed meanwhile</h1>") && text.contains("at 18:32"));
    let (status, _) = answer(&app, get("/")).await;
    assert_eq!(status, StatusCode::NOT_FOUND);
}
