//! `fairtank update`

use crate::edge;
use std::path::PathBuf;
use store::Notebook;

/// Publish a trial: one self-contained page, still frames for a video, and the data.
#[derive(clap::Args)]
#[command(after_help = "Example: fairtank update my-notebook --out my-update
Makes my-update/index.html, my-update/frames/*.png and my-update/data.zip.")]
pub(crate) struct Args {
    /// The notebook's folder.
    folder: PathBuf,
    /// The trial's id; without it, the newest.
    #[arg(long)]
    trial: Option<String>,
    /// The folder to write; what an earlier update left there is replaced.
    #[arg(long)]
    out: PathBuf,
}

pub(crate) fn run(args: &Args) -> anyhow::Result<()> {
    let notebook = Notebook::open(&args.folder)?;
    let trial = answers::log::which_trial(&notebook, args.trial.as_deref())?;
    let bench = notebook.bench(trial)?;
    let update = answers::update::update_view(&notebook, trial, edge::now(&bench).date())?;
    let written = report::update::write(&notebook, &update, &args.out, &super::progress())?;
    for file in written {
        println!("{}", file.display());
    }
    println!(
        "Open {} in a browser.",
        args.out.join("index.html").display()
    );
    Ok(())
}
