//! A figure of a page: drawn twice, for a phone and for a desk; the style sheet shows one of them,
//! also to screen readers.

use chart::{Scene, SvgOptions};
use maud::{Markup, PreEscaped, html};

/// Width of a figure on a phone of 390 px.
pub const PHONE: f64 = 358.0;
/// Width of a figure that has a desk's page to itself. A desk's page begins at 1088 px (68rem), where
/// it is about 1000 px wide: drawn wider than that, print would shrink below 11 px.
pub const DESK: f64 = 960.0;
/// Width of a figure that fills a desk's page from edge to edge.
pub const WIDE: f64 = 1000.0;
/// Width of a figure in one half of a desk's page.
pub const HALF: f64 = 460.0;

/// Draws a figure `desk` px wide for desks and [`PHONE`] px wide for phones. `id` is unique on the
/// page; `caption` may be empty markup.
pub fn figure(id: &str, desk: f64, caption: &Markup, draw: impl Fn(f64) -> Scene) -> Markup {
    let svg = |width: f64, end: &str| {
        PreEscaped(draw(width).to_svg(&SvgOptions::page(&format!("{id}-{end}"))))
    };
    html! {
        figure.figure {
            div.figure-phone { (svg(PHONE, "p")) }
            div.figure-desk { (svg(desk, "d")) }
            @if !caption.0.is_empty() { figcaption { (caption) } }
        }
    }
}
