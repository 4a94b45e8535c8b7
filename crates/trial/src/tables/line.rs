//! One row of a table being read, with the questions every kind of table asks of it.

use super::column::{from_key, unguard};
use crate::{Bench, Planting, PlantingId, TankId};
use jiff::Timestamp;
use jiff::ZonedDateTime;
use jiff::civil::{Date, DateTime, Time};
use jiff::tz::TimeZone;
use quantity::parse_number;
use serde::de::DeserializeOwned;
use std::fmt;
use std::str::FromStr;

/// What is wrong with one cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RowProblem {
    /// Line in the file, counted from 1, where the row begins.
    pub line: u64,
    /// The column.
    pub column: String,
    /// What stands there.
    pub value: String,
    /// What is accepted.
    pub says: String,
}

impl fmt::Display for RowProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let shown: String = self.value.chars().take(60).collect();
        let more = if shown.len() < self.value.len() {
            "..."
        } else {
            ""
        };
        let column = match self.column.as_str() {
            "" => String::new(),
            name => format!(" column {name},"),
        };
        let (line, says) = (self.line, &self.says);
        write!(f, "line {line},{column} value \"{shown}{more}\": {says}")
    }
}

/// A row and the bench it is read for.
pub(crate) struct Line<'a> {
    pub(crate) number: u64,
    pub(crate) header: &'a [String],
    pub(crate) cells: &'a csv::StringRecord,
    pub(crate) bench: &'a Bench,
    pub(crate) zone: &'a TimeZone,
}

impl<'a> Line<'a> {
    /// The cell as it stands; empty when the column or the cell is missing.
    pub(crate) fn raw(&self, column: &str) -> &'a str {
        self.header
            .iter()
            .position(|h| h == column)
            .and_then(|i| self.cells.get(i))
            .unwrap_or("")
    }

    /// The cell without spaces around it.
    pub(crate) fn word(&self, column: &str) -> &'a str {
        unguard(self.raw(column).trim())
    }

    /// A keeper's text as it was before it was guarded.
    pub(crate) fn text(&self, column: &str) -> String {
        unguard(self.raw(column)).to_string()
    }

    pub(crate) fn has(&self, column: &str) -> bool {
        !self.raw(column).trim().is_empty()
    }

    pub(crate) fn problem(&self, column: &str, says: impl Into<String>) -> RowProblem {
        RowProblem {
            line: self.number,
            column: column.to_string(),
            value: self.raw(column).to_string(),
            says: says.into(),
        }
    }

    pub(crate) fn number(&self, column: &str) -> Result<Option<f64>, RowProblem> {
        if !self.has(column) {
            return Ok(None);
        }
        parse_number(self.raw(column))
            .map(Some)
            .map_err(|e| self.problem(column, e.to_string()))
    }

    /// A share: 0 to 1, or a percentage with its sign.
    pub(crate) fn share(&self, column: &str) -> Result<Option<f64>, RowProblem> {
        let word = self.word(column);
        let says = "accepted is a share from 0 to 1, or a percentage such as 40%";
        let value = match word.strip_suffix('%') {
            None => self.number(column)?,
            Some(percent) => Some(
                parse_number(percent).map_err(|e| self.problem(column, e.to_string()))? / 100.0,
            ),
        };
        match value {
            Some(v) if !(0.0..=1.0).contains(&v) => Err(self.problem(column, says)),
            other => Ok(other),
        }
    }

    /// Any value that reads itself; none for an empty cell.
    pub(crate) fn parsed<T: FromStr>(
        &self,
        column: &str,
        says: &str,
    ) -> Result<Option<T>, RowProblem> {
        if !self.has(column) {
            return Ok(None);
        }
        self.word(column)
            .parse()
            .map(Some)
            .map_err(|_| self.problem(column, says))
    }

    pub(crate) fn count(&self, column: &str) -> Result<Option<u32>, RowProblem> {
        self.parsed(column, "accepted is a whole number from 0")
    }

    pub(crate) fn date(&self, column: &str) -> Result<Option<Date>, RowProblem> {
        self.parsed(column, "accepted is a date such as 2026-05-01")
    }

    pub(crate) fn time(&self, column: &str) -> Result<Option<Time>, RowProblem> {
        self.parsed(column, "accepted is a time of day such as 18:30")
    }

    pub(crate) fn yes_no(&self, column: &str) -> Result<Option<bool>, RowProblem> {
        match self.word(column).to_lowercase().as_str() {
            "" => Ok(None),
            "true" | "yes" | "1" => Ok(Some(true)),
            "false" | "no" | "0" => Ok(Some(false)),
            _ => Err(self.problem(column, "accepted is true or false, yes or no")),
        }
    }

    /// A key of a closed list.
    pub(crate) fn key<T: DeserializeOwned>(
        &self,
        column: &str,
        accepted: &str,
    ) -> Result<Option<T>, RowProblem> {
        if !self.has(column) {
            return Ok(None);
        }
        from_key(self.word(column))
            .map(Some)
            .ok_or_else(|| self.problem(column, format!("accepted is one of {accepted}")))
    }

    /// The value, or the problem that the cell is empty.
    pub(crate) fn need<T>(
        &self,
        column: &str,
        value: Option<T>,
        what: &str,
    ) -> Result<T, RowProblem> {
        value.ok_or_else(|| self.problem(column, format!("is empty; accepted is {what}")))
    }

    /// The record of this name among `all`, which must be told apart by it.
    pub(crate) fn named<'r, T>(
        &self,
        column: &str,
        all: impl Iterator<Item = &'r T>,
        name: impl Fn(&T) -> &str,
        what: &str,
    ) -> Result<Option<&'r T>, RowProblem> {
        let wanted = self.word(column).to_lowercase();
        let all: Vec<&T> = all.collect();
        let mut found = all
            .iter()
            .filter(|r| name(r).trim().to_lowercase() == wanted);
        match (found.next(), found.next()) {
            (_, Some(_)) => Err(self.problem(
                column,
                format!("two {what} have this name; rename one of them"),
            )),
            (one, None) => Ok(one.copied()),
        }
    }

    /// When it happened, in the row's zone or the trial's.
    pub(crate) fn at(&self) -> Result<ZonedDateTime, RowProblem> {
        let text = self.word("at");
        let says = "accepted is a date or a date and time such as 2026-05-01, 2026-05-01 18:30 or \
                    2026-05-01T18:30+02:00";
        let zone = self.row_zone()?;
        let bad = |_| self.problem("at", says);
        if text.contains('[') {
            let at: ZonedDateTime = text.parse().map_err(bad)?;
            return Ok(zone.map_or(at.clone(), |z| at.with_time_zone(z)));
        }
        let zone = zone.unwrap_or_else(|| self.zone.clone());
        if let Ok(instant) = text.parse::<Timestamp>() {
            return Ok(instant.to_zoned_datetime(zone));
        }
        let local: DateTime = if text.contains(':') {
            text.parse().map_err(bad)?
        } else {
            // A day without a time is taken at noon, the hour nearest to all others.
            text.parse::<Date>().map_err(bad)?.at(12, 0, 0, 0)
        };
        zone.to_zoned_datetime(local).map_err(bad)
    }

    fn row_zone(&self) -> Result<Option<TimeZone>, RowProblem> {
        let zone = self.word("zone");
        if zone.is_empty() {
            return Ok(None);
        }
        zone_of(zone).map(Some).ok_or_else(|| {
            self.problem(
                "zone",
                "accepted is a time zone such as Europe/Berlin or +02:00",
            )
        })
    }

    /// The tanks named, if any: one or several names apart by spaces, commas or semicolons. `all`
    /// is the same as none.
    pub(crate) fn tanks(&self) -> Result<Vec<TankId>, RowProblem> {
        let word = self.word("tank");
        if word.is_empty() || word.eq_ignore_ascii_case("all") {
            return Ok(vec![]);
        }
        if let Some(tank) = self.bench.tank_named(word) {
            return Ok(vec![tank.id]);
        }
        let names = word.split([' ', ',', ';']).filter(|n| !n.is_empty());
        let mut tanks = Vec::new();
        for name in names {
            let tank = self.bench.tank_named(name).ok_or_else(|| {
                let known: Vec<&str> = self.bench.tanks.iter().map(|t| t.name.as_str()).collect();
                self.problem("tank", format!("accepted is one of {}", known.join(", ")))
            })?;
            if !tanks.contains(&tank.id) {
                tanks.push(tank.id);
            }
        }
        Ok(tanks)
    }

    /// The plantings meant in `tanks` (all when empty): by id where the bench has it, else by name.
    pub(crate) fn plantings(&self, tanks: &[TankId]) -> Result<Vec<PlantingId>, RowProblem> {
        let by_id = self.word("planting").parse::<PlantingId>().ok();
        if let Some(planting) = by_id.and_then(|id| self.bench.planting(id)) {
            return Ok(vec![planting.id]);
        }
        if !self.has("plant") {
            return match self.has("planting") {
                true => {
                    Err(self.problem("planting", "accepted is the id of a planting of this trial"))
                }
                false => Ok(vec![]),
            };
        }
        let all_tanks = self.bench.tank_ids();
        let tanks = if tanks.is_empty() {
            &all_tanks[..]
        } else {
            tanks
        };
        let mut found = Vec::new();
        for tank in tanks {
            found.extend(self.planting_in(*tank)?);
        }
        if found.is_empty() {
            let known = self.bench.species().join(", ");
            return Err(self.problem(
                "plant",
                format!("is not planted there; planted are {known}"),
            ));
        }
        Ok(found)
    }

    fn planting_in(&self, tank: TankId) -> Result<Option<PlantingId>, RowProblem> {
        let wanted = self.word("plant").to_lowercase();
        let names = |p: &Planting| {
            [
                p.title(),
                p.scientific_name.clone(),
                p.common_name.clone(),
                p.label.clone(),
            ]
            .map(|n| n.to_lowercase())
        };
        let pick = |test: &dyn Fn(&str) -> bool| -> Vec<PlantingId> {
            let here = self.bench.plantings_in(tank);
            here.filter(|p| names(p).iter().any(|n| test(n)))
                .map(|p| p.id)
                .collect()
        };
        let mut found = pick(&|n| n == wanted);
        if found.is_empty() {
            found = pick(&|n| n.starts_with(&wanted));
        }
        match found.len() {
            0 | 1 => Ok(found.pop()),
            _ => Err(self.problem(
                "plant",
                "is planted more than once in this tank; accepted is the name with its label, or \
                 the planting's id in a column planting",
            )),
        }
    }
}

/// The zone of an IANA name or a fixed offset such as `+02:00`.
pub(crate) fn zone_of(text: &str) -> Option<TimeZone> {
    let anchor: ZonedDateTime = format!("1970-01-02T00:00:00[{text}]").parse().ok()?;
    Some(anchor.time_zone().clone())
}
