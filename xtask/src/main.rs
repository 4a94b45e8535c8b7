//! The house's own checks: `cargo run -p xtask -- layers|sizes|licences|all`.

mod layers;
mod licences;
mod sizes;

use anyhow::{Context, bail};
use serde_json::Value;
use std::path::PathBuf;
use std::process::Command;

fn main() -> anyhow::Result<()> {
    let what = std::env::args().nth(1).unwrap_or_default();
    let metadata = metadata()?;
    let mut problems = Vec::new();
    if ["layers", "all"].contains(&what.as_str()) {
        problems.extend(layers::check(&metadata));
    }
    if ["sizes", "all"].contains(&what.as_str()) {
        problems.extend(sizes::check(&root())?);
    }
    if ["licences", "all"].contains(&what.as_str()) {
        problems.extend(licences::check(&metadata));
    }
    if !["layers", "sizes", "licences", "all"].contains(&what.as_str()) {
        bail!("use one of: layers, sizes, licences, all");
    }
    for problem in &problems {
        eprintln!("{problem}");
    }
    if problems.is_empty() {
        Ok(())
    } else {
        bail!("{} problems", problems.len())
    }
}

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// What cargo knows of the workspace and everything it builds from.
fn metadata() -> anyhow::Result<Value> {
    let out = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1", "--locked"])
        .current_dir(root())
        .output()
        .context("cargo metadata cannot be run")?;
    if !out.status.success() {
        bail!(
            "cargo metadata failed: {}",
            String::from_utf8_lossy(&out.stderr)
        );
    }
    Ok(serde_json::from_slice(&out.stdout)?)
}

/// The elements of an array, none when it is missing.
fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value
        .get(key)
        .and_then(Value::as_array)
        .map_or(&[], Vec::as_slice)
}

/// A string, empty when it is missing.
fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value.get(key).and_then(Value::as_str).unwrap_or("")
}
