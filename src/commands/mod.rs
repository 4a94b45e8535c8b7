//! One file per command; the whole map is here.

mod backup;
mod check;
mod compare;
mod demo;
mod export;
mod import;
mod jot;
mod open;
mod references;
mod restore;
mod trials;
mod update;
mod water;

use clap::Subcommand;
use job::Progress;
use std::io::IsTerminal;

/// Every command.
#[derive(Subcommand)]
pub(crate) enum Command {
    Demo(demo::Args),
    Open(open::Args),
    Trials(trials::Args),
    Jot(jot::Args),
    Compare(compare::Args),
    Update(update::Args),
    Import(import::Args),
    Export(export::Args),
    Restore(restore::Args),
    Backup(backup::Args),
    Check(check::Args),
    References(references::Args),
    Water(water::Args),
}

/// Runs one.
pub(crate) fn run(command: Command) -> anyhow::Result<()> {
    match command {
        Command::Demo(args) => demo::run(&args),
        Command::Open(args) => open::run(&args),
        Command::Trials(args) => trials::run(&args),
        Command::Jot(args) => jot::run(&args),
        Command::Compare(args) => compare::run(&args),
        Command::Update(args) => update::run(&args),
        Command::Import(args) => import::run(&args),
        Command::Export(args) => export::run(&args),
        Command::Restore(args) => restore::run(&args),
        Command::Backup(args) => backup::run(&args),
        Command::Check(args) => check::run(&args),
        Command::References(args) => references::run(&args),
        Command::Water(args) => water::run(&args),
    }
}

/// Progress of long work, told on standard error where that is a terminal: what is being done, and
/// how far it is.
fn progress() -> Progress {
    if !std::io::stderr().is_terminal() {
        return Progress::none();
    }
    Progress::watched(|seen| {
        // The longest thing said so far may stand behind it: it is written over.
        eprint!("\r{:3} %  {:40}", seen.permille / 10, seen.doing);
        if seen.permille >= 1000 {
            eprintln!();
        }
    })
}

/// The same for work that counts in strides: `before` is what was done at the last report.
fn progress_from(before: u64, done: u64, of: u64) {
    let percent = |n: u64| n.saturating_mul(100).checked_div(of).unwrap_or(100);
    if done > 0 && percent(done) != percent(before) && std::io::stderr().is_terminal() {
        eprint!("\r{:3} %", percent(done));
        if done >= of {
            eprintln!();
        }
    }
}
