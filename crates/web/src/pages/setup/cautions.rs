//! Cautions beside the fields they are about.

use maud::{Markup, html};
use quantity::Format;
use trial::RecordKind;

use crate::parts::notice;

/// The caution of this code, when it matters for the form of this kind of record.
pub(super) fn of_form(kind: RecordKind, code: &str) -> Markup {
    let matters = answers::cautions::for_record(kind, None).contains(&code);
    let caution = answers::cautions::caution(code, &Format::default()).filter(|_| matters);
    html! {
        @if let Some(caution) = caution { (notice::caution(&caution.title, &html! { p { (caution.text) } })) }
    }
}
