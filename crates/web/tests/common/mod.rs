//! What tests of pages share: a notebook in a folder that goes away, and a browser without scripts.

#![allow(dead_code, unreachable_pub, clippy::unwrap_used, clippy::panic)] // each test file uses its own part of this

use std::ops::Deref;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, StatusCode};
use store::Notebook;
use tempfile::TempDir;
use tower::ServiceExt;
use web::{App, Config};

pub const PORT: u16 = 8123;
pub const HOST: &str = "localhost:8123";
const FORM: &str = "application/x-www-form-urlencoded";

/// An app over an empty notebook; its folder goes with it.
pub struct TestApp {
    app: App,
    _folder: TempDir,
}

impl TestApp {
    pub fn new() -> Self {
        Self::with(Config::new(PORT))
    }

    pub fn with(config: Config) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let notebook = Notebook::create(folder.path()).unwrap();
        Self {
            app: App::new(config, notebook).unwrap(),
            _folder: folder,
        }
    }
}

impl Deref for TestApp {
    type Target = App;

    fn deref(&self) -> &App {
        &self.app
    }
}

/// What came back.
#[derive(Debug, Clone)]
pub struct Answer {
    pub status: StatusCode,
    /// Where a redirect leads; empty otherwise.
    pub location: String,
    pub body: String,
}

impl Answer {
    /// Whether the page holds `text`, as it stands in HTML.
    pub fn has(&self, text: &str) -> bool {
        self.body.contains(text)
    }
}

/// A browser without scripts: it keeps the cookie and sends the token of the pages' forms.
pub struct Browser<'a> {
    routes: Router,
    cookie: String,
    token: &'a str,
}

impl<'a> Browser<'a> {
    /// Over the pages as they are served.
    pub async fn new(app: &'a App) -> Self {
        Self::over(app, web::router::router(app)).await
    }

    /// Over other routes of the same app.
    pub async fn over(app: &'a App, routes: Router) -> Self {
        let request = Request::get("/").header("host", HOST).body(Body::empty());
        let opened = routes.clone().oneshot(request.unwrap()).await.unwrap();
        let cookie = opened
            .headers()
            .get("set-cookie")
            .and_then(|value| value.to_str().ok())
            .and_then(|value| value.split(';').next())
            .unwrap_or_default()
            .to_owned();
        Self {
            routes,
            cookie,
            token: app.token(),
        }
    }

    pub async fn get(&self, path: &str) -> Answer {
        let request = Request::get(path)
            .header("host", HOST)
            .header("cookie", &self.cookie)
            .body(Body::empty());
        self.answer(request.unwrap()).await
    }

    /// Sends fields as a form would, in order, names repeated where they are.
    pub async fn post(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let mut body = form_urlencoded::Serializer::new(String::new());
        body.append_pair("form_token", self.token)
            .extend_pairs(fields);
        let request = Request::post(path)
            .header("host", HOST)
            .header("origin", format!("http://{HOST}"))
            .header("cookie", &self.cookie)
            .header("content-type", FORM)
            .body(Body::from(body.finish()));
        self.answer(request.unwrap()).await
    }

    /// Sends a form with files: fields first, then `(field, file name, bytes)`.
    pub async fn send(
        &self,
        path: &str,
        fields: &[(&str, &str)],
        files: &[(&str, &str, &[u8])],
    ) -> Answer {
        const EDGE: &str = "edge-of-parts";
        let mut body = Vec::new();
        for (name, value) in fields {
            let head =
                format!("--{EDGE}\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n");
            body.extend_from_slice(head.as_bytes());
            body.extend_from_slice(format!("{value}\r\n").as_bytes());
        }
        for (name, file, bytes) in files {
            let head = format!(
                "--{EDGE}\r\nContent-Disposition: form-data; name=\"{name}\"; filename=\"{file}\"\r\n\
                 Content-Type: application/octet-stream\r\n\r\n"
            );
            body.extend_from_slice(head.as_bytes());
            body.extend_from_slice(bytes);
            body.extend_from_slice(b"\r\n");
        }
        body.extend_from_slice(format!("--{EDGE}--\r\n").as_bytes());
        let request = Request::post(format!("{path}?form_token={}", self.token))
            .header("host", HOST)
            .header("origin", format!("http://{HOST}"))
            .header("cookie", &self.cookie)
            .header(
                "content-type",
                format!("multipart/form-data; boundary={EDGE}"),
            )
            .body(Body::from(body));
        self.answer(request.unwrap()).await
    }

    /// The page of the job that an answer leads to, once the job has ended.
    pub async fn job(&self, started: &Answer) -> Answer {
        assert_eq!(started.status, StatusCode::SEE_OTHER, "{}", started.body);
        assert!(
            started.location.starts_with("/jobs/"),
            "{}",
            started.location
        );
        for _ in 0..3000 {
            let state = self.get(&format!("{}/state", started.location)).await;
            if state.has("\"ended\":true") {
                return self.get(&started.location).await;
            }
            tokio::time::sleep(std::time::Duration::from_millis(20)).await;
        }
        panic!("the job did not end");
    }

    async fn answer(&self, request: Request<Body>) -> Answer {
        let response = self.routes.clone().oneshot(request).await.unwrap();
        let location = response.headers().get("location");
        Answer {
            status: response.status(),
            location: location.map_or_else(String::new, |l| l.to_str().unwrap().to_owned()),
            body: {
                let bytes = to_bytes(response.into_body(), 8 << 20).await.unwrap();
                String::from_utf8(bytes.to_vec()).unwrap()
            },
        }
    }
}

/// The fields of the one form that is sent to `action`, as a browser would send them untouched:
/// names and values in order. Buttons are left out.
pub fn fields_of(page: &str, action: &str) -> Vec<(String, String)> {
    let start = page.find(&format!("action=\"{action}\"")).unwrap();
    let form = &page[start..start + page[start..].find("</form>").unwrap()];
    let mut fields = Vec::new();
    let mut rest = form;
    while let Some(at) = rest.find('<') {
        rest = &rest[at..];
        let Some(end) = rest.find('>') else { break };
        let tag = &rest[..end];
        let after = &rest[end + 1..];
        let name = attribute(tag, "name");
        if tag.starts_with("<input ") {
            let kind = attribute(tag, "type").unwrap_or_default();
            let ticks = kind == "radio" || kind == "checkbox";
            if let Some(name) = name.filter(|_| !ticks || tag.contains(" checked")) {
                fields.push((name, attribute(tag, "value").unwrap_or_default()));
            }
        } else if tag.starts_with("<textarea ") {
            let text = after.split("</textarea>").next().unwrap();
            let text = text.strip_prefix('\n').unwrap_or(text);
            fields.extend(name.map(|name| (name, unescape(text))));
        } else if tag.starts_with("<select ") {
            let options = after.split("</select>").next().unwrap();
            let chosen = options.split("<option ").skip(1);
            let chosen: Vec<&str> = chosen.collect();
            let picked = chosen
                .iter()
                .find(|o| o.split('>').next().unwrap().contains(" selected"))
                .or(chosen.first());
            let value = picked.and_then(|o| attribute(&format!("<{o}"), "value"));
            fields.extend(name.map(|name| (name, value.unwrap_or_default())));
        }
        rest = after;
    }
    fields.retain(|(name, _)| name != "form_token");
    fields
}

fn attribute(tag: &str, name: &str) -> Option<String> {
    let (_, after) = tag
        .split_once(&format!(" {name}=\""))
        .or_else(|| tag.split_once(&format!("<{name}=\"")))?;
    after.split('"').next().map(unescape)
}

fn unescape(text: &str) -> String {
    text.replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&quot;", "\"")
        .replace("&amp;", "&")
}
