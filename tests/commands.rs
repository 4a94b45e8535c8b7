//! The commands, as a person types them.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // helpers of tests, outside the test functions

mod common;

use common::{demo, fairtank};
use serde_json::Value;
use std::path::Path;

fn json(folder: &Path, args: &[&str]) -> Value {
    let out = fairtank()
        .args([args[0]])
        .arg(folder)
        .args(&args[1..])
        .arg("--json")
        .output()
        .unwrap();
    assert!(
        out.status.success(),
        "{}",
        String::from_utf8_lossy(&out.stderr)
    );
    serde_json::from_slice(&out.stdout).expect("one JSON document on standard output")
}

/// The trial of this title, as `fairtank trials` lists it.
fn trial(folder: &Path, title: &str) -> Value {
    let trials = json(folder, &["trials"]);
    let named = |t: &&Value| t["title"] == title;
    let found = trials.as_array().unwrap().iter().find(named);
    found.expect("the demo has this trial").clone()
}

fn id(trial: &Value) -> String {
    trial["id"].as_str().unwrap().to_string()
}

const SAND: &str = "In the sand or in the water?";
const POTS: &str = "Pots or cuttings?";

#[test]
fn the_demo_is_made_whole_and_says_it_is_invented() {
    let (_temp, folder) = demo();
    fairtank().arg("check").arg(&folder).assert().success();
    let trials = json(&folder, &["trials"]);
    let trials = trials.as_array().unwrap();
    assert_eq!(trials.len(), 2);
    let sand = trial(&folder, SAND);
    assert_eq!(
        sand["tanks"],
        serde_json::json!(["Ash", "Elm", "Fir", "Oak"])
    );
    assert!(sand["entries"].as_u64().unwrap() > 300);
    assert!(
        trials
            .iter()
            .all(|t| t["id"].is_string() && t["title"].is_string())
    );
}

#[test]
fn a_jot_goes_to_every_tank_and_a_dry_run_writes_nothing() {
    let (_temp, folder) = demo();
    let sand = id(&trial(&folder, SAND));
    let count = || trial(&folder, SAND)["entries"].as_u64().unwrap();
    let before = count();
    let jot = |line: &str, more: &[&str]| {
        let mut c = fairtank();
        c.arg("jot")
            .arg(&folder)
            .arg(line)
            .args(["--trial", &sand])
            .args(more);
        c
    };
    let out = jot("change 40%", &["--dry-run"]).assert().success();
    assert!(String::from_utf8_lossy(&out.get_output().stdout).contains("Nothing was written"));
    assert_eq!(count(), before);
    let out = jot("change 40%", &[]).assert().success();
    assert!(String::from_utf8_lossy(&out.get_output().stdout).contains("every tank"));
    assert_eq!(count(), before + 1);
}

#[test]
fn an_unclear_jot_is_refused_with_a_caret_and_exit_2() {
    let (_temp, folder) = demo();
    let out = fairtank()
        .arg("jot")
        .arg(&folder)
        .arg("chnage 40%")
        .assert()
        .code(2);
    let said = String::from_utf8_lossy(&out.get_output().stderr).into_owned();
    assert!(said.contains('^') && said.contains("change"), "{said}");
    fairtank()
        .arg("jot")
        .arg(&folder)
        .arg("read no3 6-12")
        .assert()
        .code(2);
}

#[test]
fn what_comes_out_goes_back_in_without_loss() {
    let (temp, folder) = demo();
    let (first, again, second) = (
        temp.path().join("a.zip"),
        temp.path().join("again"),
        temp.path().join("b.zip"),
    );
    fairtank()
        .arg("export")
        .arg(&folder)
        .arg(&first)
        .assert()
        .success();
    fairtank()
        .arg("restore")
        .arg(&first)
        .arg(&again)
        .assert()
        .success();
    fairtank().arg("check").arg(&again).assert().success();
    fairtank()
        .arg("export")
        .arg(&again)
        .arg(&second)
        .assert()
        .success();
    assert!(
        std::fs::read(&first).unwrap() == std::fs::read(&second).unwrap(),
        "the bytes differ"
    );
    fairtank()
        .arg("restore")
        .arg(&first)
        .arg(&again)
        .assert()
        .code(2);
}

#[test]
fn a_backup_is_a_whole_notebook() {
    let (temp, folder) = demo();
    let copy = temp.path().join("copy");
    fairtank()
        .arg("backup")
        .arg(&folder)
        .arg(&copy)
        .assert()
        .success();
    fairtank().arg("check").arg(&copy).assert().success();
    assert_eq!(json(&folder, &["trials"]), json(&copy, &["trials"]));
}

#[test]
fn an_import_lands_whole_or_not_at_all() {
    let (temp, folder) = demo();
    let table = temp.path().join("readings.csv");
    std::fs::write(&table, "at,tank,analyte,low,high\n2026-05-24T10:00,Ash,no3,6,12\n2026-05-24T10:00,Nowhere,no3,6,12\n").unwrap();
    let sand = id(&trial(&folder, SAND));
    let count = || trial(&folder, SAND)["entries"].as_u64().unwrap();
    let before = count();
    let out = fairtank()
        .arg("import")
        .arg(&folder)
        .arg(&table)
        .args(["--trial", &sand])
        .assert()
        .code(2);
    let said = String::from_utf8_lossy(&out.get_output().stderr).into_owned();
    for part in ["readings.csv", "3", "tank", "Nowhere"] {
        assert!(said.contains(part), "{part} is not named in: {said}");
    }
    assert_eq!(count(), before);
    std::fs::write(
        &table,
        "at,tank,analyte,low,high\n2026-05-24T10:00,Ash,no3,6,12\n",
    )
    .unwrap();
    let import = |more: &[&str]| {
        let mut command = fairtank();
        command.arg("import").arg(&folder).arg(&table);
        let done = command
            .args(["--trial", &sand])
            .args(more)
            .assert()
            .success();
        String::from_utf8_lossy(&done.get_output().stdout).into_owned()
    };
    let said = import(&["--dry-run"]);
    assert!(
        said.contains("new entries 1") && said.contains("Ash"),
        "{said}"
    );
    assert_eq!(count(), before);
    import(&[]);
    assert_eq!(count(), before + 1);
}

#[test]
fn the_comparison_knows_what_each_design_carries() {
    let (_temp, folder) = demo();
    let four = json(&folder, &["compare", "--trial", &id(&trial(&folder, SAND))]);
    let primary = &four["rows"][0];
    assert_eq!(primary["primary"], true);
    let d = &primary["differences"][0];
    assert!(d["estimate"]["low"].is_number() && d["estimate"]["high"].is_number());
    assert!(d["smallest_p"].as_f64().unwrap() > 0.33);
    let two = json(&folder, &["compare", "--trial", &id(&trial(&folder, POTS))]);
    for row in two["rows"].as_array().unwrap() {
        for d in row["differences"].as_array().unwrap() {
            assert_eq!(
                d["estimate"]["kind"]["is"], "refused",
                "one tank per arm has no interval"
            );
        }
    }
}

#[test]
fn an_update_is_one_page_with_frames_and_data() {
    let (temp, folder) = demo();
    let sand = id(&trial(&folder, SAND));
    let out = temp.path().join("update");
    fairtank()
        .arg("update")
        .arg(&folder)
        .args(["--trial", &sand])
        .arg("--out")
        .arg(&out)
        .assert()
        .success();
    let page = std::fs::read_to_string(out.join("index.html")).unwrap();
    assert!(
        page.to_lowercase().contains("invented") && page.contains("In the sand or in the water?")
    );
    for outside in ["src=\"http", "href=\"http", "<script"] {
        assert!(
            !page.contains(outside),
            "the page must need nothing but itself: {outside}"
        );
    }
    let mut sizes = Vec::new();
    for frame in std::fs::read_dir(out.join("frames")).unwrap() {
        let bytes = std::fs::read(frame.unwrap().path()).unwrap();
        // PNG: width and height are the first eight bytes of the IHDR chunk (ISO/IEC 15948).
        let at = |i: usize| u32::from_be_bytes(bytes[i..i + 4].try_into().unwrap());
        sizes.push((at(16), at(20)));
    }
    assert!(
        sizes.len() >= 6
            && sizes
                .iter()
                .all(|s| [(1920, 1080), (1080, 1920)].contains(s))
    );
    assert!(std::fs::metadata(out.join("data.zip")).unwrap().len() > 1000);
}

#[test]
fn references_pass_and_unusable_input_is_exit_2() {
    fairtank().arg("references").assert().success();
    let temp = tempfile::tempdir().unwrap();
    fairtank()
        .arg("trials")
        .arg(temp.path().join("nothing"))
        .assert()
        .code(2);
    fairtank().arg("no-such-command").assert().code(2);
    for command in [
        "demo",
        "open",
        "trials",
        "jot",
        "compare",
        "update",
        "import",
        "export",
        "restore",
        "backup",
        "check",
        "references",
    ] {
        let out = fairtank().args([command, "--help"]).assert().success();
        let said = String::from_utf8_lossy(&out.get_output().stdout).into_owned();
        assert!(said.contains("Example"), "{command} --help has no example");
    }
}
