//! The sign of a tank: its colour, line and marker, as in every figure.

use chart::{Marker, SeriesStyle};
use maud::{Markup, html};

/// A short sample of the series of `place`, counted from 0, for use beside the tank's name.
pub fn series_sign(place: u32) -> Markup {
    let style = SeriesStyle::new(place as usize);
    let dash: Vec<String> = style.dash.iter().map(f64::to_string).collect();
    let dash = (!dash.is_empty()).then(|| dash.join(" "));
    let class = format!("sign series-{}", style.id.index() + 1);
    html! {
        svg class=(class) viewBox="0 0 30 14" width="30" height="14" aria-hidden="true" focusable="false" {
            path d="M0 7H30" stroke="currentColor" stroke-width="1.8" stroke-dasharray=[dash] fill="none" {}
            (marker(style.marker))
        }
    }
}

/// A tank's sign and name.
pub fn tank_name(place: u32, name: &str) -> Markup {
    html! { span.tank-name { (series_sign(place)) " " span { (name) } } }
}

fn marker(shape: Marker) -> Markup {
    let (path, hollow) = match shape {
        Marker::Disc => ("M10.5 7a4.5 4.5 0 1 0 9 0a4.5 4.5 0 1 0-9 0z", false),
        Marker::Square => ("M11 3h8v8h-8z", false),
        Marker::TriangleUp => ("M15 1.8l5 8.8h-10z", false),
        Marker::Diamond => ("M15 1.4l5.6 5.6-5.6 5.6-5.6-5.6z", false),
        Marker::Ring => ("M11.2 7a3.8 3.8 0 1 0 7.6 0a3.8 3.8 0 1 0-7.6 0z", true),
        Marker::HollowSquare => ("M11.6 3.6h6.8v6.8h-6.8z", true),
        Marker::TriangleDown => ("M15 12.2l5-8.8h-10z", false),
        Marker::Plus => ("M13.5 1.8h3v3.7h3.7v3h-3.7v3.7h-3v-3.7h-3.7v-3h3.7z", false),
    };
    html! {
        @if hollow {
            path.sign-hollow d=(path) stroke="currentColor" stroke-width="1.9" {}
        } @else {
            path d=(path) fill="currentColor" {}
        }
    }
}
