//! Paired devices: let in, seen, shut out; a notebook from before them is brought up to date.

#![allow(clippy::unwrap_used)]

use jiff::Timestamp;
use job::Progress;
use store::export::export;
use store::{Device, Notebook};
use trial::DeviceId;
use uuid::Uuid;

fn at(text: &str) -> Timestamp {
    text.parse().unwrap()
}

fn phone(name: &str) -> Device {
    Device {
        id: DeviceId(Uuid::now_v7()),
        name: name.to_string(),
        who: "Ana".to_string(),
        paired: at("2031-03-01T10:00:00Z"),
        seen: at("2031-03-01T10:00:00Z"),
        revoked: None,
    }
}

#[test]
fn a_device_is_known_by_its_secret_until_it_is_shut_out() {
    let folder = tempfile::tempdir().unwrap();
    let notebook = Notebook::create(folder.path()).unwrap();
    let (mine, other) = (phone("Phone"), phone("Tablet"));
    notebook.add_device(&mine, &[1; 32]).unwrap();
    notebook.add_device(&other, &[2; 32]).unwrap();
    assert_eq!(notebook.device_of(&[1; 32]).unwrap(), Some(mine.clone()));
    assert_eq!(notebook.device_of(&[3; 32]).unwrap(), None);
    assert!(
        notebook.add_device(&phone("Twin"), &[1; 32]).is_err(),
        "two devices never share a secret"
    );

    let later = at("2031-03-02T08:00:00Z");
    notebook.saw_device(mine.id, later).unwrap();
    assert_eq!(notebook.device_of(&[1; 32]).unwrap().unwrap().seen, later);

    notebook.revoke_device(mine.id, later).unwrap();
    notebook
        .revoke_device(mine.id, at("2031-03-09T08:00:00Z"))
        .unwrap();
    assert_eq!(notebook.device_of(&[1; 32]).unwrap(), None);
    assert_eq!(notebook.device_of(&[2; 32]).unwrap(), Some(other));
    let all = notebook.devices().unwrap();
    assert_eq!(all.len(), 2, "a device shut out stays listed");
    let shut = all.iter().find(|d| d.id == mine.id).unwrap();
    assert_eq!(shut.revoked, Some(later), "the first date stays");
}

fn exported(notebook: &Notebook) -> Vec<u8> {
    let mut zip = std::io::Cursor::new(Vec::new());
    export(notebook, &mut zip, &Progress::none()).unwrap();
    zip.into_inner()
}

#[test]
fn an_export_lets_nobody_in() {
    let folder = tempfile::tempdir().unwrap();
    let notebook = Notebook::create(&folder.path().join("one")).unwrap();
    let without = exported(&notebook);
    notebook.add_device(&phone("Phone"), &[1; 32]).unwrap();
    assert!(
        exported(&notebook) == without,
        "devices are left out of exports"
    );
}

#[test]
fn a_notebook_of_the_first_schema_is_brought_up_to_date() {
    let folder = tempfile::tempdir().unwrap();
    drop(Notebook::create(folder.path()).unwrap());
    let db = rusqlite::Connection::open(folder.path().join(store::DATABASE)).unwrap();
    db.execute_batch("DROP TABLE device; PRAGMA user_version = 1;")
        .unwrap();
    drop(db);
    let notebook = Notebook::open(folder.path()).unwrap();
    notebook.add_device(&phone("Phone"), &[1; 32]).unwrap();
    assert_eq!(notebook.devices().unwrap().len(), 1);
    assert_eq!(notebook.check(&Progress::none()).unwrap().findings, vec![]);
}
