//! A large file as an answer: read while it is sent, never held whole.

use std::io;
use std::path::Path;
use std::pin::Pin;
use std::task::{Context, Poll, ready};

use axum::body::{Body, Bytes};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use hyper::body::{Frame, SizeHint};
use tokio::fs::File;
use tokio::io::{AsyncRead, ReadBuf};

/// Bytes read at once.
const PIECE: usize = 64 * 1024;

/// The file at `path` as something to be saved under `name`, which must be plain letters.
pub(super) async fn attachment(
    path: &Path,
    name: &str,
    media_type: &'static str,
) -> io::Result<Response> {
    let file = File::open(path).await?;
    let left = file.metadata().await?.len();
    let head = [
        (header::CONTENT_TYPE, media_type.to_owned()),
        (header::CONTENT_LENGTH, left.to_string()),
        (
            header::CONTENT_DISPOSITION,
            format!("attachment; filename=\"{name}\""),
        ),
    ];
    let body = Body::new(FileBody {
        file,
        left,
        piece: vec![0; PIECE].into_boxed_slice(),
    });
    Ok((head, body).into_response())
}

struct FileBody {
    file: File,
    left: u64,
    piece: Box<[u8]>,
}

impl hyper::body::Body for FileBody {
    type Data = Bytes;
    type Error = io::Error;

    fn poll_frame(
        self: Pin<&mut Self>,
        cx: &mut Context<'_>,
    ) -> Poll<Option<io::Result<Frame<Bytes>>>> {
        let this = self.get_mut();
        if this.left == 0 {
            return Poll::Ready(None);
        }
        let room = usize::try_from(this.left).map_or(PIECE, |left| left.min(PIECE));
        let mut piece = ReadBuf::new(&mut this.piece[..room]);
        if let Err(error) = ready!(Pin::new(&mut this.file).poll_read(cx, &mut piece)) {
            return Poll::Ready(Some(Err(error)));
        }
        let read = piece.filled();
        if read.is_empty() {
            let cut = io::Error::new(io::ErrorKind::UnexpectedEof, "the file became shorter");
            return Poll::Ready(Some(Err(cut)));
        }
        this.left -= read.len() as u64;
        Poll::Ready(Some(Ok(Frame::data(Bytes::copy_from_slice(read)))))
    }

    fn is_end_stream(&self) -> bool {
        self.left == 0
    }

    fn size_hint(&self) -> SizeHint {
        SizeHint::with_exact(self.left)
    }
}
