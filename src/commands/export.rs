//! `fairtank export`

use anyhow::Context;
use std::fs::File;
use std::path::PathBuf;
use std::sync::atomic::AtomicBool;
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
    let file = File::create_new(&args.out)
        .with_context(|| format!("{} cannot be made", args.out.display()))?;
    let report =
        store::export::export(&notebook, file, &mut super::progress, &AtomicBool::new(false))?;
    println!("{report}");
    Ok(())
}
