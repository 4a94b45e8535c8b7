//! `fairtank restore`

use anyhow::Context;
use std::fs::File;
use std::path::PathBuf;
use store::restore::{Limits, restore};

/// Make a notebook again from an exported zip file, without loss.
#[derive(clap::Args)]
#[command(after_help = "Example: fairtank restore my-notebook.zip my-notebook-again")]
pub(crate) struct Args {
    /// The exported zip file.
    file: PathBuf,
    /// The folder to make; nothing may stand under that name yet.
    folder: PathBuf,
}

pub(crate) fn run(args: &Args) -> anyhow::Result<()> {
    let file = File::open(&args.file)
        .with_context(|| format!("{} cannot be read", args.file.display()))?;
    let report = restore(file, &args.folder, &Limits::default(), &super::progress())?;
    println!("{report}");
    Ok(())
}
