#![no_main]
//! Any bytes restore to a whole notebook or to nothing.

use libfuzzer_sys::fuzz_target;
use std::io::Cursor;
use store::restore::{Limits, restore};

fuzz_target!(|bytes: &[u8]| {
    let temp = tempfile::tempdir().expect("a folder");
    let folder = temp.path().join("notebook");
    let made = restore(Cursor::new(bytes), &folder, &Limits::default(), &job::Progress::none());
    assert_eq!(made.is_ok(), folder.exists());
});
