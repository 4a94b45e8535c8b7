//! `fairtank export`

use crate::exit::Unusable;
use anyhow::Context;
use std::fs::File;
use std::io::BufWriter;
use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;
use store::Notebook;
use store::export::ExportReport;

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
    let out = &args.out;
    if out.exists() {
        let text = format!("{} already exists; choose a new name", out.display());
        return Err(Unusable(text).into());
    }
    // A half-written package must not look like a whole one.
    let part = out.with_extension("part");
    let made = write(&notebook, &part).and_then(|report| {
        std::fs::rename(&part, out).with_context(|| format!("{} cannot be made", out.display()))?;
        Ok(report)
    });
    if made.is_err() {
        // Best effort: the error that is reported is the one that matters.
        let _ = std::fs::remove_file(&part);
    }
    println!("{}", made?);
    Ok(())
}

fn write(notebook: &Notebook, part: &Path) -> anyhow::Result<ExportReport> {
    let file = File::create(part).with_context(|| format!("{} cannot be made", part.display()))?;
    let cancel = AtomicBool::new(false);
    let report = store::export::export(
        notebook,
        BufWriter::new(&file),
        &mut super::progress,
        &cancel,
    )?;
    file.sync_all()?;
    Ok(report)
}
