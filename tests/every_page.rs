//! Every page that a link leads to, in a real browser, at a phone and at a desk: it opens, fits,
//! says that the demonstration is invented, breaks no rule of accessibility, is well-formed HTML of
//! modest weight, and the browser has nothing to complain of.
//!
//! Rules from outside: axe-core's for WCAG 2.2 A and AA (`tests/vendor`), the HTML Standard's
//! parse errors as html5ever counts them. Weight: 150 kB travel for a page with its style and
//! scripts, pictures left out.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // helpers of tests, outside the test functions

mod common;
#[path = "common/browser.rs"]
mod window;

use common::{Served, demo, serve};
use html5ever::tendril::TendrilSink;
use markup5ever_rcdom::RcDom;
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::io::{Read, Write};
use std::net::TcpStream;
use window::Browser;

const AXE: &str = include_str!("vendor/axe.min.js");
/// Pages looked at of each shape of address, such as `/trials/ID/entries/ID`.
const OF_EACH: usize = 2;
const HEAVIEST: usize = 150_000;

/// Leads to something that is no page: a file, or a picture.
fn is_page(path: &str) -> bool {
    let files = ["/pictures/", "/assets/", "/update/made/", "/files/"];
    let in_files = files
        .iter()
        .any(|f| path.contains(f) && path.rsplit('/').next().is_some_and(|n| n.contains('.')));
    !(in_files || path.starts_with("/pictures/") || path.starts_with("/assets/"))
}

/// The shape of an address: identities and the values of questions left out.
fn shape(path: &str) -> String {
    let (path, query) = path.split_once('?').unwrap_or((path, ""));
    let names: BTreeSet<&str> = query
        .split('&')
        .filter_map(|pair| pair.split('=').next())
        .collect();
    let parts = path.split('/').map(|part| {
        let hex = part.chars().all(|c| c.is_ascii_hexdigit() || c == '-');
        if hex && part.len() >= 32 { "ID" } else { part }
    });
    let names: Vec<&str> = names.into_iter().collect();
    format!(
        "{}?{}",
        parts.collect::<Vec<_>>().join("/"),
        names.join("&")
    )
}

/// An answer: the bytes that travel, packed as a browser asks for them, and the text they unpack to.
struct Fetched {
    travelled: usize,
    text: String,
}

fn fetch(served: &Served, path: &str) -> Fetched {
    let host = served.address.trim_start_matches("http://");
    let ask = |packed: &str| {
        let mut stream = TcpStream::connect(host).unwrap();
        let head = format!("GET {path} HTTP/1.0\r\nHost: {host}\r\n{packed}\r\n");
        stream.write_all(head.as_bytes()).unwrap();
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).unwrap();
        let end = answer.windows(4).position(|w| w == b"\r\n\r\n").unwrap();
        answer.split_off(end + 4)
    };
    Fetched {
        travelled: ask("Accept-Encoding: gzip\r\n").len(),
        text: String::from_utf8(ask("")).unwrap(),
    }
}

fn parse_errors(html: &str) -> Vec<String> {
    let dom =
        html5ever::parse_document(RcDom::default(), html5ever::ParseOpts::default()).one(html);
    let errors = dom.errors.borrow();
    errors.iter().map(|e| e.to_string()).collect()
}

/// Bytes of the style sheets and scripts that a page names.
fn assets(served: &Served, html: &str, known: &mut BTreeMap<String, usize>) -> usize {
    let named = html.split('"').filter(|part| part.starts_with("/assets/"));
    let named: BTreeSet<&str> = named
        .filter(|path| path.ends_with(".css") || path.ends_with(".js"))
        .collect();
    let mut sum = 0;
    for path in named {
        let weight = known
            .entry(path.to_owned())
            .or_insert_with(|| fetch(served, path).travelled);
        sum += *weight;
    }
    sum
}

/// What is wrong with the page that is open.
async fn look(browser: &Browser, path: &str) -> Vec<String> {
    let mut wrong = Vec::new();
    let wide = browser
        .run(
            "return document.documentElement.scrollWidth - window.innerWidth",
            vec![],
        )
        .await;
    if wide.as_f64().unwrap() > 0.0 {
        wrong.push(format!("wider than the window by {wide}"));
    }
    let heading = browser
        .run(
            "return document.querySelector('h1')?.textContent ?? ''",
            vec![],
        )
        .await;
    let heading = heading.as_str().unwrap_or_default().to_owned();
    if heading.is_empty() || heading.contains("Nothing here") || heading.contains("went wrong") {
        wrong.push(format!("heading: {heading:?}"));
    }
    if path.starts_with("/trials/") && path != "/trials/new" {
        let said = browser
            .run(
                "return document.body.textContent.toLowerCase().includes('invented')",
                vec![],
            )
            .await;
        if said.as_bool() != Some(true) {
            wrong.push("does not say that the demo is invented".to_owned());
        }
    }
    let complaints = browser.complaints().await;
    wrong.extend(complaints.into_iter().map(|c| format!("console: {c}")));
    let rules = "return axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', \
         'wcag22aa', 'best-practice'], resultTypes: ['violations']}).then(r => \
         r.violations.map(v => v.id + ': ' + v.help + ' ' + \
         v.nodes.slice(0, 3).map(n => n.target.join(' ') + ' (' + (n.any[0]?.message ?? '') + ')').join('; ')));";
    let broken = browser.run(rules, vec![]).await;
    let broken = broken.as_array().cloned().unwrap_or_default();
    wrong.extend(broken.iter().map(|b| format!("axe: {b}")));
    wrong
}

/// The addresses on the open page that stay with us.
async fn links(browser: &Browser) -> Vec<String> {
    let script = "return [...document.querySelectorAll('a[href]')].filter(a => a.origin === \
                  location.origin && !a.hasAttribute('download')).map(a => a.pathname + a.search)";
    let found = browser.run(script, vec![]).await;
    let found = found.as_array().cloned().unwrap_or_default();
    let found = found.iter().filter_map(|l| l.as_str().map(str::to_owned));
    found.collect()
}

/// Walks from the first page along every link; gives what is wrong, page by page.
async fn walk(browser: &Browser, served: &Served) -> (usize, Vec<String>) {
    let mut next = VecDeque::from(["/".to_owned()]);
    let mut queued: BTreeMap<String, usize> = BTreeMap::new();
    let mut known: BTreeSet<String> = BTreeSet::new();
    let mut weights = BTreeMap::new();
    let (mut seen, mut wrong) = (0, Vec::new());
    while let Some(path) = next.pop_front() {
        let address = format!("{}{path}", served.address);
        browser.driver.goto(&address).await.unwrap();
        seen += 1;
        let path = browser
            .run("return location.pathname + location.search", vec![])
            .await;
        let path = path.as_str().unwrap().to_owned();
        let page = fetch(served, &path);
        let html = &page.text;
        let mut here = look(browser, &path).await;
        here.extend(parse_errors(html).into_iter().map(|e| format!("HTML: {e}")));
        let weight = page.travelled + assets(served, html, &mut weights);
        // The published page stands alone and brings its pictures and fonts within itself.
        if weight > HEAVIEST && !path.ends_with("/update/page") {
            here.push(format!("weighs {} kB", weight / 1000));
        }
        wrong.extend(here.into_iter().map(|w| format!("{path}\n    {w}")));
        for link in links(browser).await {
            let count = queued.entry(shape(&link)).or_default();
            if is_page(&link) && *count < OF_EACH && known.insert(link.clone()) {
                *count += 1;
                next.push_back(link);
            }
        }
    }
    (seen, wrong)
}

async fn every_page(browser: Browser, theme: &str) {
    let (_temp, folder) = demo();
    let served = serve(&folder);
    browser.wish(theme).await;
    browser.bring(AXE).await;
    let (seen, wrong) = walk(&browser, &served).await;
    browser.end().await;
    assert!(seen > 60, "links lead to {seen} pages only");
    assert!(
        wrong.is_empty(),
        "{} faults on {seen} pages:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn every_page_at_a_phone_in_light() {
    every_page(Browser::phone().await, "light").await;
}

#[tokio::test(flavor = "multi_thread")]
async fn every_page_at_a_desk_in_dark() {
    every_page(Browser::desk().await, "dark").await;
}
