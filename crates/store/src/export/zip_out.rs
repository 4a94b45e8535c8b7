//! Writing the zip: every file with the same fixed settings, hashed on its way.

use super::PackageError;
use super::descriptor::FileLine;
use sha2::{Digest, Sha256};
use std::io::{Seek, Write};
use trial::tables::Column;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, System, ZipWriter};

/// The compression level of tables; part of what makes equal notebooks equal bytes.
const LEVEL: i64 = 6;

/// A zip under way.
pub(super) struct ZipOut<W: Write + Seek> {
    zip: ZipWriter<W>,
}

/// Fixed time (1980-01-01, the first a zip can hold), rights and system, so that nothing tells when
/// or where it was made.
fn options(method: CompressionMethod) -> SimpleFileOptions {
    SimpleFileOptions::default()
        .compression_method(method)
        .compression_level((method == CompressionMethod::Deflated).then_some(LEVEL))
        .last_modified_time(DateTime::default())
        .system(System::Unix)
        .unix_permissions(0o644)
}

impl<W: Write + Seek> ZipOut<W> {
    pub(super) fn new(out: W) -> Self {
        ZipOut {
            zip: ZipWriter::new(out),
        }
    }

    /// A whole text file.
    pub(super) fn text(&mut self, name: &str, bytes: &[u8]) -> Result<(), PackageError> {
        self.zip
            .start_file(name, options(CompressionMethod::Deflated))
            .map_err(PackageError::writing)?;
        self.zip.write_all(bytes).map_err(PackageError::writing)
    }

    /// A picture: compressed already, so it is stored as it is.
    pub(super) fn picture(&mut self, name: &str, bytes: &[u8]) -> Result<(), PackageError> {
        self.zip
            .start_file(name, options(CompressionMethod::Stored))
            .map_err(PackageError::writing)?;
        self.zip.write_all(bytes).map_err(PackageError::writing)
    }

    /// Begins the table `data/NAME.csv` and writes its line of column names.
    pub(super) fn table(
        &mut self,
        name: &str,
        columns: &[Column],
    ) -> Result<TableFile<'_, W>, PackageError> {
        self.zip
            .start_file(
                format!("data/{name}.csv"),
                options(CompressionMethod::Deflated),
            )
            .map_err(PackageError::writing)?;
        let hashing = Hashing {
            inner: &mut self.zip,
            hash: Sha256::new(),
            bytes: 0,
        };
        let csv = csv::WriterBuilder::new()
            .terminator(csv::Terminator::CRLF)
            .from_writer(hashing);
        let mut table = TableFile { csv };
        table.row(
            &columns
                .iter()
                .map(|c| c.name.to_string())
                .collect::<Vec<_>>(),
        )?;
        Ok(table)
    }

    pub(super) fn finish(self) -> Result<(), PackageError> {
        let mut out = self.zip.finish().map_err(PackageError::writing)?;
        out.flush().map_err(PackageError::writing)
    }
}

/// A table under way. CSV by RFC 4180: commas, quotes where needed, lines ended by CR LF.
pub(super) struct TableFile<'z, W: Write + Seek> {
    csv: csv::Writer<Hashing<'z, W>>,
}

impl<W: Write + Seek> TableFile<'_, W> {
    pub(super) fn row(&mut self, cells: &[String]) -> Result<(), PackageError> {
        self.csv.write_record(cells).map_err(PackageError::writing)
    }

    pub(super) fn finish(self) -> Result<FileLine, PackageError> {
        let hashing = self
            .csv
            .into_inner()
            .map_err(|e| PackageError::writing(std::io::Error::other(e.to_string())))?;
        let sha256 = hashing
            .hash
            .finalize()
            .iter()
            .map(|b| format!("{b:02x}"))
            .collect();
        Ok(FileLine {
            bytes: hashing.bytes,
            sha256,
        })
    }
}

/// Counts and hashes what passes.
struct Hashing<'z, W: Write + Seek> {
    inner: &'z mut ZipWriter<W>,
    hash: Sha256,
    bytes: u64,
}

impl<W: Write + Seek> Write for Hashing<'_, W> {
    fn write(&mut self, buf: &[u8]) -> std::io::Result<usize> {
        let n = self.inner.write(buf)?;
        self.hash.update(&buf[..n]);
        self.bytes += n as u64;
        Ok(n)
    }

    fn flush(&mut self) -> std::io::Result<()> {
        // Flushing the compressor would change its bytes; the zip is flushed at its end.
        Ok(())
    }
}
