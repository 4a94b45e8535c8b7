//! Writing the demonstration into a notebook.

use crate::{DemoError, DemoNotebook, records};
use jiff::Timestamp;
use store::{Batch, Notebook};
use trial::Record;

/// What was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Made {
    /// Set-up records.
    pub records: usize,
    /// Entries.
    pub entries: usize,
    /// Pictures.
    pub pictures: usize,
}

/// Makes the demonstration in `notebook`, pictures first, then all records and entries or none.
/// Made again, it changes nothing.
pub fn make(notebook: &Notebook) -> Result<Made, DemoError> {
    let DemoNotebook {
        records,
        entries,
        pictures,
        benches,
    } = records()?;
    for picture in pictures {
        notebook.add_picture(picture.bytes, "image/jpeg")?;
    }
    let keeper = benches
        .iter()
        .find_map(|b| b.trial.keeper.clone())
        .unwrap_or_default();
    let made = Made {
        records: records.len(),
        entries: entries.len(),
        pictures: pictures.len(),
    };
    let records = records
        .into_iter()
        .map(|r| (r.clone(), keeper.clone(), written(&r)))
        .collect();
    notebook.write_all(&Batch { records, entries })?;
    Ok(made)
}

/// When a record was written is the time in its id.
fn written(record: &Record) -> Timestamp {
    let (seconds, nanos) = record.id().get_timestamp().map_or((0, 0), |t| t.to_unix());
    i64::try_from(seconds)
        .ok()
        .and_then(|s| Timestamp::new(s, i32::try_from(nanos).unwrap_or(0)).ok())
        .unwrap_or(Timestamp::UNIX_EPOCH)
}
