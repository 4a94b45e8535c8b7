//! A logged entry survives: a program that logs and is killed at any moment loses nothing it was
//! told is written.

#![allow(clippy::unwrap_used, clippy::expect_used)] // test code outside test functions

mod common;
use common::*;
use job::Progress;
use std::collections::HashSet;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;
use store::Notebook;
use trial::EntryId;

const FOLDER: &str = "STORE_KILL_TEST_FOLDER";
const FIRST: &str = "STORE_KILL_TEST_FIRST";

/// Not a test by itself: the program that is killed. Logs without end, saying each id once its
/// entry is written; every third entry brings a picture.
#[test]
fn logs_until_killed() {
    let (Ok(folder), Ok(first)) = (std::env::var(FOLDER), std::env::var(FIRST)) else {
        return;
    };
    let notebook = Notebook::open(Path::new(&folder)).unwrap();
    let mut out = std::io::stdout();
    for n in first.parse::<u32>().unwrap().. {
        let act = if n % 3 == 0 {
            picture(
                &notebook
                    .add_picture(&picture_bytes(n), "image/jpeg")
                    .unwrap(),
            )
        } else {
            dose(f64::from(n))
        };
        let new = entry(n, n.into(), &[1, 2], act);
        notebook.write_entry(&new).unwrap();
        writeln!(out, "written {}", new.id).unwrap();
        out.flush().unwrap();
    }
}

/// A fixed sequence of numbers (the constants are those of Knuth's MMIX generator, TAOCP vol. 2).
fn next(seed: &mut u64) -> u64 {
    *seed = seed
        .wrapping_mul(6_364_136_223_846_793_005)
        .wrapping_add(1_442_695_040_888_963_407);
    *seed >> 33
}

/// Runs the program until it has said `count` entries, then kills it `after` later; gives all it
/// said.
fn log_and_kill(folder: &Path, first: u32, count: usize, after: Duration) -> Vec<EntryId> {
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args([
            "--exact",
            "logs_until_killed",
            "--nocapture",
            "--test-threads=1",
        ])
        .env(FOLDER, folder)
        .env(FIRST, first.to_string())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
    let mut said = Vec::new();
    // The test harness may print on the same line as the first id.
    let id = |line: String| {
        line.split("written ")
            .nth(1)
            .map(|id| id.trim().parse::<EntryId>().unwrap())
    };
    while said.len() < count {
        said.extend(lines.next().expect("it logs until killed").map(id).unwrap());
    }
    std::thread::sleep(after);
    child.kill().unwrap(); // SIGKILL on Unix
    child.wait().unwrap();
    // What it had said before it was killed still stands in the pipe; the last line may be cut.
    for line in lines.map_while(Result::ok) {
        said.extend(
            line.split("written ")
                .nth(1)
                .and_then(|id| id.trim().parse::<EntryId>().ok()),
        );
    }
    said
}

#[test]
fn nothing_acknowledged_is_lost_when_killed() {
    let (_folder, notebook) = notebook(vec![]);
    let folder = notebook.folder().to_path_buf();
    drop(notebook);
    let mut seed = 20_260_726;
    let mut acknowledged: HashSet<EntryId> = HashSet::new();
    let mut kills = 0;
    while acknowledged.len() < 240 || kills < 10 {
        let first = u32::try_from(kills * 1000 + 1).unwrap();
        let count = 1 + next(&mut seed) as usize % 30;
        let after = Duration::from_micros(next(&mut seed) % 8_000);
        acknowledged.extend(log_and_kill(&folder, first, count, after));
        kills += 1;
        let notebook = Notebook::open(&folder).unwrap();
        for id in &acknowledged {
            assert!(
                notebook.entry(*id).unwrap().is_some(),
                "{id} was acknowledged and is lost"
            );
        }
        // At most the one entry that was under way may be there without having been said.
        let stored = notebook.count_entries().unwrap();
        let said = acknowledged.len() as u64;
        assert!(
            (said..=said + kills as u64).contains(&stored),
            "{said} said, {stored} stored"
        );
        let report = notebook.check(&Progress::none()).unwrap();
        assert!(report.is_sound(), "{:?}", report.findings);
    }
}
