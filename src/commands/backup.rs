//! `fairtank backup`

use std::path::PathBuf;
use store::Notebook;

/// Copy a notebook, consistently, while it is in use.
#[derive(clap::Args)]
#[command(after_help = "Example: fairtank backup my-notebook my-notebook-copy")]
pub(crate) struct Args {
    /// The notebook's folder.
    folder: PathBuf,
    /// The folder to make.
    out: PathBuf,
}

pub(crate) fn run(args: &Args) -> anyhow::Result<()> {
    Notebook::open(&args.folder)?.backup(&args.out, &super::progress())?;
    println!("Copied to {}", args.out.display());
    Ok(())
}
