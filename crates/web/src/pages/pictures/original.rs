//! What a picture's file carries besides its pixels, and what may be taken away.

use jiff::civil::DateTime;
use maud::{Markup, html};
use picture::PictureError;
use quantity::Format;
use store::StoreError;
use text::t;
use trial::act::Picture;

use crate::{TrialPage, WebError};

/// The file of a picture in words, with the ways to take it along. A paired phone is given the words.
///
/// # Errors
/// When the file cannot be read; one that is missing or damaged is told.
pub(crate) fn about_file(page: &TrialPage, picture: &Picture) -> Result<Markup, WebError> {
    let bytes = match page.app.notebook().read_picture(&picture.sha256) {
        Ok(bytes) => bytes,
        Err(error @ (StoreError::PictureMissing(_) | StoreError::PictureDamaged { .. })) => {
            return Ok(html! { p.error { (error) } });
        }
        Err(error) => return Err(error.into()),
    };
    let facts = match picture::probe(&bytes) {
        Ok(facts) => facts,
        Err(error) => return Ok(said_unreadable(&error)),
    };
    let kind = match facts.media {
        picture::Media::Jpeg => "JPEG",
        picture::Media::Png => "PNG",
        picture::Media::Webp => "WebP",
    };
    let at = format!("/pictures/{}", picture.sha256);
    let placed = facts.has_location;
    let file = t!(
        "pictures.file_line",
        kind = kind,
        width = facts.width_px,
        height = facts.height_px,
        mb = Format::default().significant(bytes.len() as f64 / 1e6, 2)
    );
    Ok(html! {
        section.section {
            h2 { (t!("pictures.file")) }
            dl.facts {
                dt { (t!("pictures.file_kind")) } dd { (file) }
                dt { (t!("pictures.file_camera")) } dd { (camera(facts.taken_at)) }
                dt { (t!("pictures.file_place")) }
                dd { @if placed { (t!("pictures.file_placed")) } @else { (t!("pictures.file_unplaced")) } }
            }
            @if !page.app.is_for_device() {
                div.actions {
                    a.button href={ (at) "?as=copy" } download={ (name(picture)) "-copy.jpg" } { (t!("pictures.take_copy")) }
                    a.button href={ (at) "?as=original" } download=(name(picture)) {
                        @if placed { (t!("pictures.take_placed")) } @else { (t!("pictures.take_original")) }
                    }
                }
            }
        }
    })
}

/// A short name for a file that is taken along.
fn name(picture: &Picture) -> &str {
    picture.sha256.get(..12).unwrap_or("picture")
}

fn camera(taken: Option<DateTime>) -> String {
    match taken {
        Some(at) => at.strftime("%-d\u{a0}%B\u{a0}%Y, %H:%M").to_string(),
        None => t!("pictures.file_no_date").to_owned(),
    }
}

fn said_unreadable(error: &PictureError) -> Markup {
    html! { p.error { (error) } }
}
