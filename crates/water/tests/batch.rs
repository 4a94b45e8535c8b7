//! Tables in, tables out.
#![allow(missing_docs, clippy::unwrap_used)]

use std::io::{self, Read};

use proptest::prelude::*;
use water::batch::{BatchError, BatchReport, Options, ammonia, gas, mix, states};
use water::gas::air::Humidity;

fn run(
    f: impl FnOnce(
        &[u8],
        &mut Vec<u8>,
        &mut dyn FnMut(water::batch::Progress) -> bool,
    ) -> Result<BatchReport, BatchError>,
    text: &str,
) -> (Result<BatchReport, BatchError>, Vec<Vec<String>>) {
    let mut out = Vec::new();
    let report = f(text.as_bytes(), &mut out, &mut |_| true);
    let rows = csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(&out[..])
        .records()
        .map(|r| r.unwrap().iter().map(String::from).collect())
        .collect();
    (report, rows)
}

fn states_of(text: &str) -> (Result<BatchReport, BatchError>, Vec<Vec<String>>) {
    run(|r, w, p| states(r, w, &Options::default(), p), text)
}

fn cell<'a>(rows: &'a [Vec<String>], row: usize, name: &str) -> &'a str {
    &rows[row][rows[0].iter().position(|n| n == name).unwrap()]
}

fn number(rows: &[Vec<String>], row: usize, name: &str) -> f64 {
    cell(rows, row, name).parse().unwrap()
}

#[test]
fn columns_in_any_order_and_unknown_ones_unchanged() {
    // C002 of checks/water/cases.csv: CO2 45.818 mg/L, SI -1.8158, 349.51 uS/cm.
    let text = "note,so4_mg_l,ph,ca_mg_l,alkalinity_meq_l,mg_mg_l,na_mg_l,k_mg_l,cl_mg_l,temperature_c,x\n\
                \"a, \"\"quoted\"\" note\",58.089,6.22,44.29,0.8543,6.724,0.50058,12.513,36.922,26.7, 007 \n";
    let (report, rows) = states_of(text);
    assert_eq!(report.unwrap().problems, 0);
    assert_eq!(rows[1][0], "a, \"quoted\" note");
    assert_eq!(cell(&rows, 1, "x"), " 007 ");
    assert!((number(&rows, 1, "co2_mg_l") / 45.818 - 1.0).abs() < 1e-3);
    assert!((number(&rows, 1, "calcite_saturation_index") + 1.8158).abs() < 2e-3);
    assert!((number(&rows, 1, "conductivity_25_us_cm") / 349.51 - 1.0).abs() < 1.5e-2);
    assert_eq!(
        rows[0][11..],
        [
            "co2_mg_l",
            "hco3_mg_l",
            "co3_mg_l",
            "dic_mmol_l",
            "ionic_strength_mol_kg",
            "calcite_saturation_index",
            "pco2_atm",
            "conductivity_25_us_cm",
            "nh3_fraction",
            "problem"
        ]
    );
}

#[test]
fn bad_rows_keep_their_place_with_a_reason() {
    let text = "id,temperature_c,ph,alkalinity_meq_l,ca_mg_l\n\
                1,25,7,2,40\n\
                2,25,seven,2,40\n\
                3,25,,2,40\n\
                4,60,7,2,40\n\
                5,25,7,2\n\
                6,25,7,2,40,9\n\
                7,25,9.5,0.001,40\n\
                8,25,7,2,90000\n\
                9,25,7,2,-1\n\
                10,25,7,2,\n\
                11,25,nan,2,1\n\
                12,25,7,2,40\n";
    let mut out = Vec::new();
    let report = states(text.as_bytes(), &mut out, &Options::default(), &mut |_| {
        true
    })
    .unwrap();
    assert_eq!((report.rows, report.problems), (12, 9));
    let first = report.first_problem.unwrap();
    assert_eq!(first.0, 3);
    assert_eq!(first.1, "row 3: column \"ph\": \"seven\" is not a number");
    let out = String::from_utf8(out).unwrap();
    let lines: Vec<&str> = out.lines().collect();
    for (line, has) in [
        (2, "row 3: column \"\"ph\"\": \"\"seven\"\" is not a number"),
        (3, "row 4: column \"\"ph\"\" is empty; a number is needed"),
        (
            4,
            "row 5: temperature_c 60 is out of range; 5 to 35 is accepted",
        ),
        (5, "row 6: the row has 4 cells, the header 5"),
        (6, "row 7: the row has 6 cells, the header 5"),
        (7, "contradict each other"),
        (8, "ionic strength is"),
        (9, "row 10: ca_mg_l -1 is out of range"),
        (11, "row 12: ph must be a finite number, not NaN"),
    ] {
        assert!(lines[line].contains(has), "{}", lines[line]);
        assert!(lines[line].starts_with(&format!("{line},")));
    }
    for line in [1, 10, 12] {
        assert!(lines[line].ends_with(','), "{}", lines[line]);
        assert_eq!(lines[line].split(',').count(), 15);
    }
    // A missing optional cell is 0: the same as a water without calcium, whose index is empty.
    assert!(lines[10].contains(",,"));
}

#[test]
fn a_missing_or_repeated_column_is_said_at_once() {
    let (report, rows) = states_of("temperature_c,ph\n25,7\n");
    assert_eq!(
        report.unwrap_err().to_string(),
        "column \"alkalinity_meq_l\" is missing; this table needs temperature_c, ph, alkalinity_meq_l"
    );
    assert!(rows.is_empty());
    let (report, _) = states_of("temperature_c,ph,ph,alkalinity_meq_l\n25,7,7,1\n");
    assert!(report.unwrap_err().to_string().contains("twice"));
    let (report, _) = states_of("");
    assert!(matches!(report, Err(BatchError::MissingColumn { .. })));
}

#[test]
fn a_byte_order_mark_and_windows_lines_do_no_harm() {
    let (report, rows) = states_of("\u{feff}ph,temperature_c,alkalinity_meq_l\r\n7,25,2\r\n");
    assert_eq!(report.unwrap().problems, 0);
    assert!(number(&rows, 1, "co2_mg_l") > 10.0);
}

/// A table of `checks/water` with its columns named as the commands name them.
fn renamed(table: &str, prefix: &[(&str, &str)]) -> String {
    let names = [
        ("T_C", "temperature_c"),
        ("pH", "ph"),
        ("alk_meqL", "alkalinity_meq_l"),
        ("Ca_mgL", "ca_mg_l"),
        ("Mg_mgL", "mg_mg_l"),
        ("Na_mgL", "na_mg_l"),
        ("K_mgL", "k_mg_l"),
        ("Cl_mgL", "cl_mg_l"),
        ("SO4_mgL", "so4_mg_l"),
        ("NO3_mgL", "no3_mg_l"),
        ("added_co2_mgL", "added_co2_mg_l"),
        ("f_A_volume", "share_a"),
        ("TAN_mgL_as_N", "tan_mg_l"),
    ];
    let mut lines = table.lines().filter(|l| !l.starts_with('#'));
    let header: Vec<String> = lines
        .next()
        .unwrap()
        .split(',')
        .map(|name| {
            let (ours, bare) = prefix
                .iter()
                .find_map(|(theirs, ours)| name.strip_prefix(theirs).map(|b| (*ours, b)))
                .unwrap_or(("", name));
            names
                .iter()
                .find(|(theirs, _)| *theirs == bare)
                .map_or(format!("ref_{name}"), |(_, word)| format!("{ours}{word}"))
        })
        .collect();
    let mut out = header.join(",");
    for line in lines {
        out.push('\n');
        out.push_str(line);
    }
    out + "\n"
}

#[test]
fn gas_table_against_the_reference() {
    let text = renamed(include_str!("../../../checks/water/cases_co2.csv"), &[]);
    let (report, rows) = run(|r, w, p| gas(r, w, &Options::default(), p), &text);
    assert_eq!(
        report.unwrap(),
        BatchReport {
            rows: 20,
            problems: 0,
            first_problem: None
        }
    );
    for i in 1..rows.len() {
        for (ours, theirs) in [
            ("air_ph", "ref_air_pH_420ppm_dry"),
            ("ph_after", "ref_pH_after"),
        ] {
            assert!((number(&rows, i, ours) - number(&rows, i, theirs)).abs() < 6e-3);
        }
    }
    let moist = Options {
        humidity: Humidity::Moist,
        ..Options::default()
    };
    let (_, rows) = run(|r, w, p| gas(r, w, &moist, p), &text);
    for i in 1..rows.len() {
        let gap = number(&rows, i, "air_ph") - number(&rows, i, "ref_air_pH_420ppm_moist");
        assert!(gap.abs() < 6e-3);
    }
}

#[test]
fn mix_table_against_the_reference() {
    let table = include_str!("../../../checks/water/cases_mix.csv");
    let text = renamed(table, &[("A_", "a_"), ("B_", "b_")]);
    let (report, rows) = run(|r, w, p| mix(r, w, &Options::default(), p), &text);
    assert_eq!(report.unwrap().problems, 0);
    for i in 1..rows.len() {
        for (ours, theirs, allowed) in [
            ("mix_ph", "ref_mix_pH", 6e-3),
            ("mix_temperature_c", "ref_mix_T_C", 1e-3),
            ("mix_gh_dgh", "ref_mix_dGH", 0.02),
            ("mix_kh_dkh", "ref_mix_dKH", 0.01),
        ] {
            assert!(
                (number(&rows, i, ours) - number(&rows, i, theirs)).abs() < allowed,
                "{ours}"
            );
        }
    }
}

#[test]
fn mix_says_which_water_is_wrong() {
    let (report, rows) = run(
        |r, w, p| mix(r, w, &Options::default(), p),
        "a_temperature_c,a_ph,a_alkalinity_meq_l,b_temperature_c,b_ph,b_alkalinity_meq_l,share_a\n\
         25,7,2,25,20,2,0.5\n25,7,2,25,7,2,1.5\n25,7,2,25,7,2,1\n",
    );
    assert_eq!(report.unwrap().problems, 2);
    assert_eq!(
        cell(&rows, 1, "problem"),
        "row 2: water b: ph 20 is out of range; 3 to 11 is accepted"
    );
    assert_eq!(
        cell(&rows, 2, "problem"),
        "row 3: share_a 1.5 is out of range; 0 to 1 is accepted"
    );
    assert_eq!(cell(&rows, 3, "mix_ph"), "7");
}

#[test]
fn ammonia_table_against_emerson_and_the_reference() {
    let text = renamed(include_str!("../../../checks/water/ammonia.csv"), &[]);
    let (report, rows) = run(|r, w, p| ammonia(r, w, &Options::default(), p), &text);
    assert_eq!(report.unwrap().problems, 0);
    for i in 1..rows.len() {
        let gap = number(&rows, i, "nh3_fraction") - number(&rows, i, "ref_frac_emerson");
        assert!(gap.abs() < 1e-6, "{gap}");
        let n = number(&rows, i, "nh3_n_mg_l") / number(&rows, i, "ref_nh3N_mgL_emerson");
        assert!((n - 1.0).abs() < 1e-5);
    }
}

#[test]
fn progress_is_told_and_can_stop_a_run() {
    let mut text = String::from("temperature_c,ph,tan_mg_l\n");
    text.push_str(&"25,7,1\n".repeat(20_000));
    let mut told = Vec::new();
    let report = ammonia(text.as_bytes(), io::sink(), &Options::default(), &mut |p| {
        told.push(p.rows);
        true
    })
    .unwrap();
    assert_eq!(report.rows, 20_000);
    assert!(told.len() >= 3 && told.is_sorted() && told.last() == Some(&20_000));
    let stopped = ammonia(
        text.as_bytes(),
        io::sink(),
        &Options::default(),
        &mut |_| false,
    );
    assert!(matches!(stopped, Err(BatchError::Stopped { rows }) if rows < 20_000));
}

/// Gives an endless table in small pieces and fails at its end: what came before is written.
struct Broken(usize);

impl Read for Broken {
    fn read(&mut self, buf: &mut [u8]) -> io::Result<usize> {
        if self.0 == 0 {
            return Err(io::Error::other("cable pulled"));
        }
        self.0 -= 1;
        let piece = b"25,7,1\n";
        buf[..piece.len()].copy_from_slice(piece);
        Ok(piece.len())
    }
}

#[test]
fn rows_stream_and_a_broken_reader_is_an_error() {
    let head = &b"temperature_c,ph,tan_mg_l\n"[..];
    let mut out = Vec::new();
    let error = ammonia(
        head.chain(Broken(100_000)),
        &mut out,
        &Options::default(),
        &mut |_| true,
    )
    .unwrap_err();
    assert!(error.to_string().contains("cable pulled"));
    assert!(out.len() > 1_000_000, "{}", out.len());
}

proptest! {
    /// Whatever bytes come: rows keep their place, or a typed error; never a panic.
    #[test]
    fn any_bytes(body in prop::collection::vec(any::<u8>(), 0..400)) {
        let mut text = b"temperature_c,ph,alkalinity_meq_l,added_co2_mg_l,tan_mg_l\n25,7,2,3,1\n".to_vec();
        text.extend(&body);
        let options = Options::default();
        for which in 0..3 {
            let mut out = Vec::new();
            let go = &mut |_| true;
            let report = match which {
                0 => states(&text[..], &mut out, &options, go),
                1 => gas(&text[..], &mut out, &options, go),
                _ => ammonia(&text[..], &mut out, &options, go),
            };
            if let Ok(report) = report {
                let rows = csv::ReaderBuilder::new().flexible(true).from_reader(&out[..]);
                prop_assert_eq!(rows.into_byte_records().count() as u64, report.rows);
            }
        }
        let _ = states(&body[..], io::sink(), &Options::default(), &mut |_| true);
    }
}
