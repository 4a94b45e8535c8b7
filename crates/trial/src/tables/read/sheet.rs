//! From bytes to a header and rows of cells.

use super::ImportError;
use csv::StringRecord;

/// A table before anyone asks what it means.
pub(super) struct Sheet {
    /// Column names in lower case with underscores for spaces.
    pub(super) header: Vec<String>,
    /// Rows that are not all empty, each with the line it begins on.
    pub(super) rows: Vec<(u64, StringRecord)>,
}

impl Sheet {
    pub(super) fn read(file: &str, bytes: &[u8]) -> Result<Sheet, ImportError> {
        let text = text_of(file, bytes)?;
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter(text))
            .from_reader(text.as_bytes());
        let mut header: Option<Vec<String>> = None;
        let mut rows = Vec::new();
        for record in reader.records() {
            let record = record.map_err(|e| ImportError::Shape {
                file: file.to_string(),
                line: e.position().map_or(0, csv::Position::line),
                why: e.to_string(),
            })?;
            if record.iter().all(|cell| cell.trim().is_empty()) {
                continue;
            }
            match header {
                None => header = Some(names(file, &record)?),
                Some(_) => rows.push((line_of(text, &record), record)),
            }
        }
        match header {
            Some(header) if !rows.is_empty() => Ok(Sheet { header, rows }),
            _ => Err(ImportError::Empty {
                file: file.to_string(),
            }),
        }
    }
}

/// UTF-8 text without its byte order mark.
fn text_of<'a>(file: &str, bytes: &'a [u8]) -> Result<&'a str, ImportError> {
    let encoding = |why: &str| ImportError::Encoding {
        file: file.to_string(),
        why: why.to_string(),
    };
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Err(encoding("it begins as UTF-16 does"));
    }
    let text = std::str::from_utf8(bytes).map_err(|e| {
        let before = &bytes[..e.valid_up_to()];
        let line = 1 + before.iter().filter(|b| **b == b'\n').count();
        encoding(&format!(
            "the first byte that does not fit is on line {line}"
        ))
    })?;
    if text.contains('\0') {
        return Err(encoding(
            "it holds zero bytes, as UTF-16 and spreadsheet files do",
        ));
    }
    Ok(text.strip_prefix('\u{feff}').unwrap_or(text))
}

/// The sign between cells: the one that stands most often in the first line, outside quotes.
fn delimiter(text: &str) -> u8 {
    let first = text.lines().find(|l| !l.trim().is_empty()).unwrap_or("");
    // Every second stretch between quotes is quoted.
    let unquoted = || first.split('"').step_by(2).flat_map(str::chars);
    let count = |sign: char| unquoted().filter(|c| *c == sign).count();
    // The first of equals wins: a comma when there is no sign at all.
    [(b',', ','), (b';', ';'), (b'\t', '\t')]
        .into_iter()
        .rev()
        .max_by_key(|(_, sign)| count(*sign))
        .map_or(b',', |(byte, _)| byte)
}

fn names(file: &str, record: &StringRecord) -> Result<Vec<String>, ImportError> {
    let columns = |says: String| ImportError::Columns {
        file: file.to_string(),
        says,
    };
    let mut header: Vec<String> = record
        .iter()
        .map(|name| name.trim().to_lowercase().replace(' ', "_"))
        .collect();
    while header.last().is_some_and(String::is_empty) {
        header.pop();
    }
    for (i, name) in header.iter().enumerate() {
        if name.is_empty() {
            return Err(columns(format!("column {} has no name", i + 1)));
        }
        if header[..i].contains(name) {
            return Err(columns(format!(
                "two columns are called \"{name}\"; rename one of them"
            )));
        }
    }
    Ok(header)
}

/// The line a row begins on; the reader counts from the empty lines before it.
fn line_of(text: &str, record: &StringRecord) -> u64 {
    let Some(position) = record.position() else {
        return 0;
    };
    let from = usize::try_from(position.byte()).unwrap_or(usize::MAX);
    let rest = text.as_bytes().get(from..).unwrap_or(&[]);
    let empty = rest.iter().take_while(|b| matches!(b, b'\r' | b'\n'));
    position.line() + empty.filter(|b| **b == b'\n').count() as u64
}
