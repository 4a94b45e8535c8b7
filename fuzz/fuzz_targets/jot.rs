#![no_main]
//! Any text is a jot or a refusal, never a panic; what is read passes the rules.

use jiff::civil::date;
use jiff::tz::TimeZone;
use libfuzzer_sys::fuzz_target;
use std::sync::LazyLock;
use trial::Bench;

static BENCH: LazyLock<Bench> =
    LazyLock::new(|| demo::records().expect("the demo is read").benches.remove(0));

fuzz_target!(|line: &str| {
    let now = date(2026, 5, 25).at(12, 0, 0, 0).to_zoned_datetime(TimeZone::UTC).expect("a time");
    match trial::jot::read(line, &BENCH, &now) {
        Ok(read) => assert!(trial::rules::check_draft(&read.draft, &BENCH).is_empty()),
        Err(error) => assert!(error.to_string().contains("Nothing was written")),
    }
});
