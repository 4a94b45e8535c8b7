//! What makes pictures comparable, as a short list by the form and the gallery.

use maud::{Markup, html};
use text::t;

/// The reminders, each with its reason.
pub(crate) fn reminders(open: bool) -> Markup {
    let all: [(&str, &str); 8] = [
        (t!("pictures.keep_spot"), t!("pictures.why_spot")),
        (t!("pictures.keep_hour"), t!("pictures.why_hour")),
        (t!("pictures.keep_lamp"), t!("pictures.why_lamp")),
        (t!("pictures.keep_room"), t!("pictures.why_room")),
        (t!("pictures.keep_pane"), t!("pictures.why_pane")),
        (t!("pictures.keep_before"), t!("pictures.why_before")),
        (t!("pictures.keep_strip"), t!("pictures.why_strip")),
        (t!("pictures.keep_shot"), t!("pictures.why_shot")),
    ];
    html! {
        details.disclosure.protocol open[open] {
            summary { (t!("pictures.protocol")) }
            div.disclosure-body {
                ul { @for (what, why) in all { li { strong { (what) } " " (why) } } }
            }
        }
    }
}
