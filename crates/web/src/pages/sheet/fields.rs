//! The form a sheet is typed in on: what its fields are called, and how they are read.

use answers::sheet::{Head, Part, Row, TypedRow, What, Wrong};
use jiff::civil::Date;
use text::t;
use trial::Bench;

use crate::form_data::{FieldError, FormData};
use crate::pages::words::capital;

/// The hidden field with a row's key, once for each row.
pub(super) const ROW: &str = "row";

/// The name of a field of the head or of a row.
pub(super) fn name(row: Option<usize>, part: Part) -> String {
    let word = match part {
        Part::Day => "day".to_owned(),
        Part::Time => "time".to_owned(),
        Part::Who => "who".to_owned(),
        Part::Minutes => "min".to_owned(),
        Part::Usual => "usual".to_owned(),
        Part::Amount => "amount".to_owned(),
        Part::Value(at) => format!("v{at}"),
    };
    match row {
        Some(row) => format!("r{row}-{word}"),
        None => word,
    }
}

/// A moment as fields of moments have it.
pub(super) fn minute(day: Date, time: &str) -> String {
    format!("{day}T{time}")
}

/// The head as typed.
pub(super) fn head(data: &FormData) -> Head {
    let typed = |part| typed(data, None, part);
    Head {
        day: typed(Part::Day),
        time: typed(Part::Time),
        who: typed(Part::Who),
    }
}

/// The rows as typed.
pub(super) fn rows(data: &FormData, rows: &[Row]) -> Vec<TypedRow> {
    let read = |(n, row): (usize, &Row)| {
        let typed = |part| typed(data, Some(n), part);
        let values = match row.what {
            What::Line => 1,
            _ => row.boxes().len(),
        };
        TypedRow {
            day: typed(Part::Day),
            time: typed(Part::Time),
            who: typed(Part::Who),
            minutes: typed(Part::Minutes),
            usual: data.has(&name(Some(n), Part::Usual)),
            amount: typed(Part::Amount),
            values: (0..values).map(|at| typed(Part::Value(at))).collect(),
        }
    };
    rows.iter().enumerate().map(read).collect()
}

fn typed(data: &FormData, row: Option<usize>, part: Part) -> String {
    let typed = data.one(&name(row, part)).unwrap_or_default();
    typed.to_owned()
}

/// What is wrong, at its field and under a label that says which row.
pub(super) fn error(bench: &Bench, rows: &[Row], wrong: &Wrong) -> FieldError {
    let field = name(wrong.row, wrong.part);
    let row = wrong.row.and_then(|n| rows.get(n));
    let label = match row {
        Some(row) => format!("{}: {}", title(row), label(bench, row, wrong.part)),
        None => part_label(wrong.part).to_owned(),
    };
    FieldError::new(&field, &label, &wrong.value, wrong.accepted.clone())
}

/// A row's title with what tells it from its neighbours.
pub(super) fn title(row: &Row) -> String {
    let title = capital(&row.title);
    match (&row.what, row.due) {
        (What::Act { tanks_words, .. }, Some(day)) => {
            format!("{title} ({tanks_words}, {})", super::short_day(day))
        }
        (What::Act { tanks_words, .. }, None) => format!("{title} ({tanks_words})"),
        (_, Some(day)) => format!("{title} ({})", super::short_day(day)),
        _ => title,
    }
}

/// The label of a field of a row: the tank of a box, else what it holds.
pub(super) fn label(bench: &Bench, row: &Row, part: Part) -> String {
    let Part::Value(at) = part else {
        return part_label(part).to_owned();
    };
    let Some(one) = row.boxes().get(at) else {
        return t!("sheet.f_line").to_owned();
    };
    let tank = bench.tank(one.tank).map_or("", |t| t.name.as_str());
    match one.which.as_str() {
        "" => tank.to_owned(),
        which => t!("sheet.planted_here", tank = tank, which = which),
    }
}

fn part_label(part: Part) -> &'static str {
    match part {
        Part::Day => t!("sheet.f_day"),
        Part::Time => t!("sheet.f_time"),
        Part::Who => t!("sheet.f_who"),
        Part::Minutes => t!("sheet.f_minutes"),
        Part::Usual => t!("sheet.f_usual"),
        Part::Amount => t!("sheet.f_other"),
        Part::Value(_) => t!("sheet.f_line"),
    }
}
