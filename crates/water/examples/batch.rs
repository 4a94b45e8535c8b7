//! The four table commands from standard input to standard output:
//! `cargo run --release -p water --example batch -- states < in.csv > out.csv`.
//!
//! The scripts under `checks/water` run it against the reference solver.

use std::io::{stdin, stdout};

use water::batch::{self, Options};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let which = std::env::args().nth(1).unwrap_or_default();
    let (input, output, options) = (stdin().lock(), stdout().lock(), Options::default());
    let go = &mut |_| true;
    let report = match which.as_str() {
        "states" => batch::states(input, output, &options, go)?,
        "gas" => batch::gas(input, output, &options, go)?,
        "mix" => batch::mix(input, output, &options, go)?,
        "ammonia" => batch::ammonia(input, output, &options, go)?,
        _ => return Err("use one of: states, gas, mix, ammonia".into()),
    };
    eprintln!("{} rows, {} with a problem", report.rows, report.problems);
    if let Some((_, why)) = report.first_problem {
        eprintln!("first: {why}");
    }
    Ok(())
}
