//! Answers one reference case: `case FILE.input.json` prints its quantities as JSON.
//!
//! Exit 0 answered (a refusal is an answer and is printed as one), 2 unusable input or a
//! group that is not answered here.

use std::process::ExitCode;

use evidence::{NoAnswer, cases};
use serde_json::{Value, json};

fn main() -> ExitCode {
    match run() {
        Ok(answer) => {
            println!("{answer:#}");
            ExitCode::SUCCESS
        }
        Err(sentence) => {
            eprintln!("{sentence}");
            ExitCode::from(2)
        }
    }
}

fn run() -> Result<Value, String> {
    let path = std::env::args()
        .nth(1)
        .ok_or("The path of one case file (ID.input.json) is needed.")?;
    let text = std::fs::read_to_string(&path).map_err(|e| format!("{path} cannot be read: {e}"))?;
    let case = serde_json::from_str(&text).map_err(|e| format!("{path} is not JSON: {e}"))?;
    match cases::answer(&case) {
        Ok(answer) => Ok(answer),
        Err(NoAnswer::Refused(refusal)) => Ok(json!({
            "refused": { "code": refusal.code(), "sentence": refusal.to_string() }
        })),
        Err(NoAnswer::Unusable(unusable)) => Err(format!("{path}: {unusable}")),
    }
}
