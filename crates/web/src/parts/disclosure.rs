//! Text that is one click away, without scripts.

use maud::{Markup, html};

/// A closed block with a heading that opens it.
pub fn disclosure(summary: &str, body: &Markup) -> Markup {
    block("disclosure", summary, body)
}

/// How a shown number came about: records, formulas, sources.
pub fn working(body: &Markup) -> Markup {
    block("disclosure disclosure-working", "Working", body)
}

/// How a kind of answer is reached in general.
pub fn method(body: &Markup) -> Markup {
    block("disclosure disclosure-working", "Method", body)
}

fn block(class: &str, summary: &str, body: &Markup) -> Markup {
    html! {
        details class=(class) {
            summary { (summary) }
            div.disclosure-body { (body) }
        }
    }
}
