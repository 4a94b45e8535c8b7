//! The pages about jots and scores say what the program does.

#![allow(clippy::unwrap_used, clippy::panic)] // helpers fail a test by panicking

mod common;

use common::*;
use trial::describe::anchors;
use trial::types::Measure;

fn page(name: &str) -> String {
    let path = format!("{}/../../docs/{name}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).unwrap()
}

#[test]
fn every_jot_of_the_page_is_understood() {
    let page = page("jots.md");
    let blocks = page.split("```jots\n").skip(1);
    let lines: Vec<&str> = blocks
        .flat_map(|b| b.split("```").next().unwrap().lines())
        .collect();
    assert!(lines.len() > 45, "only {} examples found", lines.len());
    let mut kinds: Vec<&str> = lines
        .iter()
        .map(|line| jot(line).draft.act.kind())
        .collect();
    kinds.sort_unstable();
    kinds.dedup();
    // All kinds but the three that have pages of their own.
    let expected = trial::Act::KINDS
        .iter()
        .filter(|k| !["picture", "walk", "undo"].contains(k));
    assert_eq!(kinds.len(), expected.count(), "{kinds:?}");
}

#[test]
fn the_page_of_scores_has_the_anchors() {
    let page = page("scores.md");
    for m in [
        Measure::Vigour,
        Measure::NewLeaf,
        Measure::Density,
        Measure::Colour,
        Measure::Film,
        Measure::Thread,
    ] {
        for (score, words) in anchors(m) {
            assert!(
                page.contains(&format!("| {score} | {words} |")),
                "{m:?} {score}: {words}"
            );
        }
    }
}
