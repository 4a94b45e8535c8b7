//! A step's form: what its fields are called, what a step fills them with, and how they are read.

use answers::walk::{Given, Row, Scale, StepView};
use text::t;
use trial::EntryId;
use uuid::Uuid;

use crate::form_data::{FieldError, FormData, FormState};
use crate::parts::fields::{Pairs, typed};

/// The value of a score that means "as last time".
pub(super) const LAST: &str = "last";
/// The field of the button pressed.
pub(super) const DO: &str = "do";
/// Largest length, in cm.
const LONGEST: f64 = 300.0;

/// The field of a row's value.
pub(super) fn value(row: usize) -> String {
    format!("v{row}")
}

/// The field that says a number is as last time.
pub(super) fn same(row: usize) -> String {
    format!("s{row}")
}

/// The field with the id a row is written under.
pub(super) fn id(row: usize) -> String {
    format!("id{row}")
}

/// The label of a row's fields, for errors.
fn label(row: &Row) -> String {
    match row.which.as_str() {
        "" => row.name.clone(),
        which => format!("{}, {which}", row.name),
    }
}

/// The form of a step with what is saved, under fresh ids.
pub(super) fn filled(view: &StepView) -> FormState {
    let mut p = Pairs::default();
    for (n, row) in view.rows.iter().enumerate() {
        p.put(&id(n), Uuid::now_v7());
        let Some(saved) = row.saved else { continue };
        match (&view.scale, saved.as_last) {
            (Scale::Score { .. }, true) => p.put(&value(n), LAST),
            (Scale::Number { .. }, true) => p.put(&same(n), "1"),
            (_, false) => p.number(&value(n), Some(saved.value)),
        }
    }
    FormState::filled(FormData::from_pairs(p.0))
}

/// What was given for each row; rows left alone are left out. Errors are noted at their fields.
pub(super) fn read(view: &StepView, state: &mut FormState) -> Vec<Given> {
    let all_last = state.data.one(DO) == Some(LAST);
    let mut given = Vec::new();
    for (n, row) in view.rows.iter().enumerate() {
        match read_row(view, n, row, &state.data, all_last) {
            Ok(Some((value, as_last))) => given.push(Given {
                row: n,
                id: sent_id(&state.data, n),
                spare: EntryId(Uuid::now_v7()),
                value,
                as_last,
            }),
            Ok(None) => {}
            Err(error) => state.errors.add(error),
        }
    }
    given
}

fn sent_id(data: &FormData, n: usize) -> EntryId {
    let sent = data.one(&id(n)).and_then(|id| Uuid::parse_str(id).ok());
    // Only ids as we make them: another version would not sort by time.
    let sent = sent.filter(|id| id.get_version_num() == 7);
    EntryId(sent.unwrap_or_else(Uuid::now_v7))
}

/// A value with whether it is as last time; no value to take back what is saved; nothing when the
/// row was left alone.
type RowRead = Option<(Option<f64>, bool)>;

fn read_row(
    view: &StepView,
    n: usize,
    row: &Row,
    data: &FormData,
    all_last: bool,
) -> Result<RowRead, FieldError> {
    let field = value(n);
    let words = label(row);
    let last = || match row.last {
        Some(last) => Ok(Some((Some(last.value), true))),
        None => Err(FieldError::new(
            &field,
            &words,
            LAST,
            t!("walk.accept_last"),
        )),
    };
    let sent = data.one(&field).map(str::trim);
    let same = data.has(&same(n));
    let untouched = sent.is_none_or(str::is_empty) && !same;
    if all_last && untouched && row.saved.is_none() {
        return match row.last {
            Some(_) => last(),
            None => Ok(None),
        };
    }
    match (&view.scale, sent) {
        (Scale::Score { .. }, None) => Ok(None),
        (Scale::Score { .. }, Some("")) => Ok(Some((None, false))),
        (Scale::Score { .. }, Some(LAST)) => last(),
        (Scale::Score { most, .. }, Some(sent)) => {
            let score = sent.parse::<u8>().ok().filter(|s| s <= most);
            // A score recorded otherwise may lie between two whole ones; sent back untouched it
            // is the same.
            let kept = row
                .saved
                .filter(|s| typed(s.value) == sent)
                .map(|s| s.value);
            let refuse = || {
                let accepted = t!("walk.accepted", what = t!("walk.accept_score", most = most));
                FieldError::new(&field, &words, sent, accepted)
            };
            let found = score.map(f64::from).or(kept).ok_or_else(refuse)?;
            Ok(Some((Some(found), false)))
        }
        (Scale::Number { .. }, Some(typed)) if same && !typed.is_empty() => {
            let accepted = t!("walk.accepted", what = t!("walk.accept_one"));
            Err(FieldError::new(&field, &words, typed, accepted))
        }
        (Scale::Number { .. }, _) if same => last(),
        (Scale::Number { unit }, Some(_)) => {
            let range = if *unit == "%" {
                0.0..=100.0
            } else {
                0.1..=LONGEST
            };
            let number = data.number_if_any(&field, &words, range)?;
            Ok(Some((number, false)))
        }
        (Scale::Number { .. }, None) => Ok(None),
    }
}
