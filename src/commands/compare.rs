//! `fairtank compare`

use crate::edge;
use crate::exit::Unusable;
use answers::compare::{Comparison, Window};
use jiff::civil::Date;
use std::path::PathBuf;
use store::Notebook;

/// Compare the arms of a trial plant by plant, as far as the design carries.
#[derive(clap::Args)]
#[command(after_help = "Example: fairtank compare my-notebook --json")]
pub(crate) struct Args {
    /// The notebook's folder.
    folder: PathBuf,
    /// The trial's id; without it, the newest.
    #[arg(long)]
    trial: Option<String>,
    /// First day, as 2026-03-01, together with --to; without it, the start of the treatment.
    #[arg(long, requires = "to")]
    from: Option<String>,
    /// Day after the last.
    #[arg(long, requires = "from")]
    to: Option<String>,
    /// Print one JSON document.
    #[arg(long)]
    json: bool,
}

pub(crate) fn run(args: &Args) -> anyhow::Result<()> {
    let notebook = Notebook::open(&args.folder)?;
    let trial = answers::log::which_trial(&notebook, args.trial.as_deref())?;
    let bench = notebook.bench(trial)?;
    let window = match (&args.from, &args.to) {
        (Some(from), Some(to)) => Some(window(from, to)?),
        _ => None,
    };
    let today = edge::now(&bench).date();
    let comparison = answers::load::comparison(&notebook, &bench, window, today)?;
    if args.json {
        return edge::print_json(&comparison);
    }
    print(&comparison);
    Ok(())
}

fn window(from: &str, to: &str) -> Result<Window, Unusable> {
    let day = |name: &str, text: &str| {
        text.parse::<Date>().map_err(|_| {
            Unusable(format!(
                "{name}: \"{text}\" is not accepted; write it like 2026-03-01"
            ))
        })
    };
    let window = Window {
        from: day("--from", from)?,
        to: day("--to", to)?,
    };
    if window.from < window.to {
        Ok(window)
    } else {
        Err(Unusable(format!(
            "--to: \"{to}\" is not accepted; it must be after --from {from}"
        )))
    }
}

fn print(c: &Comparison) {
    println!(
        "From {} to before {}. {}",
        c.window.from, c.window.to, c.why_window
    );
    println!("\nWhat can be said");
    for line in &c.can_say {
        println!("- {line}");
    }
    println!("\nWhat cannot be said");
    for line in &c.cannot_say {
        println!("- {line}");
    }
    println!("\nRow by row");
    for row in &c.rows {
        for difference in &row.differences {
            print!("- {}", difference.sentence);
            match (difference.exact_p, difference.smallest_p) {
                (Some(p), Some(smallest)) => {
                    println!(" Exact p {p:.2}; the smallest possible is {smallest:.2}.");
                }
                _ => println!(),
            }
        }
    }
    for finding in &c.findings {
        println!("note: {} {}", finding.what, finding.remedy);
    }
}
