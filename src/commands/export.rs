//! `fairtank export`

use std::path::PathBuf;
use store::Notebook;

/// Write the whole notebook as one open Data Package (zip of CSV tables and pictures).
#[derive(clap::Args)]
#[command(after_help = "Example: fairtank export my-notebook my-notebook.zip")]
pub(crate) struct Args {
    /// The notebook's folder.
    folder: PathBuf,
    /// The zip file to make; it must not exist.
    out: PathBuf,
}

pub(crate) fn run(args: &Args) -> anyhow::Result<()> {
    let notebook = Notebook::open(&args.folder)?;
    let report = store::export::export_to(&notebook, &args.out, &super::progress())?;
    println!("{report}");
    Ok(())
}
