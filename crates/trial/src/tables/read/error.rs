//! Why a table cannot be read.

use crate::tables::line::RowProblem;

/// Why a table cannot be read. Nothing of it is then taken.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ImportError {
    /// Another encoding.
    #[error("{file} is not UTF-8 text ({why}); save it again as CSV in UTF-8")]
    Encoding {
        /// The file.
        file: String,
        /// What was found.
        why: String,
    },
    /// Nothing in it.
    #[error(
        "{file} has no rows; accepted is a first line of column names and one line for each entry"
    )]
    Empty {
        /// The file.
        file: String,
    },
    /// Not a table.
    #[error("{file}, line {line}: the line cannot be read as a row of a table ({why})")]
    Shape {
        /// The file.
        file: String,
        /// The line.
        line: u64,
        /// What is wrong.
        why: String,
    },
    /// Columns that no table has.
    #[error("{file}: {says}")]
    Columns {
        /// The file.
        file: String,
        /// What is wrong and what is accepted.
        says: String,
    },
    /// The trial's own zone is not one.
    #[error(
        "{file}: the trial's time zone \"{zone}\" is not known; accepted is a name such as Europe/Berlin"
    )]
    Zone {
        /// The file.
        file: String,
        /// The zone.
        zone: String,
    },
    /// Rows that cannot stand.
    #[error("{}", rows_text(file, problems))]
    Rows {
        /// The file.
        file: String,
        /// What is wrong, at most [`super::MOST_PROBLEMS`].
        problems: Vec<RowProblem>,
    },
}

fn rows_text(file: &str, problems: &[RowProblem]) -> String {
    let lines: Vec<String> = problems.iter().map(|p| format!("{file}, {p}")).collect();
    let more = match problems.len() >= super::MOST_PROBLEMS {
        true => "\nThere may be more.",
        false => "",
    };
    format!("{}{more}", lines.join("\n"))
}
