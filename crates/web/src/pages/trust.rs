//! How far to trust this: the reference tables built into the program, run here.

use std::sync::LazyLock;

use answers::trust::{TrustAnswer, trust};
use maud::{Markup, Render, html};
use quantity::Format;
use text::t;

use crate::WebError;
use crate::parts::shell::{PageHead, page};
use crate::parts::table::{Column, Table};

/// The tables do not change while the program runs, so one run serves all.
static ANSWER: LazyLock<TrustAnswer> = LazyLock::new(trust);

/// `/trust`.
///
/// # Errors
/// When the run was broken off.
pub async fn show() -> Result<Markup, WebError> {
    // The first run takes a while: other pages must not wait for it.
    let answer = tokio::task::spawn_blocking(|| &*ANSWER)
        .await
        .map_err(|error| WebError::internal(&error))?;
    let head = PageHead {
        title: t!("trust.title"),
        lead: Some(t!("trust.lead")),
        ..PageHead::default()
    };
    let n = answer.checks.len();
    let body = html! {
        p.state {
            (t!("trust.summary", passed = answer.passed, n = n, compared = answer.compared))
            @if answer.passed < n { " " strong { (t!("trust.summary_failed", failed = n - answer.passed, n = n)) } }
        }
        section.section {
            h2 { (t!("trust.unchecked")) }
            ul.sentences { @for one in &answer.unchecked { li { (one) } } }
        }
        section.section { h2 { (t!("trust.tables")) } (table(answer)) }
    };
    Ok(page(&head, body))
}

fn table(answer: &TrustAnswer) -> Markup {
    let columns = [
        Column::words(t!("trust.col_about")),
        Column::words(t!("trust.col_result")),
        Column::numbers(t!("trust.col_values"), ""),
        Column::numbers(t!("trust.col_error"), ""),
    ];
    let mut table = Table::new(t!("trust.caption"), &columns).stacked();
    for check in &answer.checks {
        let result = if check.passed {
            html! { (t!("trust.pass")) }
        } else {
            html! { strong { (t!("trust.fail")) } ": " (check.detail) }
        };
        let title = if check.title.is_empty() {
            &check.id
        } else {
            &check.title
        };
        table = table.row([
            html! {
                strong { (title) } br;
                span.muted.small { (t!("trust.from", source = check.source, by = check.computed_by)) }
            },
            result,
            html! { (check.compared) },
            error(check.worst_relative_error),
        ]);
    }
    html! { div.wrap-names { (table.render()) } }
}

/// A relative error as a power of ten; none when every value agrees to the last bit.
fn error(worst: f64) -> Markup {
    if worst == 0.0 {
        return html! { (t!("trust.no_error")) };
    }
    let format = Format::default();
    if !worst.is_finite() {
        return html! { (format.significant(worst, 2)) };
    }
    let exponent = worst.log10().floor();
    let front = format.fixed(worst / 10f64.powf(exponent), 1);
    html! { span { (front) " × 10" sup { (format.fixed(exponent, 0)) } } }
}
