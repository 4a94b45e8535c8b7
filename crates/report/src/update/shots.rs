//! Pictures for publishing: smaller copies without metadata.

use super::UpdateError;
use answers::pictures::{PictureLine, Together};
use answers::update::UpdateView;
use job::Progress;
use std::collections::BTreeMap;
use std::sync::Arc;
use store::{Notebook, StoreError};

/// Width of a picture that has half the page to itself, in px.
const LARGE: u32 = 1200;
/// Width of a picture among several, in px.
const SMALL: u32 = 640;
/// The most days shown side by side.
const MOST_DAYS: usize = 4;

/// A copy of a picture: JPEG, upright, no metadata.
#[derive(Debug, Clone, PartialEq)]
pub struct Shot {
    /// The JPEG file's bytes.
    pub jpeg: Arc<[u8]>,
    /// Width in px.
    pub width: u32,
    /// Height in px.
    pub height: u32,
}

/// The copies an update shows, by the hash of their original.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Pictures {
    large: BTreeMap<String, Shot>,
    small: BTreeMap<String, Shot>,
}

impl Pictures {
    /// Copies of every picture that the update of `view` shows. A picture that is missing or damaged
    /// is left out; the page then says so in its place.
    ///
    /// # Errors
    /// When a file of the notebook cannot be read though it is there, or it was stopped.
    pub fn of(
        notebook: &Notebook,
        view: &UpdateView,
        progress: &Progress,
    ) -> Result<Pictures, UpdateError> {
        let large = view.pairs.iter().flat_map(|p| [&p.before, &p.after]);
        let small = days_shown(&view.together)
            .into_iter()
            .flat_map(|t| &t.pictures);
        let mut wanted: Vec<(&PictureLine, u32)> = large.map(|p| (p, LARGE)).collect();
        wanted.extend(small.map(|p| (p, SMALL)));
        let mut pictures = Pictures::default();
        for (at, (line, width)) in wanted.iter().enumerate() {
            progress.at(at as u64, wanted.len() as u64)?;
            let sha256 = &line.picture.sha256;
            let Some(shot) = shot(notebook, sha256, *width)? else {
                continue;
            };
            let kept = if *width == LARGE {
                &mut pictures.large
            } else {
                &mut pictures.small
            };
            kept.insert(sha256.clone(), shot);
        }
        progress.at(1, 1)?;
        Ok(pictures)
    }

    /// The large copy of a picture.
    pub fn large(&self, sha256: &str) -> Option<&Shot> {
        self.large.get(sha256)
    }

    /// The small copy of a picture.
    pub fn small(&self, sha256: &str) -> Option<&Shot> {
        self.small.get(sha256)
    }
}

fn shot(notebook: &Notebook, sha256: &str, width: u32) -> Result<Option<Shot>, UpdateError> {
    let bytes = match notebook.read_picture(sha256) {
        Ok(bytes) => bytes,
        Err(
            StoreError::PictureMissing(_)
            | StoreError::PictureDamaged { .. }
            | StoreError::BadHash(_),
        ) => return Ok(None),
        Err(other) => return Err(other.into()),
    };
    let Ok(jpeg) = picture::thumbnail(&bytes, width) else {
        return Ok(None);
    };
    let Ok(facts) = picture::probe(&jpeg) else {
        return Ok(None);
    };
    Ok(Some(Shot {
        jpeg: jpeg.into(),
        width: facts.width_px,
        height: facts.height_px,
    }))
}

/// The days shown side by side: the first, the last and some evenly between, of those with more
/// than one tank.
pub(crate) fn days_shown(together: &[Together]) -> Vec<&Together> {
    let several: Vec<&Together> = together.iter().filter(|t| t.pictures.len() > 1).collect();
    if several.len() <= MOST_DAYS {
        return several;
    }
    let last = several.len() - 1;
    (0..MOST_DAYS)
        .filter_map(|i| several.get(i * last / (MOST_DAYS - 1)).copied())
        .collect()
}
