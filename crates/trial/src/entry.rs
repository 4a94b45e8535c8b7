//! An entry: one immutable row of the notebook.

use crate::act::{Act, PAYLOAD_VERSION};
use crate::ids::{DeviceId, EntryId, TankId, TrialId};
use jiff::{Timestamp, ZonedDateTime};
use serde::{Deserialize, Serialize};

/// What was done or seen, when, where and by whom. Never edited: see [`Entry::supersedes`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Entry {
    /// Made by the writer (UUIDv7); writing the same entry twice is recognised by it.
    pub id: EntryId,
    /// Its trial.
    pub trial: TrialId,
    /// When it happened, with its zone (RFC 9557).
    pub at: ZonedDateTime,
    /// When it was written down.
    pub written: Timestamp,
    /// The tanks it applies to, resolved when it was written. Empty for a note on the whole trial
    /// and for a source water's reading.
    pub tanks: Vec<TankId>,
    /// Whether every tank of the trial was meant.
    #[serde(default)]
    pub all_tanks: bool,
    /// Who did it.
    #[serde(default)]
    pub who: String,
    /// Minutes of work, for all its tanks together.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minutes: Option<f64>,
    /// Free text.
    #[serde(default)]
    pub note: String,
    /// How it came into the notebook.
    pub origin: Origin,
    /// The entry it corrects or takes back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub supersedes: Option<EntryId>,
    /// What was done or seen.
    pub act: Act,
}

impl Origin {
    /// The jot's line, as typed.
    pub fn line(&self) -> Option<&str> {
        match self {
            Origin::Jot { line } => Some(line),
            Origin::Device { line, .. } => line.as_deref(),
            Origin::Form | Origin::Import { .. } | Origin::Demo => None,
        }
    }

    /// The paired device it came from.
    pub fn device(&self) -> Option<DeviceId> {
        match self {
            Origin::Device { device, .. } => Some(*device),
            _ => None,
        }
    }
}

/// How an entry came into the notebook.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "by", rename_all = "snake_case")]
pub enum Origin {
    /// A jot; its line is kept as typed.
    Jot {
        /// The line.
        line: String,
    },
    /// A form.
    Form,
    /// A row of an imported table.
    Import {
        /// File name without folders.
        file: String,
        /// Line in it, counted from 1.
        line: u64,
    },
    /// A form or a jot on a paired device.
    Device {
        /// The device, as it was paired.
        device: DeviceId,
        /// What it was called then.
        name: String,
        /// The line of a jot, kept as typed.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        line: Option<String>,
    },
    /// The demonstration's tables.
    Demo,
}

/// Why a stored payload cannot be read.
#[derive(Debug, thiserror::Error)]
pub enum PayloadError {
    /// Written by a newer Fairtank.
    #[error(
        "an entry of kind \"{kind}\" has version {found}; this Fairtank reads up to {PAYLOAD_VERSION}: use a newer one"
    )]
    Newer {
        /// Its kind.
        kind: String,
        /// Its version.
        found: u64,
    },
    /// Not a payload.
    #[error("an entry's payload cannot be read: {0}")]
    Malformed(#[from] serde_json::Error),
}

impl Act {
    /// The payload as stored: JSON with `kind` and `version`.
    pub fn to_payload(&self) -> Result<String, PayloadError> {
        let mut value = serde_json::to_value(self)?;
        if let Some(map) = value.as_object_mut() {
            map.insert("version".to_string(), PAYLOAD_VERSION.into());
        }
        Ok(serde_json::to_string(&value)?)
    }

    /// Reads a stored payload; a newer version is refused.
    pub fn from_payload(text: &str) -> Result<Act, PayloadError> {
        let value: serde_json::Value = serde_json::from_str(text)?;
        let found = value
            .get("version")
            .and_then(serde_json::Value::as_u64)
            .unwrap_or(1);
        if found > u64::from(PAYLOAD_VERSION) {
            let kind = value
                .get("kind")
                .and_then(serde_json::Value::as_str)
                .unwrap_or("?");
            return Err(PayloadError::Newer {
                kind: kind.to_string(),
                found,
            });
        }
        Ok(serde_json::from_value(value)?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::act::{Change, WaterAmount};

    #[test]
    fn payloads_round_trip_and_newer_ones_are_refused() {
        let act = Act::Change(Change {
            amount: WaterAmount::Share { share: 0.4 },
            source: None,
        });
        let text = act.to_payload().unwrap();
        assert!(text.contains("\"kind\":\"change\"") && text.contains("\"version\":1"));
        assert_eq!(Act::from_payload(&text).unwrap(), act);
        let note = Act::Note.to_payload().unwrap();
        assert_eq!(Act::from_payload(&note).unwrap(), Act::Note);
        let newer = text.replace("\"version\":1", "\"version\":2");
        assert!(
            Act::from_payload(&newer)
                .unwrap_err()
                .to_string()
                .contains("newer")
        );
    }
}
