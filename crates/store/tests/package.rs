//! A notebook goes out as an open package and comes back without loss.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // helpers outside #[test]

mod common;
use common::*;
use job::Progress;
use proptest::prelude::*;
use std::collections::BTreeMap;
use std::io::{Cursor, Read};
use std::path::Path;
use store::export::{ExportReport, PackageError, export};
use store::restore::{Limits, RestoreReport, restore};
use store::testing::{arb_notebook, arb_text};
use store::{Batch, Notebook};
use trial::{Act, Entry, Record, RecordKind};

fn exported(notebook: &Notebook) -> (Vec<u8>, ExportReport) {
    let mut bytes = Vec::new();
    let report = export(notebook, Cursor::new(&mut bytes), &Progress::none()).unwrap();
    (bytes, report)
}

fn restored(bytes: &[u8], folder: &Path) -> Result<RestoreReport, PackageError> {
    restore(
        Cursor::new(bytes),
        folder,
        &Limits::default(),
        &Progress::none(),
    )
}

fn files(bytes: &[u8]) -> BTreeMap<String, Vec<u8>> {
    let mut zip = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    (0..zip.len())
        .map(|i| {
            let mut file = zip.by_index(i).unwrap();
            let mut content = Vec::new();
            file.read_to_end(&mut content).unwrap();
            (file.name().unwrap().into_owned(), content)
        })
        .collect()
}

fn book(
    records: &[Record],
    entries: &[Entry],
    pictures: &[Vec<u8>],
    who: &str,
) -> (tempfile::TempDir, Notebook) {
    let folder = tempfile::tempdir().unwrap();
    let notebook = Notebook::create(&folder.path().join("book")).unwrap();
    for bytes in pictures {
        notebook.add_picture(bytes, "image/jpeg").unwrap();
    }
    let records = records
        .iter()
        .map(|r| (r.clone(), who.to_string(), at(0)))
        .collect();
    notebook
        .write_all(&Batch {
            records,
            entries: entries.to_vec(),
        })
        .unwrap();
    (folder, notebook)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn export_restore_export_gives_identical_bytes(
        (records, mut entries) in arb_notebook(),
        pictures in proptest::collection::vec(any::<u32>(), 0..4),
        (who, why) in (arb_text(), arb_text()),
        mistakes in proptest::collection::vec(any::<prop::sample::Index>(), 0..8),
    ) {
        let pictures: Vec<Vec<u8>> = pictures.into_iter().map(picture_bytes).collect();
        // Some picture entries name a picture that is there; the others name one that is lost.
        for (entry, bytes) in entries.iter_mut().filter(|e| e.act.kind() == "picture").zip(&pictures) {
            if let Act::Picture(picture) = &mut entry.act {
                picture.sha256 = store::hash(bytes);
                picture.media_type = "image/jpeg".into();
            }
        }
        let (folder, notebook) = book(&records, &entries, &pictures, &who);
        // Some records were typed by mistake; those that something names stay. A plan is never named.
        let mut gone: Vec<_> = mistakes.iter().map(|i| i.get(&records).id()).collect();
        gone.extend(records.iter().find(|r| r.kind() == RecordKind::Plan).map(Record::id));
        let withdrawn = gone.iter().filter(|id| notebook.withdraw(**id, &why, &who, at(9)).is_ok());
        prop_assert!(withdrawn.count() > 0);
        let (first, report) = exported(&notebook);
        prop_assert_eq!(report.entries as usize, entries.len());
        let again = folder.path().join("again");
        let back = restored(&first, &again).map_err(|e| TestCaseError::fail(e.to_string()))?;
        prop_assert_eq!(
            (back.entries, back.revisions, back.pictures, back.missing_pictures),
            (report.entries, report.revisions, report.pictures, report.missing_pictures)
        );
        let other = Notebook::open(&again).unwrap();
        prop_assert_eq!(other.all_records().unwrap(), notebook.all_records().unwrap());
        let (second, _) = exported(&other);
        prop_assert!(first == second, "the second export differs");
        prop_assert_eq!(other.check(&Progress::none()).unwrap().findings, notebook.check(&Progress::none()).unwrap().findings);
        let left = std::fs::read_dir(folder.path()).unwrap().count();
        prop_assert_eq!(left, 2, "only the two notebooks are there");
    }

    #[test]
    fn any_bytes_are_restored_or_refused(bytes in proptest::collection::vec(any::<u8>(), 0..600)) {
        let folder = tempfile::tempdir().unwrap();
        prop_assert!(restored(&bytes, &folder.path().join("x")).is_err());
        prop_assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
    }

    #[test]
    fn damaged_packages_are_restored_or_refused(
        places in proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..6),
        cut in proptest::option::of(any::<prop::sample::Index>()),
    ) {
        let (folder, notebook) = notebook(vec![entry(1, 0, &[1, 2], dose(1.2))]);
        let (mut bytes, _) = exported(&notebook);
        for (place, byte) in places {
            let i = place.index(bytes.len());
            bytes[i] = byte;
        }
        if let Some(cut) = cut {
            let keep = cut.index(bytes.len());
            bytes.truncate(keep);
        }
        let to = folder.path().join("x");
        match restored(&bytes, &to) {
            Ok(_) => prop_assert!(Notebook::open(&to).is_ok()),
            Err(_) => prop_assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1),
        }
    }
}

#[test]
fn the_package_is_a_data_package() {
    let bytes = picture_bytes(7);
    let sha256 = store::hash(&bytes);
    let mut note = entry(2, 10, &[], Act::Note);
    note.note = "=1+1, \"quoted\"\nand more \u{1f331}".into();
    let all = vec![
        entry(1, 0, &[1, 2], dose(1.2)),
        note,
        entry(3, 20, &[1], picture(&sha256)),
    ];
    let (_folder, notebook) = notebook(all);
    notebook.add_picture(&bytes, "image/jpeg").unwrap();
    let (zip, _) = exported(&notebook);
    let files = files(&zip);
    let text = |name: &str| String::from_utf8(files[name].clone()).unwrap();

    let package: serde_json::Value = serde_json::from_str(&text("datapackage.json")).unwrap();
    assert_eq!(package["fairtank"]["schema"], 1);
    assert!(package.get("licenses").is_none());
    let resources = package["resources"].as_array().unwrap();
    // Every file but the descriptor and the read-me is a resource with its size and hash.
    assert_eq!(resources.len(), files.len() - 2);
    for r in resources {
        let path = r["path"].as_str().unwrap();
        let content = &files[path];
        assert_eq!(r["bytes"], content.len(), "{path}");
        assert_eq!(
            r["hash"],
            format!("sha256:{}", store::hash(content)),
            "{path}"
        );
        // Data Package standard: names are lower-case letters, digits, dot, dash, underscore.
        let name = r["name"].as_str().unwrap();
        assert!(
            name.bytes()
                .all(|b| matches!(b, b'a'..=b'z' | b'0'..=b'9' | b'-' | b'.'))
        );
        let Some(fields) = r["schema"]["fields"].as_array() else {
            continue;
        };
        assert_eq!(r["profile"], "tabular-data-resource");
        let mut csv = csv::Reader::from_reader(&content[..]);
        let header: Vec<String> = csv.headers().unwrap().iter().map(String::from).collect();
        let named: Vec<&str> = fields.iter().map(|f| f["name"].as_str().unwrap()).collect();
        assert_eq!(header, named, "{path}");
        assert!(csv.records().all(|r| r.is_ok()), "{path}");
    }

    // 1.2 g KNO3 hold 735.94 mg NO3 (IUPAC 2021 weights: 62.004 / 101.102), once in each tank.
    let doses = text("data/doses.csv");
    let mut csv = csv::Reader::from_reader(doses.as_bytes());
    let place = csv
        .headers()
        .unwrap()
        .iter()
        .position(|h| h == "no3_mg")
        .unwrap();
    let rows: Vec<_> = csv.records().map(|r| r.unwrap()).collect();
    assert_eq!(rows.len(), 2);
    assert_eq!((&rows[0][2], &rows[1][2]), ("ash", "elm"));
    assert!(
        (rows[0][place].parse::<f64>().unwrap() - 735.94).abs() < 0.05,
        "{doses}"
    );
    // A spreadsheet would run text that begins with an equals sign; only the tidy table guards it.
    assert!(text("data/notes.csv").contains("'=1+1"));
    assert!(!text("data/entries.csv").contains("'=1+1"));
    assert_eq!(files[&format!("pictures/{sha256}.jpg")], bytes);
    assert!(doses.contains("\r\n"));
}

#[test]
fn nothing_tells_when_or_where_it_was_made() {
    let (_folder, notebook) = notebook(vec![entry(1, 0, &[1], change(0.4))]);
    let (first, _) = exported(&notebook);
    let mut zip = zip::ZipArchive::new(Cursor::new(&first[..])).unwrap();
    let names: Vec<String> = (0..zip.len())
        .map(|i| {
            let file = zip.by_index(i).unwrap();
            let time = file.last_modified().unwrap();
            assert_eq!(
                (time.year(), time.month(), time.day(), time.hour()),
                (1980, 1, 1, 0)
            );
            file.name().unwrap().into_owned()
        })
        .collect();
    let mut sorted = names.clone();
    sorted.sort();
    assert_eq!(names, sorted);
    std::thread::sleep(std::time::Duration::from_millis(20));
    assert_eq!(exported(&notebook).0, first);
}

#[test]
fn superseded_entries_are_only_in_the_lossless_table() {
    let all = vec![
        entry(1, 0, &[1], change(0.4)),
        superseding(2, 0, 1, change(0.3)),
        entry(3, 5, &[2], change(0.2)),
        superseding(4, 6, 3, Act::Undo),
    ];
    let (_folder, notebook) = notebook(all);
    let files = files(&exported(&notebook).0);
    let rows = |name: &str| csv::Reader::from_reader(&files[name][..]).records().count();
    assert_eq!(rows("data/entries.csv"), 4);
    assert_eq!(rows("data/changes.csv"), 1);
}

#[test]
fn a_damaged_picture_is_told_and_left_out() {
    let (lost, damaged) = (picture_bytes(1), picture_bytes(2));
    let names = [store::hash(&lost), store::hash(&damaged)];
    let all = vec![
        entry(1, 0, &[1], picture(&names[0])),
        entry(2, 0, &[1], picture(&names[1])),
    ];
    let (folder, notebook) = notebook(all);
    notebook.add_picture(&damaged, "image/jpeg").unwrap();
    let file = notebook.picture_path(&names[1]).unwrap().unwrap();
    std::fs::write(file, b"\xff\xd8\xffother").unwrap();
    let (bytes, report) = exported(&notebook);
    let mut expected = names.to_vec();
    expected.sort();
    assert_eq!(
        (report.pictures, report.missing_pictures.clone()),
        (0, expected)
    );
    let back = restored(&bytes, &folder.path().join("again")).unwrap();
    assert_eq!(back.missing_pictures, report.missing_pictures);
}

#[test]
fn a_cancelled_export_or_restore_stops() {
    let (folder, notebook) = notebook(vec![entry(1, 0, &[1], change(0.4))]);
    let stop = Progress::new();
    stop.cancel();
    let out = Cursor::new(Vec::new());
    let error = export(&notebook, out, &stop).unwrap_err();
    assert!(matches!(error, PackageError::Cancelled(_)));
    let (bytes, _) = exported(&notebook);
    let to = folder.path().join("again");
    let limits = Limits::default();
    let error = restore(Cursor::new(&bytes), &to, &limits, &stop).unwrap_err();
    assert!(matches!(error, PackageError::Cancelled(_)));
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn an_empty_notebook_goes_out_and_back() {
    let folder = tempfile::tempdir().unwrap();
    let notebook = Notebook::create(&folder.path().join("book")).unwrap();
    let (bytes, report) = exported(&notebook);
    assert_eq!(report, ExportReport::default());
    restored(&bytes, &folder.path().join("again")).unwrap();
    let again = Notebook::open(&folder.path().join("again")).unwrap();
    assert_eq!(exported(&again).0, bytes);
}
