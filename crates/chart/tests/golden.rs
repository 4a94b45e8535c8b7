//! The SVG text of every example plot, compared exactly with the files in `tests/golden`.
//!
//! After a wanted change: `UPDATE_GOLDEN=1 cargo test -p chart --test golden`, then look at the
//! difference and at the pictures (`cargo run -p chart --example gallery -- FOLDER`).

mod common;

use std::path::Path;

use chart::{SvgOptions, Theme};

fn compare(name: &str, text: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/golden")
        .join(name);
    if std::env::var_os("UPDATE_GOLDEN").is_some() {
        assert!(
            std::fs::write(&path, text).is_ok(),
            "{name} could not be written"
        );
        return;
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    let differs = kept.lines().zip(text.lines()).find(|(a, b)| a != b);
    assert!(
        kept == text,
        "{name} differs from the golden file, first at {differs:?}"
    );
}

#[test]
fn plots_on_a_phone_for_pages() {
    for (name, draw) in common::all() {
        compare(
            &format!("{name}-360.svg"),
            &draw(360.0).to_svg(&SvgOptions::page(name)),
        );
    }
}

#[test]
fn plots_on_a_desk_for_files() {
    let theme = Theme::light();
    for (name, draw) in common::all() {
        compare(
            &format!("{name}-900.svg"),
            &draw(900.0).to_svg(&SvgOptions::file(name, &theme)),
        );
    }
}

#[test]
fn the_style_sheet() {
    compare("chart.css", &chart::css());
}
