//! The real binary, for command and browser tests.
#![allow(dead_code, unreachable_pub)] // each test file uses its own part
#![allow(clippy::unwrap_used, clippy::expect_used)] // helpers of tests, outside the test functions

use assert_cmd::Command;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Stdio};
use tempfile::TempDir;

/// The binary under test.
pub fn fairtank() -> Command {
    Command::cargo_bin("fairtank").expect("the binary is built with the tests")
}

/// A folder of its own with the demonstration notebook in it.
pub fn demo() -> (TempDir, PathBuf) {
    let temp = tempfile::tempdir().unwrap();
    let folder = temp.path().join("demo");
    fairtank()
        .arg("demo")
        .arg(&folder)
        .arg("--make-only")
        .assert()
        .success();
    (temp, folder)
}

/// A notebook being served; the server ends with it.
pub struct Served {
    child: Child,
    /// `http://127.0.0.1:PORT`
    pub address: String,
}

/// Serves a notebook on a free port, and waits until it says that it is ready.
pub fn serve(folder: &Path) -> Served {
    let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_fairtank"))
        .arg("open")
        .arg(folder)
        .args(["--port", "0"])
        .stdout(Stdio::piped())
        .spawn()
        .expect("the binary starts");
    let mut line = String::new();
    BufReader::new(child.stdout.take().unwrap())
        .read_line(&mut line)
        .unwrap();
    let address = line
        .trim()
        .strip_prefix("Fairtank is at ")
        .and_then(|a| a.strip_suffix('/'))
        .expect("the ready line of the interfaces")
        .to_string();
    Served { child, address }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
