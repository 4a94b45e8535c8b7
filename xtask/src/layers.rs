//! The real dependency graph against the map in ARCHITECTURE.md: arrows point down only.

use crate::{list, text};
use serde_json::Value;

/// Floors of the house, from the bottom up. A crate may use crates of lower floors only.
const FLOORS: &[&[&str]] = &[
    &["quantity", "text", "chart", "picture", "job", "xtask"],
    &["trial", "evidence", "water"],
    &["store"],
    &["answers", "demo"],
    &["report"],
    &["web"],
    &["fairtank"],
];

/// Engines are pure: they use nothing of ours but quantities.
const ENGINES: &[&str] = &["water", "light", "ledger", "course", "photo", "evidence"];

pub(crate) fn check(metadata: &Value) -> Vec<String> {
    let members: Vec<&Value> = list(metadata, "packages")
        .iter()
        .filter(|p| p.get("source") == Some(&Value::Null))
        .collect();
    let names: Vec<&str> = members.iter().map(|p| text(p, "name")).collect();
    let mut problems = Vec::new();
    for package in members {
        let name = text(package, "name");
        let Some(own) = floor(name) else {
            problems.push(format!(
                "{name} has no floor: add it to xtask and ARCHITECTURE.md"
            ));
            continue;
        };
        for dependency in list(package, "dependencies") {
            let used = text(dependency, "name");
            let for_tests = text(dependency, "kind") == "dev";
            if !names.contains(&used) || for_tests || used == name {
                continue;
            }
            if floor(used).is_none_or(|below| below >= own) {
                problems.push(format!("{name} uses {used}, which is not below it"));
            }
            if ENGINES.contains(&name) && used != "quantity" {
                problems.push(format!("the engine {name} uses {used}; engines are pure"));
            }
        }
    }
    problems
}

fn floor(name: &str) -> Option<usize> {
    FLOORS.iter().position(|crates| crates.contains(&name))
}
