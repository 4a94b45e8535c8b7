//! Looking back through all versions: page after page gives each once, in order, none left out.
//! What must be found is worked out by reading every entry of the same trial.

#![allow(clippy::unwrap_used, clippy::expect_used)] // test code outside test functions

mod common;
use common::*;
use store::testing::{large, large_trial};
use store::{EntryQuery, Notebook, Search, Version};
use trial::{Act, Entry, EntryId};

fn asked(most: usize, look: u32) -> Search {
    Search {
        window: EntryQuery::of(large_trial()),
        changed: false,
        before: None,
        most,
        look,
    }
}

/// Every version, page after page.
fn paged(
    notebook: &Notebook,
    mut search: Search,
    keep: impl Fn(&Entry) -> bool + Copy,
) -> Vec<Version> {
    let mut all = Vec::new();
    loop {
        let found = notebook.search(&search, keep).unwrap();
        assert!(found.versions.len() <= search.most);
        all.extend(found.versions);
        match found.next {
            Some(next) => search.before = Some(next),
            None => return all,
        }
    }
}

fn ids_of(versions: &[Version]) -> Vec<EntryId> {
    versions.iter().map(|v| v.entry.id).collect()
}

#[test]
fn pages_together_are_everything_once_in_order() {
    let folder = tempfile::tempdir().unwrap();
    let notebook = Notebook::create(folder.path()).unwrap();
    notebook.write_all(&large(700).unwrap()).unwrap();
    let mut all = EntryQuery::of(large_trial()).with_superseded();
    all.newest_first = true;
    let all = notebook.entries(&all).unwrap();
    let shown: Vec<&Entry> = all.iter().filter(|e| e.act != Act::Undo).collect();
    let expected: Vec<EntryId> = shown.iter().map(|e| e.id).collect();
    // Pages that end at their size, at the stretch, and exactly at the end.
    for (most, look) in [(7, 1_000), (1_000, 13), (40, 100), (700, 700)] {
        let found = paged(&notebook, asked(most, look), |_| true);
        assert_eq!(ids_of(&found), expected, "{most} of {look}");
    }
    let changed = Search {
        changed: true,
        ..asked(5, 50)
    };
    let is_changed =
        |e: &&&Entry| e.supersedes.is_some() || all.iter().any(|s| s.supersedes == Some(e.id));
    let some: Vec<EntryId> = shown.iter().filter(is_changed).map(|e| e.id).collect();
    assert!(some.len() > 10 && some.len() < shown.len());
    assert_eq!(ids_of(&paged(&notebook, changed, |_| true)), some);
    let doses = paged(&notebook, asked(3, 31), |e| e.act.kind() == "dose");
    let expected = shown.iter().filter(|e| e.act.kind() == "dose");
    assert_eq!(ids_of(&doses), expected.map(|e| e.id).collect::<Vec<_>>());
}

#[test]
fn entries_of_one_moment_are_not_lost_between_pages() {
    let entries = (1..=9).map(|n| entry(n, 60, &[1], change(0.3))).collect();
    let (_folder, notebook) = notebook(entries);
    for look in 1..=9 {
        let search = Search {
            window: EntryQuery::of(trial_id(1)),
            ..asked(2, look)
        };
        let found = paged(&notebook, search, |_| true);
        let expected: Vec<EntryId> = (1..=9).rev().map(entry_id).collect();
        assert_eq!(ids_of(&found), expected, "stretches of {look}");
    }
}

#[test]
fn a_version_says_what_came_after_it() {
    let undo = superseding(3, 90, 2, Act::Undo);
    let entries = vec![
        entry(1, 60, &[1], change(0.4)),
        superseding(2, 60, 1, change(0.3)),
        undo.clone(),
    ];
    let (_folder, notebook) = notebook(entries);
    let search = Search {
        window: EntryQuery::of(trial_id(1)),
        ..asked(9, 9)
    };
    let found = notebook.search(&search, |_| true).unwrap();
    // The undo itself is no line: it shows as what it took back.
    assert_eq!(ids_of(&found.versions), [entry_id(2), entry_id(1)]);
    let after: Vec<_> = found
        .versions
        .iter()
        .map(|v| v.after.as_ref().unwrap().id)
        .collect();
    assert_eq!(after, [undo.id, entry_id(2)]);
    assert_eq!(found.next, None);
}
