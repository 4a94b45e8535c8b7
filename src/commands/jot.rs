//! `fairtank jot`

use crate::edge;
use crate::exit::Unusable;
use jiff::ZonedDateTime;
use jiff::civil::DateTime;
use std::path::PathBuf;
use store::Notebook;
use trial::Bench;

/// Write one entry as one line.
///
/// Without tanks it goes to every tank of the trial; amounts are per tank.
#[derive(clap::Args)]
#[command(after_help = "Examples:
  fairtank jot my-notebook \"change 40%\"
  fairtank jot my-notebook \"ash, elm: dose kno3 1.2 g\"
  fairtank jot my-notebook \"oak: read no3 6-12\" --at 2026-03-01T18:30
  fairtank jot my-notebook \"light 7.5 h 60%\" --dry-run")]
pub(crate) struct Args {
    /// The notebook's folder.
    folder: PathBuf,
    /// The line.
    line: String,
    /// The trial's id; without it, the newest.
    #[arg(long)]
    trial: Option<String>,
    /// When it happened, as 2026-03-01T18:30 in the trial's zone; without it, now.
    #[arg(long)]
    at: Option<String>,
    /// Read the line and say what it would write, without writing.
    #[arg(long)]
    dry_run: bool,
    /// Print one JSON document.
    #[arg(long)]
    json: bool,
}

pub(crate) fn run(args: &Args) -> anyhow::Result<()> {
    let notebook = Notebook::open(&args.folder)?;
    let trial = answers::log::which_trial(&notebook, args.trial.as_deref())?;
    let bench = notebook.bench(trial)?;
    let now = when(args.at.as_deref(), &bench)?;
    if args.dry_run {
        let read = answers::log::read_jot(&bench, &args.line, &now)?;
        println!("{}", read.read_back);
        for finding in read.findings {
            println!("note: {finding}");
        }
        println!("Nothing was written (--dry-run).");
        return Ok(());
    }
    let logged = answers::log::write_jot(&notebook, &bench, &args.line, &edge::stamp(now))?;
    if args.json {
        return edge::print_json(&logged);
    }
    println!("{}", said(&logged.line));
    for finding in logged.findings {
        println!("note: {finding}");
    }
    Ok(())
}

/// What was written: with who, minutes and note where there are any.
fn said(line: &answers::line::EntryLine) -> String {
    let time = line.time.strftime("%H:%M");
    let mut text = format!("{} {time}  {}: {}", line.day, line.tanks, line.sentence);
    if !line.who.is_empty() {
        text.push_str(&format!(", by {}", line.who));
    }
    if let Some(minutes) = line.minutes {
        text.push_str(&format!(", {minutes} min of work"));
    }
    if line.kind != "note" && !line.note.is_empty() {
        text.push_str(&format!(", with the note \"{}\"", line.note));
    }
    text
}

fn when(at: Option<&str>, bench: &Bench) -> anyhow::Result<ZonedDateTime> {
    let now = edge::now(bench);
    let Some(text) = at else { return Ok(now) };
    if let Ok(zoned) = text.parse::<ZonedDateTime>() {
        return Ok(zoned);
    }
    let civil: DateTime = text.parse().map_err(|_| {
        Unusable(format!(
            "--at: \"{text}\" is not accepted; write it like 2026-03-01T18:30"
        ))
    })?;
    Ok(civil.to_zoned_datetime(now.time_zone().clone())?)
}
