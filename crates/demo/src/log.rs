//! The log of a trial: one jot a line, as a keeper would have typed them.

use crate::DemoError;
use crate::entries::{Made, moment};
use crate::table::{Folder, Row};
use jiff::civil::{Date, DateTime};
use serde::Deserialize;
use trial::{Act, Bench, Draft, jot};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Line {
    day: Date,
    time: String,
    line: String,
    who: String,
    minutes: Option<f64>,
    note: String,
    key: String,
    /// The key of the entry this one corrects; with the line `undo`, of the one it takes back.
    corrects: String,
    /// When it was written down, if later than it happened.
    written: Option<DateTime>,
}

pub(crate) fn log(folder: Folder, bench: &Bench) -> Result<Vec<Made>, DemoError> {
    let mut made: Vec<Made> = Vec::new();
    for row in folder.rows::<Line>("log")? {
        let one = entry(&row, &made, bench)?;
        made.push(one);
    }
    Ok(made)
}

fn entry(row: &Row<Line>, before: &[Made], bench: &Bench) -> Result<Made, DemoError> {
    let cells = &row.cells;
    let at = moment(row, cells.day, &cells.time, bench)?;
    let written = match cells.written {
        None => at.timestamp(),
        Some(local) => row
            .known(
                local.in_tz(&bench.trial.zone).ok(),
                "zone",
                &bench.trial.zone,
            )?
            .timestamp(),
    };
    let read = match cells.line.as_str() {
        "undo" => {
            let undone = before.iter().find(|m| m.key == cells.corrects);
            let undone = &row.known(undone, "corrects", &cells.corrects)?.draft;
            Draft {
                act: Act::Undo,
                ..undone.clone()
            }
        }
        line => {
            jot::read(line, bench, &at)
                .map_err(|e| row.problem(e.to_string()))?
                .draft
        }
    };
    let note = if cells.note.is_empty() && read.act != Act::Undo {
        read.note
    } else {
        cells.note.clone()
    };
    Ok(Made {
        draft: Draft {
            at,
            who: cells.who.clone(),
            minutes: cells.minutes,
            note,
            ..read
        },
        written,
        key: cells.key.clone(),
        corrects: cells.corrects.clone(),
        row: row.place(),
    })
}
