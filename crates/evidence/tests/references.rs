//! Every embedded table passes, and the comparison is able to fail.
#![allow(clippy::unwrap_used, missing_docs)]

use evidence::references;
use serde_json::Value;

fn table(id: &str) -> (Value, Value) {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../checks/evidence/");
    let read = |kind: &str| {
        let text = std::fs::read_to_string(format!("{folder}{id}.{kind}.json")).unwrap();
        serde_json::from_str(&text).unwrap()
    };
    (read("input"), read("expected"))
}

#[test]
fn every_table_passes() {
    let results = references::run();
    for r in &results {
        println!(
            "{:20} {:5} {:9.1e} {}",
            r.id, r.passed, r.worst_relative_error, r.detail
        );
    }
    let out: Vec<_> = results.iter().filter(|r| !r.passed).collect();
    assert!(out.is_empty(), "{out:#?}");
    assert!(
        results
            .iter()
            .all(|r| !r.source.is_empty() && !r.computed_by.is_empty())
    );
}

#[test]
fn every_table_in_the_folder_is_run() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../checks/evidence/");
    let mut there: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .filter_map(|entry| entry.unwrap().file_name().into_string().ok())
        .filter_map(|name| name.strip_suffix(".input.json").map(String::from))
        .collect();
    let mut run: Vec<String> = references::run().into_iter().map(|r| r.id).collect();
    there.sort();
    run.sort();
    assert_eq!(there, run);
}

#[test]
fn a_perturbed_value_fails() {
    for (id, pointer) in [
        ("r001_t", "/expected/p"),
        ("r008_anova", "/expected/tukey/p_adj/1"),
        ("r016_rgr", "/expected/anova_rgr/F/0"),
        ("r026_perm", "/expected/lo"),
        ("p010_power", "/expected/mde80/29"),
        ("p005_nist", "/expected/F"),
    ] {
        let (input, mut expected) = table(id);
        assert!(references::check(&input, &expected).passed, "{id}");
        let value = expected.pointer_mut(pointer).unwrap();
        *value = (value.as_f64().unwrap() * 1.02).into();
        let result = references::check(&input, &expected);
        assert!(
            !result.passed && result.detail.contains("instead of"),
            "{result:?}"
        );
    }
}

#[test]
fn missing_keys_wrong_labels_and_lengths_fail() {
    let (input, expected) = table("r016_rgr");
    let mut renamed = expected.clone();
    renamed["expected"]["per_unit"]["Chick"][0] = "2".into();
    assert!(!references::check(&input, &renamed).passed);
    let mut longer = expected.clone();
    longer["expected"]["anova_rgr"]["df"] = serde_json::json!([3, 41, 1]);
    assert!(!references::check(&input, &longer).passed);
    let mut more = expected.clone();
    more["expected"]["unheard_of"] = 1.0.into();
    assert!(!references::check(&input, &more).passed);
    let mut nothing = expected;
    nothing["expected"] = serde_json::json!({});
    assert!(!references::check(&input, &nothing).passed);
    let mut foreign = input;
    foreign["group"] = "weather".into();
    assert!(!references::check(&foreign, &longer).passed);
}

/// With the certified digits kept by decimal differences the set with 13 equal leading digits is
/// met far closer than its table asks (NIST StRD SmLs07, certified F = 21 exactly).
#[test]
fn constant_leading_digits_do_no_harm() {
    let (input, expected) = table("p005_nist");
    let result = references::check(&input, &expected);
    assert!(result.worst_relative_error < 1e-9, "{result:?}");
}
