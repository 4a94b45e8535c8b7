//! A package that nobody vouches for: each way it can be wrong is refused by name, and no half
//! notebook is left.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // helpers outside #[test]

mod common;
use common::*;
use job::Progress;
use std::collections::BTreeMap;
use std::io::{Cursor, Read, Write};
use store::export::export;
use store::restore::{Limits, restore};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

type Files = BTreeMap<String, Vec<u8>>;

/// The files of a sound package with two entries and a picture.
fn sound() -> Files {
    let bytes = picture_bytes(1);
    let all = vec![
        entry(1, 0, &[1, 2], dose(1.2)),
        superseding(2, 5, 1, dose(1.3)),
        entry(3, 9, &[1], picture(&store::hash(&bytes))),
    ];
    let (_folder, notebook) = notebook(all);
    notebook.add_picture(&bytes, "image/jpeg").unwrap();
    let mut out = Vec::new();
    export(&notebook, Cursor::new(&mut out), &Progress::none()).unwrap();
    let mut zip = zip::ZipArchive::new(Cursor::new(out)).unwrap();
    let mut files = Files::new();
    for i in 0..zip.len() {
        let mut file = zip.by_index(i).unwrap();
        let mut content = Vec::new();
        file.read_to_end(&mut content).unwrap();
        files.insert(file.name().unwrap().into_owned(), content);
    }
    files
}

fn options() -> SimpleFileOptions {
    SimpleFileOptions::default().compression_method(CompressionMethod::Stored)
}

fn writer(files: &Files) -> ZipWriter<Cursor<Vec<u8>>> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, content) in files {
        zip.start_file(name, options()).unwrap();
        zip.write_all(content).unwrap();
    }
    zip
}

fn zipped(files: &Files) -> Vec<u8> {
    writer(files).finish().unwrap().into_inner()
}

/// The text of the refusal, after checking that nothing is left behind.
fn refusal_within(bytes: &[u8], limits: &Limits) -> String {
    let folder = tempfile::tempdir().unwrap();
    let to = folder.path().join("new");
    let error = restore(Cursor::new(bytes), &to, limits, &Progress::none())
        .expect_err("it must be refused");
    assert_eq!(
        std::fs::read_dir(folder.path()).unwrap().count(),
        0,
        "{error}"
    );
    error.to_string()
}

fn refusal(bytes: &[u8]) -> String {
    refusal_within(bytes, &Limits::default())
}

/// The refusal of the sound package with one file changed.
fn refusal_with(name: &str, edit: impl Fn(String) -> String) -> String {
    let mut files = sound();
    let text = String::from_utf8(files[name].clone()).unwrap();
    let edited = edit(text.clone());
    assert_ne!(text, edited, "the edit changes nothing");
    files.insert(name.to_string(), edited.into_bytes());
    refusal(&zipped(&files))
}

/// Replaces every occurrence of a name in a zip by one of the same length.
fn renamed(mut bytes: Vec<u8>, from: &str, to: &str) -> Vec<u8> {
    assert_eq!(from.len(), to.len());
    let mut found = 0;
    for i in 0..=bytes.len() - from.len() {
        if &bytes[i..i + from.len()] == from.as_bytes() {
            bytes[i..i + from.len()].copy_from_slice(to.as_bytes());
            found += 1;
        }
    }
    assert_eq!(
        found, 2,
        "a name stands in its own header and in the directory"
    );
    bytes
}

fn with_extra(name: &str) -> Vec<u8> {
    let mut zip = writer(&sound());
    zip.start_file(name, options()).unwrap();
    zip.write_all(b"x").unwrap();
    zip.finish().unwrap().into_inner()
}

#[test]
fn the_sound_package_is_restored() {
    let folder = tempfile::tempdir().unwrap();
    let to = folder.path().join("new");
    let bytes = zipped(&sound());
    let progress = Progress::new();
    let report = restore(Cursor::new(&bytes), &to, &Limits::default(), &progress).unwrap();
    assert_eq!((report.entries, report.pictures), (3, 1));
    assert_eq!(progress.seen().permille, 1000);
    let again = restore(
        Cursor::new(&bytes),
        &to,
        &Limits::default(),
        &Progress::none(),
    );
    assert!(again.unwrap_err().to_string().contains("already exists"));
}

#[test]
fn names_that_lead_elsewhere() {
    for evil in [
        "../evil.csv!",
        "/vil.csv!!!",
        "a\\b.csv!!!!",
        "C:evil.csv!!",
        "a/./vil.csv!",
        "a//evil.csv!",
    ] {
        let plain = "x".repeat(evil.len());
        let said = refusal(&renamed(with_extra(&plain), &plain, evil));
        assert!(
            said.contains("not a name a package may hold"),
            "{evil}: {said}"
        );
    }
}

#[test]
fn doubles() {
    let said = refusal(&renamed(
        with_extra("data/entriez.csv"),
        "data/entriez.csv",
        "data/entries.csv",
    ));
    assert!(said.contains("same name"), "{said}");
    assert!(refusal(&with_extra("DATA/entries.csv")).contains("but for its case"));
}

#[test]
fn links() {
    let mut zip = writer(&sound());
    zip.add_symlink("pictures/link.jpg", "/etc/passwd", options())
        .unwrap();
    let said = refusal(&zip.finish().unwrap().into_inner());
    assert!(
        said.contains("pictures/link.jpg") && said.contains("link"),
        "{said}"
    );
}

#[test]
fn encrypted_files() {
    let mut bytes = zipped(&sound());
    // Bit 0 of the general purpose flags: at 8 in a directory header (APPNOTE 4.3.12, 4.4.4).
    let header = (0..bytes.len() - 4)
        .find(|i| &bytes[*i..i + 4] == b"PK\x01\x02")
        .unwrap();
    bytes[header + 8] |= 1;
    assert!(refusal(&bytes).contains("encrypted"));
}

#[test]
fn sizes_beyond_the_limits() {
    let bytes = zipped(&sound());
    let default = Limits::default();
    let said = |limits| refusal_within(&bytes, &limits);
    assert!(
        said(Limits {
            files: 3,
            ..default
        })
        .contains("files")
    );
    assert!(
        said(Limits {
            entries_bytes: 100,
            ..default
        })
        .contains("data/entries.csv holds more")
    );
    assert!(
        said(Limits {
            held_bytes: 100,
            ..default
        })
        .contains("datapackage.json holds more")
    );
    assert!(
        said(Limits {
            picture_bytes: 3,
            ..default
        })
        .contains("pictures/")
    );
    assert!(
        said(Limits {
            pictures_bytes: 3,
            ..default
        })
        .contains("pictures/")
    );
    assert!(
        said(Limits {
            row_bytes: 50,
            ..default
        })
        .contains("row is larger")
    );
}

#[test]
fn a_bomb_that_declares_little() {
    let mut files = sound();
    files.insert("data/entries.csv".into(), vec![b'a'; 3 << 20]);
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, content) in &files {
        zip.start_file(
            name,
            options().compression_method(CompressionMethod::Deflated),
        )
        .unwrap();
        zip.write_all(content).unwrap();
    }
    let mut bytes = zip.finish().unwrap().into_inner();
    // The uncompressed size stands at 24 in a directory header (APPNOTE 4.3.12).
    let name = b"data/entries.csv";
    let headers: Vec<usize> = (0..bytes.len() - 4)
        .filter(|i| &bytes[*i..i + 4] == b"PK\x01\x02")
        .collect();
    let header = headers
        .into_iter()
        .find(|i| bytes[i + 46..].starts_with(name))
        .unwrap();
    bytes[header + 24..header + 28].copy_from_slice(&10u32.to_le_bytes());
    let said = refusal_within(
        &bytes,
        &Limits {
            entries_bytes: 1 << 20,
            ..Limits::default()
        },
    );
    assert!(said.contains("data/entries.csv"), "{said}");
}

#[test]
fn versions_and_missing_parts() {
    let newer = |t: String| t.replace("\"schema\": 1,", "\"schema\": 2,");
    assert!(
        refusal_with("datapackage.json", |t| {
            // Only the package's own version, which stands in the block `fairtank`.
            let (before, after) = t.split_once("\"fairtank\"").unwrap();
            let after = after.replacen("\"schema\": 1", "\"schema\": 2", 1);
            format!("{before}\"fairtank\"{}", newer(after))
        })
        .contains("layout version 2")
    );
    assert!(
        refusal_with("datapackage.json", |t| t
            .replace("\"fairtank\"", "\"other\""))
        .contains("datapackage.json")
    );
    assert!(refusal_with("datapackage.json", |t| t[1..].to_string()).contains("cannot be read"));
    for (name, said) in [
        ("datapackage.json", "no datapackage.json"),
        ("data/entries.csv", "no data/entries.csv"),
        ("data/revisions.csv", "no data/revisions.csv"),
    ] {
        let mut files = sound();
        files.remove(name);
        let found = refusal(&zipped(&files));
        assert!(found.contains(said), "{found}");
    }
    assert!(refusal(b"no zip at all").contains("not a zip"));
}

#[test]
fn rows_that_cannot_stand() {
    let entries =
        |from: &str, to: &str| refusal_with("data/entries.csv", |t| t.replacen(from, to, 1));
    let said = entries("dose", "dosis");
    assert!(
        said.starts_with("data/entries.csv, line 2, column kind, value \"dosis\""),
        "{said}"
    );
    let said = entries("\"\"kind\"\":\"\"dose\"\"", "\"\"kind\"\":\"\"x\"\"");
    assert!(said.contains("line 2, column payload"), "{said}");
    let said = entries("\"\"version\"\":1", "\"\"version\"\":9");
    assert!(
        said.contains("column payload") && said.contains("newer"),
        "{said}"
    );
    assert!(entries(",false,", ",nein,").contains("column all_tanks, value \"nein\""));
    assert!(entries("[Europe/Berlin]", "[Nowhere/Atall]").contains("column at"));
    assert!(entries("\"\"by\"\":", "\"\"bi\"\":").contains("column origin"));
    let tank = tank_id(1).to_string();
    let said = entries(&tank, &tank_id(99).to_string());
    assert!(
        said.contains("line 2, column tanks") && said.contains("no tank"),
        "{said}"
    );
    assert!(entries(&tank, "ash").contains("column tanks"));
    let said = entries(&entry_id(2).to_string(), &entry_id(1).to_string());
    assert!(said.contains("line 3, column id"), "{said}");
    assert!(entries("id,trial", "trial,id").contains("accepted as column names"));
    let said = refusal_with("data/entries.csv", |t| format!("{t}a,b\r\n"));
    assert!(
        said.contains("line 5") && said.contains("2 cells"),
        "{said}"
    );
    let doubled = refusal_with("data/entries.csv", |t| {
        let row = t.lines().nth(1).unwrap().to_string();
        format!("{t}{row}\r\n")
    });
    assert!(doubled.contains("twice"), "{doubled}");

    let revisions =
        |from: &str, to: &str| refusal_with("data/revisions.csv", |t| t.replacen(from, to, 1));
    assert!(revisions("trial,", "tiral,").contains("data/revisions.csv, line 1"));
    assert!(revisions("\"\"title\"\"", "\"\"titel\"\"").contains("line 2, column payload"));
    assert!(revisions(",1,", ",7,").contains("line 2, column seq, value \"7\""));
}

#[test]
fn bytes_that_do_not_match_their_hash() {
    // A table that reads well but is not what was exported.
    let said = refusal_with("data/entries.csv", |t| t.replacen("keeper", "someone", 1));
    assert!(said.contains("data/entries.csv is not as"), "{said}");
    let mut files = sound();
    let picture = files
        .keys()
        .find(|n| n.starts_with("pictures/"))
        .unwrap()
        .clone();
    files.insert(picture.clone(), picture_bytes(2));
    let said = refusal(&zipped(&files));
    assert!(said.contains(&picture), "{said}");
    let mut files = sound();
    files.insert("pictures/me.jpg".into(), picture_bytes(2));
    assert!(refusal(&zipped(&files)).contains("named by the SHA-256"));
    let mut files = sound();
    let text = b"no picture".to_vec();
    files.insert(format!("pictures/{}.jpg", store::hash(&text)), text);
    assert!(refusal(&zipped(&files)).contains("its bytes are not"));
}
