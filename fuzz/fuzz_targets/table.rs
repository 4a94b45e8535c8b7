#![no_main]
//! Any bytes are a table or a refusal that names its place.

use libfuzzer_sys::fuzz_target;
use std::sync::LazyLock;
use trial::Bench;

static BENCH: LazyLock<Bench> =
    LazyLock::new(|| demo::records().expect("the demo is read").benches.remove(0));

fuzz_target!(|bytes: &[u8]| {
    let _ = trial::tables::read_table(&BENCH, "fuzz.csv", bytes);
});
