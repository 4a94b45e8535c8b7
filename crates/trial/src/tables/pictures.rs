//! Pictures: one row for each picture and tank. Read back only by restoring a whole notebook.

use super::EntryTable;
use super::column::{Column, ColumnKind, key_of, show};
use super::head::{Own, per_tank};
use super::plants::plant_title;
use crate::{Act, Bench, Entry};

pub(crate) const TABLE: EntryTable = EntryTable {
    name: "pictures",
    about: "Pictures, with the file each is in",
    kinds: &["picture"],
    own: &[
        Column::new(
            "file",
            ColumnKind::Word,
            "Path of the picture in this package",
        ),
        Column::new("sha256", ColumnKind::Word, "SHA-256 of its bytes"),
        Column::new(
            "media_type",
            ColumnKind::Word,
            "image/jpeg, image/png or image/webp",
        ),
        Column {
            name: "width_px",
            kind: ColumnKind::Count,
            unit: "px",
            about: "Width as shown",
        },
        Column {
            name: "height_px",
            kind: ColumnKind::Count,
            unit: "px",
            about: "Height as shown",
        },
        Column::new("view", ColumnKind::Word, "front, top or detail"),
        Column::new("plant", ColumnKind::Text, "The plant it is about"),
        Column::new(
            "planting",
            ColumnKind::Word,
            "Its planting, see plantings.csv",
        ),
    ],
    also_read: &[],
    marks: &["sha256"],
    rows,
    act: None,
};

/// Where a picture stands in a package: `pictures/`, its hash, and an ending for its media type.
pub fn picture_path(sha256: &str, media_type: &str) -> String {
    let ending = match media_type {
        "image/jpeg" => "jpg",
        "image/png" => "png",
        "image/webp" => "webp",
        _ => "bin",
    };
    format!("pictures/{sha256}.{ending}")
}

fn rows(bench: &Bench, entry: &Entry) -> Vec<Own> {
    let Act::Picture(p) = &entry.act else {
        return vec![];
    };
    let cells = vec![
        ("file", picture_path(&p.sha256, &p.media_type)),
        ("sha256", p.sha256.clone()),
        ("media_type", p.media_type.clone()),
        ("width_px", p.width_px.to_string()),
        ("height_px", p.height_px.to_string()),
        ("view", key_of(&p.view)),
        (
            "plant",
            p.planting
                .map(|id| plant_title(bench, id))
                .unwrap_or_default(),
        ),
        ("planting", show(p.planting)),
    ];
    per_tank(entry, cells)
}
