//! A zip that nobody vouches for: looked through before anything is read, and read with limits.

use super::Limits;
use crate::export::PackageError;
use std::cell::Cell;
use std::collections::HashMap;
use std::io::{self, Read, Seek};
use std::rc::Rc;
use zip::ZipArchive;

/// A zip whose names and kinds of file have been checked.
pub(super) struct Archive<R: Read + Seek> {
    zip: ZipArchive<R>,
    /// Every file (not folder) and its place.
    files: HashMap<String, usize>,
}

impl<R: Read + Seek> Archive<R> {
    pub(super) fn open(reader: R, limits: &Limits) -> Result<Self, PackageError> {
        let mut zip = ZipArchive::new(reader).map_err(PackageError::NotAZip)?;
        if zip.len() > limits.files {
            return Err(PackageError::TooLarge {
                name: "the package".to_string(),
                what: format!("{} files", zip.len()),
                limit: limits.files.to_string(),
            });
        }
        let archive = "the package".to_string();
        let refused = |name: &str, why| PackageError::Name {
            name: name.to_string(),
            why,
        };
        if zip.has_duplicate_names() {
            return Err(refused(&archive, "two of its files have the same name"));
        }
        if zip
            .has_overlapping_entries()
            .map_err(PackageError::NotAZip)?
        {
            return Err(refused(&archive, "its files overlap each other"));
        }
        let mut files = HashMap::new();
        let mut folded = HashMap::new();
        for index in 0..zip.len() {
            let entry = zip.by_index_data(index).map_err(PackageError::NotAZip)?;
            let name = std::str::from_utf8(entry.name_raw())
                .map_err(|_| {
                    refused(
                        &entry.name_raw().escape_ascii().to_string(),
                        "it is not UTF-8",
                    )
                })?
                .to_string();
            safe(&name).map_err(|why| refused(&name, why))?;
            if entry.is_symlink() {
                return Err(refused(&name, "it is a link"));
            }
            if entry.encrypted() {
                return Err(refused(&name, "it is encrypted"));
            }
            // On many file systems names that differ in case only are the same.
            if folded.insert(name.to_lowercase(), index).is_some() {
                return Err(refused(
                    &name,
                    "another file has the same name but for its case",
                ));
            }
            if !name.ends_with('/') {
                files.insert(name, index);
            }
        }
        Ok(Archive { zip, files })
    }

    /// The files under `pictures/`.
    pub(super) fn pictures(&self) -> HashMap<String, usize> {
        let pictures = self
            .files
            .iter()
            .filter(|(name, _)| name.starts_with("pictures/"));
        pictures
            .map(|(name, index)| (name.clone(), *index))
            .collect()
    }

    /// The bytes of a file; `None` when there is none of this name.
    pub(super) fn bytes(&mut self, name: &str, most: u64) -> Result<Option<Vec<u8>>, PackageError> {
        match self.files.get(name).copied() {
            None => Ok(None),
            Some(index) => self.bytes_at(index, name, most).map(Some),
        }
    }

    /// The bytes of the file at `index`.
    pub(super) fn bytes_at(
        &mut self,
        index: usize,
        name: &str,
        most: u64,
    ) -> Result<Vec<u8>, PackageError> {
        let file = self.file_at(index, name, most)?;
        let mut bytes = Vec::new();
        // One byte more than allowed tells too much from just enough.
        file.take(most.saturating_add(1))
            .read_to_end(&mut bytes)
            .map_err(|e| PackageError::Entry {
                name: name.to_string(),
                why: e.to_string(),
            })?;
        match bytes.len() as u64 > most {
            true => Err(too_large(name, most)),
            false => Ok(bytes),
        }
    }

    /// A file to read from, when there is one of this name and it does not declare too much.
    pub(super) fn file(
        &mut self,
        name: &str,
        most: u64,
    ) -> Result<Option<impl Read + '_>, PackageError> {
        match self.files.get(name).copied() {
            None => Ok(None),
            Some(index) => self.file_at(index, name, most).map(Some),
        }
    }

    fn file_at(
        &mut self,
        index: usize,
        name: &str,
        most: u64,
    ) -> Result<impl Read + '_, PackageError> {
        let file = self.zip.by_index(index).map_err(|e| PackageError::Entry {
            name: name.to_string(),
            why: e.to_string(),
        })?;
        match file.size() > most {
            true => Err(too_large(name, most)),
            false => Ok(file),
        }
    }
}

pub(super) fn too_large(name: &str, most: u64) -> PackageError {
    PackageError::TooLarge {
        name: name.to_string(),
        what: format!("more than {most} bytes"),
        limit: format!("{most} bytes"),
    }
}

/// Whether a name stays inside the folder it is unpacked to, on every system.
fn safe(name: &str) -> Result<(), &'static str> {
    if name.contains('\\') || name.contains(':') || name.chars().any(char::is_control) {
        return Err("it holds a backslash, a colon or a control sign");
    }
    if name.starts_with('/') {
        return Err("it begins at the root");
    }
    let path = name.strip_suffix('/').unwrap_or(name);
    match path
        .split('/')
        .find(|part| matches!(*part, "" | "." | ".."))
    {
        Some(_) => Err("it leads out of its folder"),
        None => Ok(()),
    }
}

/// Passes bytes on while neither a file nor one of its rows grows beyond its limit. Whoever reads
/// rows sets `row` back to 0 after each.
pub(super) struct Counted<R> {
    pub(super) inner: R,
    pub(super) left: u64,
    pub(super) row: Rc<Cell<u64>>,
    pub(super) row_most: u64,
}

impl<R: Read> Read for Counted<R> {
    fn read(&mut self, buf: &mut [u8]) -> io::Result<usize> {
        let n = self.inner.read(buf)? as u64;
        self.left = self
            .left
            .checked_sub(n)
            .ok_or_else(|| io::Error::other("the file is larger than accepted"))?;
        self.row.set(self.row.get().saturating_add(n));
        if self.row.get() > self.row_most {
            return Err(io::Error::other(format!(
                "a row is larger than the {} bytes accepted",
                self.row_most
            )));
        }
        Ok(n as usize)
    }
}
