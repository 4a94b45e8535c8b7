//! Every rule of the guard, asked from outside.
//!
//! Sources: Host and authority, RFC 9110 sections 7.2 and 7.4; `Origin`, the Fetch standard;
//! `Sec-Fetch-*`, W3C Fetch Metadata; policy syntax, W3C Content Security Policy level 3; path
//! tricks, RFC 3986 sections 2.1 and 5.2.4.

#![allow(clippy::unwrap_used, clippy::panic)] // helpers of tests, outside the test functions

use std::time::Duration;

use axum::Router;
use axum::body::{Body, Bytes, to_bytes};
use axum::http::{HeaderMap, Method, Request, StatusCode, header};
use axum::routing::{get, post};
use tower::ServiceExt;
use web::guard::{CONTENT_SECURITY_POLICY, upload_limit};
use web::router::with_pages;
use web::{App, Config, FormData};

mod common;
use common::TestApp;

const HOST: &str = "127.0.0.1:8123";
const FORM: &str = "application/x-www-form-urlencoded";

fn app() -> TestApp {
    let mut config = Config::new(8123);
    config.request_time = Duration::from_millis(200);
    TestApp::with(config)
}

async fn panics() -> &'static str {
    panic!("secret detail")
}

fn routes(app: &App) -> Router {
    let pages = Router::new()
        .route("/page", get(async || maud::html! { p { "a page" } }))
        .route(
            "/save",
            post(async |data: FormData| format!("{:?}", data.iter().collect::<Vec<_>>())),
        )
        .route(
            "/picture",
            post(async |body: Bytes| body.len().to_string()).layer(upload_limit(3 << 20)),
        )
        .route(
            "/small-picture",
            post(async |body: Bytes| body.len().to_string()),
        )
        .route(
            "/number/{n}",
            get(async |axum::extract::Path(n): axum::extract::Path<u8>| n.to_string()),
        )
        .route("/panic", get(panics))
        .route(
            "/slow",
            get(async || tokio::time::sleep(Duration::from_secs(30)).await),
        );
    with_pages(app, pages)
}

struct Answer {
    status: StatusCode,
    headers: HeaderMap,
    text: String,
}

async fn ask(app: &App, request: Request<Body>) -> Answer {
    let response = routes(app).oneshot(request).await.unwrap();
    let (head, body) = response.into_parts();
    // Fonts are no text.
    let bytes = to_bytes(body, 1 << 24).await.unwrap();
    let text = String::from_utf8_lossy(&bytes).into_owned();
    Answer {
        status: head.status,
        headers: head.headers,
        text,
    }
}

fn request(
    method: Method,
    path: &str,
    headers: &[(&str, &str)],
    body: impl Into<Body>,
) -> Request<Body> {
    let mut builder = Request::builder().method(method).uri(path);
    for (name, value) in headers {
        builder = builder.header(*name, *value);
    }
    builder.body(body.into()).unwrap()
}

async fn read(app: &App, path: &str, headers: &[(&str, &str)]) -> Answer {
    ask(app, request(Method::GET, path, headers, Body::empty())).await
}

/// The cookie a browser would hold after opening any page.
async fn cookie(app: &App) -> String {
    let page = read(app, "/page", &[("host", HOST)]).await;
    let set = page.headers[header::SET_COOKIE]
        .to_str()
        .unwrap()
        .to_owned();
    assert!(
        set.ends_with("; Path=/; HttpOnly; SameSite=Strict"),
        "{set}"
    );
    set.split(';').next().unwrap().to_owned()
}

/// A good post but for the headers given last.
async fn send(app: &App, path: &str, more: &[(&str, &str)], body: impl Into<Body>) -> Answer {
    let cookie = cookie(app).await;
    let mut headers = vec![("host", HOST), ("cookie", cookie.as_str())];
    if !more.iter().any(|(name, _)| *name == "content-type") {
        headers.push(("content-type", FORM));
    }
    headers.extend_from_slice(more);
    ask(app, request(Method::POST, path, &headers, body)).await
}

fn with_token(app: &App, rest: &str) -> String {
    format!("form_token={}&{rest}", app.token())
}

#[tokio::test]
async fn our_own_names_are_served() {
    let app = app();
    for host in ["127.0.0.1:8123", "localhost:8123", "[::1]:8123"] {
        let answer = read(&app, "/page", &[("host", host)]).await;
        assert_eq!(
            (answer.status, answer.text.as_str()),
            (StatusCode::OK, "<p>a page</p>"),
            "{host}"
        );
    }
}

#[tokio::test]
async fn other_names_are_misdirected() {
    let app = app();
    for host in [
        "evil.example",
        "evil.example:8123",
        "localhost:8124",
        "127.0.0.1",
        "0.0.0.0:8123",
        "",
    ] {
        let answer = read(&app, "/page", &[("host", host)]).await;
        assert_eq!(answer.status, StatusCode::MISDIRECTED_REQUEST, "{host}");
        assert!(
            answer.text.contains("served to this machine only"),
            "{}",
            answer.text
        );
        assert!(!answer.text.contains("a page"));
    }
    let twice = read(&app, "/page", &[("host", HOST), ("host", "evil.example")]).await;
    assert_eq!(twice.status, StatusCode::MISDIRECTED_REQUEST);
    let whole_line = read(&app, "http://evil.example/page", &[("host", HOST)]).await;
    assert_eq!(whole_line.status, StatusCode::MISDIRECTED_REQUEST);
}

#[tokio::test]
async fn a_request_without_a_host_is_bad() {
    let answer = read(&app(), "/page", &[]).await;
    assert_eq!(answer.status, StatusCode::BAD_REQUEST);
    assert!(answer.text.contains("names no host"), "{}", answer.text);
}

#[tokio::test]
async fn a_form_from_our_page_is_taken() {
    let app = app();
    for more in [
        vec![],
        vec![
            ("origin", "http://127.0.0.1:8123"),
            ("sec-fetch-site", "same-origin"),
        ],
        vec![("origin", "http://localhost:8123")],
    ] {
        let answer = send(&app, "/save", &more, with_token(&app, "tank=a&tank=b")).await;
        assert_eq!(answer.status, StatusCode::OK, "{more:?}: {}", answer.text);
        assert_eq!(answer.text, r#"[("tank", "a"), ("tank", "b")]"#);
    }
}

#[tokio::test]
async fn foreign_origins_are_refused_even_with_the_token() {
    let app = app();
    for origin in [
        "http://evil.example",
        "https://127.0.0.1:8123",
        "http://127.0.0.1:8124",
        "http://127.0.0.1",
        "null",
        "",
        "http://127.0.0.1:8123.evil.example",
    ] {
        let answer = send(
            &app,
            "/save",
            &[("origin", origin)],
            with_token(&app, "a=1"),
        )
        .await;
        assert_eq!(answer.status, StatusCode::FORBIDDEN, "{origin}");
        assert!(
            answer
                .text
                .contains("from another address, so nothing was saved")
        );
    }
    for site in ["cross-site", "same-site", "odd"] {
        let answer = send(
            &app,
            "/save",
            &[("sec-fetch-site", site)],
            with_token(&app, "a=1"),
        )
        .await;
        assert_eq!(answer.status, StatusCode::FORBIDDEN, "{site}");
        assert!(
            answer
                .text
                .contains("by another site, so nothing was saved")
        );
    }
}

#[tokio::test]
async fn other_sites_may_link_but_not_embed() {
    let app = app();
    let load = |site: &'static str, mode: &'static str, dest: &'static str| {
        vec![
            ("host", HOST),
            ("sec-fetch-site", site),
            ("sec-fetch-mode", mode),
            ("sec-fetch-dest", dest),
        ]
    };
    for (headers, status) in [
        (load("cross-site", "navigate", "document"), StatusCode::OK),
        (load("same-origin", "no-cors", "image"), StatusCode::OK),
        (load("none", "navigate", "document"), StatusCode::OK),
        (
            load("cross-site", "no-cors", "image"),
            StatusCode::FORBIDDEN,
        ),
        (load("same-site", "cors", "empty"), StatusCode::FORBIDDEN),
        (
            load("cross-site", "navigate", "iframe"),
            StatusCode::FORBIDDEN,
        ),
        (
            load("cross-site", "no-cors", "script"),
            StatusCode::FORBIDDEN,
        ),
    ] {
        assert_eq!(
            read(&app, "/page", &headers).await.status,
            status,
            "{headers:?}"
        );
    }
}

#[tokio::test]
async fn a_form_without_the_right_token_is_refused() {
    let app = app();
    let other = self::app();
    assert_ne!(app.token(), other.token(), "each run draws its own");
    let short = app.token()[..63].to_owned();
    for body in [
        "a=1".to_owned(),
        "form_token=&a=1".to_owned(),
        format!("form_token={short}&a=1"),
        format!("form_token={}0&a=1", app.token()),
        with_token(&other, "a=1"),
        format!("form_token=wrong&form_token={}", app.token()),
    ] {
        let answer = send(&app, "/save", &[], body.clone()).await;
        assert_eq!(answer.status, StatusCode::FORBIDDEN, "{body}");
        assert!(
            answer.text.contains("not opened from this run of Fairtank"),
            "{}",
            answer.text
        );
    }
}

/// Posts a form of another run, as a browser does after the program was started again.
async fn post_stale(app: &App, path: &str, more: &[(&str, &str)], rest: &str) -> Answer {
    let old = self::app();
    let old_cookie = cookie(&old).await;
    let mut headers = vec![
        ("host", HOST),
        ("content-type", FORM),
        ("cookie", old_cookie.as_str()),
    ];
    headers.extend(more);
    let body = with_token(&old, rest);
    ask(app, request(Method::POST, path, &headers, body)).await
}

#[tokio::test]
async fn a_form_of_an_earlier_run_gives_back_what_was_typed() {
    let app = app();
    let rest = "note=two%0D%0Alines+%3Cb%3E%26amp%3B&fresh_g=1%2C5&entry_id=019bffff-0000-7000-8000-000000000000&empty=";
    let origin = format!("http://{HOST}");
    let referrer = format!("{origin}/trials/7/log/note?x=1");
    let from = [("origin", origin.as_str()), ("referer", referrer.as_str())];
    let answer = post_stale(&app, "/save?entry=5&form_token=old", &from, rest).await;
    assert_eq!(answer.status, StatusCode::FORBIDDEN);
    let page = &answer.text;
    // As HTML escapes text; every line of it, and numbers as they were typed.
    assert!(page.contains("two\nlines &lt;b&gt;&amp;amp;"), "{page}");
    assert!(page.contains("1,5") && !page.contains("<b>"), "{page}");
    let listed = page.split("<textarea").nth(1).unwrap();
    let listed = listed.split("</textarea>").next().unwrap();
    assert!(
        !listed.contains("019bffff") && !listed.contains("empty"),
        "{listed}"
    );
    // The way back, on this machine.
    assert!(page.contains("href=\"/trials/7/log/note?x=1\""), "{page}");
    // Sent again from there, it is the form as it was, with the token of this run.
    assert!(page.contains("action=\"/save?entry=5\""), "{page}");
    let fields = common::fields_of(page, "/save?entry=5");
    let sent = [
        ("note", "two\nlines <b>&amp;"),
        ("fresh_g", "1,5"),
        ("entry_id", "019bffff-0000-7000-8000-000000000000"),
        ("empty", ""),
    ];
    let sent = sent.map(|(name, value)| (name.to_owned(), value.to_owned()));
    assert_eq!(fields, sent);
    assert!(page.contains(app.token()));
}

#[tokio::test]
async fn sending_again_is_not_offered_to_a_form_of_unknown_origin() {
    let app = app();
    let referrer = "http://evil.example//evil.example/x";
    let answer = post_stale(&app, "/save", &[("referer", referrer)], "note=typed").await;
    assert_eq!(answer.status, StatusCode::FORBIDDEN);
    assert!(answer.text.contains("typed"), "{}", answer.text);
    assert!(!answer.text.contains(app.token()) && !answer.text.contains("<form"));
    assert!(!answer.text.contains("evil.example"), "{}", answer.text);
}

#[tokio::test]
async fn the_token_needs_its_cookie() {
    let app = app();
    let body = with_token(&app, "a=1");
    let bare = [("host", HOST), ("content-type", FORM)];
    let answer = ask(&app, request(Method::POST, "/save", &bare, body.clone())).await;
    assert_eq!(answer.status, StatusCode::FORBIDDEN);
    let foreign = cookie(&self::app()).await;
    let headers = [
        ("host", HOST),
        ("content-type", FORM),
        ("cookie", foreign.as_str()),
    ];
    let answer = ask(&app, request(Method::POST, "/save", &headers, body.clone())).await;
    assert_eq!(answer.status, StatusCode::FORBIDDEN);
    let among = format!("other=1; {}; last=2", cookie(&app).await);
    let headers = [
        ("host", HOST),
        ("content-type", FORM),
        ("cookie", among.as_str()),
    ];
    assert_eq!(
        ask(&app, request(Method::POST, "/save", &headers, body))
            .await
            .status,
        StatusCode::OK
    );
}

#[tokio::test]
async fn a_script_may_use_the_header_and_a_file_form_the_address() {
    let app = app();
    let by_header = send(&app, "/save", &[("x-form-token", app.token())], "a=1").await;
    assert_eq!(by_header.status, StatusCode::OK);
    let multipart = ("content-type", "multipart/form-data; boundary=x");
    let path = format!("/picture?form_token={}", app.token());
    assert_eq!(
        send(&app, &path, &[multipart], vec![0_u8; 2 << 20])
            .await
            .text,
        "2097152"
    );
    let inside = format!("--x\r\nform_token={}\r\n--x--", app.token());
    assert_eq!(
        send(&app, "/picture", &[multipart], inside).await.status,
        StatusCode::FORBIDDEN
    );
    for kind in ["text/plain", "application/json", ""] {
        let path = format!("/save?form_token={}", app.token());
        let answer = send(
            &app,
            &path,
            &[("content-type", kind)],
            with_token(&app, "a=1"),
        )
        .await;
        assert_eq!(answer.status, StatusCode::UNSUPPORTED_MEDIA_TYPE, "{kind}");
    }
}

#[tokio::test]
async fn bodies_have_their_limits() {
    let app = app();
    let filler = |bytes: usize| with_token(&app, &format!("a={}", "x".repeat(bytes)));
    assert_eq!(
        send(&app, "/save", &[], filler((1 << 20) - 100))
            .await
            .status,
        StatusCode::OK
    );
    let answer = send(&app, "/save", &[], filler(1 << 20)).await;
    assert_eq!(answer.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert!(answer.text.contains("nothing was saved"), "{}", answer.text);
    let multipart = ("content-type", "multipart/form-data; boundary=x");
    let to = |path: &str| format!("{path}?form_token={}", app.token());
    let large = send(
        &app,
        &to("/picture"),
        &[multipart],
        vec![0_u8; (3 << 20) + 1],
    )
    .await;
    assert_eq!(large.status, StatusCode::PAYLOAD_TOO_LARGE);
    let elsewhere = send(
        &app,
        &to("/small-picture"),
        &[multipart],
        vec![0_u8; 2 << 20],
    )
    .await;
    assert_eq!(elsewhere.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert!(
        elsewhere.text.contains("<h1>Too large</h1>"),
        "{}",
        elsewhere.text
    );
}

#[tokio::test]
async fn only_get_head_and_post() {
    let app = app();
    for method in [
        Method::PUT,
        Method::DELETE,
        Method::OPTIONS,
        Method::TRACE,
        Method::PATCH,
    ] {
        let answer = ask(
            &app,
            request(method.clone(), "/page", &[("host", HOST)], Body::empty()),
        )
        .await;
        assert_eq!(answer.status, StatusCode::METHOD_NOT_ALLOWED, "{method}");
    }
    let answer = send(&app, "/page", &[], with_token(&app, "a=1")).await;
    assert_eq!(answer.status, StatusCode::METHOD_NOT_ALLOWED);
    assert!(
        answer.text.contains("forms are sent with POST"),
        "{}",
        answer.text
    );
    let head = ask(
        &app,
        request(Method::HEAD, "/page", &[("host", HOST)], Body::empty()),
    )
    .await;
    assert_eq!((head.status, head.text.as_str()), (StatusCode::OK, ""));
}

#[tokio::test]
async fn path_tricks_find_nothing() {
    let app = app();
    let version = web::assets::version();
    let bad = [
        "/assets/../x".to_owned(),
        "/assets/%2e%2e/x".to_owned(),
        "/assets/%2E%2e%2Fx".to_owned(),
        "/assets/%252e%252e/x".to_owned(),
        format!("/assets/{version}/..%2f..%2fCargo.toml"),
        format!("/assets/{version}/../fairtank.css"),
        format!("/assets/{version}/./fairtank.css"),
        format!("/assets/{version}/fairtank.css%00.png"),
        format!("/assets/{version}/..%5cx"),
        "/page%0d%0aset-cookie:a".to_owned(),
        "/%ff".to_owned(),
        "/%zz".to_owned(),
        "/%4".to_owned(),
    ];
    for path in bad {
        assert_eq!(
            read(&app, &path, &[("host", HOST)]).await.status,
            StatusCode::BAD_REQUEST,
            "{path}"
        );
    }
    let missing = [
        format!("/assets/{version}/"),
        format!("/assets/{version}/FAIRTANK.CSS"),
        format!("/assets/{version}/fairtank.css/x"),
        format!("/assets/{version}//fairtank.css"),
        "/assets/0000000000000000/fairtank.css".to_owned(),
        "/assets/fairtank.css".to_owned(),
        "//evil.example/".to_owned(),
        "/...".to_owned(),
    ];
    for path in missing {
        assert_eq!(
            read(&app, &path, &[("host", HOST)]).await.status,
            StatusCode::NOT_FOUND,
            "{path}"
        );
    }
    let long = format!("/{}", "a".repeat(4096));
    assert_eq!(
        read(&app, &long, &[("host", HOST)]).await.status,
        StatusCode::URI_TOO_LONG
    );
}

#[tokio::test]
async fn assets_are_served_for_good() {
    let app = app();
    for asset in web::assets::ASSETS.iter() {
        let answer = read(&app, &web::assets::url(asset.name), &[("host", HOST)]).await;
        assert_eq!(answer.status, StatusCode::OK, "{}", asset.name);
        assert_eq!(answer.headers[header::CONTENT_TYPE], asset.media_type);
        assert_eq!(
            answer.headers[header::CACHE_CONTROL],
            "public, max-age=31536000, immutable"
        );
        assert!(!answer.headers.contains_key(header::SET_COOKIE));
    }
}

#[tokio::test]
async fn every_answer_carries_the_headers() {
    let app = app();
    let css = web::assets::url("fairtank.css");
    let answers = [
        read(&app, "/page", &[("host", HOST)]).await,
        read(&app, "/gone", &[("host", HOST)]).await,
        read(&app, "/number/x", &[("host", HOST)]).await,
        read(&app, "/panic", &[("host", HOST)]).await,
        read(&app, "/slow", &[("host", HOST)]).await,
        read(&app, "/assets/../x", &[("host", HOST)]).await,
        read(&app, "/page", &[("host", "evil.example")]).await,
        read(&app, "/page", &[]).await,
        read(&app, &css, &[("host", HOST)]).await,
        send(&app, "/save", &[], "a=1").await,
        send(&app, "/page", &[], with_token(&app, "a=1")).await,
    ];
    for answer in answers {
        let header = |name: &str| answer.headers[name].to_str().unwrap();
        assert_eq!(header("content-security-policy"), CONTENT_SECURITY_POLICY);
        assert_eq!(header("x-content-type-options"), "nosniff");
        assert_eq!(header("referrer-policy"), "same-origin");
        assert_eq!(header("cross-origin-opener-policy"), "same-origin");
        assert_eq!(header("cross-origin-resource-policy"), "same-origin");
        assert_eq!(header("x-frame-options"), "DENY");
        if !answer.status.is_success() {
            assert_eq!(
                header("content-type"),
                "text/html; charset=utf-8",
                "{}",
                answer.status
            );
            assert!(answer.text.contains("<h1>") && answer.text.contains("Back to the notebook"));
        }
        if answer.headers[header::CONTENT_TYPE] != "text/css; charset=utf-8" {
            assert_eq!(header("cache-control"), "no-store");
        }
    }
}

#[test]
fn the_policy_allows_nothing_inline_and_nothing_from_elsewhere() {
    let mut names = Vec::new();
    for directive in CONTENT_SECURITY_POLICY.split("; ") {
        let mut words = directive.split(' ');
        names.push(words.next().unwrap());
        for source in words {
            assert!(
                ["'none'", "'self'", "data:", "blob:"].contains(&source),
                "{directive}"
            );
        }
    }
    names.sort_unstable();
    assert_eq!(
        names,
        [
            "base-uri",
            "connect-src",
            "default-src",
            "font-src",
            "form-action",
            "frame-ancestors",
            "img-src",
            "manifest-src",
            "script-src",
            "style-src"
        ]
    );
}

#[tokio::test]
async fn faults_tell_nothing_of_the_inside() {
    let app = app();
    let panicked = read(&app, "/panic", &[("host", HOST)]).await;
    assert_eq!(panicked.status, StatusCode::INTERNAL_SERVER_ERROR);
    assert!(
        panicked.text.contains("Fairtank could not finish this"),
        "{}",
        panicked.text
    );
    assert!(!panicked.text.contains("secret detail"));
    let slow = read(&app, "/slow", &[("host", HOST)]).await;
    assert_eq!(slow.status, StatusCode::REQUEST_TIMEOUT);
    assert!(slow.text.contains("not finished in time"), "{}", slow.text);
}

#[tokio::test]
async fn a_script_gets_the_plain_refusal() {
    let app = app();
    let for_script = [
        ("host", HOST),
        ("sec-fetch-dest", "empty"),
        ("sec-fetch-site", "same-origin"),
    ];
    let answer = read(&app, "/number/x", &for_script).await;
    assert_eq!(answer.status, StatusCode::BAD_REQUEST);
    assert!(!answer.text.contains("<html"), "{}", answer.text);
}
