//! Draws every example plot as PNG into a folder, to look at:
//! `cargo run -p chart --example gallery -- FOLDER`

#[path = "../tests/common/mod.rs"]
mod common;

use std::path::PathBuf;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let folder = PathBuf::from(std::env::args().nth(1).ok_or("say which folder")?);
    std::fs::create_dir_all(&folder)?;
    for (name, draw) in common::all() {
        for (look, theme) in [
            ("light", chart::Theme::light()),
            ("dark", chart::Theme::dark()),
        ] {
            for width in [360.0, 900.0] {
                let png = chart::to_png(&draw(width), &theme, width as u32 * 2)?;
                std::fs::write(folder.join(format!("{name}-{width}-{look}.png")), png)?;
            }
        }
    }
    Ok(())
}
