//! Measures what a keeper waits for: start to first page, the demo's pages, the bench of a trial
//! with 100,000 entries. Run it by hand, optimised:
//!
//! ```sh
//! cargo build --release && cargo run --release --example measure
//! ```
//! It prints medians and 99th percentiles over loopback, one client, each request its own
//! connection. Limits to hold it against: first page 50 ms after the start on an existing notebook,
//! demo pages 20 ms, the large bench 100 ms.

use std::error::Error;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::Instant;
use store::Notebook;
use store::testing::{large, large_trial};

const ROUNDS: usize = 30;
const PAGES: [&str; 10] = [
    "bench",
    "timeline",
    "log",
    "readings",
    "compare",
    "treatment",
    "costs",
    "plans",
    "setup",
    "update",
];

fn main() -> Result<(), Box<dyn Error>> {
    let temp = tempfile::tempdir()?;
    let demo = temp.path().join("demo");
    demo::make(&Notebook::create(&demo)?)?;
    start(&demo)?;
    pages(&demo)?;
    let big = temp.path().join("large");
    Notebook::create(&big)?.write_all(&large(100_000)?)?;
    let served = Served::start(&big)?;
    let path = format!("/trials/{}/bench", large_trial());
    report("bench of 100,000 entries", served.times(&path)?);
    for span in ["whole", "year", "quarter", "month", "week", "day"] {
        let path = format!(
            "/trials/{}/timeline?from=2024-03-15&span={span}",
            large_trial()
        );
        report(
            &format!("timeline of 100,000 entries, {span}"),
            served.times(&path)?,
        );
    }
    Ok(())
}

/// From starting the program to the last byte of the first page.
fn start(folder: &Path) -> Result<(), Box<dyn Error>> {
    let mut times = Vec::new();
    for _ in 0..ROUNDS {
        let begun = Instant::now();
        let served = Served::start(folder)?;
        served.get("/")?;
        times.push(begun.elapsed().as_secs_f64() * 1e3);
    }
    report("start to first page", times);
    Ok(())
}

fn pages(folder: &Path) -> Result<(), Box<dyn Error>> {
    let served = Served::start(folder)?;
    let trial = Notebook::open(folder)?
        .trials()?
        .last()
        .map(|t| t.trial.id.to_string());
    let trial = trial.ok_or("the demo has trials")?;
    report("demo /", served.times("/")?);
    for word in PAGES {
        report(
            &format!("demo {word}"),
            served.times(&format!("/trials/{trial}/{word}"))?,
        );
    }
    Ok(())
}

fn report(what: &str, mut times: Vec<f64>) {
    times.sort_by(f64::total_cmp);
    let at = |share: f64| times[((times.len() - 1) as f64 * share).round() as usize];
    println!(
        "{what:28} median {:7.2} ms   p99 {:7.2} ms",
        at(0.5),
        at(0.99)
    );
}

/// The program itself, serving a notebook on a free port; it ends with this.
struct Served {
    child: Child,
    host: String,
}

impl Served {
    fn start(folder: &Path) -> Result<Served, Box<dyn Error>> {
        let mut child = Command::new(program()?)
            .arg("open")
            .arg(folder)
            .args(["--port", "0"])
            .stdout(Stdio::piped())
            .spawn()?;
        let mut line = String::new();
        BufReader::new(child.stdout.take().ok_or("no output")?).read_line(&mut line)?;
        let address = line.trim().trim_end_matches('/');
        let host = address.rsplit("//").next().unwrap_or_default().to_string();
        Ok(Served { child, host })
    }

    /// Times of one page, in milliseconds, after one round that is not counted.
    fn times(&self, path: &str) -> Result<Vec<f64>, Box<dyn Error>> {
        self.get(path)?;
        (0..ROUNDS)
            .map(|_| {
                let begun = Instant::now();
                self.get(path)?;
                Ok(begun.elapsed().as_secs_f64() * 1e3)
            })
            .collect()
    }

    fn get(&self, path: &str) -> Result<(), Box<dyn Error>> {
        let mut stream = TcpStream::connect(&self.host)?;
        write!(
            stream,
            "GET {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n",
            self.host
        )?;
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer)?;
        if answer.starts_with(b"HTTP/1.1 200") {
            Ok(())
        } else {
            Err(format!(
                "{path}: {}",
                String::from_utf8_lossy(&answer[..40.min(answer.len())])
            )
            .into())
        }
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// The program built beside this example.
fn program() -> Result<PathBuf, Box<dyn Error>> {
    let here = std::env::current_exe()?;
    let folder = here
        .parent()
        .and_then(Path::parent)
        .ok_or("no target folder")?;
    let program = folder.join("fairtank");
    program
        .exists()
        .then_some(program)
        .ok_or_else(|| "build it first: cargo build --release".into())
}
