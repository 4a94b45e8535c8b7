//! The tank-side sheet: what is due and what is usually done, tested and looked at over a few days,
//! as rows with boxes to fill in on paper; and the same rows typed in later.
//!
//! A row is known by its key alone ([`Row::key`], [`row_of`]), so that a sheet typed in keeps the
//! rows it was printed with, whatever was logged in between. What is printed depends on entries that
//! happened before the sheet was made and on nothing later.

mod due;
mod lines;
mod looks;
mod read;
mod rows;
#[cfg(test)]
mod tests;
mod usual;
mod write;

pub use read::{Head, Made, Part, TypedRow, Wrong, read};
pub use rows::row_of;
pub use write::{Wrote, id_of, write, wrote};

use crate::cautions::{self, Caution};
use crate::plans::{kinds as plan_kinds, plans};
use crate::walk::Scale;
use crate::{AnswerError, days, load};
use jiff::civil::Date;
use jiff::{ToSpan, ZonedDateTime};
use quantity::{Analyte, Format, Means};
use serde::Serialize;
use store::{EntryQuery, Notebook};
use trial::types::{Measure, PhaseKind};
use trial::{Act, Bench, CardId, Entry, EntryId, Finding, PlantingId, TankId};

/// The longest span of a sheet, in days: beyond it paper gets lost before it is typed in.
pub const MOST_DAYS: u32 = 14;
/// How far back "lately" reaches, in days.
const LATELY_DAYS: i64 = 42;
/// Lines for free jots on a sheet.
const FREE_LINES: usize = 8;

/// What a sheet is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// Its first day.
    pub from: Date,
    /// How many days, 1 to [`MOST_DAYS`].
    pub days: u32,
    /// Only entries that happened before this count.
    pub made: ZonedDateTime,
    /// Which kinds of rows.
    pub parts: Parts,
}

/// Which kinds of rows a sheet has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Parts {
    /// The list of what is due.
    pub due: bool,
    /// What is usually done.
    pub acts: bool,
    /// Water tests.
    pub readings: bool,
    /// Scores, lengths, algae.
    pub looks: bool,
    /// Lines for anything else.
    pub lines: bool,
}

impl Parts {
    /// All of them.
    pub const ALL: Parts = Parts {
        due: true,
        acts: true,
        readings: true,
        looks: true,
        lines: true,
    };
}

/// A sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sheet {
    /// First day.
    pub from: Date,
    /// Last day.
    pub to: Date,
    /// Week of the trial on the first day, from 1, when its start is known.
    pub week: Option<i64>,
    /// The phase on the first day.
    pub phase: Option<PhaseKind>,
    /// What is due, by day.
    pub due: Vec<DueLine>,
    /// The rows, in the order they are printed: acts, readings, looks, free lines.
    pub rows: Vec<Row>,
    /// Jots of this bench to show how a free line is written; each is read by the grammar.
    pub examples: Vec<String>,
    /// Where people or animals can be hurt by what is on the sheet, weightiest first.
    pub cautions: Vec<Caution>,
    /// Doubts about the waters and the gas that matter at the tanks.
    pub findings: Vec<Finding>,
}

/// Something due on a day of the sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DueLine {
    /// The day; the first of the sheet for what was due before.
    pub day: Date,
    /// What.
    pub what: String,
    /// In which tanks, in words.
    pub tanks: String,
    /// Days since it was due when the sheet begins; 0 when it is due on its day.
    pub late_days: i64,
}

/// One row of a sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Row {
    /// What it is, for [`row_of`].
    pub key: String,
    /// Its title, as printed and as errors name it.
    pub title: String,
    /// The day it is due, for acts and readings of a routine.
    pub due: Option<Date>,
    /// What it asks.
    pub what: What,
}

/// What a row asks.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum What {
    /// Something done as usual, or with another amount.
    Act {
        /// The entry it is like.
        like: EntryId,
        /// What would be logged.
        act: Box<Act>,
        /// In which tanks.
        tanks: Vec<TankId>,
        /// Whether that is every tank.
        all_tanks: bool,
        /// The same in words.
        tanks_words: String,
        /// The unit of another amount; none when the act has no amount.
        unit: Option<String>,
    },
    /// A water test of every tank.
    Reading {
        /// The card; none for a meter.
        card: Option<CardId>,
        /// Of what.
        analyte: Analyte,
        /// Ion or element.
        means: Means,
        /// The card's steps as printed.
        steps: Vec<String>,
        /// One box for each tank.
        boxes: Vec<TankBox>,
    },
    /// A score or length of one plant, or algae on one surface.
    Look {
        /// What is looked at.
        measure: Measure,
        /// How it is given.
        scale: Scale,
        /// One box for each planting or tank.
        boxes: Vec<TankBox>,
    },
    /// A free line, a jot.
    Line,
}

/// A box of a row.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TankBox {
    /// The tank.
    pub tank: TankId,
    /// The planting, for looks at plants.
    pub planting: Option<PlantingId>,
    /// Which of several of a plant in one tank; empty for the only one.
    pub which: String,
}

impl Row {
    /// The boxes that hold one value each.
    pub fn boxes(&self) -> &[TankBox] {
        match &self.what {
            What::Reading { boxes, .. } | What::Look { boxes, .. } => boxes,
            _ => &[],
        }
    }
}

/// The span a sheet usually covers: the days from today on, or the last ones of a closed trial.
pub fn usual_from(bench: &Bench, today: Date, days: u32) -> Date {
    match crate::bench::as_of(bench, today) {
        (end, true) => end.checked_sub(i64::from(days - 1).days()).unwrap_or(end),
        (today, false) => today,
    }
}

/// The sheet asked for.
///
/// # Errors
/// When the notebook cannot be read.
pub fn sheet(notebook: &Notebook, bench: &Bench, asked: &Asked) -> Result<Sheet, AnswerError> {
    let span = i64::from(asked.days.clamp(1, MOST_DAYS) - 1);
    let to = asked.from.checked_add(span.days()).unwrap_or(asked.from);
    let before = Before::of(notebook, bench, asked)?;
    let plans = plans(bench, &before.planned, asked.from);
    let parts = asked.parts;
    let mut rows = Vec::new();
    if parts.acts {
        rows.extend(usual::acts(bench, &before, &plans, (asked.from, to)));
    }
    if parts.readings {
        rows.extend(usual::readings(bench, &before, &plans, (asked.from, to)));
    }
    if parts.looks {
        rows.extend(looks::rows(bench, &before));
    }
    if parts.lines {
        rows.extend((0..FREE_LINES).map(|_| rows::free_line()));
    }
    let shown = load::cautions(notebook, bench)?;
    Ok(Sheet {
        from: asked.from,
        to,
        week: week(bench, asked.from),
        phase: bench.trial.phase_on(asked.from).map(|p| p.kind),
        due: if parts.due {
            due::lines(bench, &plans, (asked.from, to))
        } else {
            vec![]
        },
        examples: lines::examples(bench, asked),
        cautions: cautions_of(&rows),
        findings: lines::waters(bench)
            .into_iter()
            .chain(shown.conflicts)
            .collect(),
        rows,
    })
}

/// The week of the trial that holds a day, from 1.
fn week(bench: &Bench, day: Date) -> Option<i64> {
    let days = crate::plans::days_between(bench.trial.start?, day);
    (days >= 0).then_some(days / 7 + 1)
}

/// The cautions of the acts on the sheet, each once.
fn cautions_of(rows: &[Row]) -> Vec<Caution> {
    let mut codes: Vec<&str> = Vec::new();
    for row in rows {
        let of_row = match &row.what {
            What::Act { act, .. } => cautions::for_act(act.kind(), Some(act.as_ref())),
            What::Reading { .. } => cautions::for_act("reading", None),
            What::Look { .. } => cautions::for_act("observation", None),
            What::Line => vec![],
        };
        for code in of_row {
            if !codes.contains(&code) {
                codes.push(code);
            }
        }
    }
    let format = Format::default();
    let all = codes.into_iter();
    all.filter_map(|code| cautions::caution(code, &format))
        .collect()
}

/// What happened before the sheet was made.
struct Before {
    /// The day it was made.
    day: Date,
    /// Entries of the kinds that sheets repeat, of late, oldest first.
    lately: Vec<Entry>,
    /// Entries of the kinds that routines count, oldest first.
    planned: Vec<Entry>,
    /// Entries that say how plants and algae looked, oldest first.
    looked: Vec<Entry>,
}

impl Before {
    fn of(notebook: &Notebook, bench: &Bench, asked: &Asked) -> Result<Self, AnswerError> {
        let day = asked.made.with_time_zone(days::zone(bench)).date();
        let before = |kinds: &[&'static str]| {
            EntryQuery::of(bench.trial.id)
                .kinds(kinds)
                .to(asked.made.timestamp())
        };
        let since = day.checked_sub(LATELY_DAYS.days()).unwrap_or(day);
        let lately = EntryQuery {
            from: days::start_of(bench, since),
            ..before(&usual::KINDS)
        };
        let routines = plan_kinds(bench);
        let planned = match routines.is_empty() {
            true => vec![],
            false => notebook.entries(&before(&routines))?,
        };
        Ok(Before {
            day,
            lately: notebook.entries(&lately)?,
            planned,
            looked: notebook.entries(&before(&crate::walk::KINDS))?,
        })
    }
}
