#![no_main]
//! Any bytes are a picture within the limits or a refusal.

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    if picture::probe(bytes).is_ok() {
        let _ = picture::thumbnail(bytes, 64);
    }
});
