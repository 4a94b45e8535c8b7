//! An address as a square code for a phone's camera (ISO/IEC 18004).

use maud::{Markup, html};
use qrcodegen::{QrCode, QrCodeEcc};

/// Light modules around the code, as the standard asks for.
const QUIET: i32 = 4;

/// The code of `text`; nothing when the text is too long for one.
#[must_use]
pub fn qr(text: &str, label: &str) -> Markup {
    let Ok(code) = QrCode::encode_text(text, QrCodeEcc::Medium) else {
        return html! {};
    };
    let side = code.size() + 2 * QUIET;
    let mut path = String::new();
    for y in 0..code.size() {
        for x in (0..code.size()).filter(|&x| code.get_module(x, y)) {
            path.push_str(&format!("M{} {}h1v1h-1z", x + QUIET, y + QUIET));
        }
    }
    // Black on white in every theme: cameras expect it.
    html! {
        svg.qr viewBox={ "0 0 " (side) " " (side) } role="img" aria-label=(label) shape-rendering="crispEdges" {
            rect width=(side) height=(side) fill="#fff" {}
            path d=(path) fill="#000" {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::qr;

    #[test]
    fn the_three_corner_marks_are_there() {
        // ISO/IEC 18004: a version 1 code has 21 modules, each corner mark begins with 7 dark ones.
        let drawn = qr("HTTP://A", "address").into_string();
        assert!(drawn.contains("viewBox=\"0 0 29 29\""), "{drawn}");
        for (x, y) in [(4, 4), (18, 4), (4, 18)] {
            for i in 0..7 {
                assert!(drawn.contains(&format!("M{} {y}h1", x + i)), "{x} {y} {i}");
            }
        }
        assert!(qr(&"x".repeat(5000), "address").into_string().is_empty());
    }
}
