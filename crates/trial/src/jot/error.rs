//! A jot that was refused.

use std::fmt;
use text::t;

/// Why a line was refused, with the place in it. Nothing is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JotError {
    /// The line as typed.
    pub line: String,
    /// Where the word begins that was not understood, in characters from 0.
    pub column: usize,
    /// How many characters it has; at least 1, also at the end of the line.
    pub width: usize,
    /// What was understood up to there; empty when nothing was.
    pub understood: String,
    /// What is wrong, one sentence.
    pub problem: String,
    /// The nearest known words, best first.
    pub nearest: Vec<String>,
}

impl fmt::Display for JotError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // One character a column, so that the carets stand under the word.
        let line: String = self
            .line
            .chars()
            .map(|c| if c.is_control() { ' ' } else { c })
            .collect();
        writeln!(f, "{line}")?;
        writeln!(f, "{}{}", " ".repeat(self.column), "^".repeat(self.width))?;
        writeln!(f, "{}", self.problem)?;
        if !self.understood.is_empty() {
            writeln!(f, "{}", t!("act.jot_understood", what = self.understood))?;
        }
        if !self.nearest.is_empty() {
            writeln!(
                f,
                "{}",
                t!("act.jot_nearest", words = self.nearest.join(", "))
            )?;
        }
        f.write_str(t!("act.jot_nothing_written"))
    }
}

impl std::error::Error for JotError {}
