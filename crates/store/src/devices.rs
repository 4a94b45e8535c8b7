//! Devices paired for logging from the home network.

use crate::{Notebook, StoreError};
use jiff::Timestamp;
use rusqlite::{OptionalExtension, Row, params};
use trial::DeviceId;

/// A device that was let in once. Its secret is known to the device only; here stands the hash.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Device {
    /// Made when it was paired.
    pub id: DeviceId,
    /// What it is called.
    pub name: String,
    /// Who logs with it; may be empty.
    pub who: String,
    /// When it was paired.
    pub paired: Timestamp,
    /// When it was last heard of, to within some minutes.
    pub seen: Timestamp,
    /// Since when it is shut out.
    pub revoked: Option<Timestamp>,
}

const COLUMNS: &str = "id, name, who, paired, seen, revoked";

impl Notebook {
    /// Lets a device in: `secret` is the SHA-256 of what it will show.
    pub fn add_device(&self, device: &Device, secret: &[u8; 32]) -> Result<(), StoreError> {
        self.write_plain(|tx| {
            tx.execute(
                "INSERT INTO device (id, name, who, secret, paired, seen, revoked)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
                params![
                    device.id.to_string(),
                    device.name,
                    device.who,
                    secret,
                    device.paired.to_string(),
                    device.seen.to_string(),
                    device.revoked.map(|t| t.to_string()),
                ],
            )?;
            Ok(())
        })
    }

    /// Every device ever paired, the newest first.
    pub fn devices(&self) -> Result<Vec<Device>, StoreError> {
        self.read(|tx| {
            let sql = format!("SELECT {COLUMNS} FROM device ORDER BY paired DESC, id DESC");
            let mut rows = tx.prepare_cached(&sql)?;
            let devices = rows.query_map([], device)?;
            Ok(devices.collect::<Result<_, _>>()?)
        })
    }

    /// The device with this secret's SHA-256, unless it is shut out.
    pub fn device_of(&self, secret: &[u8; 32]) -> Result<Option<Device>, StoreError> {
        self.read(|tx| {
            let sql = format!("SELECT {COLUMNS} FROM device WHERE secret = ?1 AND revoked IS NULL");
            Ok(tx
                .prepare_cached(&sql)?
                .query_row([secret], device)
                .optional()?)
        })
    }

    /// Shuts a device out for good; a device shut out before keeps its date.
    pub fn revoke_device(&self, id: DeviceId, at: Timestamp) -> Result<(), StoreError> {
        self.write_plain(|tx| {
            tx.execute(
                "UPDATE device SET revoked = ?2 WHERE id = ?1 AND revoked IS NULL",
                params![id.to_string(), at.to_string()],
            )?;
            Ok(())
        })
    }

    /// Notes that a device was heard of.
    pub fn saw_device(&self, id: DeviceId, at: Timestamp) -> Result<(), StoreError> {
        self.write_plain(|tx| {
            tx.execute(
                "UPDATE device SET seen = ?2 WHERE id = ?1",
                params![id.to_string(), at.to_string()],
            )?;
            Ok(())
        })
    }
}

fn device(row: &Row<'_>) -> rusqlite::Result<Device> {
    Ok(Device {
        id: parsed(row, 0)?,
        name: row.get(1)?,
        who: row.get(2)?,
        paired: parsed(row, 3)?,
        seen: parsed(row, 4)?,
        revoked: row
            .get::<_, Option<String>>(5)?
            .map(|_| parsed(row, 5))
            .transpose()?,
    })
}

fn parsed<T: std::str::FromStr<Err: std::error::Error + Send + Sync + 'static>>(
    row: &Row<'_>,
    column: usize,
) -> rusqlite::Result<T> {
    let text: String = row.get(column)?;
    text.parse().map_err(|e| {
        rusqlite::Error::FromSqlConversionFailure(column, rusqlite::types::Type::Text, Box::new(e))
    })
}
