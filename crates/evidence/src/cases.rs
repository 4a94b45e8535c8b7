//! Answers a reference case with the crate's own functions.
//!
//! A case is a JSON object with `group` and `input`; the analysis follows from the group and the
//! keys of the input. The answer holds every quantity a case of that shape can ask for, so it may
//! hold more than one case expects.

mod fields;
mod growth;
mod samples;
mod tables;

use serde_json::Value;

use crate::{NoAnswer, Unusable};
use fields::Fields;

/// The groups answered here.
pub const GROUPS: [&str; 9] = [
    "t",
    "perm",
    "rgr",
    "anova",
    "nist",
    "power",
    "pseudorep",
    "lnrr",
    "multiplicity",
];

/// Computes the quantities asked for by a case.
///
/// # Errors
/// Refused where the analysis refuses; unusable for an unknown group or a missing or
/// malformed key.
pub fn answer(case: &Value) -> Result<Value, NoAnswer> {
    let whole = Fields::new(case);
    let group = whole.text("group")?;
    let input = whole.inner("input")?;
    match group {
        "t" => samples::t(&input),
        "perm" => samples::permutation(&input),
        "rgr" => growth::answer(&input, whole.text("title").unwrap_or_default()),
        "anova" => tables::anova(&input),
        "nist" => tables::nist(&input),
        "power" => samples::power(&input),
        "pseudorep" => samples::pseudoreplication(&input),
        "lnrr" => tables::response_ratios(&input),
        "multiplicity" => samples::multiplicity(&input),
        other => Err(Unusable::Group {
            group: other.into(),
            accepted: GROUPS.join(", "),
        }
        .into()),
    }
}
