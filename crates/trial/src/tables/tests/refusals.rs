use super::super::{ImportError, MOST_PROBLEMS, read_table};
use super::{bench, read, refusal};
use crate::act::{DoseOf, Into, WaterAmount};
use crate::{Act, Seen};
use proptest::prelude::*;
use quantity::Unit;

#[test]
fn a_table_as_a_spreadsheet_saves_it_is_read() {
    let text = "\u{feff}At;Tank;What;Amount;Unit\r\n\
        2026-05-01;ash;kno3;1,2;g\r\n\
        \r\n\
        2026-05-01 18:30;;evening mix;5;\r\n\
        2026-05-02T08:00+00:00;\"Ash, Elm\";=tablet;2;\r\n";
    let rows = read(text);
    let lines: Vec<u64> = rows.iter().map(|r| r.line).collect();
    assert_eq!(lines, [2, 4, 5]);
    let Act::Dose(first) = &rows[0].draft.act else {
        panic!()
    };
    assert_eq!(
        first.of,
        DoseOf::Salt {
            formula: "KNO3".into()
        }
    );
    assert_eq!((first.amount.value, first.amount.unit), (1.2, Unit::Gram));
    assert_eq!(
        rows[0].draft.at.to_string(),
        "2026-05-01T12:00:00+02:00[Europe/Berlin]"
    );
    assert!(!rows[0].draft.all_tanks);
    let Act::Dose(second) = &rows[1].draft.act else {
        panic!()
    };
    assert_eq!(
        (second.amount.unit, second.into),
        (Unit::Millilitre, Into::Water)
    );
    assert!(rows[1].draft.all_tanks);
    assert_eq!(rows[1].draft.tanks, bench().tank_ids());
    assert_eq!(
        rows[1].draft.at.to_string(),
        "2026-05-01T18:30:00+02:00[Europe/Berlin]"
    );
    let Act::Dose(third) = &rows[2].draft.act else {
        panic!()
    };
    assert_eq!(
        (third.amount.unit, third.into),
        (Unit::Piece, Into::Substrate)
    );
    assert_eq!(
        rows[2].draft.at.to_string(),
        "2026-05-02T10:00:00+02:00[Europe/Berlin]"
    );
    assert_eq!(
        (rows[2].draft.tanks.len(), rows[2].draft.all_tanks),
        (2, false)
    );
}

#[test]
fn readings_are_said_in_several_ways() {
    let rows = read(
        "at,tank,analyte,value,low,high,seen,card\n\
         2026-05-01,ash,no3,6,,,,Meadow\n\
         2026-05-01,ash,nitrate,,6,12,,Meadow\n\
         2026-05-01,ash,po4,,0.3,,,\n\
         2026-05-01,ash,ph,6.80,,,,\n\
         2026-05-01,ash,no3,,,,6-12,meadow\n",
    );
    let ends: Vec<_> = rows
        .iter()
        .map(|r| match &r.draft.act {
            Act::Reading(r) => (r.interval.low(), r.interval.high()),
            _ => panic!(),
        })
        .collect();
    // Midpoints to the neighbours of step 6 on a card of 0, 3, 6, 12: (3 + 6) / 2, (6 + 12) / 2.
    assert_eq!(ends[0], (Some(4.5), Some(9.0)));
    assert_eq!(ends[1], (Some(6.0), Some(12.0)));
    assert_eq!(ends[2], (Some(0.3), None));
    let (low, high) = (ends[3].0.unwrap(), ends[3].1.unwrap());
    assert!((low - 6.795).abs() < 1e-9 && (high - 6.805).abs() < 1e-9);
    assert_eq!(ends[4], (Some(6.0), Some(12.0)));
    let Act::Reading(meter) = &rows[3].draft.act else {
        panic!()
    };
    assert_eq!(
        meter.seen,
        Seen::Meter {
            value: 6.8,
            error: None,
            decimals: 2
        }
    );
}

#[test]
fn a_diluted_reading_is_multiplied() {
    let rows = read("at,tank,analyte,value,card,dilution\n2026-05-01,ash,no3,24,Meadow,4\n");
    let Act::Reading(r) = &rows[0].draft.act else {
        panic!()
    };
    // Step 24 reaches from 18 to 36; four parts to one part sample: 72 to 144.
    assert_eq!(
        (r.interval.low(), r.interval.high()),
        (Some(72.0), Some(144.0))
    );
}

#[test]
fn shares_and_kinds() {
    let rows = read(
        "kind,at,tank,share,litres,note\n\
         change,2026-05-01,,40%,,\n\
         change,2026-05-08,elm,,12.5,\n\
         top up,2026-05-09,elm,,2,\n\
         note,2026-05-09,,,,power was off\n",
    );
    let amounts: Vec<_> = rows[..2]
        .iter()
        .map(|r| match &r.draft.act {
            Act::Change(c) => c.amount,
            _ => panic!(),
        })
        .collect();
    let litres = WaterAmount::Litres { litres: 12.5 };
    assert_eq!(amounts, [WaterAmount::Share { share: 0.4 }, litres]);
    assert_eq!(rows[2].draft.act.kind(), "top_up");
    assert_eq!(rows[3].draft.note, "power was off");
}

#[test]
fn each_problem_names_line_column_value_and_what_is_accepted() {
    let said = refusal(
        "at,tank,what,amount,unit\n\
         2026-05-01,ash,kno3,1.2x,g\n\
         01.05.2026,ash,kno3,1.2,g\n\
         2026-05-01,oak,kno3,1.2,g\n\
         2026-05-01,ash,\"sugar\nlump\",1.2,g\n\
         2026-05-01,ash,kno3,1.2,spoons\n",
    );
    let lines: Vec<&str> = said.lines().filter(|l| l.starts_with("t.csv")).collect();
    assert!(
        lines[0].starts_with("t.csv, line 2, column amount, value \"1.2x\""),
        "{said}"
    );
    assert!(lines[1].contains("line 3, column at, value \"01.05.2026\": accepted is a date"));
    assert!(lines[2].contains("line 4, column tank, value \"oak\": accepted is one of Ash, Elm"));
    assert!(lines[3].contains("line 5, column what"));
    // The quoted cell has a line break, so the row after it begins on line 7.
    assert!(
        lines[4].contains("line 7, column unit, value \"spoons\""),
        "{said}"
    );
}

#[test]
fn the_rules_of_jots_and_forms_hold_here_too() {
    let said = refusal("at,tank,plant,measure,value\n2026-05-01,ash,bacopa,vigour,11\n");
    assert!(
        said.contains("line 2, column value, value \"11\": accepted for vigour is"),
        "{said}"
    );
    let said = refusal("at,tank,plant,measure,value\n2026-05-01,ash,eleocharis,vigour,7\n");
    assert!(said.contains("planted more than once"), "{said}");
    let said = refusal("at,tank,plant,measure,value\n2026-05-01,,bacopa,vigour,7\n");
    assert!(said.contains("line 2, column tank"), "{said}");
}

#[test]
fn columns_that_do_not_fit_are_named() {
    assert!(
        refusal("at,tank,what,amonut\n2026-05-01,ash,kno3,1\n").contains("no column \"amonut\"")
    );
    assert!(refusal("at,colour\n2026-05-01,red\n").contains("fit no table"));
    assert!(refusal("at,at,note\n2026-05-01,2026-05-01,x\n").contains("two columns"));
    assert!(refusal("kind,at,wat\nnote,2026-05-01,x\n").contains("no table has a column \"wat\""));
    let said = refusal("kind,at,note,share\nnote,2026-05-01,x,0.4\n");
    assert!(
        said.contains("line 2, column share") && said.contains("no such column"),
        "{said}"
    );
    assert!(refusal("kind,at,note\nparty,2026-05-01,x\n").contains("accepted is one of"));
    assert!(refusal("at,note\n2026-05-01,x,y\n").contains("more cells"));
    assert!(refusal("at,note\n").contains("has no rows"));
    assert!(refusal("").contains("has no rows"));
}

#[test]
fn other_encodings_are_refused_with_a_sentence() {
    let latin = b"at,note\n2026-05-01,caf\xe9\n";
    let said = read_table(&bench(), "t.csv", latin)
        .unwrap_err()
        .to_string();
    assert!(
        said.contains("not UTF-8") && said.contains("line 2"),
        "{said}"
    );
    let utf16: Vec<u8> = "\u{feff}at,note\n"
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    assert!(matches!(
        read_table(&bench(), "t.csv", &utf16),
        Err(ImportError::Encoding { .. })
    ));
}

#[test]
fn at_most_twenty_problems_are_gathered() {
    let rows = "2026-05-01,oak,x\n".repeat(100);
    match read_table(
        &bench(),
        "t.csv",
        format!("at,tank,note\n{rows}").as_bytes(),
    ) {
        Err(ImportError::Rows { problems, .. }) => assert_eq!(problems.len(), MOST_PROBLEMS),
        other => panic!("{other:?}"),
    }
}

#[test]
fn rows_of_another_trial_are_left_out_and_counted() {
    let text = "at,trial,note\n2026-05-01,Another,x\n2026-05-01,Sand or water?,y\n";
    let found = read_table(&bench(), "t.csv", text.as_bytes()).unwrap();
    assert_eq!((found.rows.len(), found.other_trials), (1, 1));
}

#[test]
fn rows_of_one_entry_must_agree() {
    let said = refusal(
        "entry,at,tank,plant,measure,value\n\
         a,2026-05-01,ash,bacopa,vigour,7\n\
         a,2026-05-01,ash,bacopa,vigour,8\n",
    );
    assert!(
        said.contains("line 3, column value") && said.contains("line 2"),
        "{said}"
    );
}

proptest! {
    #[test]
    fn any_bytes_are_read_or_refused(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let _ = read_table(&bench(), "t.csv", &bytes);
    }

    #[test]
    fn any_cells_are_read_or_refused(
        kind in "(reading|dose|change|top_up|trim|observation|algae|feed|setting|clean|livestock|note|undo)",
        cells in proptest::collection::vec("[ -~\u{e9}\n\"]{0,12}|-?[0-9]{1,3}(\\.[0-9])?|ash|2026-05-01|no3|vigour|kno3|Meadow|Bacopa.*", 12),
    ) {
        let mut out = csv::Writer::from_writer(Vec::new());
        let names = ["kind", "at", "tank", "analyte", "value", "seen", "what", "amount", "share",
            "plant", "measure", "film_pane", "note"];
        out.write_record(names).unwrap();
        out.write_record(std::iter::once(&kind).chain(&cells)).unwrap();
        let _ = read_table(&bench(), "t.csv", &out.into_inner().unwrap());
    }
}
