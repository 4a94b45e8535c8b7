//! The published update: one page that needs nothing else, still pictures for a video, the data.
//!
//! ```text
//! UpdateView --page--> index.html     style, fonts, figures and pictures inside
//!           \--frames-> frames/*.png  1920 x 1080 and 1080 x 1920
//! notebook ---data----> data.zip      the Data Package of this trial alone
//! ```
//! The same records and day give the same bytes.

mod closing;
mod compare;
mod cost;
mod data;
mod files;
mod gallery;
pub(crate) mod html;
mod living;
mod page;
pub(crate) mod primary;
mod readings;
mod setup;
mod short;
mod shots;
mod sources;
mod style;
mod tanks;
mod treatment;

pub(crate) use gallery::arm_name;
pub(crate) use readings::{analyte_name, tested};
pub(crate) use short::primary_sentences;
pub(crate) use shots::days_shown;

pub use data::LeftOut;
pub use files::{DATA, FRAMES, PAGE};
pub use page::page;
pub use shots::{Pictures, Shot};
pub use style::policy;

use answers::update::UpdateView;
use files::Stage;
use std::path::{Path, PathBuf};
use store::export::PackageError;
use store::{Notebook, StoreError};

/// Why an update was not written.
#[derive(Debug, thiserror::Error)]
pub enum UpdateError {
    /// The notebook could not be read.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The data package could not be made.
    #[error(transparent)]
    Package(#[from] PackageError),
    /// A frame could not be drawn.
    #[error("a frame cannot be drawn: {0}")]
    Frame(#[from] chart::PngError),
    /// The place is no folder.
    #[error(
        "{} is not a folder; accepted is a folder that is new, empty or holds an earlier update",
        folder.display()
    )]
    NotAFolder {
        /// The place.
        folder: PathBuf,
    },
    /// The folder holds something that is not an earlier update.
    #[error(
        "{} holds {name}, which is no part of an earlier update; accepted is a folder that is new, \
         empty or holds an earlier update",
        folder.display()
    )]
    OtherFiles {
        /// The folder.
        folder: PathBuf,
        /// One of the names in it.
        name: String,
    },
    /// The operating system refused.
    #[error("cannot {doing} {}: {source}", path.display())]
    File {
        /// What was tried.
        doing: &'static str,
        /// With which file or folder.
        path: PathBuf,
        /// Why not.
        source: std::io::Error,
    },
}

impl UpdateError {
    /// Whether another folder would do.
    pub fn is_input(&self) -> bool {
        matches!(self, Self::NotAFolder { .. } | Self::OtherFiles { .. })
    }

    fn file(doing: &'static str, path: &Path) -> impl FnOnce(std::io::Error) -> UpdateError {
        let path = path.to_path_buf();
        move |source| UpdateError::File {
            doing,
            path,
            source,
        }
    }
}

/// For whom a page is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mode {
    /// For the keeper, before it is written; says so at its top and links to no file.
    Preview,
    /// For readers, with the package beside it.
    Published(LeftOut),
}

/// Parts of a whole that progress is told in.
const STEPS: u64 = 100;
/// Steps after the pictures are ready, after the frames, after the data.
const AFTER: [u64; 3] = [20, 80, 99];

/// Writes the update of `view` into `out` and gives the files written, the page last.
///
/// `out` must be missing, empty, or hold an earlier update, whose files are replaced; other files
/// beside an earlier update stay as they are. Everything is made ready first, so that an error leaves
/// the earlier update as it was. `progress` is told steps done and steps in all.
///
/// # Errors
/// [`UpdateError::NotAFolder`] and [`UpdateError::OtherFiles`] for an `out` that does not suit; the
/// others when the notebook cannot be read or a file not written.
pub fn write(
    notebook: &Notebook,
    view: &UpdateView,
    out: &Path,
    progress: &mut dyn FnMut(u64, u64),
) -> Result<Vec<PathBuf>, UpdateError> {
    let stage = Stage::new(out)?;
    let mut part = |from: u64, to: u64, done: u64, of: u64| {
        progress(from + (to - from) * done / of.max(1), STEPS);
    };
    let pictures = Pictures::of(notebook, view, &mut |n, of| part(0, AFTER[0], n, of))?;
    let mut names = Vec::new();
    let frames = crate::frames::frames(view, &pictures);
    for (at, frame) in frames.iter().enumerate() {
        part(AFTER[0], AFTER[1], at as u64, frames.len() as u64);
        let name = format!("{FRAMES}/{}", frame.file_name());
        stage.write(&name, &frame.png()?)?;
        names.push(name);
    }
    let left_out = data::write(
        notebook,
        view.bench.trial.id,
        &stage.place("data"),
        &stage.place(DATA),
        &mut |n, of| part(AFTER[1], AFTER[2], n, of),
    )?;
    let html = page(view, &pictures, &Mode::Published(left_out));
    stage.write(PAGE, html.as_bytes())?;
    names.extend([DATA, PAGE].map(str::to_string));
    let placed = stage.publish(&names)?;
    progress(STEPS, STEPS);
    Ok(placed)
}
