//! Ids that are the same on every machine: shaped as UUIDv7 (RFC 9562), their time being when the
//! record was written and their random bits a hash of what it is.

use jiff::Timestamp;
use sha2::{Digest, Sha256};
use uuid::Uuid;

/// The id of `name`, written at `at`; `order` (its lowest 12 bits) sorts ids of one millisecond.
pub(crate) fn id_at(at: Timestamp, order: u16, name: &str) -> Uuid {
    let mut bytes = [0u8; 16];
    bytes.copy_from_slice(&Sha256::digest(name.as_bytes())[..16]);
    let ms = u64::try_from(at.as_millisecond())
        .unwrap_or(0)
        .to_be_bytes();
    bytes[..6].copy_from_slice(&ms[2..]);
    let [high, low] = order.to_be_bytes();
    bytes[6] = 0x70 | (high & 0x0f);
    bytes[7] = low;
    bytes[8] = 0x80 | (bytes[8] & 0x3f);
    Uuid::from_bytes(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_version_7_ordered_and_repeatable() {
        let at: Timestamp = "2026-02-02T16:00:00Z".parse().unwrap();
        let (a, b) = (id_at(at, 1, "x"), id_at(at, 2, "a"));
        assert_eq!(a.get_version_num(), 7);
        assert!(a < b);
        assert_eq!(a, id_at(at, 1, "x"));
        let (seconds, _) = a.get_timestamp().unwrap().to_unix();
        assert_eq!(i64::try_from(seconds).unwrap(), at.as_second());
    }
}
