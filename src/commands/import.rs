//! `fairtank import`

use crate::edge;
use anyhow::Context;
use quantity::Format;
use std::path::PathBuf;
use store::Notebook;
use store::import::plan_csv;
use trial::describe;

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
    /// Say what would be added, and add nothing.
    #[arg(long)]
    dry_run: bool,
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
    let progress = super::progress();
    let plan = plan_csv(&notebook, &bench, &name, &bytes, written, &progress)?;
    if !args.dry_run {
        println!("{}", plan.write(&notebook)?);
        return Ok(());
    }
    println!("Would be added: new entries {}.", plan.entries.len());
    for entry in &plan.entries {
        let tanks = describe::tanks_phrase(&entry.tanks, entry.all_tanks, &bench);
        let sentence = describe::sentence(&entry.act, &bench, &Format::default());
        println!(
            "- {}, {tanks}: {sentence}",
            entry.at.strftime("%Y-%m-%d %H:%M")
        );
    }
    Ok(())
}
