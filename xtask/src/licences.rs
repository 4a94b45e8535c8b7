//! Everything built in must come from the registry under a licence we can pass on.

use crate::{list, text};
use serde_json::Value;

/// Licences that may be passed on with ours (SPDX identifiers).
const ACCEPTED: &[&str] = &[
    "MIT",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "ISC",
    "Zlib",
    "0BSD",
    "CC0-1.0",
    "Unlicense",
    "Unicode-3.0",
    "BSL-1.0",
    "OFL-1.1",
    "MIT-0",
];

pub(crate) fn check(metadata: &Value) -> Vec<String> {
    list(metadata, "packages")
        .iter()
        .filter_map(problem)
        .collect()
}

fn problem(package: &Value) -> Option<String> {
    let (name, licence) = (text(package, "name"), text(package, "license"));
    let source = package.get("source").and_then(Value::as_str);
    if source.is_some_and(|s| !s.starts_with("registry+")) {
        return Some(format!("{name} does not come from the registry"));
    }
    (!accepted(licence)).then(|| format!("{name} has the licence \"{licence}\""))
}

/// Whether at least one side of every `OR` inside every `AND` is accepted.
fn accepted(expression: &str) -> bool {
    let plain = expression.replace('/', " OR ").replace(['(', ')'], "");
    plain
        .split(" AND ")
        .all(|part| part.split(" OR ").any(|l| ACCEPTED.contains(&l.trim())))
}
