//! Pictures as files: the original as it was taken, and small copies kept for a while in memory.

use std::collections::{HashMap, VecDeque};
use std::sync::{LazyLock, Mutex, PoisonError};

use axum::body::Bytes;
use axum::extract::{Path, RawQuery, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use picture::PictureError;
use text::t;
use tokio::sync::Semaphore;
use tokio::task::spawn_blocking;

use crate::error::ErrorKind;
use crate::form_data::FormData;
use crate::{App, WebError};

/// Widths copies come in; others are refused, so that nobody can fill the memory with them.
const WIDTHS: [u32; 3] = [320, 640, 1280];
/// What copies may take in memory together.
const KEPT_BYTES: usize = 32 * 1024 * 1024;

/// Pictures decoded at once: each may take some hundred megabytes while it is.
static DECODING: Semaphore = Semaphore::const_new(2);

/// Copies by hash and width: the same bytes whichever notebook they come from.
static COPIES: LazyLock<Mutex<Copies>> = LazyLock::new(Mutex::default);

#[derive(Default)]
struct Copies {
    by_key: HashMap<(String, u32), Bytes>,
    /// Oldest first.
    order: VecDeque<(String, u32)>,
    bytes: usize,
}

impl Copies {
    fn keep(&mut self, key: (String, u32), copy: Bytes) {
        if copy.len() > KEPT_BYTES / 4 || self.by_key.contains_key(&key) {
            return;
        }
        self.bytes += copy.len();
        self.by_key.insert(key.clone(), copy);
        self.order.push_back(key);
        while self.bytes > KEPT_BYTES {
            let Some(oldest) = self.order.pop_front() else {
                break;
            };
            if let Some(gone) = self.by_key.remove(&oldest) {
                self.bytes -= gone.len();
            }
        }
    }
}

fn copies() -> std::sync::MutexGuard<'static, Copies> {
    COPIES.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Runs work on pictures beside the pages, few at a time.
///
/// # Errors
/// When the work ended without an answer.
pub(crate) async fn in_turn<T: Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, WebError> {
    let turn = DECODING.acquire().await;
    let done = spawn_blocking(move || {
        let _turn = turn;
        work()
    })
    .await;
    done.map_err(|error| WebError::internal(&error))
}

/// A copy of `bytes`, whose hash is `sha256`, from memory or made now.
///
/// # Errors
/// When the picture cannot be decoded.
pub(crate) fn copy_of(sha256: &str, bytes: &[u8], width: u32) -> Result<Bytes, PictureError> {
    let key = (sha256.to_owned(), width);
    if let Some(copy) = copies().by_key.get(&key) {
        return Ok(copy.clone());
    }
    let copy = Bytes::from(picture::thumbnail(bytes, width)?);
    copies().keep(key, copy.clone());
    Ok(copy)
}

/// What of a picture is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Wanted {
    /// A copy this wide, or as wide as the original, with pixels alone.
    Copy(u32),
    /// The original, byte for byte.
    Original,
    /// To be looked at: the original, or a copy of its size when the original tells a place.
    Shown,
}

/// `/pictures/{sha256}`: the picture to be looked at, which never tells a place; with `?w=640` a copy
/// that wide, with `?as=copy` one of full size, with `?as=original` the file as it was taken, which a
/// paired phone is not given.
///
/// # Errors
/// Not found for anything that is no picture of this notebook; bad input for another width.
pub async fn picture(
    State(app): State<App>,
    Path(sha256): Path<String>,
    RawQuery(query): RawQuery,
) -> Result<Response, WebError> {
    let asked = FormData::parse(query.unwrap_or_default().as_bytes())?;
    let wanted = wanted(&app, &asked)?;
    let unknown = || WebError::of(ErrorKind::NotFound);
    let path = app
        .notebook()
        .picture_path(&sha256)
        .map_err(|_| unknown())?;
    path.ok_or_else(unknown)?;
    let (kind, bytes) = in_turn(move || load(&app, &sha256, wanted)).await??;
    let head = [
        (header::CONTENT_TYPE, kind),
        (
            header::CACHE_CONTROL,
            "private, max-age=31536000, immutable",
        ),
    ];
    Ok((head, bytes).into_response())
}

fn wanted(app: &App, asked: &FormData) -> Result<Wanted, WebError> {
    match (asked.one("w"), asked.one("as")) {
        (Some(given), None) => width(given).map(Wanted::Copy),
        (None, None) => Ok(Wanted::Shown),
        (None, Some("copy")) => Ok(Wanted::Copy(picture::LONGEST_SIDE)),
        (None, Some("original")) if !app.is_for_device() => Ok(Wanted::Original),
        (None, Some("original")) => Err(WebError::of(ErrorKind::NotFound)),
        _ => Err(WebError::bad_input(t!("pictures.bad_as"))),
    }
}

fn width(asked: &str) -> Result<u32, WebError> {
    let known = WIDTHS.into_iter().find(|w| w.to_string() == asked);
    known.ok_or_else(|| {
        WebError::bad_input(t!(
            "pictures.bad_width",
            given = asked.chars().take(20).collect::<String>()
        ))
    })
}

fn load(app: &App, sha256: &str, wanted: Wanted) -> Result<(&'static str, Bytes), WebError> {
    if let Wanted::Copy(width) = wanted {
        let kept = copies().by_key.get(&(sha256.to_owned(), width)).cloned();
        if let Some(copy) = kept {
            return Ok(("image/jpeg", copy));
        }
    }
    let bytes = app.notebook().read_picture(sha256)?;
    let width = match wanted {
        Wanted::Copy(width) => Some(width),
        Wanted::Original => None,
        // What cannot be read may tell anything.
        Wanted::Shown => picture::probe(&bytes)
            .map_or(true, |facts| facts.has_location)
            .then_some(picture::LONGEST_SIDE),
    };
    match width {
        Some(width) => {
            let copy = copy_of(sha256, &bytes, width).map_err(|e| WebError::internal(&e))?;
            Ok(("image/jpeg", copy))
        }
        None => {
            let kind = store::media_type_of(&bytes);
            let kind = kind.ok_or_else(|| WebError::of(ErrorKind::NotFound))?;
            Ok((kind, Bytes::from(bytes)))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn copies_never_take_more_than_their_share() {
        let mut copies = Copies::default();
        let piece = Bytes::from(vec![0u8; KEPT_BYTES / 10]);
        for n in 0..25 {
            copies.keep((n.to_string(), 640), piece.clone());
            assert!(copies.bytes <= KEPT_BYTES);
            assert_eq!(copies.bytes, copies.by_key.len() * piece.len());
            assert_eq!(copies.order.len(), copies.by_key.len());
        }
        assert_eq!(copies.by_key.len(), 10);
        assert!(copies.by_key.contains_key(&("24".to_owned(), 640)));
        copies.keep(
            ("large".to_owned(), 640),
            Bytes::from(vec![0u8; KEPT_BYTES]),
        );
        assert_eq!(copies.by_key.len(), 10);
    }
}
