//! Pictures taken in, shown and refused.
//!
//! EXIF: CIPA DC-008 (tags 0x9003 and the GPS directory); JPEG segments: ISO/IEC 10918-1 Annex B.

#![allow(clippy::unwrap_used)]

mod common;
#[path = "common/fixture.rs"]
mod fixture;

use axum::body::{Body, to_bytes};
use axum::http::{HeaderMap, Request, StatusCode};
use common::{Browser, HOST, fields_of};
use fixture::{Desk, ORDINARY, refs, with, with_place};
use tower::ServiceExt;
use trial::Act;
use trial::act::View;

struct Sent {
    status: StatusCode,
    location: String,
    body: String,
}

/// Sends the upload form as a browser would.
async fn upload(desk: &Desk, fields: &[(&str, &str)], file: Option<(&str, &[u8])>) -> Sent {
    let routes = web::router::router(&desk.app);
    let page = Request::get(desk.at("/pictures"))
        .header("host", HOST)
        .body(Body::empty());
    let page = routes.clone().oneshot(page.unwrap()).await.unwrap();
    let cookie = page.headers()["set-cookie"].to_str().unwrap();
    let cookie = cookie.split(';').next().unwrap().to_owned();
    let mut body = Vec::new();
    for (name, value) in fields {
        let part =
            format!("--edge\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n");
        body.extend(part.bytes());
    }
    let (name, bytes) = file.unwrap_or(("", b""));
    let head = format!(
        "--edge\r\nContent-Disposition: form-data; name=\"file\"; filename=\"{name}\"\r\n\
         Content-Type: image/jpeg\r\n\r\n"
    );
    body.extend(head.bytes());
    body.extend(bytes);
    body.extend(b"\r\n--edge--\r\n");
    let at = format!("{}?form_token={}", desk.at("/pictures"), desk.app.token());
    let request = Request::post(at)
        .header("host", HOST)
        .header("origin", format!("http://{HOST}"))
        .header("cookie", cookie)
        .header("content-type", "multipart/form-data; boundary=edge")
        .body(Body::from(body));
    let response = routes.oneshot(request.unwrap()).await.unwrap();
    let location = response.headers().get("location");
    Sent {
        status: response.status(),
        location: location.map_or_else(String::new, |l| l.to_str().unwrap().to_owned()),
        body: {
            let bytes = to_bytes(response.into_body(), 8 << 20).await.unwrap();
            String::from_utf8(bytes.to_vec()).unwrap()
        },
    }
}

async fn file(desk: &Desk, path: &str) -> (StatusCode, HeaderMap, Vec<u8>) {
    let routes = web::router::router(&desk.app);
    let request = Request::get(path).header("host", HOST).body(Body::empty());
    let response = routes.oneshot(request.unwrap()).await.unwrap();
    let (head, body) = response.into_parts();
    let bytes = to_bytes(body, 64 << 20).await.unwrap();
    (head.status, head.headers, bytes.to_vec())
}

fn usual(desk: &Desk) -> Vec<(&'static str, String)> {
    vec![
        ("tanks", desk.tank("Ash").to_string()),
        ("view", "front".to_owned()),
        ("who", "Kim".to_owned()),
    ]
}

fn borrowed<'a>(fields: &'a [(&'static str, String)]) -> Vec<(&'a str, &'a str)> {
    fields.iter().map(|(n, v)| (*n, v.as_str())).collect()
}

#[tokio::test]
async fn a_picture_is_kept_as_it_is_and_shown() {
    let desk = Desk::new();
    let fields = usual(&desk);
    let sent = upload(&desk, &borrowed(&fields), Some(("ash.jpg", ORDINARY))).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.body);
    let entry = desk.confirmed(&sent.location);
    let Act::Picture(picture) = &entry.act else {
        panic!()
    };
    assert_eq!(
        (picture.media_type.as_str(), picture.view),
        ("image/jpeg", View::Front)
    );
    assert_eq!(entry.tanks, [desk.tank("Ash")]);
    let b = Browser::new(&desk.app).await;
    let page = b.get(&sent.location).await;
    let at = format!("/pictures/{}", picture.sha256);
    assert!(
        page.has(&format!("src=\"{at}?w=640\"")) && page.has("took a picture of the front pane")
    );
    assert!(!page.has("carries a place"));
    let (status, headers, bytes) = file(&desk, &at).await;
    assert_eq!(status, StatusCode::OK);
    assert!(bytes == ORDINARY, "the original, byte for byte");
    assert_eq!(headers["content-type"], "image/jpeg");
    assert_eq!(headers["x-content-type-options"], "nosniff");
    assert!(
        headers["cache-control"]
            .to_str()
            .unwrap()
            .contains("immutable")
    );
    for width in [320, 640, 320] {
        let (status, headers, copy) = file(&desk, &format!("{at}?w={width}")).await;
        assert_eq!(
            (status, &headers["content-type"]),
            (StatusCode::OK, &"image/jpeg".parse().unwrap())
        );
        assert!(picture::probe(&copy).unwrap().width_px <= width && copy.len() < ORDINARY.len());
    }
    // Its correction keeps the file.
    let form = desk.at(&format!("/entries/{}/correct", entry.id));
    let fields = with(
        &fields_of(&b.get(&form).await.body, &form),
        &[("view", "detail")],
    );
    let right = desk.act(&b.post(&form, &refs(&fields)).await.location);
    let Act::Picture(right) = right else { panic!() };
    assert_eq!((right.view, &right.sha256), (View::Detail, &picture.sha256));
}

#[tokio::test]
async fn the_camera_says_when_and_a_place_is_warned_of() {
    let desk = Desk::new();
    let fields = usual(&desk);
    let bytes = with_place();
    let sent = upload(&desk, &borrowed(&fields), Some(("ash.jpg", &bytes))).await;
    let entry = desk.confirmed(&sent.location);
    assert_eq!(
        entry.at.to_string(),
        "2026-03-01T18:30:05+00:00[Europe/Lisbon]"
    );
    let b = Browser::new(&desk.app).await;
    let page = b.get(&sent.location).await;
    assert!(
        page.has("The file carries a place; the copy shown and published does not."),
        "{}",
        page.body
    );
    let Act::Picture(kept) = &entry.act else {
        panic!()
    };
    let at = format!("/pictures/{}", kept.sha256);
    let (_, _, original) = file(&desk, &format!("{at}?as=original")).await;
    assert!(original == bytes, "the original keeps what it says");
    // What is looked at, of any size, does not: no EXIF at all, and as large as it was.
    for shown in ["", "?w=640", "?w=1280", "?as=copy"] {
        let (status, headers, copy) = file(&desk, &format!("{at}{shown}")).await;
        assert_eq!(
            (status, &headers["content-type"]),
            (StatusCode::OK, &"image/jpeg".parse().unwrap())
        );
        assert!(!copy.windows(4).any(|w| w == b"Exif"), "{shown}");
        let facts = picture::probe(&copy).unwrap();
        assert!(!facts.has_location && facts.taken_at.is_none());
        let full = !shown.starts_with("?w");
        assert!(!full || facts.width_px == kept.width_px, "{shown}");
    }
    // Where the original can be had, it says so and offers the copy.
    let entry = b.get(&desk.at(&format!("/entries/{}", entry.id))).await;
    assert!(
        entry.has("The file says where it was taken."),
        "{}",
        entry.body
    );
    assert!(entry.has("Original, with the place") && entry.has("Copy without camera data"));
    assert!(entry.has("1\u{a0}March\u{a0}2026, 18:30"), "{}", entry.body);
}

#[tokio::test]
async fn a_form_sent_twice_keeps_one_picture() {
    let desk = Desk::new();
    let mut fields = usual(&desk);
    fields.push(("entry_id", uuid::Uuid::now_v7().to_string()));
    fields.push(("at", "2026-03-01T18:30".to_owned()));
    let first = upload(&desk, &borrowed(&fields), Some(("ash.jpg", ORDINARY))).await;
    let second = upload(&desk, &borrowed(&fields), Some(("ash.jpg", ORDINARY))).await;
    assert_eq!(first.location, second.location);
    assert_eq!(desk.written(), 1);
}

#[tokio::test]
async fn hostile_files_are_refused_with_the_fields_kept() {
    let desk = Desk::new();
    let mut fields = usual(&desk);
    fields.push(("note", "left pane".to_owned()));
    let mut huge = ORDINARY.to_vec();
    let sof = huge
        .windows(2)
        .position(|w| w[0] == 0xff && (w[1] == 0xc0 || w[1] == 0xc2))
        .unwrap();
    huge[sof + 5..sof + 9].copy_from_slice(&[0xff; 4]);
    let svg = b"<svg xmlns=\"http://www.w3.org/2000/svg\"><script>alert(1)</script></svg>";
    for (name, bytes, says) in [
        (
            "page.jpg",
            svg.as_slice(),
            "accepted are JPEG, PNG and WebP",
        ),
        (
            "x.gif",
            b"GIF89a\x01\0\x01\0",
            "accepted are JPEG, PNG and WebP",
        ),
        ("huge.jpg", &huge, "65535 x 65535 pixels"),
        ("cut.jpg", &ORDINARY[..40], "cannot be read"),
        (
            "half.jpg",
            &ORDINARY[..ORDINARY.len() / 2],
            "breaks off before its end",
        ),
        ("empty.jpg", b"", "accepted are JPEG, PNG and WebP"),
    ] {
        let sent = upload(&desk, &borrowed(&fields), Some((name, bytes))).await;
        assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY, "{name}");
        assert!(
            sent.body.contains(says) && sent.body.contains(name),
            "{name}: {}",
            sent.body
        );
        assert!(sent.body.contains("left pane") && sent.body.contains("href=\"#f-file\""));
    }
    let sent = upload(&desk, &borrowed(&fields), None).await;
    assert!(
        sent.body.contains("choose a JPEG, PNG or WebP file"),
        "{}",
        sent.body
    );
    assert_eq!(desk.written(), 0);
    assert!(desk.app.notebook().pictures().unwrap().is_empty());
}

#[tokio::test]
async fn a_file_larger_than_the_limit_is_refused() {
    let desk = Desk::new();
    let fields = usual(&desk);
    let mut large = ORDINARY.to_vec();
    large.resize(40 * 1024 * 1024 + 1, 0);
    let sent = upload(&desk, &borrowed(&fields), Some(("large.jpg", &large))).await;
    assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(sent.body.contains("at most 40 MB"));
    large.resize(42 * 1024 * 1024, 0);
    let sent = upload(&desk, &borrowed(&fields), Some(("large.jpg", &large))).await;
    assert_eq!(sent.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert_eq!(desk.written(), 0);
}

#[tokio::test]
async fn every_wrong_field_is_named_with_the_file() {
    let desk = Desk::new();
    let sent = upload(&desk, &[("at", "soon"), ("view", "front")], None).await;
    assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY);
    for field in ["file", "tanks", "at"] {
        assert!(
            sent.body.contains(&format!("href=\"#f-{field}\"")),
            "{field}"
        );
    }
}

#[tokio::test]
async fn only_pictures_of_the_notebook_are_served() {
    let desk = Desk::new();
    let unknown = "0".repeat(64);
    for path in [
        format!("/pictures/{unknown}"),
        "/pictures/x".to_owned(),
        format!("/pictures/{}", "A".repeat(64)),
    ] {
        assert_eq!(file(&desk, &path).await.0, StatusCode::NOT_FOUND, "{path}");
    }
    let fields = usual(&desk);
    let sent = upload(&desk, &borrowed(&fields), Some(("ash.jpg", ORDINARY))).await;
    let Act::Picture(kept) = desk.act(&sent.location) else {
        panic!()
    };
    for width in ["0", "641", "-640", "x", "99999999999"] {
        let (status, ..) = file(&desk, &format!("/pictures/{}?w={width}", kept.sha256)).await;
        assert_eq!(status, StatusCode::BAD_REQUEST, "{width}");
    }
}

#[tokio::test]
async fn a_picture_without_a_place_says_so_and_is_shown_as_it_is() {
    let desk = Desk::new();
    let sent = upload(&desk, &borrowed(&usual(&desk)), Some(("a.jpg", ORDINARY))).await;
    let entry = desk.confirmed(&sent.location);
    let b = Browser::new(&desk.app).await;
    let page = b.get(&desk.at(&format!("/entries/{}", entry.id))).await;
    assert!(page.has("No place was found in the file.") && !page.has("with the place"));
    let Act::Picture(kept) = entry.act else {
        panic!()
    };
    for wrong in ["?as=x", "?as=original&w=640"] {
        let (status, ..) = file(&desk, &format!("/pictures/{}{wrong}", kept.sha256)).await;
        assert_eq!(status, StatusCode::BAD_REQUEST, "{wrong}");
    }
}

/// Headers that promise what is not there, and other kinds of file under a picture's name. PNG: W3C
/// PNG 3rd edition 11.2.1 (IHDR); WebP: RFC 9649 section 2.6.
#[tokio::test]
async fn files_made_to_harm_are_refused_with_their_reason_and_the_note_given_back() {
    let desk = Desk::new();
    let mut fields = usual(&desk);
    fields.push(("note", "left <pane>".to_owned()));
    let mut bomb = b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR".to_vec();
    bomb.extend([0, 0, 0xff, 0xff, 0, 0, 0xff, 0xff, 8, 6, 0, 0, 0]);
    bomb.extend(crc(&bomb[12..]).to_be_bytes());
    bomb.extend(b"\0\0\0\0IDAT\x35\xaf\x06\x1e");
    let mut nonsense = b"RIFF\x20\0\0\0WEBPVP8 ".to_vec();
    nonsense.extend([0xee; 20]);
    let pdf = b"%PDF-1.7 \xff\xd8\xff";
    for (name, bytes, says) in [
        ("bomb.png", bomb.as_slice(), "65535 x 65535 pixels"),
        ("nonsense.webp", &nonsense, "cannot be read"),
        ("page.jpg", pdf, "accepted are JPEG, PNG and WebP"),
        ("<b>.jpg", b"<script>", "accepted are JPEG, PNG and WebP"),
    ] {
        let sent = upload(&desk, &borrowed(&fields), Some((name, bytes))).await;
        assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY, "{name}");
        assert!(sent.body.contains(says), "{name}: {}", sent.body);
        assert!(sent.body.contains("left &lt;pane&gt;") && !sent.body.contains("<b>"));
        assert!(sent.body.contains("choose it again"));
    }
    assert_eq!(desk.written(), 0);
    assert!(desk.app.notebook().pictures().unwrap().is_empty());
}

/// CRC-32 of PNG chunks (W3C PNG 3rd edition, Annex D).
fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |c, _| {
            if c & 1 == 1 {
                0xedb8_8320 ^ (c >> 1)
            } else {
                c >> 1
            }
        })
    })
}
