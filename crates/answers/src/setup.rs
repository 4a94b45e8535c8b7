//! What the set-up pages ask besides the bench itself.

use crate::{AnswerError, bench, gaps};
use jiff::civil::Date;
use store::{EntryQuery, Notebook};
use trial::{Bench, Finding};

/// Kinds of entry that can show that something is there though the set-up does not say so.
const TELLING_KINDS: [&str; 3] = ["livestock", "setting", "reading"];

/// What the set-up of a trial lacks today, weightiest first, with every entry that bears on it.
pub fn gaps_of(
    notebook: &Notebook,
    bench: &Bench,
    today: Date,
) -> Result<Vec<Finding>, AnswerError> {
    let query = EntryQuery::of(bench.trial.id).kinds(&TELLING_KINDS);
    let entries = notebook.entries(&query)?;
    let (as_of, _) = bench::as_of(bench, today);
    Ok(gaps::gaps(bench, &entries, as_of))
}
