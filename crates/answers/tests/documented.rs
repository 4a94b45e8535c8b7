//! Every code of a finding or a refused figure in the source stands in `docs/findings.md`.
#![allow(clippy::unwrap_used, clippy::expect_used)] // helpers of tests, outside the test functions

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// Words that stand where a code may stand, and are none: look-up tables and a field of an entry.
const NO_CODES: [&str; 4] = ["entry_tank", "entry_planting", "tank_reading", "all_tanks"];

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for item in std::fs::read_dir(folder).unwrap() {
        let path = item.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

/// Words joined by underscores that stand first in brackets, as a code does in
/// `Finding::new("a_code", ...)` and in the calls that make one.
fn codes(text: &str) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for (at, _) in text.match_indices('"') {
        let before = text[..at].trim_end();
        let word: String = text[at + 1..]
            .chars()
            .take_while(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || *c == '_')
            .collect();
        let after = &text[at + 1 + word.len()..];
        if before.ends_with('(')
            && after.starts_with("\",")
            && word.contains('_')
            && !word.starts_with('_')
        {
            found.insert(word);
        }
    }
    found
}

#[test]
fn every_code_is_documented() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let doc = std::fs::read_to_string(root.join("docs/findings.md")).unwrap();
    let mut all = BTreeSet::new();
    for of in ["answers", "store"] {
        let mut files = Vec::new();
        sources(&root.join("crates").join(of).join("src"), &mut files);
        for file in files {
            let text = std::fs::read_to_string(&file).unwrap();
            // Code alone: what tests write is no finding.
            let text = text
                .split("#[cfg(test)]\nmod tests {")
                .next()
                .unwrap_or_default();
            let is_test = file.ends_with("tests.rs") || file.ends_with("sample.rs");
            if !is_test {
                all.extend(codes(text));
            }
        }
    }
    // The search finds what it should: one of each way in which findings are made.
    for known in [
        "baseline_differed",
        "cost_life_missing",
        "gap_lamp",
        "picture_damaged",
        "entry_lost",
    ] {
        assert!(all.contains(known), "{known} was not found in the source");
    }
    let missing: Vec<&String> = all
        .iter()
        .filter(|code| !NO_CODES.contains(&code.as_str()))
        .filter(|code| !doc.contains(&format!("`{code}`")))
        .collect();
    assert!(missing.is_empty(), "not in docs/findings.md: {missing:?}");
}
