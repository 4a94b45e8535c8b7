//! The loop over rows, shared by all tables.

use std::io::{Read, Write};

use csv::ByteRecord;

use super::write;
use crate::error::Unsolvable;

/// Rows between two reports of progress.
const REPORT_EVERY: u64 = 8192;

/// Where a run stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// Rows written.
    pub rows: u64,
    /// Rows among them without results.
    pub problems: u64,
    /// Bytes of the table read so far.
    pub bytes_read: u64,
}

/// What a run came to.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct BatchReport {
    /// Rows written.
    pub rows: u64,
    /// Rows among them that have a reason in `problem` instead of results.
    pub problems: u64,
    /// File line and reason of the first of them.
    pub first_problem: Option<(u64, String)>,
}

/// Why a table cannot be worked through.
#[derive(Debug, thiserror::Error)]
pub enum BatchError {
    /// A column that every row needs is not there.
    #[error("column \"{name}\" is missing; this table needs {needed}")]
    MissingColumn {
        /// Its name.
        name: String,
        /// All that are needed.
        needed: String,
    },
    /// A column that is read stands there twice.
    #[error("column \"{name}\" stands in the header twice; keep one")]
    RepeatedColumn {
        /// Its name.
        name: String,
    },
    /// The table cannot be read as comma-separated values, or not written.
    #[error("the table cannot be read or written: {0}")]
    Csv(#[from] csv::Error),
    /// The result cannot be written.
    #[error("the result cannot be written: {0}")]
    Io(#[from] std::io::Error),
    /// Stopped by the caller.
    #[error("stopped after {rows} rows")]
    Stopped {
        /// Rows written before.
        rows: u64,
    },
}

/// Why one row has no result.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub(super) enum RowProblem {
    #[error("column \"{column}\": \"{value}\" is not a number")]
    NotANumber { column: String, value: String },
    #[error("column \"{column}\" is empty; a number is needed")]
    Empty { column: String },
    #[error("the row has {found} cells, the header {expected}")]
    Cells { found: usize, expected: usize },
    #[error("{0}")]
    Unsolvable(#[from] Unsolvable),
    #[error("water {which}: {why}")]
    Of { which: char, why: Unsolvable },
}

/// Where the columns stand.
pub(super) struct Columns<'a> {
    header: &'a ByteRecord,
    needed: &'a [&'a str],
}

/// One column that is read.
#[derive(Debug, Clone)]
pub(super) struct Column {
    name: String,
    index: Option<usize>,
    default: Option<f64>,
}

impl Columns<'_> {
    fn find(&self, name: &str) -> Result<Option<usize>, BatchError> {
        let mut at = self
            .header
            .iter()
            .enumerate()
            .filter(|(_, cell)| cell.trim_ascii() == name.as_bytes())
            .map(|(i, _)| i);
        let first = at.next();
        if at.next().is_some() {
            return Err(BatchError::RepeatedColumn { name: name.into() });
        }
        Ok(first)
    }

    /// A column every row needs.
    pub(super) fn needed(&self, name: &str) -> Result<Column, BatchError> {
        let index = self.find(name)?.ok_or_else(|| BatchError::MissingColumn {
            name: name.into(),
            needed: self.needed.join(", "),
        })?;
        Ok(Column {
            name: name.into(),
            index: Some(index),
            default: None,
        })
    }

    /// A column that may be missing or empty, and what it then is.
    pub(super) fn or(&self, name: &str, default: f64) -> Result<Column, BatchError> {
        Ok(Column {
            name: name.into(),
            index: self.find(name)?,
            default: Some(default),
        })
    }
}

impl Column {
    /// The number of this column in `row`.
    pub(super) fn number(&self, row: &ByteRecord) -> Result<f64, RowProblem> {
        let cell = self
            .index
            .and_then(|i| row.get(i))
            .unwrap_or_default()
            .trim_ascii();
        if cell.is_empty() {
            return self.default.ok_or_else(|| RowProblem::Empty {
                column: self.name.clone(),
            });
        }
        plain_decimal(cell)
            .or_else(|| std::str::from_utf8(cell).ok()?.parse().ok())
            .ok_or_else(|| RowProblem::NotANumber {
                column: self.name.clone(),
                value: String::from_utf8_lossy(cell).chars().take(40).collect(),
            })
    }
}

/// The number in a cell of at most 15 digits with or without a point, which is what tables hold:
/// an integer over a power of ten, both exact, so the quotient is the nearest there is (Clinger
/// 1990, "How to read floating point numbers accurately"). Anything else is left to the library.
fn plain_decimal(cell: &[u8]) -> Option<f64> {
    const POWERS: [f64; 16] = [
        1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
    ];
    // Fifteen digits and a point.
    if cell.len() > 16 {
        return None;
    }
    let mut digits: u64 = 0;
    let mut count = 0;
    let mut decimals = 0;
    let mut after_point = 0;
    for byte in cell {
        let digit = byte.wrapping_sub(b'0');
        if digit < 10 {
            digits = digits * 10 + u64::from(digit);
            count += 1;
            decimals += after_point;
        } else if *byte == b'.' && after_point == 0 {
            after_point = 1;
        } else {
            return None;
        }
    }
    if count == 0 || count > 15 {
        return None;
    }
    Some(digits as f64 / POWERS[decimals])
}

/// What one kind of table does with a row.
pub(super) trait Rows {
    /// Columns every row needs.
    const NEEDED: &'static [&'static str];
    /// Columns appended.
    const RESULTS: &'static [&'static str];
    /// Puts one number per result column into `results`.
    fn solve(&mut self, row: &ByteRecord, results: &mut Vec<f64>) -> Result<(), RowProblem>;
}

/// Works through a table.
pub(super) fn run<T: Rows>(
    reader: impl Read,
    writer: impl Write,
    progress: super::OnProgress,
    start: impl FnOnce(&Columns) -> Result<T, BatchError>,
) -> Result<BatchReport, BatchError> {
    let mut table = csv::ReaderBuilder::new()
        .flexible(true)
        .has_headers(false)
        .buffer_capacity(1 << 16)
        .from_reader(reader);
    let mut header = ByteRecord::new();
    table.read_byte_record(&mut header)?;
    let header = without_mark(&header);
    let mut rows = start(&Columns {
        header: &header,
        needed: T::NEEDED,
    })?;
    let mut out = write::Out::new(writer);
    out.header(&header, T::RESULTS)?;
    let mut report = BatchReport::default();
    let mut row = ByteRecord::new();
    let mut results = Vec::with_capacity(T::RESULTS.len());
    while table.read_byte_record(&mut row)? {
        results.clear();
        let solved = if row.len() == header.len() {
            rows.solve(&row, &mut results)
        } else {
            Err(RowProblem::Cells {
                found: row.len(),
                expected: header.len(),
            })
        };
        report.rows += 1;
        match solved {
            Ok(()) => out.row(&row, header.len(), &results)?,
            Err(problem) => {
                let line = row.position().map_or(0, csv::Position::line);
                let text = format!("row {line}: {problem}");
                out.problem(&row, header.len(), T::RESULTS.len(), &text)?;
                report.problems += 1;
                report.first_problem.get_or_insert((line, text));
            }
        }
        if report.rows.is_multiple_of(REPORT_EVERY) {
            tell(progress, &report, table.position().byte())?;
        }
    }
    out.flush()?;
    tell(progress, &report, table.position().byte())?;
    Ok(report)
}

fn tell(progress: super::OnProgress, report: &BatchReport, bytes: u64) -> Result<(), BatchError> {
    let now = Progress {
        rows: report.rows,
        problems: report.problems,
        bytes_read: bytes,
    };
    if progress(now) {
        Ok(())
    } else {
        Err(BatchError::Stopped { rows: report.rows })
    }
}

/// The header without the byte-order mark that spreadsheets put before it.
fn without_mark(header: &ByteRecord) -> ByteRecord {
    header
        .iter()
        .enumerate()
        .map(|(i, cell)| match (i, cell.strip_prefix(b"\xef\xbb\xbf")) {
            (0, Some(rest)) => rest,
            _ => cell,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::plain_decimal;
    use proptest::prelude::*;

    #[test]
    fn only_plain_decimals_are_taken() {
        for (text, number) in [
            ("0", 0.0),
            ("007.50", 7.5),
            ("5.", 5.0),
            (".25", 0.25),
            ("123456789012345", 123_456_789_012_345.0),
        ] {
            assert_eq!(plain_decimal(text.as_bytes()), Some(number));
        }
        for text in [
            "",
            ".",
            "-1",
            "1e3",
            "1.2.3",
            "1234567890123456",
            "nan",
            "1,5",
        ] {
            assert_eq!(plain_decimal(text.as_bytes()), None, "{text}");
        }
    }

    proptest! {
        #[test]
        fn agrees_with_the_library_to_the_last_bit(text in "[0-9]{0,7}\\.?[0-9]{0,8}") {
            if let Some(number) = plain_decimal(text.as_bytes()) {
                prop_assert_eq!(number.to_bits(), text.parse::<f64>().unwrap().to_bits());
            }
        }
    }
}
