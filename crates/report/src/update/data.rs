//! The data package of one trial.
//!
//! The store exports whole notebooks. So that nothing of other trials is published, the trial's own
//! revisions and entries are copied, as stored, into a notebook of their own that is exported and
//! thrown away. Of the notebook's cards, products and waters only those go along that the trial
//! names.

use super::UpdateError;
use job::Progress;
use std::collections::HashSet;
use std::fs::File;
use std::path::Path;
use store::export::PackageError;
use store::{Notebook, RawEntry, RawRevision, StoreError};
use trial::{Act, TrialId};
use uuid::Uuid;

/// What was kept out of a package.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct LeftOut {
    /// Pictures whose files say where they were taken.
    pub pictures: usize,
}

/// Writes the package of `trial` to `file`. `scratch` must be a folder of our own; what is made in it
/// is not cleared away here.
pub(super) fn write(
    notebook: &Notebook,
    trial: TrialId,
    scratch: &Path,
    file: &Path,
    progress: &Progress,
) -> Result<LeftOut, UpdateError> {
    let mut entries: Vec<RawEntry> = Vec::new();
    notebook.for_each_entry(&mut |entry| {
        if entry.trial == trial {
            entries.push(entry);
        }
    })?;
    let revisions = belonging(notebook.all_revisions()?, trial, &entries);
    let own = Notebook::create(scratch)?;
    let mut left_out = LeftOut::default();
    let named = pictures(&entries)?;
    let copying = progress.part(0, 50);
    for (n, sha256) in named.iter().enumerate() {
        copying.at(n as u64, named.len() as u64)?;
        copy_picture(notebook, &own, sha256, &mut left_out)?;
    }
    own.write_raw(&revisions, &entries)?;
    let zip = File::create_new(file).map_err(UpdateError::file("write", file))?;
    store::export::export(&own, &zip, &progress.part(50, 100)).map_err(told)?;
    zip.sync_all().map_err(UpdateError::file("write", file))?;
    Ok(left_out)
}

/// One word for stopping, wherever in the work it happened.
fn told(error: PackageError) -> UpdateError {
    match error {
        PackageError::Cancelled(cancelled) => cancelled.into(),
        other => other.into(),
    }
}

/// The trial's own revisions, and those of shared records that they or the entries name, directly or
/// through one another; in the order of writing.
fn belonging(all: Vec<RawRevision>, trial: TrialId, entries: &[RawEntry]) -> Vec<RawRevision> {
    let mut named: HashSet<Uuid> = HashSet::new();
    for entry in entries {
        named.extend(ids_in(&entry.payload));
    }
    for own in all.iter().filter(|r| r.trial == Some(trial)) {
        named.extend(ids_in(&own.payload));
    }
    // A mix names its parts: as long as something new is named, look again.
    let shared: Vec<&RawRevision> = all.iter().filter(|r| r.trial.is_none()).collect();
    loop {
        let before = named.len();
        let reached: Vec<Uuid> = shared
            .iter()
            .filter(|r| named.contains(&r.record))
            .flat_map(|r| ids_in(&r.payload))
            .collect();
        named.extend(reached);
        if named.len() == before {
            break;
        }
    }
    all.into_iter()
        .filter(|r| match r.trial {
            Some(of) => of == trial,
            None => named.contains(&r.record),
        })
        .collect()
}

/// The ids that stand as whole strings in JSON text.
fn ids_in(json: &str) -> impl Iterator<Item = Uuid> + '_ {
    json.split('"')
        .filter(|part| part.len() == 36)
        .filter_map(|part| Uuid::parse_str(part).ok())
}

/// The pictures that entries name, each once.
fn pictures(entries: &[RawEntry]) -> Result<Vec<String>, StoreError> {
    let mut hashes = Vec::new();
    for entry in entries.iter().filter(|e| e.kind == "picture") {
        if let Act::Picture(picture) = entry.read()?.act
            && !hashes.contains(&picture.sha256)
        {
            hashes.push(picture.sha256);
        }
    }
    Ok(hashes)
}

/// A picture that is missing or damaged stays out, as in any export; one that tells a place too.
fn copy_picture(
    from: &Notebook,
    to: &Notebook,
    sha256: &str,
    left_out: &mut LeftOut,
) -> Result<(), UpdateError> {
    let bytes = match from.read_picture(sha256) {
        Ok(bytes) => bytes,
        Err(
            StoreError::PictureMissing(_)
            | StoreError::PictureDamaged { .. }
            | StoreError::BadHash(_),
        ) => return Ok(()),
        Err(other) => return Err(other.into()),
    };
    if picture::probe(&bytes).is_ok_and(|facts| facts.has_location) {
        left_out.pictures += 1;
        return Ok(());
    }
    if let Some(media_type) = store::media_type_of(&bytes) {
        to.add_picture(&bytes, media_type)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shared_records_come_along_only_when_named() {
        let id = |n: u128| Uuid::from_u128(n);
        let revision = |record: Uuid, trial: Option<u128>, names: &[Uuid]| RawRevision {
            kind: String::new(),
            record,
            trial: trial.map(|n| TrialId(id(n))),
            written: String::new(),
            who: String::new(),
            payload: format!(
                "{:?}",
                names.iter().map(Uuid::to_string).collect::<Vec<_>>()
            ),
        };
        let all = vec![
            revision(id(10), None, &[]),         // tap, named by the mix
            revision(id(11), None, &[id(10)]),   // mix, named by the trial
            revision(id(12), None, &[]),         // another trial's card
            revision(id(1), Some(1), &[id(11)]), // the trial
            revision(id(2), Some(2), &[id(12)]), // another trial
        ];
        let kept: Vec<Uuid> = belonging(all, TrialId(id(1)), &[])
            .iter()
            .map(|r| r.record)
            .collect();
        assert_eq!(kept, [id(10), id(11), id(1)]);
    }
}
