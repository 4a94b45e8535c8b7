//! The page of files: everything out, tables and pictures in, and nothing that should not come in.

#![allow(clippy::unwrap_used, clippy::panic)] // tests

mod common;
#[path = "common/fixture.rs"]
mod fixture;

use std::path::Path;

use axum::body::{Body, to_bytes};
use axum::http::{Request, StatusCode};
use common::{Answer, Browser, HOST};
use fixture::{Desk, with_place};
use job::Progress;
use store::{EntryQuery, Notebook};
use tower::ServiceExt;
use trial::Act;

const TABLE: &str = "at,tank,what,amount,unit\n2026-05-01,Ash,KNO3,1.2,g\n2026-05-02,,KNO3,1.5,g\n";

fn count(desk: &Desk) -> usize {
    let all = EntryQuery::of(desk.trial);
    desk.app.notebook().entries(&all).unwrap().len()
}

/// The names in a folder of the notebook, hidden ones too.
fn names(desk: &Desk, folder: &str) -> Vec<String> {
    let items = std::fs::read_dir(desk.app.notebook().folder().join(folder));
    let items = items.into_iter().flatten().flatten();
    items
        .map(|i| i.file_name().into_string().unwrap())
        .collect()
}

/// The address of the first link or form that begins so.
fn address(page: &Answer, start: &str) -> String {
    let at = page
        .body
        .find(start)
        .unwrap_or_else(|| panic!("{start}: {}", page.body));
    page.body[at..].split('"').next().unwrap().to_owned()
}

/// A picture of our own, one colour; `n` makes it another one.
fn png(n: u8) -> Vec<u8> {
    let mut out = std::io::Cursor::new(Vec::new());
    let colour = image::Rgb([n, 90, 60]);
    let picture = image::RgbImage::from_pixel(8, 6, colour);
    picture.write_to(&mut out, image::ImageFormat::Png).unwrap();
    out.into_inner()
}

/// A PNG header (W3C PNG 11.2.1, IHDR) that promises so many pixels, with nothing behind it.
fn huge_png(side: u32) -> Vec<u8> {
    let mut bytes = png(1);
    bytes[16..20].copy_from_slice(&side.to_be_bytes());
    bytes[20..24].copy_from_slice(&side.to_be_bytes());
    let crc = crc32(&bytes[12..29]);
    bytes[29..33].copy_from_slice(&crc.to_be_bytes());
    bytes
}

/// CRC-32 as PNG has it (W3C PNG annex D).
fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |crc, _| match crc & 1 {
            1 => 0xedb8_8320 ^ (crc >> 1),
            _ => crc >> 1,
        })
    })
}

#[tokio::test]
async fn everything_goes_out_and_comes_back() {
    let desk = Desk::new();
    let browser = Browser::new(&desk.app).await;
    let path = format!("/trials/{}/files", desk.trial);
    assert!(browser.get("/").await.has("href=\"/files\""));
    assert!(browser.get("/files").await.has(&path));
    let sent = browser
        .post("/files/export", &[("trial", &desk.trial.to_string())])
        .await;
    let page = browser.job(&sent).await;
    assert!(page.has("Exported: 0 entries") && page.has(&format!("href=\"{path}\"")));
    let zip = address(&page, "/files/exports/");
    let request = Request::get(&zip)
        .header("host", HOST)
        .body(Body::empty())
        .unwrap();
    let answer = web::router::router(&desk.app)
        .oneshot(request)
        .await
        .unwrap();
    assert_eq!(answer.headers()["content-type"], "application/zip");
    let saved = answer.headers()["content-disposition"]
        .to_str()
        .unwrap()
        .to_owned();
    assert!(
        saved.starts_with("attachment; filename=\"fairtank-2"),
        "{saved}"
    );
    let length: usize = answer.headers()["content-length"]
        .to_str()
        .unwrap()
        .parse()
        .unwrap();
    let bytes = to_bytes(answer.into_body(), 64 << 20).await.unwrap();
    assert_eq!(bytes.len(), length);
    let folder = tempfile::tempdir().unwrap();
    let to = folder.path().join("again");
    let limits = store::restore::Limits::default();
    store::restore::restore(std::io::Cursor::new(bytes), &to, &limits, &Progress::none()).unwrap();
    assert_eq!(Notebook::open(&to).unwrap().trials().unwrap().len(), 1);
    // Listed, deleted, gone; and nothing else is served or deleted.
    assert!(browser.get("/files").await.has(&zip));
    std::fs::write(
        desk.app.notebook().folder().join("exports/mine.txt"),
        "mine",
    )
    .unwrap();
    for other in ["mine.txt", "..%2fnotebook.sqlite", "2020.zip"] {
        let gone = browser.get(&format!("/files/exports/{other}")).await.status;
        assert!(gone.is_client_error(), "{other}: {gone}");
        let kept = browser
            .post(&format!("/files/exports/{other}/delete"), &[])
            .await
            .status;
        assert!(kept.is_client_error(), "{other}: {kept}");
    }
    let deleted = browser.post(&format!("{zip}/delete"), &[]).await;
    assert_eq!(deleted.location, "/files");
    assert_eq!(browser.get(&zip).await.status, StatusCode::NOT_FOUND);
    assert_eq!(names(&desk, "exports"), ["mine.txt"]);
}

#[tokio::test]
async fn a_backup_lands_whole_and_a_check_says_what_is_damaged() {
    let desk = Desk::new();
    let browser = Browser::new(&desk.app).await;
    let page = browser.job(&browser.post("/files/backup", &[]).await).await;
    assert!(page.has("Copied to backups/") && page.has("copy the folder to another one"));
    let [name] = names(&desk, "backups").try_into().unwrap();
    let copy = desk.app.notebook().folder().join("backups").join(name);
    assert!(
        Notebook::open(&copy)
            .unwrap()
            .check(&Progress::none())
            .unwrap()
            .is_sound()
    );
    let page = browser.job(&browser.post("/files/check", &[]).await).await;
    assert!(page.has("Everything is whole."));
    let form = [
        ("tank", tank(&desk)),
        ("view", "front".into()),
        ("at", "2026-05-01T10:00".into()),
    ];
    let form: Vec<(&str, &str)> = form.iter().map(|(n, v)| (*n, v.as_str())).collect();
    let path = format!("/trials/{}/files/pictures", desk.trial);
    browser
        .job(
            &browser
                .send(&path, &form, &[("files", "a.png", &png(9))])
                .await,
        )
        .await;
    let (_, file) = desk.app.notebook().pictures().unwrap().remove(0);
    std::fs::write(file, png(10)).unwrap();
    let page = browser.job(&browser.post("/files/check", &[]).await).await;
    assert!(page.has("The notebook needs attention.") && page.has("is damaged"));
}

fn tank(desk: &Desk) -> String {
    desk.bench().tanks[0].id.to_string()
}

#[tokio::test]
async fn a_table_is_shown_first_and_then_added_once() {
    let desk = Desk::new();
    let browser = Browser::new(&desk.app).await;
    let path = format!("/trials/{}/files/table", desk.trial);
    let sent = browser
        .send(&path, &[], &[("table", "may.csv", TABLE.as_bytes())])
        .await;
    let page = browser.job(&sent).await;
    assert!(page.has("may.csv would add 2 entries. Nothing has been added yet."));
    assert!(page.has("KNO3") && page.has("Add 2 entries"));
    assert_eq!(count(&desk), 0);
    let add = address(&page, &format!("{path}/"));
    let added = browser.post(&add, &[]).await;
    assert!(browser.job(&added).await.has("Added: 2 entries."));
    assert_eq!(count(&desk), 2);
    // Pressed twice, sent twice, from another trial, made up: never added twice.
    let again = browser.post(&add, &[]).await;
    assert_eq!(again.status, StatusCode::NOT_FOUND);
    assert!(again.has("does not wait any more"));
    let page = browser
        .job(
            &browser
                .send(&path, &[], &[("table", "may.csv", TABLE.as_bytes())])
                .await,
        )
        .await;
    assert!(page.has("holds nothing new") && page.has("2 rows are in the notebook already"));
    assert!(!page.has("Add 0"));
    assert_eq!(count(&desk), 2);
}

#[tokio::test]
async fn bad_rows_are_named_by_line_column_and_value_and_none_is_added() {
    let desk = Desk::new();
    let browser = Browser::new(&desk.app).await;
    let path = format!("/trials/{}/files/table", desk.trial);
    let table = format!("{TABLE}2026-05-03,Birch,KNO3,1,g\n2026-05-04,Ash,KNO3,<b>lots</b>,g\n");
    let page = browser
        .job(
            &browser
                .send(&path, &[], &[("table", "may.csv", table.as_bytes())])
                .await,
        )
        .await;
    assert!(page.has("Nothing was added: may.csv has rows that cannot stand."));
    for said in [
        ">4<",
        ">5<",
        "Birch",
        "&lt;b&gt;lots&lt;/b&gt;",
        "tank",
        "amount",
    ] {
        assert!(page.has(said), "{said}: {}", page.body);
    }
    assert!(!page.has("<b>lots"));
    assert_eq!(count(&desk), 0);
}

#[tokio::test]
async fn what_is_no_table_is_refused_with_its_reason() {
    let desk = Desk::new();
    let browser = Browser::new(&desk.app).await;
    let path = format!("/trials/{}/files/table", desk.trial);
    let large = vec![b'x'; 8 * 1024 * 1024 + 1];
    for (bytes, why) in [
        (&b"PK\x03\x04garbage"[..], "a spreadsheet&#39;s own file"),
        (b"\x00\x01\x02", "this is no text"),
        (b"", "choose a file that is not empty"),
        (&large, "choose a file of at most 8 MB"),
    ] {
        let sent = browser.send(&path, &[], &[("table", "x.csv", bytes)]).await;
        assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY);
        let plain = sent.body.replace("&#39;", "'");
        assert!(plain.contains(&why.replace("&#39;", "'")), "{why}");
        assert!(plain.contains("Nothing was saved yet") && plain.contains("x.csv"));
    }
    let none = browser.send(&path, &[], &[("table", "", b"")]).await;
    assert!(none.status == StatusCode::UNPROCESSABLE_ENTITY && none.has("choose a CSV file"));
    // What may be a table is read, and refused by the reader of tables.
    for (bytes, why) in [
        (&b"\xff\xfe\x80"[..], "is not UTF-8 text"),
        (b"one,two\n1,2\n", "x.csv"),
        (b"at,tank,note\n", "has no rows"),
    ] {
        let page = browser
            .job(&browser.send(&path, &[], &[("table", "x.csv", bytes)]).await)
            .await;
        assert!(
            page.has(why) && page.has("notice-error"),
            "{why}: {}",
            page.body
        );
    }
    let far = vec![b'x'; 10 * 1024 * 1024];
    let sent = browser.send(&path, &[], &[("table", "x.csv", &far)]).await;
    assert_eq!(sent.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert_eq!(count(&desk), 0);
}

fn two_are_kept_as_they_were(desk: &Desk) {
    let entries = desk
        .app
        .notebook()
        .entries(&EntryQuery::of(desk.trial))
        .unwrap();
    assert_eq!(entries.len(), 2);
    for (entry, n) in entries.iter().zip([1, 2]) {
        let Act::Picture(picture) = &entry.act else {
            panic!("{entry:?}")
        };
        assert_eq!(
            desk.app.notebook().read_picture(&picture.sha256).unwrap(),
            png(n)
        );
        assert_eq!((picture.width_px, picture.height_px), (8, 6));
        assert_eq!(
            (entry.who.as_str(), entry.note.as_str()),
            ("Kim", "from <the> phone")
        );
        assert_eq!(
            entry.at.to_string(),
            "2026-05-01T10:00:00+01:00[Europe/Lisbon]"
        );
    }
}

#[tokio::test]
async fn each_picture_is_kept_as_it_is_or_refused_with_its_reason() {
    let desk = Desk::new();
    let browser = Browser::new(&desk.app).await;
    let path = format!("/trials/{}/files/pictures", desk.trial);
    let tank = tank(&desk);
    let fields = [
        ("tank", tank.as_str()),
        ("view", "top"),
        ("at", "2026-05-01T10:00"),
        ("who", "Kim"),
        ("note", "from <the> phone"),
    ];
    let large = [png(3), vec![0; 40 * 1024 * 1024]].concat();
    let cut = png(4)[..40].to_vec();
    let files: [(&str, &str, &[u8]); 8] = [
        ("files", "one.png", &png(1)),
        ("files", "../../two.png", &png(2)),
        ("files", "again.png", &png(1)),
        ("files", "page.jpg", b"<html>not a picture</html>"),
        ("files", "archive.png", b"PK\x03\x04"),
        ("files", "vast.png", &huge_png(20_000)),
        ("files", "large.png", &large),
        ("files", "cut.png", &cut),
    ];
    let page = browser
        .job(&browser.send(&path, &fields, &files).await)
        .await;
    assert!(page.has("Kept: 2 pictures. Refused: 6."), "{}", page.body);
    for said in [
        "the file does not say when it was taken",
        "it is in this trial already",
        "accepted are JPEG, PNG and WebP",
        "20000 x 20000 pixels",
        "it is larger than 40 MB",
        "the picture cannot be read",
        ">two.png<",
    ] {
        assert!(page.has(said), "{said}: {}", page.body);
    }
    two_are_kept_as_they_were(&desk);
    assert!(names(&desk, "uploads").is_empty(), "nothing waits any more");
    // Sent again, nothing is kept twice.
    let page = browser
        .job(&browser.send(&path, &fields, &files[..2]).await)
        .await;
    assert!(page.has("None of the 2 files was kept."));
    assert_eq!(
        (count(&desk), desk.app.notebook().pictures().unwrap().len()),
        (2, 2)
    );
}

#[tokio::test]
async fn the_cameras_date_counts_and_a_place_in_a_file_is_told() {
    let desk = Desk::new();
    let browser = Browser::new(&desk.app).await;
    let path = format!("/trials/{}/files/pictures", desk.trial);
    let tank = tank(&desk);
    let fields = [
        ("tank", tank.as_str()),
        ("view", "front"),
        ("at", "2026-05-01T10:00"),
    ];
    let sent = browser
        .send(&path, &fields, &[("files", "p.jpg", &with_place())])
        .await;
    let page = browser.job(&sent).await;
    assert!(
        page.has("1 of these files says where it was taken."),
        "{}",
        page.body
    );
    assert!(page.has("Kept, taken on 1\u{a0}March\u{a0}2026 at 18:30"));
    let entries = desk
        .app
        .notebook()
        .entries(&EntryQuery::of(desk.trial))
        .unwrap();
    let Act::Picture(picture) = &entries[0].act else {
        panic!("{entries:?}")
    };
    assert_eq!(
        desk.app.notebook().read_picture(&picture.sha256).unwrap(),
        with_place()
    );
    assert_eq!(
        entries[0].at.to_string(),
        "2026-03-01T18:30:05+00:00[Europe/Lisbon]"
    );
}

#[tokio::test]
async fn a_form_to_be_put_right_keeps_its_words_and_its_files() {
    let desk = Desk::new();
    let browser = Browser::new(&desk.app).await;
    let path = format!("/trials/{}/files/pictures", desk.trial);
    let fields = [
        ("view", "detail"),
        ("at", "soon"),
        ("note", "the new <leaves>"),
    ];
    let files: [(&str, &str, &[u8]); 2] =
        [("files", "a.png", &png(1)), ("files", "b.png", &png(2))];
    let sent = browser.send(&path, &fields, &files).await;
    assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(sent.has("the new &lt;leaves&gt;") && sent.has("value=\"soon\""));
    assert!(sent.has("2 files are here from before"));
    assert_eq!(count(&desk), 0);
    // The files need not be sent again.
    let at = sent.body.find("name=\"waiting\" value=\"").unwrap();
    let waiting = sent.body[at..].split('"').nth(3).unwrap().to_owned();
    let tank = tank(&desk);
    let fields = [
        ("waiting", waiting.as_str()),
        ("tank", &tank),
        ("view", "detail"),
        ("at", "2026-05-01T10:00"),
    ];
    let page = browser
        .job(&browser.send(&path, &fields, &[("files", "", b"")]).await)
        .await;
    assert!(page.has("Kept: 2 pictures. Refused: 0."), "{}", page.body);
    assert!(names(&desk, "uploads").is_empty());
    let none = browser
        .send(&path, &fields[1..], &[("files", "", b"")])
        .await;
    assert_eq!(none.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(none.has("choose one picture or more"));
}

/// Jobs that are stopped while they wait for their turn leave nothing, nor what was sent for them.
#[tokio::test]
async fn what_is_stopped_leaves_nothing_half_made() {
    let desk = Desk::new();
    let browser = Browser::new(&desk.app).await;
    let holders = hold_all_workers(&desk);
    let trial = desk.trial;
    let table = format!("/trials/{trial}/files/table");
    let pictures = format!("/trials/{trial}/files/pictures");
    let update = format!("/trials/{trial}/update/make");
    let tank = tank(&desk);
    let form = [
        ("tank", tank.as_str()),
        ("view", "top"),
        ("at", "2026-05-01T10:00"),
    ];
    let started = [
        browser.post("/files/export", &[]).await,
        browser.post("/files/backup", &[]).await,
        browser.post("/files/check", &[]).await,
        browser.post(&update, &[]).await,
        browser
            .send(&table, &[], &[("table", "may.csv", TABLE.as_bytes())])
            .await,
        browser
            .send(&pictures, &form, &[("files", "a.png", &png(1))])
            .await,
    ];
    assert_eq!(names(&desk, "uploads").len(), 1, "it waits on the disk");
    for job in &started {
        assert!(browser.get(&job.location).await.has("Waiting for"));
        browser.post(&format!("{}/cancel", job.location), &[]).await;
        assert!(browser.job(job).await.has("Cancelled. Nothing half-made"));
    }
    drop(holders);
    for folder in ["exports", "backups", "updates", "uploads"] {
        assert!(names(&desk, folder).is_empty(), "{folder}");
    }
    assert_eq!(
        (count(&desk), desk.app.notebook().pictures().unwrap().len()),
        (0, 0)
    );
}

/// Jobs that keep every worker busy until they are let go.
fn hold_all_workers(desk: &Desk) -> Vec<std::sync::mpsc::Sender<()>> {
    let workers = std::thread::available_parallelism()
        .map_or(1, usize::from)
        .max(2)
        - 1;
    let held = (0..workers).map(|_| {
        let (go, wait) = std::sync::mpsc::channel::<()>();
        let (began, begun) = std::sync::mpsc::channel();
        let about = web::jobs::About {
            what: "held".to_owned(),
            trial: None,
            back: ("/files".to_owned(), ""),
        };
        let id = job::JobId(uuid::Uuid::now_v7().as_u128());
        let jobs = desk.app.desk().jobs();
        jobs.start(id, about, move |_| {
            began.send(()).unwrap();
            let _let_go = wait.recv();
            Ok(web::jobs::Outcome::default())
        })
        .unwrap();
        begun.recv().unwrap();
        go
    });
    held.collect()
}

#[tokio::test]
async fn a_form_sent_twice_starts_one_job_and_old_leftovers_go() {
    let desk = Desk::new();
    let browser = Browser::new(&desk.app).await;
    let uploads = desk.app.notebook().folder().join("exports");
    std::fs::create_dir_all(&uploads).unwrap();
    let (old, new) = (
        uploads.join(".old.zip-1.part"),
        uploads.join(".new.zip-1.part"),
    );
    std::fs::write(&old, "half").unwrap();
    std::fs::write(&new, "half").unwrap();
    let long_ago = std::time::SystemTime::now() - std::time::Duration::from_secs(48 * 3600);
    set_time(&old, long_ago);
    let id = uuid::Uuid::now_v7().to_string();
    let first = browser.post("/files/export", &[("entry_id", &id)]).await;
    let second = browser.post("/files/export", &[("entry_id", &id)]).await;
    assert_eq!(first.location, second.location);
    browser.job(&first).await;
    let zips = names(&desk, "exports")
        .iter()
        .filter(|n| !n.starts_with('.'))
        .count();
    assert_eq!(zips, 1);
    assert!(
        !old.exists() && new.exists(),
        "only what is surely nobody's goes"
    );
}

fn set_time(path: &Path, at: std::time::SystemTime) {
    let file = std::fs::File::options().write(true).open(path).unwrap();
    file.set_modified(at).unwrap();
}
