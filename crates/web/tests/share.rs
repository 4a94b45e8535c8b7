//! A phone on the home network: let in by a code, logs, does nothing else, is shut out.

#![allow(clippy::unwrap_used)]

use std::collections::BTreeMap;
use std::net::{IpAddr, SocketAddr};

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, StatusCode};
use jiff::Timestamp;
use store::{EntryQuery, Notebook};
use tempfile::TempDir;
use tower::ServiceExt;
use trial::{Origin, Record, Tank, TankId, Trial, TrialId};
use uuid::Uuid;
use web::DevicePages;
use web::share::Remote;

const PORT: u16 = 7440;
const PHONE_IP: [u8; 4] = [192, 168, 7, 30];

/// A notebook with one trial of two tanks, shared at 192.168.7.20:7441.
struct Home {
    computer: Router,
    pages: DevicePages,
    notebook: Notebook,
    trial: TrialId,
    _folder: TempDir,
}

impl Home {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let notebook = Notebook::create(folder.path()).unwrap();
        let trial = Trial::new(TrialId(Uuid::now_v7()), "Two diets", "Europe/Lisbon");
        let id = trial.id;
        let now = Timestamp::now();
        let tank = |name, place| Tank::new(TankId(Uuid::now_v7()), id, name, place);
        for record in [
            Record::Trial(trial),
            Record::Tank(tank("Ash", 0)),
            Record::Tank(tank("Elm", 1)),
        ] {
            notebook.write_record(&record, "", now).unwrap();
        }
        let address = SocketAddr::from(([192, 168, 7, 20], 7441));
        let served = Notebook::open(folder.path()).unwrap();
        let (computer, pages) = web::shared_app(served, PORT, address).unwrap();
        Self {
            computer,
            pages,
            notebook,
            trial: id,
            _folder: folder,
        }
    }

    fn computer(&self) -> Browser {
        Browser::new(self.computer.clone(), "127.0.0.1:7440")
    }

    fn phone(&self) -> Browser {
        self.phone_at(PHONE_IP)
    }

    fn phone_at(&self, from: [u8; 4]) -> Browser {
        let remote = Remote(IpAddr::from(from));
        Browser::new(self.pages.asked_by(remote), "192.168.7.20:7441")
    }

    /// Shows a code on the computer and reads it.
    async fn code(&self) -> String {
        let mut computer = self.computer();
        computer.get("/share").await;
        let sent = computer.post("/share/code", &[]).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.body);
        let page = computer.get("/share").await.body;
        let shown = page.split("class=\"pairing-code\"").nth(1).unwrap();
        let shown = shown.split('>').nth(1).unwrap().split('<').next().unwrap();
        shown.chars().filter(char::is_ascii_digit).collect()
    }

    /// A phone that was let in.
    async fn let_in(&self, name: &str) -> Browser {
        let code = self.code().await;
        let mut phone = self.phone();
        phone.get("/pair").await;
        let fields = [("code", code.as_str()), ("name", name), ("who", "Ana")];
        let sent = phone.post("/pair", &fields).await;
        assert_eq!(
            (sent.status, sent.location.as_str()),
            (StatusCode::SEE_OTHER, "/")
        );
        phone
    }

    fn at(&self, rest: &str) -> String {
        format!("/trials/{}{rest}", self.trial)
    }

    fn entries(&self) -> Vec<trial::Entry> {
        self.notebook.entries(&EntryQuery::of(self.trial)).unwrap()
    }
}

struct Answer {
    status: StatusCode,
    location: String,
    body: String,
}

/// Keeps cookies, and sends the token of the last page that had one.
struct Browser {
    routes: Router,
    host: &'static str,
    cookies: BTreeMap<String, String>,
    token: String,
}

impl Browser {
    fn new(routes: Router, host: &'static str) -> Self {
        Self {
            routes,
            host,
            cookies: BTreeMap::new(),
            token: String::new(),
        }
    }

    async fn get(&mut self, path: &str) -> Answer {
        let request = Request::get(path).header("host", self.host);
        self.send(request, Body::empty()).await
    }

    async fn post(&mut self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let mut body = form_urlencoded::Serializer::new(String::new());
        body.append_pair("form_token", &self.token);
        body.extend_pairs(fields);
        let request = Request::post(path)
            .header("host", self.host)
            .header("origin", format!("http://{}", self.host))
            .header("content-type", "application/x-www-form-urlencoded");
        self.send(request, Body::from(body.finish())).await
    }

    async fn send(&mut self, request: axum::http::request::Builder, body: Body) -> Answer {
        let jar: Vec<String> = self
            .cookies
            .iter()
            .map(|(n, v)| format!("{n}={v}"))
            .collect();
        let request = request.header("cookie", jar.join("; ")).body(body).unwrap();
        let response = self.routes.clone().oneshot(request).await.unwrap();
        for set in response.headers().get_all("set-cookie") {
            let pair = set.to_str().unwrap().split(';').next().unwrap();
            let (name, value) = pair.split_once('=').unwrap();
            self.cookies.insert(name.to_owned(), value.to_owned());
        }
        let location = response.headers().get("location");
        let location = location.map_or("", |l| l.to_str().unwrap()).to_owned();
        let status = response.status();
        let bytes = to_bytes(response.into_body(), 8 << 20).await.unwrap();
        let body = String::from_utf8_lossy(&bytes).into_owned();
        if let Some(after) = body.split("name=\"form_token\" value=\"").nth(1) {
            self.token = after.split('"').next().unwrap().to_owned();
        }
        Answer {
            status,
            location,
            body,
        }
    }
}

#[tokio::test]
async fn a_phone_with_the_code_may_log_and_the_entry_says_where_it_came_from() {
    let home = Home::new();
    let mut phone = home.let_in("Phone by the tanks").await;
    let first = phone.get("/").await;
    assert!(first.body.contains(&home.at("/log")), "{}", first.body);
    let log = phone.get(&home.at("/log")).await;
    assert_eq!(log.status, StatusCode::OK);
    for word in ["/bench\"", "/setup\"", "/update\"", "/trust\""] {
        assert!(!log.body.contains(word), "no way to {word} on a phone");
    }
    let sent = phone
        .post(&home.at("/log/jot"), &[("line", "dose kno3 1.2 g")])
        .await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.body);
    let entries = home.entries();
    let Origin::Device { name, line, .. } = &entries[0].origin else {
        panic!("{:?}", entries[0].origin);
    };
    assert_eq!(name, "Phone by the tanks");
    assert_eq!(line.as_deref(), Some("dose kno3 1.2 g"));
    assert_eq!(home.notebook.devices().unwrap()[0].who, "Ana");
}

#[tokio::test]
async fn a_stranger_reads_nothing_writes_nothing_and_keeps_what_was_typed() {
    let home = Home::new();
    let mut stranger = home.phone();
    for path in [
        "/".to_owned(),
        home.at("/log"),
        home.at("/bench"),
        "/share".to_owned(),
    ] {
        let answer = stranger.get(&path).await;
        assert_eq!(
            (answer.status, answer.location.as_str()),
            (StatusCode::SEE_OTHER, "/pair")
        );
        assert!(!answer.body.contains("Two diets"));
    }
    stranger.get("/pair").await;
    let sent = stranger
        .post(&home.at("/log/jot"), &[("line", "dose kno3 1.2 g")])
        .await;
    assert_eq!(sent.status, StatusCode::FORBIDDEN);
    assert!(
        sent.body.contains("dose kno3 1.2 g"),
        "given back: {}",
        sent.body
    );
    assert!(home.entries().is_empty());
}

#[tokio::test]
async fn a_paired_phone_can_do_nothing_but_log() {
    let home = Home::new();
    let mut phone = home.let_in("Phone").await;
    phone.get(&home.at("/log")).await;
    for path in [
        home.at("/bench"),
        home.at("/setup"),
        home.at("/compare"),
        home.at("/update"),
        "/share".to_owned(),
        "/trust".to_owned(),
        "/trials/new".to_owned(),
    ] {
        let answer = phone.get(&path).await;
        assert_eq!(answer.status, StatusCode::FORBIDDEN, "{path}");
        assert!(answer.body.contains("may only log"), "{path}");
    }
    let revoke = format!(
        "/share/devices/{}/revoke",
        home.notebook.devices().unwrap()[0].id
    );
    for path in [
        "/share/code".to_owned(),
        revoke,
        home.at("/setup/about"),
        "/trials/new".to_owned(),
    ] {
        let answer = phone.post(&path, &[("title", "Mine")]).await;
        assert_eq!(answer.status, StatusCode::FORBIDDEN, "{path}");
    }
    assert_eq!(home.notebook.trials().unwrap().len(), 1);
    assert!(home.notebook.devices().unwrap()[0].revoked.is_none());
}

#[tokio::test]
async fn a_phone_takes_back_what_it_wrote_and_nothing_else() {
    let home = Home::new();
    let mut computer = home.computer();
    computer.get(&home.at("/log")).await;
    computer
        .post(&home.at("/log/jot"), &[("line", "change 30%")])
        .await;
    let mut phone = home.let_in("Phone").await;
    phone.get(&home.at("/log")).await;
    phone
        .post(&home.at("/log/jot"), &[("line", "feed flakes 0.5 g")])
        .await;
    let entries = home.entries();
    let of = |device: bool| {
        let found = entries
            .iter()
            .find(|e| e.origin.device().is_some() == device);
        found.unwrap().id
    };
    let theirs = phone
        .post(&home.at(&format!("/entries/{}/undo", of(false))), &[])
        .await;
    assert_eq!(theirs.status, StatusCode::FORBIDDEN, "{}", theirs.body);
    let correct = phone
        .get(&home.at(&format!("/entries/{}/correct", of(false))))
        .await;
    assert_eq!(correct.status, StatusCode::FORBIDDEN);
    let own = phone
        .post(&home.at(&format!("/entries/{}/undo", of(true))), &[])
        .await;
    assert_eq!(own.status, StatusCode::SEE_OTHER, "{}", own.body);
    assert!(home.notebook.superseded_by(of(false)).unwrap().is_none());
    assert!(home.notebook.superseded_by(of(true)).unwrap().is_some());
}

#[tokio::test]
async fn a_code_lets_in_one_device_once_and_wrong_codes_void_it() {
    let home = Home::new();
    let code = home.code().await;
    let mut first = home.phone();
    first.get("/pair").await;
    let unnamed = first.post("/pair", &[("code", &code), ("name", "")]).await;
    assert_eq!(unnamed.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        unnamed.body.contains(&code),
        "the code typed is still there"
    );
    let fields = [("code", code.as_str()), ("name", "One")];
    assert_eq!(
        first.post("/pair", &fields).await.status,
        StatusCode::SEE_OTHER
    );
    let mut second = home.phone_at([192, 168, 7, 31]);
    second.get("/pair").await;
    let again = second.post("/pair", &fields).await;
    assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY);

    let code = home.code().await;
    let wrong = if code == "00000000" {
        "00000001"
    } else {
        "00000000"
    };
    for left in ["4 tries", "3 tries", "2 tries", "1 try", "last try"] {
        let sent = second
            .post("/pair", &[("code", wrong), ("name", "Two")])
            .await;
        assert!(sent.body.contains(left), "{left}: {}", sent.body);
    }
    let late = second
        .post("/pair", &[("code", &code), ("name", "Two")])
        .await;
    assert_eq!(late.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(home.notebook.devices().unwrap().len(), 1);
}

#[tokio::test]
async fn who_tries_codes_all_day_is_held_back() {
    let home = Home::new();
    let mut guesser = home.phone();
    guesser.get("/pair").await;
    let mut statuses = Vec::new();
    for _ in 0..12 {
        home.code().await;
        let sent = guesser.post("/pair", &[("code", "x"), ("name", "G")]).await;
        statuses.push(sent.status);
    }
    assert_eq!(statuses[9], StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(
        statuses[10],
        StatusCode::TOO_MANY_REQUESTS,
        "ten in ten minutes"
    );
    // Another address is not held back by it.
    let mut other = home.phone_at([192, 168, 7, 32]);
    other.get("/pair").await;
    let sent = other.post("/pair", &[("code", "x"), ("name", "O")]).await;
    assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn who_asks_without_end_is_held_back() {
    let home = Home::new();
    let mut phone = home.phone();
    let mut held = None;
    for n in 0..200 {
        if phone.get("/pair").await.status == StatusCode::TOO_MANY_REQUESTS {
            held = Some(n);
            break;
        }
    }
    // 120 at once, and four a second while they are asked.
    assert!(held.is_some_and(|n| n >= 120), "{held:?}");
}

#[tokio::test]
async fn shut_out_is_shut_out() {
    let home = Home::new();
    let mut phone = home.let_in("Phone").await;
    phone.get(&home.at("/log")).await;
    let id = home.notebook.devices().unwrap()[0].id;
    let mut computer = home.computer();
    computer.get("/share").await;
    let sent = computer
        .post(&format!("/share/devices/{id}/revoke"), &[])
        .await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER);
    assert!(computer.get(&sent.location).await.body.contains("shut out"));
    assert_eq!(phone.get(&home.at("/log")).await.location, "/pair");
    let sent = phone
        .post(&home.at("/log/jot"), &[("line", "feed flakes 1 g")])
        .await;
    assert_eq!(sent.status, StatusCode::FORBIDDEN);
    assert!(home.entries().is_empty());

    let mut other = home.let_in("Tablet").await;
    other.get("/").await;
    assert_eq!(other.post("/leave", &[]).await.status, StatusCode::OK);
    assert_eq!(other.get("/").await.location, "/pair");
}

#[tokio::test]
async fn foreign_names_origins_and_forms_are_refused() {
    let home = Home::new();
    let mut phone = home.let_in("Phone").await;
    phone.get(&home.at("/log")).await;
    let jar: Vec<String> = phone
        .cookies
        .iter()
        .map(|(n, v)| format!("{n}={v}"))
        .collect();
    let jar = jar.join("; ");
    let body = format!("form_token={}&line=feed+flakes+1+g", phone.token);
    let try_it = |host: &'static str, origin: Option<&'static str>, body: String| {
        let mut request = Request::post(home.at("/log/jot"))
            .header("host", host)
            .header("cookie", &jar)
            .header("content-type", "application/x-www-form-urlencoded");
        if let Some(origin) = origin {
            request = request.header("origin", origin);
        }
        phone
            .routes
            .clone()
            .oneshot(request.body(Body::from(body)).unwrap())
    };
    let ours = ("192.168.7.20:7441", Some("http://192.168.7.20:7441"));
    for (host, origin, body, status) in [
        ("tank.example:7441", ours.1, body.clone(), 421),
        ("127.0.0.1:7441", ours.1, body.clone(), 421),
        (ours.0, Some("http://tank.example"), body.clone(), 403),
        (ours.0, None, body.clone(), 403),
        (ours.0, ours.1, "line=feed+flakes+1+g".to_owned(), 403),
        (ours.0, ours.1, body.clone(), 303),
    ] {
        let answer = try_it(host, origin, body).await.unwrap();
        assert_eq!(answer.status().as_u16(), status, "{host} {origin:?}");
    }
    assert_eq!(home.entries().len(), 1);
}

#[tokio::test]
async fn without_sharing_the_page_says_how_it_starts() {
    let folder = tempfile::tempdir().unwrap();
    let routes = web::app(Notebook::create(folder.path()).unwrap(), PORT).unwrap();
    let mut computer = Browser::new(routes, "127.0.0.1:7440");
    let page = computer.get("/share").await;
    assert!(page.body.contains("fairtank open --share"), "{}", page.body);
    assert_eq!(computer.get("/pair").await.status, StatusCode::NOT_FOUND);
    computer.get("/trials/new").await;
    assert_eq!(
        computer.post("/share/code", &[]).await.status,
        StatusCode::NOT_FOUND
    );
}

/// A phone's picture with a place in an XMP packet (ISO/IEC 10918-1 B: a segment after SOI).
#[tokio::test]
async fn a_phone_adds_a_picture_sees_the_gallery_and_no_place() {
    const ORDINARY: &[u8] = include_bytes!("../../../demo/pictures/ash-w00.jpg");
    let packet = b"http://ns.adobe.com/xap/1.0/\0<x exif:GPSLatitude=\"48,8.2N\"/>";
    let mut placed = vec![0xff, 0xd8, 0xff, 0xe1];
    placed.extend(u16::try_from(packet.len() + 2).unwrap().to_be_bytes());
    placed.extend(packet);
    placed.extend(&ORDINARY[2..]);
    let home = Home::new();
    let mut phone = home.let_in("Phone").await;
    let page = phone.get(&home.at("/pictures")).await;
    assert!(page.body.contains("The same picture every time"));
    let tank = home.notebook.bench(home.trial).unwrap().tanks[0].id;
    let mut body = Vec::new();
    for (name, value) in [("tanks", tank.to_string()), ("view", "front".to_owned())] {
        let part =
            format!("--edge\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n");
        body.extend(part.bytes());
    }
    body.extend(
        b"--edge\r\nContent-Disposition: form-data; name=\"file\"; filename=\"a.jpg\"\r\n\r\n",
    );
    body.extend(&placed);
    body.extend(b"\r\n--edge--\r\n");
    let at = format!("{}?form_token={}", home.at("/pictures"), phone.token);
    let request = Request::post(at)
        .header("host", phone.host)
        .header("origin", format!("http://{}", phone.host))
        .header("content-type", "multipart/form-data; boundary=edge");
    let sent = phone.send(request, Body::from(body)).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.body);
    let after = phone.get(&sent.location).await;
    assert!(after.body.contains("The file carries a place"));
    let entries = home.entries();
    let trial::Act::Picture(kept) = &entries[0].act else {
        panic!()
    };
    for by in ["", "?by=tank"] {
        let gallery = phone.get(&home.at(&format!("/pictures{by}"))).await;
        assert!(gallery.body.contains(&kept.sha256) && !gallery.body.contains("pictures/compare"));
    }
    for (asked, status) in [
        ("", StatusCode::OK),
        ("?w=640", StatusCode::OK),
        ("?as=copy", StatusCode::OK),
        ("?as=original", StatusCode::NOT_FOUND),
    ] {
        let file = phone
            .get(&format!("/pictures/{}{asked}", kept.sha256))
            .await;
        assert_eq!(file.status, status, "{asked}");
        assert!(!file.body.contains("GPSLatitude"), "{asked}");
    }
    let entry = home.at(&format!("/entries/{}", entries[0].id));
    let entry = phone.get(&entry).await;
    assert!(entry.body.contains("The file says where it was taken."));
    assert!(!entry.body.contains("as=original"));
}
