//! The demonstration as a notebook on disk.
#![allow(clippy::unwrap_used, clippy::panic)] // a test may stop where it finds nothing

use demo::{make, records};
use store::Notebook;

#[test]
fn a_notebook_holds_all_of_it_and_making_it_again_changes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let notebook = Notebook::create(folder.path()).unwrap();
    let started = std::time::Instant::now();
    let first = make(&notebook).unwrap();
    // Measured, not asserted: it depends on the disk.
    println!("made in {:?}", started.elapsed());
    let demo = records().unwrap();
    assert_eq!(
        (first.records, first.entries),
        (demo.records.len(), demo.entries.len())
    );
    assert_eq!(make(&notebook).unwrap(), first);
    assert_eq!(notebook.pictures().unwrap().len(), first.pictures);
    let trials = notebook.trials().unwrap();
    let entries: usize = trials.iter().map(|t| t.entries as usize).sum();
    assert_eq!((trials.len(), entries), (2, first.entries));
    let report = notebook.check(&job::Progress::none()).unwrap();
    assert!(report.is_sound(), "{:?}", report.findings);
}
