//! `fairtank check`

use crate::edge;
use std::path::PathBuf;
use store::Notebook;

/// Verify the store, the pictures and the history of a notebook.
#[derive(clap::Args)]
#[command(after_help = "Example: fairtank check my-notebook")]
pub(crate) struct Args {
    /// The notebook's folder.
    folder: PathBuf,
    /// Print one JSON document.
    #[arg(long)]
    json: bool,
}

pub(crate) fn run(args: &Args) -> anyhow::Result<()> {
    let report = Notebook::open(&args.folder)?.check(&super::progress())?;
    if args.json {
        edge::print_json(&report)?;
    } else {
        println!(
            "{} entries, {} revisions of set-up records, {} pictures read.",
            report.entries, report.revisions, report.pictures
        );
        for finding in &report.findings {
            println!("- {} {}", finding.what, finding.remedy);
        }
        if report.is_sound() {
            println!("Everything is whole.");
        }
    }
    if report.is_sound() {
        Ok(())
    } else {
        anyhow::bail!("the notebook needs attention, see above")
    }
}
