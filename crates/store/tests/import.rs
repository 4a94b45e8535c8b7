//! Tables taken into a trial: all rows or none, never twice, and what an export says.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // helpers outside #[test]

mod common;
use common::*;
use job::Progress;
use std::io::{Cursor, Read};
use store::export::export;
use store::import::{ImportReport, import_csv, plan_csv};
use store::{EntryQuery, Notebook};
use trial::{Act, Entry, EntryId, Origin};

fn take(notebook: &Notebook, file: &str, text: &str) -> Result<ImportReport, String> {
    let bench = notebook.bench(trial_id(1)).unwrap();
    import_csv(
        notebook,
        &bench,
        file,
        text.as_bytes(),
        at(1_000),
        &Progress::none(),
    )
    .map_err(|e| e.to_string())
}

const DOSES: &str = "at,tank,what,amount,unit\n\
    2026-05-01,ash,KNO3,1.2,g\n\
    2026-05-01,ash,KNO3,1.2,g\n\
    2026-05-02,,KNO3,1.5,g\n";

#[test]
fn all_rows_land_with_their_origin() {
    let (_folder, notebook) = notebook(vec![]);
    let report = take(&notebook, "C:\\logs\\may.csv", DOSES).unwrap();
    assert_eq!(report.written.len(), 3);
    let entry = notebook.entry(report.written[2]).unwrap().unwrap();
    assert_eq!(
        entry.origin,
        Origin::Import {
            file: "may.csv".into(),
            line: 4
        }
    );
    assert_eq!((entry.tanks.len(), entry.all_tanks), (4, true));
    assert_eq!(entry.written, at(1_000));
    // RFC 9562: version 8 stands in the first digit of the third group.
    assert_eq!(entry.id.0.get_version_num(), 8);
}

#[test]
fn the_same_rows_are_never_written_twice() {
    let (_folder, notebook) = notebook(vec![]);
    take(&notebook, "may.csv", DOSES).unwrap();
    let again = take(&notebook, "may.csv", DOSES).unwrap();
    let said = "Imported: new entries 0.\n\
                In the notebook before, and not written again: line 2, 3, 4.";
    assert_eq!(again.to_string(), said);
    assert_eq!((again.written.len(), again.already), (0, vec![2, 3, 4]));
    // Another name, another order, another way to write it, and one row more.
    let more = "tank;at;what;amount\n\
        ;2026-05-02 12:00;kno3;1,5 g\n\
        ASH;2026-05-01;KNO3;1,2 g\n\
        elm;2026-05-03;KNO3;2 g\n\
        ash;2026-05-01;KNO3;1,2 g\n";
    let report = take(&notebook, "may-2.csv", more).unwrap();
    assert_eq!((report.written.len(), report.already), (1, vec![2, 3, 5]));
    // A third equal row is a third dose.
    let report = take(
        &notebook,
        "may.csv",
        &DOSES.replace("1.5", "1.2").replace("02,,", "01,ash,"),
    );
    assert_eq!(report.unwrap().written.len(), 1);
    assert_eq!(notebook.count_entries().unwrap(), 5);
}

#[test]
fn what_was_taken_back_stays_taken_back() {
    let (_folder, notebook) = notebook(vec![]);
    let first = take(&notebook, "may.csv", DOSES).unwrap().written[0];
    let mut undo = entry(9, 0, &[], Act::Undo);
    undo.supersedes = Some(first);
    notebook.write_entry(&undo).unwrap();
    assert_eq!(take(&notebook, "may.csv", DOSES).unwrap().written, []);
    let standing = notebook.entries(&EntryQuery::of(trial_id(1))).unwrap();
    assert!(standing.len() == 2 && standing.iter().all(|e| e.id != first));
}

#[test]
fn one_bad_row_and_none_lands() {
    let (_folder, notebook) = notebook(vec![]);
    let said = take(&notebook, "may.csv", &DOSES.replace("1.5", "-1.5")).unwrap_err();
    assert!(said.contains("may.csv, line 4, column amount"), "{said}");
    assert_eq!(notebook.count_entries().unwrap(), 0);
}

/// What was exported, as tables by name.
fn tables(notebook: &Notebook) -> Vec<(String, String)> {
    let mut out = Vec::new();
    export(notebook, Cursor::new(&mut out), &Progress::none()).unwrap();
    let mut zip = zip::ZipArchive::new(Cursor::new(out)).unwrap();
    let wanted = trial::tables::ENTRY_TABLES.iter().filter(|t| t.is_read());
    wanted
        .map(|t| {
            let name = format!("data/{}.csv", t.name);
            let mut text = String::new();
            zip.by_name(&name)
                .unwrap()
                .read_to_string(&mut text)
                .unwrap();
            (name, text)
        })
        .collect()
}

fn logged() -> Vec<Entry> {
    let mut noted = entry(1, 0, &[1, 2, 3, 4], dose(1.2));
    noted.all_tanks = true;
    noted.minutes = Some(12.0);
    noted.note = "-both, \"well\"\nshaken".into();
    let mut note = entry(6, 60, &[], Act::Note);
    note.note = "=quiet day".into();
    vec![
        noted,
        entry(2, 10, &[1, 3], change(0.4)),
        superseding(3, 20, 2, change(0.3)),
        entry(
            4,
            30,
            &[2],
            reading(
                quantity::Analyte::No3,
                6.0,
                12.0,
                trial::act::ReadingOf::Blank,
            ),
        ),
        entry(5, 40, &[3], observation(3, 7.5)),
        note,
    ]
}

#[test]
fn exported_tables_are_taken_in_by_a_fresh_notebook() {
    let (_folder, first) = notebook(logged());
    let (_other, second) = notebook(vec![]);
    let mut count = 0;
    for (name, text) in tables(&first) {
        if text.lines().count() > 1 {
            count += take(&second, &name, &text).unwrap().written.len();
        }
    }
    let standing = |n: &Notebook| n.entries(&EntryQuery::of(trial_id(1))).unwrap();
    let (before, after) = (standing(&first), standing(&second));
    assert_eq!((count, after.len()), (5, before.len()));
    for (a, b) in before.iter().zip(&after) {
        let said = |e: &Entry| {
            (
                e.id,
                e.at.to_string(),
                e.tanks.clone(),
                e.all_tanks,
                e.who.clone(),
                e.minutes,
                e.note.clone(),
                e.act.clone(),
            )
        };
        assert_eq!(said(a), said(b));
    }
}

#[test]
fn exported_tables_change_nothing_in_their_own_notebook() {
    let (_folder, notebook) = notebook(logged());
    let before = notebook.count_entries().unwrap();
    for (name, text) in tables(&notebook) {
        if text.lines().count() > 1 {
            assert_eq!(
                take(&notebook, &name, &text).unwrap().written,
                Vec::<EntryId>::new()
            );
        }
    }
    assert_eq!(notebook.count_entries().unwrap(), before);
    let changes = tables(&notebook)
        .into_iter()
        .find(|(n, _)| n == "data/changes.csv")
        .unwrap()
        .1;
    let said = take(&notebook, "changes.csv", &changes.replace("0.3", "0.5")).unwrap_err();
    assert!(
        said.contains("line 2, column entry") && said.contains("other content"),
        "{said}"
    );
}

#[test]
fn a_plan_writes_nothing_until_it_is_told_to() {
    let (_folder, notebook) = notebook(vec![]);
    let bench = notebook.bench(trial_id(1)).unwrap();
    let table = "at,tank,note\n2026-05-01,ash,new stems\n";
    let plan = |progress: &Progress| {
        let made = plan_csv(
            &notebook,
            &bench,
            "n.csv",
            table.as_bytes(),
            at(1_000),
            progress,
        );
        made.map_err(|e| e.to_string())
    };
    let planned = plan(&Progress::none()).unwrap();
    assert_eq!((planned.entries.len(), planned.already.len()), (1, 0));
    assert_eq!(notebook.count_entries().unwrap(), 0);
    let stopped = Progress::new();
    stopped.cancel();
    assert_eq!(plan(&stopped).unwrap_err(), "stopped as asked");
    let report = planned.write(&notebook).unwrap();
    assert_eq!(
        (report.written.len(), notebook.count_entries().unwrap()),
        (1, 1)
    );
    assert_eq!(plan(&Progress::none()).unwrap().already, [2]);
}
