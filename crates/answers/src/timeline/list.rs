//! The entries of a span as a list, page by page.

use super::Stretch;
use crate::AnswerError;
use crate::line::{EntryLine, line};
use quantity::Format;
use store::{EntryQuery, Notebook};
use trial::{Entry, EntryId};

/// Entries on one page.
const ON_A_PAGE: usize = 40;
/// Entries of the very millisecond at which the page before ended that are looked through.
const AT_ONCE: usize = 200;

/// One page.
pub(super) struct Page {
    pub(super) lines: Vec<EntryLine>,
    pub(super) more: bool,
}

/// The page after the entry `after`, or the first one. `read` are the window's entries when they
/// are at hand.
pub(super) fn page(
    notebook: &Notebook,
    stretch: &Stretch,
    read: Option<&[Entry]>,
    after: Option<EntryId>,
) -> Result<Page, AnswerError> {
    let fetched;
    let entries = match read {
        Some(entries) => entries,
        None => {
            fetched = notebook.entries(&from_there(notebook, stretch, after)?)?;
            &fetched
        }
    };
    let begins = after
        .and_then(|id| entries.iter().position(|e| e.id == id))
        .map_or(0, |at| at + 1);
    let rest = &entries[begins..];
    let format = Format::default();
    let shown = rest.iter().take(ON_A_PAGE);
    Ok(Page {
        lines: shown.map(|e| line(e, stretch.bench, &format)).collect(),
        more: rest.len() > ON_A_PAGE,
    })
}

/// The window from the moment of `after` on, as far as one page reaches.
fn from_there(
    notebook: &Notebook,
    stretch: &Stretch,
    after: Option<EntryId>,
) -> Result<EntryQuery, AnswerError> {
    let mut query = stretch.query();
    let known = match after {
        Some(id) => notebook.entry(id)?,
        None => None,
    };
    let known = known.filter(|e| e.trial == stretch.bench.trial.id);
    let at = known.map(|e| e.at.timestamp());
    let inside = at.filter(|at| stretch.slot_at(*at).is_some());
    let extra = if inside.is_some() { AT_ONCE } else { 0 };
    query.from = inside.or(query.from);
    query.limit = u32::try_from(ON_A_PAGE + 1 + extra).ok();
    Ok(query)
}
