//! The files that go with the pages, built into the program.
//!
//! All are served under `/assets/HASH/NAME`, where HASH is drawn from all of them together: inside
//! the style sheet and the modules a plain relative name stays right, and a browser may keep each
//! file for good. Only the names in [`ASSETS`] exist; nothing is looked up on disk.

use std::fmt::Write as _;
use std::sync::LazyLock;

use axum::extract::Path;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use sha2::{Digest, Sha256};

use crate::error::{ErrorKind, WebError};

/// One file.
#[derive(Debug, Clone, Copy)]
pub struct Asset {
    /// Its name, without folders.
    pub name: &'static str,
    /// Its media type.
    pub media_type: &'static str,
    /// Its bytes.
    pub bytes: &'static [u8],
}

fn css(name: &'static str, text: &'static str) -> Asset {
    Asset {
        name,
        media_type: "text/css; charset=utf-8",
        bytes: text.as_bytes(),
    }
}

fn script(name: &'static str, text: &'static str) -> Asset {
    Asset {
        name,
        media_type: "text/javascript; charset=utf-8",
        bytes: text.as_bytes(),
    }
}

fn font(name: &'static str, bytes: &'static [u8]) -> Asset {
    Asset {
        name,
        media_type: "font/woff2",
        bytes,
    }
}

fn svg(name: &'static str, text: &'static str) -> Asset {
    Asset {
        name,
        media_type: "image/svg+xml",
        bytes: text.as_bytes(),
    }
}

/// The colours of figures, written by the crate that draws them.
static CHART_CSS: LazyLock<String> = LazyLock::new(chart::css);

/// Every file there is. A new one is a new line here.
pub static ASSETS: LazyLock<Vec<Asset>> = LazyLock::new(|| {
    vec![
        css("chart.css", CHART_CSS.as_str()),
        css("fairtank.css", include_str!("../assets/fairtank.css")),
        css("sheet.css", include_str!("../assets/sheet.css")),
        font("inter-regular.woff2", chart::INTER_REGULAR_WOFF2),
        font("inter-italic.woff2", chart::INTER_ITALIC_WOFF2),
        font("inter-semibold.woff2", chart::INTER_SEMIBOLD_WOFF2),
        script("theme.js", include_str!("../assets/theme.js")),
        script("app.js", include_str!("../assets/app.js")),
        script("job.js", include_str!("../assets/job.js")),
        script("upload.js", include_str!("../assets/upload.js")),
        script("divide.js", include_str!("../assets/divide.js")),
        svg("mark.svg", include_str!("../assets/mark.svg")),
    ]
});

static VERSION: LazyLock<String> = LazyLock::new(|| {
    let mut hash = Sha256::new();
    for asset in ASSETS.iter() {
        hash.update(asset.name.as_bytes());
        hash.update(asset.bytes.len().to_le_bytes());
        hash.update(asset.bytes);
    }
    hash.finalize()
        .iter()
        .take(8)
        .fold(String::new(), |mut text, byte| {
            // Writing to a String cannot fail.
            let _ = write!(text, "{byte:02x}");
            text
        })
});

/// The folder name that changes when any asset does.
#[must_use]
pub fn version() -> &'static str {
    &VERSION
}

/// The address of an asset.
#[must_use]
pub fn url(name: &str) -> String {
    debug_assert!(
        ASSETS.iter().any(|asset| asset.name == name),
        "no asset {name}"
    );
    format!("/assets/{}/{name}", version())
}

/// Serves one asset by its exact name.
///
/// # Errors
/// Not found for any other name or folder.
pub async fn asset(Path((folder, name)): Path<(String, String)>) -> Result<Response, WebError> {
    let asset = ASSETS
        .iter()
        .find(|asset| folder == version() && asset.name == name)
        .ok_or_else(|| WebError::of(ErrorKind::NotFound))?;
    let head = [
        (header::CONTENT_TYPE, asset.media_type),
        (header::CACHE_CONTROL, "public, max-age=31536000, immutable"),
    ];
    Ok((head, asset.bytes).into_response())
}
