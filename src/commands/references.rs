//! `fairtank references`

use crate::edge;
use evidence::references;

/// Run every embedded reference table and say how far to trust the results.
#[derive(clap::Args)]
#[command(after_help = "Example: fairtank references")]
pub(crate) struct Args {
    /// Print one JSON document.
    #[arg(long)]
    json: bool,
}

pub(crate) fn run(args: &Args) -> anyhow::Result<()> {
    let results = references::run();
    if args.json {
        edge::print_json(&results)?;
    } else {
        for r in &results {
            let word = if r.passed { "pass" } else { "FAIL" };
            println!("{word}  {:24}  {}; {}", r.id, r.source, r.computed_by);
        }
    }
    let failed = results.iter().filter(|r| !r.passed).count();
    if failed == 0 {
        Ok(())
    } else {
        anyhow::bail!("{failed} reference tables failed")
    }
}
