//! Columns of tidy tables, and how their cells are written and read back.

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

/// What the cells of a column hold. An empty cell means "not known" or "does not apply".
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ColumnKind {
    /// Text the keeper typed; guarded against being taken for a formula, see [`guard`].
    Text,
    /// A key, an id or another word Fairtank makes.
    Word,
    /// A decimal number with a point.
    Number,
    /// A whole number.
    Count,
    /// `true` or `false`.
    YesNo,
    /// ISO 8601 date.
    Date,
    /// ISO 8601 time of day.
    Time,
    /// ISO 8601 date and time with its offset from UTC.
    DateTime,
}

/// One column of a tidy table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Column {
    /// Its name, with its unit as a suffix where it has one.
    pub name: &'static str,
    /// What its cells hold.
    pub kind: ColumnKind,
    /// Its unit, empty when it has none.
    pub unit: &'static str,
    /// What it says, in one sentence.
    pub about: &'static str,
}

impl Column {
    /// A column without a unit.
    pub(crate) const fn new(name: &'static str, kind: ColumnKind, about: &'static str) -> Self {
        Column {
            name,
            kind,
            unit: "",
            about,
        }
    }

    /// A number with a unit.
    pub(crate) const fn number(
        name: &'static str,
        unit: &'static str,
        about: &'static str,
    ) -> Self {
        Column {
            name,
            kind: ColumnKind::Number,
            unit,
            about,
        }
    }

    /// The cell as it stands in the file: keeper's text is guarded, the rest is as it is.
    pub fn cell(&self, value: String) -> String {
        match self.kind {
            ColumnKind::Text => guard(value),
            _ => value,
        }
    }
}

/// One row before it is put in column order: cells by column name; those left out are empty.
pub type RowCells = Vec<(&'static str, String)>;

/// The cells of a row in the order of `columns`.
pub fn in_order(columns: &[Column], mut row: RowCells) -> Vec<String> {
    debug_assert!(
        row.iter()
            .all(|(name, _)| columns.iter().any(|c| c.name == *name)),
        "a cell has no column: {row:?}"
    );
    columns
        .iter()
        .map(|c| {
            let found = row.iter_mut().find(|(name, _)| *name == c.name);
            c.cell(
                found
                    .map(|(_, value)| std::mem::take(value))
                    .unwrap_or_default(),
            )
        })
        .collect()
}

/// Whether a spreadsheet may run `text` as a formula, apostrophes before it left aside.
fn looks_like_formula(text: &str) -> bool {
    text.trim_start_matches('\'')
        .starts_with(['=', '+', '-', '@', '\t', '\r'])
}

/// Puts an apostrophe before text that a spreadsheet could run as a formula. Text that already
/// begins with apostrophes before such a sign gets one more, so that [`unguard`] gives it back.
pub fn guard(text: String) -> String {
    if looks_like_formula(&text) {
        format!("'{text}")
    } else {
        text
    }
}

/// Takes off the apostrophe that [`guard`] put before a text.
pub fn unguard(text: &str) -> &str {
    match text.strip_prefix('\'') {
        Some(rest) if looks_like_formula(rest) => rest,
        _ => text,
    }
}

/// A number as the record holds it: the shortest text that reads back to the same value.
pub(crate) fn number(value: f64) -> String {
    format!("{value}")
}

/// An optional number; none is an empty cell.
pub(crate) fn opt(value: Option<f64>) -> String {
    value.map(number).unwrap_or_default()
}

/// Anything optional that prints itself; none is an empty cell.
pub(crate) fn show<T: ToString>(value: Option<T>) -> String {
    value.map(|v| v.to_string()).unwrap_or_default()
}

/// The stable key of a plain enum, as the records store it.
pub(crate) fn key_of<T: Serialize>(value: &T) -> String {
    match serde_json::to_value(value) {
        Ok(Value::String(key)) => key,
        // A plain enum is always stored as its key.
        _ => String::new(),
    }
}

/// The plain enum of this key; case and spaces do not matter.
pub(crate) fn from_key<T: DeserializeOwned>(word: &str) -> Option<T> {
    let key = word.trim().to_lowercase().replace([' ', '-'], "_");
    serde_json::from_value(Value::String(key)).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn formulas_are_guarded() {
        // The signs are those OWASP names for CSV injection (OWASP Foundation, "CSV Injection";
        // from memory).
        for sign in ["=", "+", "-", "@", "\t", "\r"] {
            assert_eq!(guard(format!("{sign}1")), format!("'{sign}1"));
        }
        assert_eq!(guard("pale - since May".into()), "pale - since May");
        assert_eq!(unguard("'quoted'"), "'quoted'");
    }

    proptest! {
        #[test]
        fn guarded_text_comes_back(text in "['=+@\\t\\r a-]{0,6}") {
            let guarded = guard(text.clone());
            prop_assert_eq!(unguard(&guarded), text.as_str());
            prop_assert!(!guarded.starts_with(['=', '+', '-', '@', '\t', '\r']));
        }
    }
}
