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
use job::{Cancelled, Progress};
use std::path::{Path, PathBuf};
use store::export::PackageError;
use store::{Notebook, StoreError};
use text::t;

/// Why an update was not written.
#[derive(Debug, thiserror::Error)]
pub enum UpdateError {
    /// The notebook could not be read.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The data package could not be made.
    #[error(transparent)]
    Package(#[from] PackageError),
    /// It was stopped as asked; the folder is as it was before.
    #[error(transparent)]
    Cancelled(#[from] Cancelled),
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

/// How much of the whole, in per cent, is done after the pictures are ready, after the frames, after
/// the data.
const AFTER: [u32; 3] = [20, 80, 99];

/// Writes the update of `view` into `out` and gives the files written, the page last.
///
/// `out` must be missing, empty, or hold an earlier update, whose files are replaced; other files
/// beside an earlier update stay as they are. Everything is made ready first, so that an error, and
/// [`UpdateError::Cancelled`] is one, leaves `out` as it was.
///
/// # Errors
/// [`UpdateError::NotAFolder`] and [`UpdateError::OtherFiles`] for an `out` that does not suit; the
/// others when it was stopped, the notebook cannot be read or a file not written.
pub fn write(
    notebook: &Notebook,
    view: &UpdateView,
    out: &Path,
    progress: &Progress,
) -> Result<Vec<PathBuf>, UpdateError> {
    let [pictured, framed, packed] = AFTER;
    let mut stage = Stage::new(out)?;
    progress.doing(t!("job.doing_pictures"));
    let pictures = Pictures::of(notebook, view, &progress.part(0, pictured))?;
    progress.doing(t!("job.doing_frames"));
    let mut names = frames(view, &pictures, &stage, &progress.part(pictured, framed))?;
    progress.doing(t!("job.doing_data"));
    let left_out = data::write(
        notebook,
        view.bench.trial.id,
        &stage.place("data"),
        &stage.place(DATA),
        &progress.part(framed, packed),
    )?;
    progress.doing(t!("job.doing_page"));
    let html = page(view, &pictures, &Mode::Published(left_out));
    stage.write(PAGE, html.as_bytes())?;
    names.extend([DATA, PAGE].map(str::to_string));
    // From here on nothing stops it: the files move to their places together.
    progress.check()?;
    let placed = stage.publish(&names)?;
    // Published is published, even when the wish to stop came in the last moment.
    let _asked_too_late = progress.at(1, 1);
    Ok(placed)
}

/// Draws every frame into the stage and gives their names.
fn frames(
    view: &UpdateView,
    pictures: &Pictures,
    stage: &Stage,
    progress: &Progress,
) -> Result<Vec<String>, UpdateError> {
    let frames = crate::frames::frames(view, pictures);
    let mut names = Vec::new();
    for (at, frame) in frames.iter().enumerate() {
        progress.at(at as u64, frames.len() as u64)?;
        let name = format!("{FRAMES}/{}", frame.file_name());
        stage.write(&name, &frame.png()?)?;
        names.push(name);
    }
    progress.at(1, 1)?;
    Ok(names)
}
