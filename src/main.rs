//! The binary: commands and start-up. Calculations live in the crates below; see ARCHITECTURE.md.

mod commands;
mod edge;
mod exit;
mod served;

use clap::Parser;
use std::process::ExitCode;

/// The notebook and reckoner for planted tanks kept side by side.
#[derive(Parser)]
#[command(name = "fairtank", version, max_term_width = 100)]
struct Cli {
    #[command(subcommand)]
    command: commands::Command,
}

fn main() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => {
            // Help and version are answers; anything else is unusable input.
            let code = if error.use_stderr() {
                exit::UNUSABLE
            } else {
                0
            };
            let _ = error.print();
            return ExitCode::from(code);
        }
    };
    match commands::run(cli.command) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            // A refused jot is a drawing with carets: it starts on a line of its own.
            let text = format!("{error:#}");
            let gap = if text.contains('\n') { '\n' } else { ' ' };
            eprintln!("fairtank:{gap}{text}");
            ExitCode::from(exit::code(&error))
        }
    }
}
