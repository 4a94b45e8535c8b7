//! Ids made from what rows say, so that the same row is the same entry.

use crate::StoreError;
use sha2::{Digest, Sha256};
use std::collections::HashMap;
use trial::tables::ReadRow;
use trial::{Draft, EntryId, TrialId};
use uuid::{Builder, Uuid};

/// Gives each row of one table its entry's id.
pub(super) struct Identities {
    trial: TrialId,
    /// How often each content was met.
    met: HashMap<[u8; 32], u32>,
}

impl Identities {
    pub(super) fn new(trial: TrialId) -> Self {
        Identities {
            trial,
            met: HashMap::new(),
        }
    }

    /// The id the row gives, or one made from what it says: a UUIDv8 (RFC 9562) of the first 128
    /// bits of a SHA-256.
    pub(super) fn of(&mut self, row: &ReadRow) -> Result<EntryId, StoreError> {
        if let Some(id) = row.entry {
            return Ok(id);
        }
        let content = content(self.trial, &row.draft)?;
        let before = self.met.entry(content).or_insert(0);
        *before += 1;
        let mut hash = Sha256::new();
        hash.update(content);
        hash.update(before.to_le_bytes());
        let mut bytes = [0u8; 16];
        bytes.copy_from_slice(&hash.finalize()[..16]);
        Ok(EntryId(id_of(bytes)))
    }
}

fn id_of(bytes: [u8; 16]) -> Uuid {
    Builder::from_custom_bytes(bytes).into_uuid()
}

/// A hash over everything a row says; each text is preceded by its length.
fn content(trial: TrialId, draft: &Draft) -> Result<[u8; 32], StoreError> {
    let tanks: Vec<String> = draft.tanks.iter().map(ToString::to_string).collect();
    let minutes = draft.minutes.map(|m| m.to_string()).unwrap_or_default();
    let payload = draft.act.to_payload()?;
    let texts = [
        "fairtank import 1",
        &trial.to_string(),
        &draft.at.to_string(),
        &tanks.join(" "),
        if draft.all_tanks { "all" } else { "" },
        &draft.who,
        &minutes,
        &draft.note,
        &payload,
    ];
    let mut hash = Sha256::new();
    for text in texts {
        hash.update((text.len() as u64).to_le_bytes());
        hash.update(text.as_bytes());
    }
    Ok(hash.finalize().into())
}
