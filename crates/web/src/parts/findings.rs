//! Findings of an answer, weightiest first.

use maud::{Markup, html};
use trial::{Bench, Finding, Severity};

use super::notice::{Weight, finding};
use crate::pages::words::said;

/// One finding.
pub fn one(found: &Finding, bench: &Bench) -> Markup {
    drawn(found, &said(&found.what, bench))
}

/// One finding that belongs to no trial.
pub fn plain(found: &Finding) -> Markup {
    drawn(found, &html! { (found.what) })
}

fn drawn(found: &Finding, what: &Markup) -> Markup {
    let weight = match found.severity {
        Severity::Note => Weight::Note,
        Severity::Weakens => Weight::Doubt,
        Severity::Serious => Weight::Serious,
    };
    let remedy = Some(found.remedy.as_str()).filter(|r| !r.is_empty());
    finding(weight, what, remedy)
}

/// All of them, each once.
pub fn all(found: &[Finding], bench: &Bench) -> Markup {
    let mut shown: Vec<&Finding> = Vec::new();
    for finding in found {
        if !shown.iter().any(|f| f.what == finding.what) {
            shown.push(finding);
        }
    }
    shown.sort_by_key(|f| std::cmp::Reverse(f.severity));
    html! { div.stack { @for finding in shown { (one(finding, bench)) } } }
}
