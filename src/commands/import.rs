//! `fairtank import`

use crate::edge;
use anyhow::Context;
use std::path::PathBuf;
use store::Notebook;

/// Bring a tidy table (readings, doses, changes, trims, scores) into a trial.
///
/// All rows land or none; a bad row is named by file, line, column, value and what is accepted.
#[derive(clap::Args)]
#[command(after_help = "Example: fairtank import my-notebook readings.csv
The columns are described in docs/tables.md.")]
pub(crate) struct Args {
    /// The notebook's folder.
    folder: PathBuf,
    /// The table, as CSV in UTF-8.
    file: PathBuf,
    /// The trial's id; without it, the newest.
    #[arg(long)]
    trial: Option<String>,
}

pub(crate) fn run(args: &Args) -> anyhow::Result<()> {
    let notebook = Notebook::open(&args.folder)?;
    let trial = answers::log::which_trial(&notebook, args.trial.as_deref())?;
    let bench = notebook.bench(trial)?;
    let bytes = std::fs::read(&args.file)
        .with_context(|| format!("{} cannot be read", args.file.display()))?;
    let name = args
        .file
        .file_name()
        .map(|n| n.to_string_lossy().into_owned())
        .unwrap_or_default();
    let written = edge::now(&bench).timestamp();
    let report = store::import::import_csv(
        &notebook,
        &bench,
        &name,
        &bytes,
        written,
        &super::progress(),
    )?;
    println!("{report}");
    Ok(())
}
