//! Pictures as files named by the SHA-256 of their bytes.

use crate::notebook::{PICTURES, sync_folder};
use crate::{Notebook, StoreError};
use sha2::{Digest, Sha256};
use std::fs::{self, File};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};

/// Media type and file extension of every kind of picture kept.
pub const MEDIA_TYPES: [(&str, &str); 3] = [
    ("image/jpeg", "jpg"),
    ("image/png", "png"),
    ("image/webp", "webp"),
];

/// Tells temporary files of one process apart.
static TEMPORARY: AtomicU64 = AtomicU64::new(0);

impl Notebook {
    /// Keeps a picture and gives the hash that names it; it is on disk when this returns. The same
    /// bytes are kept once. Its entry is written afterwards.
    pub fn add_picture(&self, bytes: &[u8], media_type: &str) -> Result<String, StoreError> {
        let extension = MEDIA_TYPES
            .iter()
            .find(|(known, _)| *known == media_type)
            .map(|(_, extension)| *extension)
            .ok_or_else(|| StoreError::PictureType(media_type.to_string()))?;
        if media_type_of(bytes) != Some(media_type) {
            return Err(StoreError::PictureContent(media_type.to_string()));
        }
        let sha256 = hash(bytes);
        // A damaged file of this name is replaced: these are the right bytes.
        if self.read_picture(&sha256).is_ok() {
            return Ok(sha256);
        }
        let pictures = self.folder().join(PICTURES);
        let folder = pictures.join(&sha256[..2]);
        fs::create_dir_all(&folder).map_err(StoreError::file("make", &folder))?;
        sync_folder(&pictures)?;
        let unique = TEMPORARY.fetch_add(1, Ordering::Relaxed);
        let temporary = folder.join(format!(".{}-{unique}.part", std::process::id()));
        let kept = folder.join(format!("{sha256}.{extension}"));
        let written = write_synced(&temporary, bytes)
            .and_then(|()| fs::rename(&temporary, &kept))
            .map_err(StoreError::file("write", &kept));
        if written.is_err() {
            let _already_gone = fs::remove_file(&temporary);
        }
        written?;
        sync_folder(&folder)?;
        Ok(sha256)
    }

    /// The file of a picture, when there is one. Anything but 64 lower-case hexadecimal digits is
    /// refused, so no name can lead outside the pictures' folder.
    pub fn picture_path(&self, sha256: &str) -> Result<Option<PathBuf>, StoreError> {
        if !is_hash(sha256) {
            return Err(StoreError::BadHash(sha256.to_string()));
        }
        let folder = self.folder().join(PICTURES).join(&sha256[..2]);
        Ok(MEDIA_TYPES
            .iter()
            .map(|(_, extension)| folder.join(format!("{sha256}.{extension}")))
            // A link is not ours: it could lead anywhere.
            .find(|path| fs::symlink_metadata(path).is_ok_and(|m| m.is_file())))
    }

    /// The bytes of a picture, checked against its hash.
    pub fn read_picture(&self, sha256: &str) -> Result<Vec<u8>, StoreError> {
        let path = self
            .picture_path(sha256)?
            .ok_or_else(|| StoreError::PictureMissing(sha256.to_string()))?;
        let bytes = fs::read(&path).map_err(StoreError::file("read", &path))?;
        let found = hash(&bytes);
        if found != sha256 {
            return Err(StoreError::PictureDamaged {
                sha256: sha256.to_string(),
                found,
            });
        }
        Ok(bytes)
    }

    /// The pictures on disk: hash and file, in order of hash. Other files are not listed.
    pub fn pictures(&self) -> Result<Vec<(String, PathBuf)>, StoreError> {
        let mut found = Vec::new();
        let pictures = self.folder().join(PICTURES);
        if !pictures.exists() {
            return Ok(found);
        }
        for folder in list(&pictures)? {
            if !fs::symlink_metadata(&folder).is_ok_and(|m| m.is_dir()) {
                continue;
            }
            for file in list(&folder)? {
                let stem = file.file_stem().and_then(|s| s.to_str()).unwrap_or("");
                if is_hash(stem) && self.picture_path(stem)?.as_deref() == Some(&file) {
                    found.push((stem.to_string(), file));
                }
            }
        }
        found.sort();
        Ok(found)
    }
}

fn list(folder: &Path) -> Result<Vec<PathBuf>, StoreError> {
    fs::read_dir(folder)
        .and_then(|files| files.map(|f| f.map(|f| f.path())).collect())
        .map_err(StoreError::file("list", folder))
}

/// Writes a new file and waits until it is on disk.
pub(crate) fn write_synced(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let mut file = File::create_new(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// The media type that a picture's first bytes say: JPEG (ITU-T T.81 SOI marker), PNG (W3C PNG
/// signature) or WebP (RFC 9649 RIFF header).
pub fn media_type_of(bytes: &[u8]) -> Option<&'static str> {
    if bytes.starts_with(&[0xff, 0xd8, 0xff]) {
        Some("image/jpeg")
    } else if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        Some("image/png")
    } else if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
        Some("image/webp")
    } else {
        None
    }
}

/// SHA-256 as 64 lower-case hexadecimal digits.
pub fn hash(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

fn is_hash(text: &str) -> bool {
    text.len() == 64 && text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'))
}
