//! `fairtank trials`

use crate::edge;
use serde::Serialize;
use std::path::PathBuf;
use store::Notebook;

/// List the trials of a notebook.
#[derive(clap::Args)]
#[command(after_help = "Example: fairtank trials my-notebook --json")]
pub(crate) struct Args {
    /// The notebook's folder.
    folder: PathBuf,
    /// Print one JSON document.
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Line {
    id: String,
    title: String,
    tanks: Vec<String>,
    entries: u64,
}

pub(crate) fn run(args: &Args) -> anyhow::Result<()> {
    let notebook = Notebook::open(&args.folder)?;
    let lines: Vec<Line> = notebook
        .trials()?
        .into_iter()
        .map(|t| Line {
            id: t.trial.id.to_string(),
            title: t.trial.title,
            tanks: t.tanks.into_iter().map(|tank| tank.name).collect(),
            entries: t.entries,
        })
        .collect();
    if args.json {
        return edge::print_json(&lines);
    }
    for line in lines {
        println!(
            "{}  {}  ({}; {} entries)",
            line.id,
            line.title,
            line.tanks.join(", "),
            line.entries
        );
    }
    Ok(())
}
