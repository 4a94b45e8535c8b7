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

#[cfg(test)]
mod tests {
    use crate::setup::shelf;
    use crate::table::FOLDERS;
    use crate::trial_setup::bench;

    use super::*;

    #[test]
    fn nothing_in_a_line_is_taken_for_granted() {
        for folder in FOLDERS {
            let bench = bench(folder, &shelf().unwrap()).unwrap();
            for row in folder.rows::<Line>("log").unwrap() {
                let at = moment(&row, row.cells.day, &row.cells.time, &bench).unwrap();
                if row.cells.line != "undo" {
                    let read = jot::read(&row.cells.line, &bench, &at).unwrap();
                    assert!(
                        read.findings.is_empty(),
                        "{}: {:?}",
                        row.cells.line,
                        read.findings
                    );
                    assert_eq!(read.draft.at, at);
                }
            }
        }
    }

    #[test]
    fn a_line_that_is_not_clear_is_refused_with_its_place() {
        let bench = bench(FOLDERS[0], &shelf().unwrap()).unwrap();
        let table = crate::table::Table {
            path: "x/log.csv",
            text: "day,time,line,who,minutes,note,key,corrects,written\n\
                   2026-02-02,18:00,dose evenin mix 5 ml,,,,,,\n\
                   2026-02-02,18:00,undo,,,,,gone,\n\
                   2026-02-02,25:00,clean pane,,,,,,\n",
        };
        let said: Vec<String> = table
            .rows::<Line>()
            .unwrap()
            .iter()
            .map(|row| entry(row, &[], &bench).err().unwrap().to_string())
            .collect();
        assert!(
            said[0].starts_with("demo/x/log.csv, line 2: dose evenin mix 5 ml\n     ^"),
            "{}",
            said[0]
        );
        assert!(said[1].contains("line 3: corrects \"gone\""), "{}", said[1]);
        assert!(said[2].contains("line 4: time \"25:00\""), "{}", said[2]);
    }
}
