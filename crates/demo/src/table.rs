//! The tables as built in, and reading their rows.

use crate::DemoError;
use serde::de::DeserializeOwned;

/// A table by its path below `demo/`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Table {
    pub(crate) path: &'static str,
    pub(crate) text: &'static str,
}

/// A row with the line it stands on.
#[derive(Debug, Clone)]
pub(crate) struct Row<T> {
    pub(crate) table: Table,
    pub(crate) line: u64,
    pub(crate) cells: T,
}

macro_rules! table {
    ($folder:literal, $name:literal) => {
        $crate::table::Table {
            path: concat!($folder, "/", $name, ".csv"),
            text: include_str!(concat!(
                env!("CARGO_MANIFEST_DIR"),
                "/../../demo/",
                $folder,
                "/",
                $name,
                ".csv"
            )),
        }
    };
}
pub(crate) use table;

impl Table {
    /// Every row as `T`, whose fields are the table's columns; empty cells are `None`.
    pub(crate) fn rows<T: DeserializeOwned>(self) -> Result<Vec<Row<T>>, DemoError> {
        let wrong = |source| DemoError::Csv {
            table: self.path.to_string(),
            source,
        };
        let mut reader = csv::Reader::from_reader(self.text.as_bytes());
        let header = reader.headers().map_err(wrong)?.clone();
        let mut rows = Vec::new();
        for record in reader.records() {
            let record = record.map_err(wrong)?;
            let line = record.position().map_or(0, csv::Position::line);
            let cells = record.deserialize(Some(&header)).map_err(wrong)?;
            rows.push(Row {
                table: self,
                line,
                cells,
            });
        }
        Ok(rows)
    }
}

impl<T> Row<T> {
    /// Where it stands, without its cells.
    pub(crate) fn place(&self) -> Row<()> {
        Row {
            table: self.table,
            line: self.line,
            cells: (),
        }
    }

    /// A problem with this row.
    pub(crate) fn problem(&self, says: impl Into<String>) -> DemoError {
        DemoError::Cell {
            table: self.table.path.to_string(),
            line: self.line,
            says: says.into(),
        }
    }

    /// Its rank in its table, for ids that keep the table's order.
    pub(crate) fn rank(&self) -> u16 {
        u16::try_from(self.line).unwrap_or(u16::MAX)
    }

    /// What `found` holds, or the problem that `field` names nothing known.
    pub(crate) fn known<F>(
        &self,
        found: Option<F>,
        field: &str,
        value: &str,
    ) -> Result<F, DemoError> {
        found.ok_or_else(|| {
            self.problem(format!(
                "{field} \"{value}\" is not one this table may hold"
            ))
        })
    }

    /// The pairs of a cell such as `no3 147.2; k 99.7`.
    pub(crate) fn pairs(&self, field: &str, cell: &str) -> Result<Vec<(String, f64)>, DemoError> {
        let parts = cell.split(';').map(str::trim).filter(|p| !p.is_empty());
        let pair = |part: &str| {
            let (word, number) = part.rsplit_once(' ')?;
            Some((
                word.trim().to_string(),
                quantity::parse_number(number).ok()?,
            ))
        };
        parts
            .map(|part| self.known(pair(part), field, part))
            .collect()
    }
}

/// The tables of one trial.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Folder {
    pub(crate) name: &'static str,
    /// Its rank among the trials: the last counts as the newest, which jots go to.
    pub(crate) rank: u16,
    pub(crate) tables: &'static [Table],
}

macro_rules! folder {
    ($name:literal, $rank:literal: $($table:literal),* $(,)?) => {
        $crate::table::Folder {
            name: $name,
            rank: $rank,
            tables: &[$($crate::table::table!($name, $table)),*],
        }
    };
}

/// Every trial of the demonstration.
pub(crate) const FOLDERS: [Folder; 2] = [
    folder!("sand-or-water", 1: "trial", "arms", "factors", "outcomes", "phases", "kept_ranges", "tanks",
        "substrate", "plantings", "equipment", "plans", "log", "tests", "observations", "algae", "cuts",
        "replants", "harvests", "livestock", "settings", "swaps", "pictures"),
    folder!("pots-or-cuttings", 0: "trial", "arms", "factors", "outcomes", "phases", "kept_ranges", "tanks",
        "substrate", "plantings", "equipment", "plans", "log", "observations", "algae", "livestock",
        "losses", "pictures"),
];

impl Folder {
    /// The rows of the table of this name; none when the trial has no such table.
    pub(crate) fn rows<T: DeserializeOwned>(self, name: &str) -> Result<Vec<Row<T>>, DemoError> {
        let named = |t: &&Table| {
            t.path
                .rsplit_once('/')
                .is_some_and(|(_, file)| file.strip_suffix(".csv") == Some(name))
        };
        self.tables
            .iter()
            .find(named)
            .map_or_else(|| Ok(vec![]), |t| t.rows())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde::Deserialize;

    #[derive(Debug, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Weighed {
        #[allow(dead_code)] // read, never looked at
        grams: f64,
    }

    #[test]
    fn a_cell_of_the_wrong_kind_is_refused_with_table_line_and_field() {
        let table = Table {
            path: "x/y.csv",
            text: "grams\n1.5\nmuch\n",
        };
        let said = table.rows::<Weighed>().unwrap_err().to_string();
        assert!(
            said.starts_with("demo/x/y.csv: ") && said.contains("line: 3"),
            "{said}"
        );
        let unknown = Table {
            path: "x/y.csv",
            text: "gram\n1.5\n",
        };
        assert!(unknown.rows::<Weighed>().is_err());
    }

    #[test]
    fn pairs_read_what_readers_write() {
        let row = Row {
            table: FOLDERS[0].tables[0],
            line: 2,
            cells: (),
        };
        let pairs = row.pairs("recipe_g", "KNO3 24; KH2PO4 2.4").unwrap();
        assert_eq!(
            pairs,
            [("KNO3".to_string(), 24.0), ("KH2PO4".to_string(), 2.4)]
        );
        let said = row.pairs("recipe_g", "KNO3").unwrap_err().to_string();
        assert!(said.contains("line 2: recipe_g \"KNO3\""), "{said}");
    }
}
