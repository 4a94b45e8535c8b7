//! Making, opening, sharing, pictures, checking and backing up.

#![allow(clippy::unwrap_used, clippy::expect_used)] // test code outside test functions

mod common;
use common::*;
use job::Progress;
use std::collections::BTreeSet;
use std::fs;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, OnceLock};
use store::{EntryQuery, Notebook, StoreError, hash};

#[test]
fn a_folder_holds_one_notebook() {
    let folder = tempfile::tempdir().unwrap();
    let missing = Notebook::open(folder.path()).unwrap_err();
    assert!(
        matches!(missing, StoreError::NotANotebook { .. }),
        "{missing}"
    );
    Notebook::create(folder.path()).unwrap();
    let again = Notebook::create(folder.path()).unwrap_err();
    assert!(
        matches!(again, StoreError::AlreadyANotebook { .. }),
        "{again}"
    );
    assert!(
        Notebook::open(folder.path())
            .unwrap()
            .trials()
            .unwrap()
            .is_empty()
    );
}

#[test]
fn what_is_not_a_notebook_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let database = folder.path().join(store::DATABASE);
    for bytes in [
        &b""[..],
        b"this is a letter, and it is longer than a database's header",
    ] {
        fs::write(&database, bytes).unwrap();
        let refused = Notebook::open(folder.path()).unwrap_err();
        assert!(
            matches!(refused, StoreError::NotANotebook { .. }),
            "{refused}"
        );
        assert_eq!(fs::read(&database).unwrap(), bytes, "it was not touched");
    }
    fs::remove_file(&database).unwrap();
    let other = rusqlite::Connection::open(&database).unwrap();
    other
        .execute_batch("CREATE TABLE song (title TEXT)")
        .unwrap();
    let refused = Notebook::open(folder.path()).unwrap_err();
    assert!(
        matches!(refused, StoreError::NotANotebook { .. }),
        "{refused}"
    );
}

#[test]
fn a_newer_schema_is_refused_with_a_sentence() {
    let (_folder, notebook) = notebook(vec![]);
    let path = notebook.folder().to_path_buf();
    let newer = store::newest_schema() + 1;
    raw_database(&notebook)
        .pragma_update(None, "user_version", newer)
        .unwrap();
    drop(notebook);
    let refused = Notebook::open(&path).unwrap_err();
    assert!(matches!(refused, StoreError::NewerSchema { found, .. } if found == newer));
    assert!(refused.to_string().contains("use a newer Fairtank"));
}

#[test]
fn two_handles_and_many_threads_share_one_notebook() {
    let (_folder, first) = notebook(vec![]);
    let second = Arc::new(Notebook::open(first.folder()).unwrap());
    let first = Arc::new(first);
    let threads: Vec<_> = (0..4u32)
        .map(|t| {
            let notebook = if t % 2 == 0 {
                first.clone()
            } else {
                second.clone()
            };
            std::thread::spawn(move || {
                for n in 0..25 {
                    let new = entry(t * 100 + n, i64::from(n), &[1, 2], dose(1.0));
                    notebook.write_entry(&new).unwrap();
                    let seen = notebook.entries(&EntryQuery::of(trial_id(1))).unwrap();
                    assert!(
                        seen.iter().any(|e| e.id == new.id),
                        "a writer reads its own entry"
                    );
                }
            })
        })
        .collect();
    for thread in threads {
        thread.join().unwrap();
    }
    assert_eq!(first.count_entries().unwrap(), 100);
    assert_eq!(
        second.entries(&EntryQuery::of(trial_id(1))).unwrap().len(),
        100
    );
    assert_eq!(second.check(&Progress::none()).unwrap().findings, vec![]);
}

#[test]
fn pictures_are_named_by_their_bytes() {
    let (_folder, notebook) = notebook(vec![]);
    let bytes = picture_bytes(1);
    let sha256 = notebook.add_picture(&bytes, "image/jpeg").unwrap();
    assert_eq!(sha256, hash(&bytes));
    assert_eq!(notebook.add_picture(&bytes, "image/jpeg").unwrap(), sha256);
    let path = notebook.picture_path(&sha256).unwrap().unwrap();
    let expected = format!("pictures/{}/{sha256}.jpg", &sha256[..2]);
    assert_eq!(path, notebook.folder().join(expected));
    assert_eq!(notebook.read_picture(&sha256).unwrap(), bytes);
    assert_eq!(
        notebook.pictures().unwrap(),
        vec![(sha256.clone(), path.clone())]
    );
    // A damaged file is told, and mended by adding the picture again.
    fs::write(&path, picture_bytes(2)).unwrap();
    let damaged = notebook.read_picture(&sha256).unwrap_err();
    assert!(
        matches!(damaged, StoreError::PictureDamaged { .. }),
        "{damaged}"
    );
    notebook.add_picture(&bytes, "image/jpeg").unwrap();
    assert_eq!(notebook.read_picture(&sha256).unwrap(), bytes);
    let refused = notebook.add_picture(b"GIF89a", "image/gif").unwrap_err();
    assert!(matches!(refused, StoreError::PictureType(_)), "{refused}");
    let refused = notebook.add_picture(b"<svg/>", "image/png").unwrap_err();
    assert!(
        matches!(refused, StoreError::PictureContent(_)),
        "{refused}"
    );
    let left: Vec<_> = fs::read_dir(path.parent().unwrap()).unwrap().collect();
    assert_eq!(left.len(), 1, "no temporary file stays");
}

#[test]
fn sha_256_is_that_of_fips_180_4() {
    // FIPS 180-4 example: "abc".
    let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
    assert_eq!(hash(b"abc"), abc);
}

#[test]
fn picture_names_cannot_lead_elsewhere() {
    let (_folder, notebook) = notebook(vec![]);
    let a = "a".repeat(64);
    for trick in [
        String::new(),
        "../../etc/passwd".to_string(),
        format!("../{}", &a[..61]),
        "A".repeat(64),
        "a".repeat(63),
        "a".repeat(65),
        format!("{}/", &a[..63]),
        format!("{}\0", &a[..63]),
        "\u{e9}".repeat(32),
    ] {
        let refused = notebook.picture_path(&trick).unwrap_err();
        assert!(matches!(refused, StoreError::BadHash(_)), "{trick:?}");
        assert!(notebook.read_picture(&trick).is_err());
    }
    assert_eq!(notebook.picture_path(&a).unwrap(), None);
    assert!(matches!(
        notebook.read_picture(&a),
        Err(StoreError::PictureMissing(_))
    ));
}

#[cfg(unix)]
#[test]
fn a_link_among_the_pictures_is_not_followed() {
    let (folder, notebook) = notebook(vec![]);
    let secret = folder.path().join("secret");
    fs::write(&secret, "secret").unwrap();
    let sha256 = "ab".repeat(32);
    let place = notebook.folder().join("pictures/ab");
    fs::create_dir_all(&place).unwrap();
    std::os::unix::fs::symlink(&secret, place.join(format!("{sha256}.jpg"))).unwrap();
    assert_eq!(notebook.picture_path(&sha256).unwrap(), None);
}

/// A notebook with two pictures and a third that no entry names.
fn with_pictures() -> (tempfile::TempDir, Notebook, [String; 2]) {
    let (folder, notebook) = notebook(vec![entry(1, 0, &[1], dose(1.0))]);
    let add = |n| {
        notebook
            .add_picture(&picture_bytes(n), "image/jpeg")
            .unwrap()
    };
    let kept = [add(1), add(2)];
    add(3);
    for (n, sha256) in (2..).zip(&kept) {
        notebook
            .write_entry(&entry(n, n.into(), &[1], picture(sha256)))
            .unwrap();
    }
    (folder, notebook, kept)
}

fn codes(notebook: &Notebook) -> Vec<&'static str> {
    notebook
        .check(&Progress::none())
        .unwrap()
        .findings
        .iter()
        .map(|f| f.code)
        .collect()
}

#[test]
fn a_check_counts_and_tells_unused_pictures() {
    let (_folder, notebook, _) = with_pictures();
    let report = notebook.check(&Progress::none()).unwrap();
    assert_eq!(
        (report.entries, report.revisions, report.pictures),
        (3, 11, 2)
    );
    assert_eq!(codes(&notebook), vec!["picture_unused"]);
    assert!(report.is_sound());
}

#[test]
fn a_check_finds_missing_and_damaged_pictures() {
    let (_folder, notebook, [first, second]) = with_pictures();
    fs::remove_file(notebook.picture_path(&first).unwrap().unwrap()).unwrap();
    let path = notebook.picture_path(&second).unwrap().unwrap();
    let mut bytes = fs::read(&path).unwrap();
    bytes[5] ^= 1;
    fs::write(&path, bytes).unwrap();
    let report = notebook.check(&Progress::none()).unwrap();
    assert!(!report.is_sound());
    let about = |code| report.findings.iter().find(|f| f.code == code).unwrap();
    assert_eq!(
        about("picture_missing").record,
        Some(entry_id(2).to_string())
    );
    assert_eq!(
        about("picture_damaged").record,
        Some(entry_id(3).to_string())
    );
}

#[test]
fn a_check_finds_what_was_altered_behind_the_notebooks_back() {
    let alter = |sql: &str| {
        let (_folder, notebook) = notebook(vec![
            entry(1, 0, &[1, 2], dose(1.0)),
            entry(2, 1, &[1], dose(1.0)),
            superseding(3, 2, 2, dose(2.0)),
        ]);
        assert_eq!(codes(&notebook), Vec::<&str>::new());
        let db = raw_database(&notebook);
        db.pragma_update(None, "foreign_keys", false).unwrap();
        db.execute_batch(
            "DROP TRIGGER entry_kept; DROP TRIGGER entry_stays; DROP TRIGGER revision_kept;
             DROP TRIGGER entry_tank_stays;",
        )
        .unwrap();
        db.execute_batch(sql).unwrap();
        codes(&notebook)
    };
    let first = "WHERE nth = 1";
    // Another amount in good JSON; the same with bad JSON inside; other words; another time.
    let altered = alter(&format!(
        "UPDATE entry SET payload = replace(payload, '1.0', '9.0') {first}"
    ));
    assert_eq!(altered, vec!["entry_altered"]);
    let unreadable = alter(&format!("UPDATE entry SET payload = '{{}}' {first}"));
    assert_eq!(unreadable, vec!["entry_altered", "entry_unreadable"]);
    assert_eq!(
        alter(&format!("UPDATE entry SET note = 'x' {first}")),
        vec!["entry_altered"]
    );
    let moved = alter(&format!("UPDATE entry SET at_ms = at_ms + 1 {first}"));
    assert_eq!(moved, vec!["lookup_wrong"]);
    let renamed = alter(&format!("UPDATE entry SET analyte = 'no3' {first}"));
    assert_eq!(renamed, vec!["lookup_wrong"]);
    let stray = alter(
        "INSERT INTO entry_planting SELECT n, 0, 1 FROM record WHERE kind = 'planting' LIMIT 1",
    );
    assert_eq!(stray, vec!["lookup_wrong"]);
    let record = alter("UPDATE revision SET payload = replace(payload, 'ash', 'fig')");
    assert_eq!(record, vec!["revision_altered"]);
    // An entry taken out, with all that named it.
    let lost = alter("DELETE FROM entry_tank WHERE entry = 1; DELETE FROM entry WHERE seq = 1");
    assert_eq!(lost, vec!["entry_lost"]);
    let broken = alter("DELETE FROM entry_tank WHERE entry = 2; DELETE FROM entry WHERE seq = 2");
    assert!(
        broken.contains(&"row_unconnected") && broken.contains(&"entry_lost"),
        "{broken:?}"
    );
    let unlisted = alter("DELETE FROM entry_tank WHERE entry = 2");
    assert!(unlisted.contains(&"lookup_wrong"), "{unlisted:?}");
}

#[test]
fn a_check_tells_records_that_entries_name_in_vain() {
    let mut with = change(0.5);
    if let trial::Act::Change(change) = &mut with {
        change.source = Some(trial::WaterId(store::testing::numbered_id(8, 1)));
    }
    let (_folder, notebook) = notebook(vec![entry(1, 0, &[1], with)]);
    assert_eq!(codes(&notebook), vec!["reference_missing"]);
    assert!(
        notebook.check(&Progress::none()).unwrap().is_sound(),
        "the entry itself is whole"
    );
}

#[test]
fn a_check_finds_damaged_pages() {
    let entries = (1..=2000)
        .map(|n| entry(n, n.into(), &[1, 2], dose(1.0)))
        .collect();
    let (_folder, notebook) = notebook(entries);
    let path = notebook.folder().to_path_buf();
    drop(notebook);
    let database = path.join(store::DATABASE);
    let mut bytes = fs::read(&database).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle..middle + 4096].fill(0xa5);
    fs::write(&database, bytes).unwrap();
    let notebook = Notebook::open(&path).unwrap();
    match notebook.check(&Progress::none()) {
        Ok(report) => assert!(!report.is_sound()),
        Err(e) => assert!(matches!(e, StoreError::Damaged { .. }), "{e}"),
    }
}

#[test]
fn a_backup_made_while_writing_opens_and_is_whole() {
    let (folder, notebook, kept) = with_pictures();
    let notebook = Arc::new(notebook);
    let writer = {
        let notebook = notebook.clone();
        std::thread::spawn(move || {
            for n in 10..60 {
                notebook
                    .write_entry(&entry(n, n.into(), &[1], dose(1.0)))
                    .unwrap();
            }
        })
    };
    let out = folder.path().join("backups/monday");
    notebook.backup(&out, &Progress::none()).unwrap();
    writer.join().unwrap();
    let copy = Notebook::open(&out).unwrap();
    assert!(copy.check(&Progress::none()).unwrap().is_sound());
    let mut copied = Vec::new();
    copy.for_each_entry(&mut |raw| copied.push(raw)).unwrap();
    let mut all = Vec::new();
    notebook.for_each_entry(&mut |raw| all.push(raw)).unwrap();
    assert!(copied.len() >= 3);
    assert_eq!(
        copied[..],
        all[..copied.len()],
        "a state the notebook was in"
    );
    assert_eq!(
        copy.all_revisions().unwrap(),
        notebook.all_revisions().unwrap()
    );
    for sha256 in &kept {
        assert!(copy.read_picture(sha256).is_ok());
    }
    // Copies, not links: what is done to one is not done to the other.
    fs::remove_file(notebook.picture_path(&kept[0]).unwrap().unwrap()).unwrap();
    assert!(copy.read_picture(&kept[0]).is_ok());
    copy.write_entry(&entry(500, 0, &[1], dose(1.0))).unwrap();
    assert_eq!(notebook.entry(entry_id(500)).unwrap(), None);
}

#[test]
fn a_backup_takes_a_new_name_outside_the_notebook() {
    let (folder, notebook) = notebook(vec![]);
    let taken = folder.path().join("taken");
    fs::create_dir(&taken).unwrap();
    assert!(matches!(
        notebook.backup(&taken, &Progress::none()),
        Err(StoreError::Exists(_))
    ));
    let inside = notebook.folder().join("pictures/copy");
    assert!(matches!(
        notebook.backup(&inside, &Progress::none()),
        Err(StoreError::InsideNotebook(_))
    ));
    let names: Vec<_> = fs::read_dir(folder.path()).unwrap().collect();
    assert_eq!(names.len(), 2, "nothing else was left behind");
}

#[test]
fn a_lock_kept_by_another_program_becomes_a_sentence() {
    let (_folder, notebook) = notebook(vec![]);
    let other = raw_database(&notebook);
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    // Reading goes on.
    assert_eq!(notebook.trials().unwrap().len(), 2);
    let busy = notebook
        .write_entry(&entry(1, 0, &[1], dose(1.0)))
        .unwrap_err();
    assert!(matches!(busy, StoreError::Busy), "{busy}");
    other.execute_batch("ROLLBACK").unwrap();
    notebook.write_entry(&entry(1, 0, &[1], dose(1.0))).unwrap();
}

/// Progress that stops its work at the `n`th time something is told.
fn stopping_after(n: usize) -> Progress {
    let (cell, told) = (Arc::new(OnceLock::<Progress>::new()), AtomicUsize::new(0));
    let own = Arc::clone(&cell);
    let progress = Progress::watched(move |_| {
        if told.fetch_add(1, Ordering::Relaxed) == n
            && let Some(progress) = own.get()
        {
            progress.cancel();
        }
    });
    cell.set(progress.clone()).unwrap();
    progress
}

#[test]
fn a_backup_or_export_stopped_anywhere_leaves_nothing() {
    let (folder, notebook) = notebook(vec![entry(1, 0, &[1], change(0.4))]);
    for n in 0..4 {
        let kept = notebook.add_picture(&[0xff, 0xd8, 0xff, n], "image/jpeg");
        kept.unwrap();
    }
    let (out, zip) = (folder.path().join("copy"), folder.path().join("all.zip"));
    let (mut stopped, mut whole) = (0, 0);
    for n in 0..12 {
        match notebook.backup(&out, &stopping_after(n)) {
            Err(StoreError::Cancelled(_)) => stopped += 1,
            done => done.unwrap(),
        }
        match store::export::export_to(&notebook, &zip, &stopping_after(n)) {
            Err(store::export::PackageError::Cancelled(_)) => stopped += 1,
            done => {
                done.unwrap();
            }
        }
        let names: BTreeSet<_> = fs::read_dir(folder.path())
            .unwrap()
            .map(|f| f.unwrap().file_name().into_string().unwrap())
            .collect();
        // Whole or not there, and nothing beside them.
        for made in ["copy", "all.zip"].iter().filter(|m| names.contains(**m)) {
            whole += 1;
            let path = folder.path().join(made);
            match *made {
                "copy" => {
                    let copy = Notebook::open(&path).unwrap();
                    assert!(copy.check(&Progress::none()).unwrap().is_sound());
                    assert_eq!(copy.pictures().unwrap().len(), 4);
                    drop(copy);
                    fs::remove_dir_all(path).unwrap();
                }
                _ => fs::remove_file(path).unwrap(),
            }
        }
        let rest: Vec<_> = names
            .iter()
            .filter(|n| n.starts_with('.') || n.ends_with("part"))
            .collect();
        assert!(rest.is_empty(), "{rest:?}");
    }
    assert!(stopped > 4 && whole > 0, "{stopped} stopped, {whole} whole");
}

#[test]
fn a_backup_may_be_kept_in_its_own_folder_of_the_notebook() {
    let (_folder, notebook) = notebook(vec![entry(1, 0, &[1], change(0.4))]);
    let backups = notebook.folder().join(store::BACKUPS);
    notebook
        .backup(&backups.join("first"), &Progress::none())
        .unwrap();
    notebook
        .backup(&backups.join("second"), &Progress::none())
        .unwrap();
    let second = Notebook::open(&backups.join("second")).unwrap();
    assert_eq!(second.count_entries().unwrap(), 1);
    assert!(!second.folder().join(store::BACKUPS).exists());
    let deeper = backups.join("first").join("x");
    assert!(matches!(
        notebook.backup(&deeper, &Progress::none()),
        Err(StoreError::InsideNotebook(_))
    ));
}
