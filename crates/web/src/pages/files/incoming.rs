//! Files as they are sent: read part by part within limits, large ones onto the disk.

use std::fs;
use std::path::{Path, PathBuf};

use axum::extract::Multipart;
use axum::extract::multipart::{Field, MultipartError};
use axum::http::StatusCode;
use text::t;
use tokio::fs::File;
use tokio::io::AsyncWriteExt;
use uuid::Uuid;

use super::out::clear_stale;
use crate::app::App;
use crate::error::{ErrorKind, WebError};

/// The largest upload of pictures together.
pub const LARGEST_UPLOAD: usize = 2 * 1024 * 1024 * 1024;
/// The largest picture.
const LARGEST_PICTURE: usize = 40 * 1024 * 1024;
/// The most pictures in one upload.
const MOST_PICTURES: usize = 300;
/// The longest text of a field, in bytes.
const LONGEST_FIELD: usize = 64 * 1024;
/// The longest part of a file's name that is kept, in characters.
const LONGEST_NAME: usize = 80;
/// The folder in the notebook's folder where files wait to be looked at.
const UPLOADS: &str = "uploads";

/// A part of a form.
pub(super) enum Part {
    /// A field: name and value.
    Field(String, String),
    /// A file; no bytes when it has more than are taken.
    File {
        name: String,
        bytes: Option<Vec<u8>>,
    },
}

fn unreadable(error: &MultipartError) -> WebError {
    if error.status() == StatusCode::PAYLOAD_TOO_LARGE {
        WebError::new(ErrorKind::TooLarge, t!("files.too_large_page"))
    } else {
        WebError::new(ErrorKind::BadInput, t!("files.cut_short"))
    }
}

/// The next part, a file of at most `most` bytes when it is the field `file`; a file field left
/// empty is passed over.
pub(super) async fn receive(
    parts: &mut Multipart,
    file: &str,
    most: usize,
) -> Result<Option<Part>, WebError> {
    while let Some(part) = parts.next_field().await.map_err(|e| unreadable(&e))? {
        let name = part.name().unwrap_or_default().to_owned();
        if name != file {
            return Ok(Some(Part::Field(name, field(part).await?)));
        }
        let name = file_name(&part);
        let bytes = within(part, most).await?;
        if !name.is_empty() || bytes.as_ref().is_none_or(|b| !b.is_empty()) {
            return Ok(Some(Part::File { name, bytes }));
        }
    }
    Ok(None)
}

/// The bytes of a part; none when there are more than `most`, of which no more are held.
async fn within(mut part: Field<'_>, most: usize) -> Result<Option<Vec<u8>>, WebError> {
    let mut bytes = Some(Vec::new());
    while let Some(piece) = part.chunk().await.map_err(|e| unreadable(&e))? {
        bytes = bytes.filter(|held: &Vec<u8>| held.len() + piece.len() <= most);
        if let Some(held) = &mut bytes {
            held.extend_from_slice(&piece);
        }
    }
    Ok(bytes)
}

/// The text of a field.
async fn field(part: Field<'_>) -> Result<String, WebError> {
    let bytes = within(part, LONGEST_FIELD).await?;
    let text = bytes.and_then(|b| String::from_utf8(b).ok());
    let text = text.ok_or_else(|| WebError::of(ErrorKind::BadInput))?;
    Ok(text.replace("\r\n", "\n"))
}

/// A file's own name: without folders, control signs, or what is too long to show.
fn file_name(part: &Field<'_>) -> String {
    let whole = part.file_name().unwrap_or_default();
    let own = whole.rsplit(['/', '\\']).next().unwrap_or_default();
    let plain = own.chars().filter(|c| !c.is_control());
    plain.take(LONGEST_NAME).collect()
}

/// Pictures that were sent, on the disk; they go when this does.
#[derive(Debug)]
pub(crate) struct Incoming {
    folder: PathBuf,
    /// In the order they were sent.
    pub(super) files: Vec<Sent>,
}

/// One file that was sent.
#[derive(Debug)]
pub(super) struct Sent {
    /// Its own name.
    pub(super) name: String,
    /// Where it lies, or why it was not taken.
    pub(super) place: Result<PathBuf, &'static str>,
}

impl Drop for Incoming {
    fn drop(&mut self) {
        // Best effort: what is left lies hidden and is cleared away another day.
        let _gone = fs::remove_dir_all(&self.folder);
    }
}

/// Reads a form with files under the name `file`; gives its fields in order and the files.
///
/// # Errors
/// When more was sent than is taken in all, it broke off, or the disk takes no more: nothing of it
/// is kept then.
pub(super) async fn receive_all(
    app: &App,
    mut parts: Multipart,
    file: &str,
) -> Result<(Vec<(String, String)>, Incoming), WebError> {
    let uploads = app.notebook().folder().join(UPLOADS);
    clear_stale(&uploads);
    let folder = uploads.join(format!(".{}.part", Uuid::now_v7()));
    let mut incoming = Incoming::in_folder(folder).map_err(|e| no_room(&e))?;
    let mut pairs = Vec::new();
    while let Some(part) = parts.next_field().await.map_err(|e| unreadable(&e))? {
        let name = part.name().unwrap_or_default().to_owned();
        if name == file {
            incoming.take(part).await?;
        } else {
            pairs.push((name, field(part).await?));
        }
    }
    Ok((pairs, incoming))
}

fn no_room(error: &std::io::Error) -> WebError {
    if error.kind() == std::io::ErrorKind::StorageFull {
        WebError::new(ErrorKind::TooLarge, t!("files.disk_full"))
    } else {
        WebError::internal(error)
    }
}

impl Incoming {
    /// None yet; the folder is made, and goes when this does.
    pub(super) fn in_folder(folder: PathBuf) -> std::io::Result<Self> {
        fs::create_dir_all(&folder)?;
        Ok(Self {
            folder,
            files: Vec::new(),
        })
    }

    /// Where the `n`th file lies.
    pub(super) fn place(&self, n: usize) -> PathBuf {
        self.folder.join(n.to_string())
    }

    async fn take(&mut self, mut part: Field<'_>) -> Result<(), WebError> {
        let name = file_name(&part);
        let path = self.place(self.files.len());
        let mut place = match self.files.len() {
            0..MOST_PICTURES => Ok(path),
            _ => Err(t!("files.too_many")),
        };
        let bytes = match &place {
            Ok(path) => write(&mut part, path).await?,
            // Read to its end, so that the answer reaches the browser.
            Err(_) => rest(&mut part).await?,
        };
        if bytes > LARGEST_PICTURE {
            if let Ok(path) = &place {
                let _gone = fs::remove_file(path);
            }
            place = place.and(Err(t!("files.picture_too_large")));
        }
        // A browser sends an empty part when no file was chosen.
        if bytes > 0 || !name.is_empty() {
            self.files.push(Sent { name, place });
        }
        Ok(())
    }
}

/// Writes a part to a file, no more of it than is taken; gives how long the part is.
async fn write(part: &mut Field<'_>, path: &Path) -> Result<usize, WebError> {
    let mut file = File::create(path).await.map_err(|e| no_room(&e))?;
    let mut bytes = 0;
    while let Some(piece) = part.chunk().await.map_err(|e| unreadable(&e))? {
        bytes += piece.len();
        if bytes <= LARGEST_PICTURE {
            file.write_all(&piece).await.map_err(|e| no_room(&e))?;
        }
    }
    file.flush().await.map_err(|e| no_room(&e))?;
    Ok(bytes)
}

async fn rest(part: &mut Field<'_>) -> Result<usize, WebError> {
    let mut bytes = 0;
    while let Some(piece) = part.chunk().await.map_err(|e| unreadable(&e))? {
        bytes += piece.len();
    }
    Ok(bytes)
}
