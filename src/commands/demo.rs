//! `fairtank demo`

use std::path::PathBuf;
use store::Notebook;

/// Make the invented demonstration notebook and serve it.
///
/// Everything in it is made up: tanks, people, numbers and pictures.
#[derive(clap::Args)]
#[command(after_help = "Example: fairtank demo")]
pub(crate) struct Args {
    /// The folder to make; a demonstration that is already there is served as it is.
    #[arg(default_value = "fairtank-demo")]
    folder: PathBuf,
    /// Make the notebook without serving it.
    #[arg(long)]
    make_only: bool,
    /// The port to serve on; 0 takes any free one.
    #[arg(long, default_value_t = super::open::PORT)]
    port: u16,
}

pub(crate) fn run(args: &Args) -> anyhow::Result<()> {
    if !args.folder.join(store::DATABASE).exists() {
        let notebook = Notebook::create(&args.folder)?;
        demo::make(&notebook)?;
        eprintln!(
            "Made the invented demonstration notebook in {}",
            args.folder.display()
        );
    }
    if args.make_only {
        Ok(())
    } else {
        super::open::serve(&args.folder, args.port, None)
    }
}
