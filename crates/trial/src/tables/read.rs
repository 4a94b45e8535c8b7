//! Reading a tidy table: text in, drafts out.

mod error;
mod merge;
mod sheet;

pub use error::ImportError;

use super::head::{HEAD, TAIL};
use super::line::{Line, RowProblem, zone_of};
use super::{Column, ColumnKind, ENTRY_TABLES, EntryTable};
use crate::rules::check_draft;
use crate::{Bench, Draft, EntryId, TankId};
use merge::merge;
use sheet::Sheet;
use std::collections::HashMap;

/// At most this many problems are gathered before reading stops.
pub const MOST_PROBLEMS: usize = 20;

/// An entry read from one row, or from several that share the cell `entry`.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadRow {
    /// Line of its first row, counted from 1.
    pub line: u64,
    /// The entry's id, when the table gives one.
    pub entry: Option<EntryId>,
    /// The entry before it is written.
    pub draft: Draft,
}

/// What [`read_table`] found.
#[derive(Debug, Clone, PartialEq)]
pub struct TableRead {
    /// The entries in the order of their first rows.
    pub rows: Vec<ReadRow>,
    /// Rows that name another trial and were left out.
    pub other_trials: u64,
}

/// A column that says what kind of act a row is, for tables that mix kinds.
const KIND: Column = Column::new("kind", ColumnKind::Word, "Kind of act, as in entries.csv");

/// Reads a table of readings, doses, changes, top-ups, trims, scores, algae, feedings, settings,
/// cleanings, livestock or notes for this bench. Pure: nothing is written.
///
/// What a table holds is told from its columns, or row by row from a column `kind`. Cells are apart
/// by commas, semicolons or tabs; numbers have a decimal point or comma; times without an offset
/// are the trial's. Rows that share a cell in the column `entry` are one entry. Every row is
/// checked by the rules that jots and forms obey; up to [`MOST_PROBLEMS`] problems are gathered,
/// and with one or more nothing is given. See `docs/tables.md`.
pub fn read_table(bench: &Bench, file: &str, bytes: &[u8]) -> Result<TableRead, ImportError> {
    let sheet = Sheet::read(file, bytes)?;
    let layout = Layout::of(file, &sheet)?;
    let zone = zone_of(&bench.trial.zone).ok_or_else(|| ImportError::Zone {
        file: file.to_string(),
        zone: bench.trial.zone.clone(),
    })?;
    let mut found = Found::default();
    for (number, cells) in &sheet.rows {
        let line = Line {
            number: *number,
            header: &sheet.header,
            cells,
            bench,
            zone: &zone,
        };
        if found.problems.len() >= MOST_PROBLEMS {
            break;
        }
        if of_other_trial(&line) {
            found.other_trials += 1;
        } else {
            match read_row(&layout, &line) {
                Ok(row) => found.take(&line, row),
                Err(problem) => found.problems.push(problem),
            }
        }
    }
    found.check(bench);
    if found.problems.is_empty() {
        Ok(TableRead {
            rows: found.rows,
            other_trials: found.other_trials,
        })
    } else {
        Err(ImportError::Rows {
            file: file.to_string(),
            problems: found.problems,
        })
    }
}

fn of_other_trial(line: &Line<'_>) -> bool {
    let (named, trial) = (line.word("trial"), &line.bench.trial);
    !named.is_empty() && named != trial.title.trim() && named != trial.id.to_string()
}

/// Entries found so far.
#[derive(Default)]
struct Found {
    rows: Vec<ReadRow>,
    /// The place in `rows` of each `entry` cell.
    by_entry: HashMap<String, usize>,
    other_trials: u64,
    problems: Vec<RowProblem>,
}

impl Found {
    /// Adds a row: to the entry it shares, or as one of its own.
    fn take(&mut self, line: &Line<'_>, row: ReadRow) {
        let key = line.word("entry");
        if key.is_empty() {
            self.rows.push(row);
            return;
        }
        match self.by_entry.get(key) {
            Some(place) => {
                if let Err(column) = merge(&mut self.rows[*place].draft, row.draft) {
                    let first = self.rows[*place].line;
                    self.problems.push(line.problem(
                        column,
                        format!("differs from line {first}, which has the same entry; accepted are equal cells, or another entry"),
                    ));
                }
            }
            None => {
                self.by_entry.insert(key.to_string(), self.rows.len());
                self.rows.push(row);
            }
        }
    }

    /// Holds every entry against the rules.
    fn check(&mut self, bench: &Bench) {
        for row in &self.rows {
            for problem in check_draft(&row.draft, bench) {
                if self.problems.len() >= MOST_PROBLEMS {
                    return;
                }
                let column = column_of(problem.field, row.draft.act.kind());
                let says = match column == VALUE {
                    true => format!("accepted for {} is {}", problem.field, problem.accepted),
                    false => format!("accepted is {}", problem.accepted),
                };
                self.problems.push(RowProblem {
                    line: row.line,
                    column: column.to_string(),
                    value: problem.value,
                    says,
                });
            }
        }
    }
}

/// The column of tables with one row for each measure: the measure's name stands in another.
const VALUE: &str = "value";

/// The column of a field of the rules, where their names differ.
fn column_of(field: &'static str, kind: &str) -> &'static str {
    let column = match field {
        "tanks" => "tank",
        "plantings" => "plant",
        "interval" => "low",
        "standard" => "standard_value",
        other => other,
    };
    let table = super::ENTRY_TABLES.iter().find(|t| t.kinds.contains(&kind));
    let has = |name| table.is_some_and(|t| t.columns().iter().any(|c| c.name == name));
    if !has(column) && has(VALUE) {
        VALUE
    } else {
        column
    }
}

fn read_row(layout: &Layout, line: &Line<'_>) -> Result<ReadRow, RowProblem> {
    if let Some(extra) = line
        .cells
        .iter()
        .skip(line.header.len())
        .find(|c| !c.trim().is_empty())
    {
        let mut problem = line.problem("", "the row has more cells than the table has columns");
        problem.value = extra.to_string();
        return Err(problem);
    }
    let table = layout.table(line)?;
    let tanks = line.tanks()?;
    let at = match line.has("at") {
        true => line.at()?,
        false => return Err(line.problem("at", "is empty; accepted is a date or a date and time")),
    };
    let read = table
        .act
        .ok_or_else(|| line.problem("kind", accepted_kinds()))?;
    let act = read(line, &tanks)?;
    let every = line.yes_no("all_tanks")?;
    let meant_all = tanks.is_empty() && act.goes_to_all() && every != Some(false);
    let all_tanks = meant_all || every == Some(true);
    let draft = Draft {
        at,
        tanks: if meant_all {
            line.bench.tank_ids()
        } else {
            tanks
        },
        all_tanks,
        who: line.text("who"),
        minutes: line.number("minutes")?,
        note: line.text("note"),
        act,
    };
    Ok(ReadRow {
        line: line.number,
        entry: line.word("entry").parse().ok(),
        draft,
    })
}

/// Which table a row belongs to.
enum Layout {
    /// All rows to one.
    One(&'static EntryTable),
    /// Each row says.
    ByKind,
}

fn readable() -> impl Iterator<Item = &'static EntryTable> {
    ENTRY_TABLES.iter().filter(|t| t.is_read())
}

fn knows(table: &EntryTable, column: &str) -> bool {
    [HEAD, table.own, table.also_read, TAIL, &[KIND]]
        .into_iter()
        .flatten()
        .any(|c| c.name == column)
}

fn marked(table: &EntryTable, header: &[String]) -> usize {
    header
        .iter()
        .filter(|h| table.marks.contains(&h.as_str()))
        .count()
}

fn accepted_kinds() -> String {
    let kinds: Vec<&str> = readable().flat_map(|t| t.kinds).copied().collect();
    format!("accepted is one of {}", kinds.join(", "))
}

impl Layout {
    fn of(file: &str, sheet: &Sheet) -> Result<Layout, ImportError> {
        let columns = |says: String| ImportError::Columns {
            file: file.to_string(),
            says,
        };
        let header = &sheet.header;
        if header.iter().any(|h| h == KIND.name) {
            return match header.iter().find(|h| !readable().any(|t| knows(t, h))) {
                Some(unknown) => Err(columns(format!("no table has a column \"{unknown}\""))),
                None => Ok(Layout::ByKind),
            };
        }
        let fitting = |t: &&EntryTable| header.iter().all(|h| knows(t, h));
        let mut fit = readable().filter(fitting).filter(|t| marked(t, header) > 0);
        if let Some(table) = fit.next() {
            return match fit.next() {
                None => Ok(Layout::One(table)),
                Some(other) => Err(columns(format!(
                    "its columns fit both {} and {}; add a column kind",
                    table.name, other.name
                ))),
            };
        }
        let notes = readable().find(|t| t.marks.is_empty());
        if let Some(notes) = notes
            .filter(fitting)
            .filter(|_| header.iter().any(|h| h == "note"))
        {
            return Ok(Layout::One(notes));
        }
        Err(columns(not_recognised(header)))
    }

    fn table(&self, line: &Line<'_>) -> Result<&'static EntryTable, RowProblem> {
        let kind = match self {
            Layout::One(table) => return Ok(table),
            Layout::ByKind => line.word("kind").to_lowercase().replace([' ', '-'], "_"),
        };
        let table = readable()
            .find(|t| t.kinds.contains(&kind.as_str()))
            .ok_or_else(|| line.problem("kind", accepted_kinds()))?;
        match line.header.iter().find(|h| line.has(h) && !knows(table, h)) {
            Some(column) => {
                Err(line.problem(column, format!("a row of kind {kind} has no such column")))
            }
            None => Ok(table),
        }
    }
}

/// Why no table has these columns: the columns that do not fit the nearest table, or what tables
/// there are.
fn not_recognised(header: &[String]) -> String {
    let nearest = readable()
        .filter(|t| marked(t, header) > 0)
        .max_by_key(|t| header.iter().filter(|h| knows(t, h)).count());
    match nearest {
        Some(table) => {
            let unknown: Vec<String> = header
                .iter()
                .filter(|h| !knows(table, h))
                .map(|h| format!("\"{h}\""))
                .collect();
            let known: Vec<&str> = [HEAD, table.own, table.also_read, TAIL]
                .into_iter()
                .flatten()
                .map(|c| c.name)
                .collect();
            format!(
                "it looks like {}, which has no column {}; accepted are {}",
                table.name,
                unknown.join(", "),
                known.join(", ")
            )
        }
        None => {
            let tables: Vec<String> = readable()
                .map(|t| match t.marks.first() {
                    Some(mark) => format!("{} (with a column {mark})", t.name),
                    None => t.name.to_string(),
                })
                .collect();
            format!(
                "its columns fit no table that can be read; those are {}",
                tables.join(", ")
            )
        }
    }
}

/// The tanks of both lists, each once.
fn union(into: &mut Vec<TankId>, more: Vec<TankId>) {
    for tank in more {
        if !into.contains(&tank) {
            into.push(tank);
        }
    }
}
