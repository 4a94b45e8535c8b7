//! The pictures as built in: rendered, invented, CC0.

/// A picture's file name and bytes. All are JPEG.
#[derive(Debug, Clone, Copy)]
pub struct Picture {
    /// File name below `demo/pictures/`.
    pub file: &'static str,
    /// The bytes.
    pub bytes: &'static [u8],
}

/// What a keeper would mark on each picture: a JSON list, `file` naming the picture.
pub const MARKS: &str = include_str!(concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/../../demo/pictures/marks.json"
));

macro_rules! pictures {
    ($($file:literal),* $(,)?) => {
        &[$(Picture {
            file: $file,
            bytes: include_bytes!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo/pictures/", $file)),
        }),*]
    };
}

/// Every picture.
pub const PICTURES: &[Picture] = pictures![
    "ash-w00.jpg",
    "ash-w04.jpg",
    "ash-w08.jpg",
    "ash-w09.jpg",
    "ash-w12.jpg",
    "ash-w16.jpg",
    "elm-w00.jpg",
    "elm-w04.jpg",
    "elm-w08.jpg",
    "elm-w09.jpg",
    "elm-w12.jpg",
    "elm-w16.jpg",
    "fir-w00.jpg",
    "fir-w04.jpg",
    "fir-w08.jpg",
    "fir-w09.jpg",
    "fir-w12.jpg",
    "fir-w16.jpg",
    "oak-w00.jpg",
    "oak-w04.jpg",
    "oak-w08.jpg",
    "oak-w09.jpg",
    "oak-w12.jpg",
    "oak-w16.jpg",
    "shelf-w00.jpg",
    "shelf-w04.jpg",
    "shelf-w08.jpg",
    "sill-w00.jpg",
    "sill-w04.jpg",
    "sill-w08.jpg",
];

pub(crate) fn find(file: &str) -> Option<&'static Picture> {
    PICTURES.iter().find(|p| p.file == file)
}
