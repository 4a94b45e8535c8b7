//! The texts of refusals, kept in `golden/jot_errors.txt`; `UPDATE_GOLDEN=1` writes it anew.

#![allow(clippy::unwrap_used, clippy::panic)] // helpers fail a test by panicking

mod common;

use common::*;
use trial::jot::read;

const FILE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/golden/jot_errors.txt");

const LINES: &[&str] = &[
    "",
    "doze kno3 1.2 g",
    "oak: raed no3 6-12",
    "oak read no3 6-12",
    "oka: read no3 6-12",
    ": change 40%",
    "read no3 6-12",
    "ash, elm: score bacopa 7",
    "swap \"old lamp\" for \"new lamp\"",
    "oak: read no3 5",
    "oak: read no3 5-10",
    "oak: read no3 12-6",
    "fir: read po4 at least 2",
    "oak: read gh 4",
    "oak: read gh 4 on hardnes",
    "oak: read nitrade 6",
    "oak: read no3",
    "oak: read ph 15",
    "oak: read tap no3 6",
    "oak: read no3 6 diluted 2:3",
    "change 40",
    "change 140%",
    "change 30% with rian",
    "topup 2 g",
    "dose",
    "dose kno3",
    "dose kno3 1.2",
    "dose kno3 5 ml",
    "dose evenning mix 5 ml",
    "dose mgso4 2 g",
    "dose kno3 -1 g",
    "feed 0.3 g",
    "clean pan",
    "light 7.5",
    "light 25 h",
    "set tmep 24",
    "light on noonish",
    "gas on",
    "elm: trim bacoba keep 50%",
    "trim bacopa keep 50% out 32 g",
    "elm: trim bacopa keep 150%",
    "elm: trim bacopa kep 50%",
    "ash: score bacopa vigor 11",
    "ash: score bacopa vigur 7",
    "ash: score bacopa height 22",
    "ash: score bacopa",
    "ash: score 7",
    "ash: film 6",
    "ash: algae 2",
    "ash: move salvinia 10 g to ash",
    "ash: move salvinia 10 g",
    "ash: harvest bacopa 64 g",
    "ash: lost bacopa 2.5 stems",
    "ash: arrived snails",
    "note",
    "picture front",
    "undo",
    "change 40% @ 23:30",
    "change 40% @ yesterdya",
    "change 40% @ 03/02/2026",
    "ash: swap \"old lamp for a new one",
    "change 40% 50%",
    "oak: read no3 6 12",
    "temp 24",
];

#[test]
fn refusals_read_as_they_should() {
    let mut found = String::new();
    for line in LINES {
        let error = match read(line, &bench(), &now()) {
            Err(e) => e,
            Ok(j) => panic!("{line} was read as {:?}", j.draft.act),
        };
        found.push_str(&format!("{error}\n----\n"));
    }
    if std::env::var_os("UPDATE_GOLDEN").is_some() {
        std::fs::write(FILE, &found).unwrap();
    }
    let expected = std::fs::read_to_string(FILE).unwrap();
    for (found, expected) in found.split("----\n").zip(expected.split("----\n")) {
        assert_eq!(found, expected);
    }
    assert_eq!(found.len(), expected.len());
}
