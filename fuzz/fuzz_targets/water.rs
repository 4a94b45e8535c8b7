#![no_main]
//! Any bytes are a table of waters, or a refusal that names its place; no row ends the run.

use libfuzzer_sys::fuzz_target;
use water::batch::{self, Options};

fuzz_target!(|bytes: &[u8]| {
    let Some((which, table)) = bytes.split_first() else {
        return;
    };
    let (mut out, options) = (Vec::new(), Options::default());
    let go_on = &mut |_| true;
    let _ = match which % 4 {
        0 => batch::states(table, &mut out, &options, go_on),
        1 => batch::gas(table, &mut out, &options, go_on),
        2 => batch::mix(table, &mut out, &options, go_on),
        _ => batch::ammonia(table, &mut out, &options, go_on),
    };
});
